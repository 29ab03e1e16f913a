//! Why an instance or a plan cannot be read or packed.

/// Why an instance or a plan cannot be read or packed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PackingError {
    /// The text is not an instance or a plan.
    #[error("line {line}: {why}")]
    Unreadable {
        /// The line, from 1.
        line: usize,
        /// What the reader says.
        why: String,
    },
    /// The stock of packagings cannot be read.
    #[error("stock of packagings: {0}")]
    Stock(String),
    /// The list of carriers cannot be read.
    #[error("list of carriers: {0}")]
    Carriers(String),
    /// The table of measured modules cannot be read, or says other than the job.
    #[error("measured modules: {0}")]
    Modules(String),
    /// There is no limit at all.
    #[error("`{0}` has no limits: `cap` is empty")]
    NoLimits(String),
    /// An item has more or fewer sizes than there are limits.
    #[error("`{name}`: item {item} has {sizes} sizes, `cap` has {limits}")]
    OtherWidth {
        /// The instance.
        name: String,
        /// The item, from 0.
        item: usize,
        /// How many sizes it has.
        sizes: usize,
        /// How many limits there are.
        limits: usize,
    },
    /// A number is larger than sums can be kept exact for.
    #[error("`{name}`: `{value}` is more than {limit}")]
    TooLarge {
        /// The instance.
        name: String,
        /// The number.
        value: u64,
        /// The largest.
        limit: u64,
    },
    /// There are more items than can be numbered.
    #[error("`{name}`: {items} items are more than {limit}")]
    TooMany {
        /// The instance.
        name: String,
        /// How many.
        items: usize,
        /// The most.
        limit: usize,
    },
    /// An item fits into no package.
    #[error(
        "`{name}`: item {item} fits into no package: {size} is more than {cap} (limit {limit})"
    )]
    FitsNowhere {
        /// The instance.
        name: String,
        /// The item, from 0.
        item: usize,
        /// Which limit, from 0.
        limit: usize,
        /// What the item needs.
        size: u64,
        /// What a package takes.
        cap: u64,
    },
}
