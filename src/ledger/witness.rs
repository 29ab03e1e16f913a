//! A paper as a witness: size and root of a log, as they were printed before anybody could know
//! what would be changed later.

use std::fmt;
use std::str::FromStr;

use super::hash::{Hash, from_hex, to_hex};
use super::log::Log;

/// Size and root as a paper prints them, `94:06da299e...`; the beginning of the root is enough,
/// from 16 digits on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PaperWitness {
    size: u64,
    root: String,
}

/// What a paper says of a log.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Testimony {
    /// The log begins as the paper says.
    Agrees,
    /// The log is shorter than the paper says.
    Shorter,
    /// The log had another root.
    OtherRoot(Hash),
}

impl PaperWitness {
    /// What the paper says of `log`.
    #[must_use]
    pub fn of(&self, log: &Log) -> Testimony {
        match log.root_at(self.size) {
            None => Testimony::Shorter,
            Some(root) if to_hex(&root).starts_with(&self.root) => Testimony::Agrees,
            Some(root) => Testimony::OtherRoot(root),
        }
    }

    /// What is wrong with `log` by this paper, in words; `None` where nothing is.
    #[must_use]
    pub fn against(&self, log: &Log) -> Option<String> {
        match self.of(log) {
            Testimony::Agrees => None,
            Testimony::Shorter => Some(format!(
                "the paper was printed from {} entries, the log has {}",
                self.size,
                log.len()
            )),
            Testimony::OtherRoot(root) => Some(format!(
                "the paper says that the first {} entries have root {}, here they have {}",
                self.size,
                self.root,
                to_hex(&root)
            )),
        }
    }
}

impl fmt::Display for PaperWitness {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.size, self.root)
    }
}

impl FromStr for PaperWitness {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let read = || {
            let (size, root) = text.split_once(':')?;
            let root: String = root.chars().filter(|c| !c.is_whitespace()).collect();
            let root = root.to_lowercase();
            // An odd digit more is cut off: a person typed as far as patience went.
            let even = root.len() - root.len() % 2;
            from_hex(root.get(..even)?)?;
            let last = root.chars().all(|c| c.is_ascii_hexdigit());
            ((16..=64).contains(&root.len()) && last).then_some(Self {
                size: size.trim().parse().ok()?,
                root,
            })
        };
        read().ok_or_else(|| {
            format!(
                "`{}` is not SIZE:ROOT as on the paper, with 16 digits of the root or more",
                text.chars().take(100).collect::<String>()
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_witness_is_read_from_what_a_person_types() {
        let whole = "94:06da299e198ecb7fe8a45167d4d7caa51fbf073b60633d694bad355bac1443f5";
        for text in [whole, "94: 06DA 299E 198E CB7F E", " 94:06da299e198ecb7f"] {
            assert!(text.parse::<PaperWitness>().is_ok(), "{text}");
        }
        for text in [
            "",
            "94",
            "94:06da299e198ecb",
            "x:06da299e198ecb7f",
            "94:06da299e198ecb7g",
            "94:06da299e198ecb7fx",
            &format!("{whole}0"),
        ] {
            assert!(text.parse::<PaperWitness>().is_err(), "{text}");
        }
    }
}
