//! What may be wrong with a haul, in words.

use super::plan::Counted;

/// What is wrong with a haul.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum HaulFault {
    /// A package or pallet stands nowhere and is not listed as left behind.
    #[error("`{0}` stands on nothing and is not among those left behind")]
    Missing(String),
    /// Something stands twice.
    #[error("`{0}` stands twice")]
    Twice(String),
    /// Something that the plan does not have.
    #[error("{carried}: `{what}` is no package, pallet or overpack of the plan")]
    NoSuchThing {
        /// The carrier in the plan.
        carried: String,
        /// The thing.
        what: String,
    },
    /// A carrier that is not listed, or more of it than there are.
    #[error("`{carrier}`: {used} used, {count} at hand")]
    TooFew {
        /// The carrier.
        carrier: String,
        /// How many are used.
        used: usize,
        /// How many there are.
        count: u32,
    },
    /// Nothing on it.
    #[error("{0} is empty")]
    Empty(String),
    /// A number is not what the load gives.
    #[error("{carried}: {what} is stated as {stated}, the load gives {found}")]
    WrongNumber {
        /// The carrier in the plan.
        carried: String,
        /// Which number.
        what: &'static str,
        /// As stated.
        stated: String,
        /// As found.
        found: String,
    },
    /// Too heavy.
    #[error("{carried}: load {found}, at most {limit}")]
    TooHeavy {
        /// The carrier in the plan.
        carried: String,
        /// What there is.
        found: String,
        /// What may be.
        limit: String,
    },
    /// Something is drawn in another size, or its size is not known.
    #[error("{carried}: `{what}` is not of the size drawn")]
    OtherSize {
        /// The carrier in the plan.
        carried: String,
        /// The thing.
        what: String,
    },
    /// Something sticks out.
    #[error("{carried}: `{what}` does not stand inside")]
    SticksOut {
        /// The carrier in the plan.
        carried: String,
        /// The thing.
        what: String,
    },
    /// Two things stand in one another.
    #[error("{carried}: `{a}` and `{b}` stand in one another")]
    InOneAnother {
        /// The carrier in the plan.
        carried: String,
        /// One.
        a: String,
        /// The other.
        b: String,
    },
    /// Something hangs in the air.
    #[error("{carried}: `{what}` does not stand whole on the deck or on one thing below")]
    NotBorne {
        /// The carrier in the plan.
        carried: String,
        /// The thing.
        what: String,
    },
    /// Something carries more than it may.
    #[error("{carried}: {found} stand on `{what}`, at most {limit}")]
    Crushed {
        /// The carrier in the plan.
        carried: String,
        /// The thing below.
        what: String,
        /// What stands on it.
        found: String,
        /// What may.
        limit: String,
    },
    /// Things that may not share a carrier.
    #[error("{carried}: `{a}` and `{b}` may not stand together: {why}")]
    KeptApart {
        /// The carrier in the plan.
        carried: String,
        /// One.
        a: String,
        /// The other.
        b: String,
        /// Why.
        why: &'static str,
    },
    /// A vehicle that must stay a small load is none.
    #[error("{carried}: no small load: {why}")]
    NoSmallLoad {
        /// The carrier in the plan.
        carried: String,
        /// The first reason.
        why: String,
    },
    /// A count or a bound does not agree with the plan.
    #[error("{what}: stated {stated:?}, the plan has {found}")]
    WrongCount {
        /// Of what.
        what: &'static str,
        /// As stated.
        stated: Counted,
        /// As found.
        found: usize,
    },
}
