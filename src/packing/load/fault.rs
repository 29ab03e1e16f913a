//! What may be wrong with a load, in words for the person who made the plan.

/// What is wrong with a load.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LoadFault {
    /// A module is in no package and not listed as left out.
    #[error("`{0}` is in no package and not among those left out")]
    Missing(String),
    /// A module stands twice.
    #[error("`{0}` stands twice")]
    Twice(String),
    /// A module that the job does not have.
    #[error("`{0}` is not a module of the job")]
    NoSuchModule(String),
    /// A packaging that the stock does not have.
    #[error("package {package}: `{packaging}` is not in the stock")]
    NoSuchPackaging {
        /// The package.
        package: String,
        /// The packaging.
        packaging: String,
    },
    /// More of a packaging are used than there are.
    #[error("`{packaging}`: {used} used, {count} at hand")]
    TooFew {
        /// The packaging.
        packaging: String,
        /// How many are used.
        used: usize,
        /// How many there are.
        count: u32,
    },
    /// Nothing in it.
    #[error("package {0} is empty")]
    Empty(String),
    /// A number of the plan is not what the modules give.
    #[error("package {package}: {what} is stated as {stated}, the modules give {found}")]
    WrongNumber {
        /// The package.
        package: String,
        /// Which number.
        what: &'static str,
        /// As stated.
        stated: String,
        /// As found.
        found: String,
    },
    /// A limit of the packaging is passed.
    #[error("package {package}: {what} {found}, at most {limit}")]
    OverLimit {
        /// The package.
        package: String,
        /// Of what.
        what: &'static str,
        /// What there is.
        found: String,
        /// What may be.
        limit: String,
    },
    /// A fact that the check needs is not known.
    #[error("`{module}`: {what} is not known")]
    NotKnown {
        /// The module.
        module: String,
        /// What.
        what: &'static str,
    },
    /// A module sticks out.
    #[error("package {package}: `{module}` does not stand inside")]
    SticksOut {
        /// The package.
        package: String,
        /// The module.
        module: String,
    },
    /// Two modules stand in one another, or closer than the gap.
    #[error("package {package}: `{a}` and `{b}` stand closer than the gap of {gap_mm} mm")]
    TooClose {
        /// The package.
        package: String,
        /// One module.
        a: String,
        /// The other.
        b: String,
        /// The gap.
        gap_mm: u32,
    },
    /// A module stands in a way that it may not, or is drawn in another size.
    #[error("package {package}: `{module}` may not stand as drawn")]
    WrongStance {
        /// The package.
        package: String,
        /// The module.
        module: String,
    },
    /// Modules that may not share a package.
    #[error("package {package}: `{a}` and `{b}` may not share a package: {why}")]
    KeptApart {
        /// The package.
        package: String,
        /// One module.
        a: String,
        /// The other.
        b: String,
        /// Why.
        why: &'static str,
    },
    /// The law does not accept the package.
    #[error("package {package}: `{module}`: {why}")]
    NotAccepted {
        /// The package.
        package: String,
        /// The module.
        module: String,
        /// The first reason.
        why: String,
    },
    /// A module stands on nothing that may carry it, or carries what it may not.
    #[error("package {package}, {layer}: {what}")]
    NotBorne {
        /// The package.
        package: String,
        /// Which layer.
        layer: String,
        /// What is wrong.
        what: String,
    },
    /// The count or the bound does not agree with the packages.
    #[error(
        "the plan says {count} packages, at least {lower_bound}, proven {proven}; it has {packages}"
    )]
    WrongCount {
        /// Stated count.
        count: usize,
        /// Stated lower bound.
        lower_bound: usize,
        /// Stated proof.
        proven: bool,
        /// What there is.
        packages: usize,
    },
}
