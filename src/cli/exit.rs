//! Exit codes; scripts rely on them.

use std::process::ExitCode;

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// Done, or allowed.
    Done,
    /// Answered "no": gate closed, forbidden, record broken off, proof fails.
    No,
    /// The command line is wrong.
    WrongCommandLine,
    /// Not determined: facts are missing.
    NotDetermined,
    /// An input cannot be read.
    Unreadable,
    /// The ledger is broken.
    LedgerBroken,
    /// The store is busy, cannot be reached, or is too new.
    StoreUnreachable,
    /// A bug of this program.
    Bug,
}

impl Exit {
    /// The number.
    #[must_use]
    pub const fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::No => 1,
            Self::WrongCommandLine => 2,
            Self::NotDetermined => 3,
            Self::Unreadable => 4,
            Self::LedgerBroken => 5,
            Self::StoreUnreachable => 6,
            Self::Bug => 70,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit.code())
    }
}
