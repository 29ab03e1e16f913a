//! Why a paper cannot be printed.

/// Why a paper cannot be printed, or a printed one cannot be read back.
#[derive(Debug, thiserror::Error)]
pub enum PaperError {
    /// Planned, removed and left behind do not add up, or not to what is listed.
    #[error("the counts of job `{job}` do not add up: {}", differences.join("; "))]
    CountsDiffer {
        /// The job.
        job: String,
        /// Each sum that differs, in words.
        differences: Vec<String>,
    },
    /// A package that weighs less than what is in it.
    #[error("package `{package}` weighs {gross} but its modules weigh {net}")]
    GrossBelowNet {
        /// The package.
        package: String,
        /// Gross mass with unit.
        gross: String,
        /// Net mass with unit.
        net: String,
    },
    /// A table that no workbook holds.
    #[error("{paper} cannot be written as a workbook: {what}")]
    Workbook {
        /// The paper.
        paper: &'static str,
        /// What the writer said.
        what: String,
    },
    /// A sum that no longer fits its type.
    #[error("the sum of {what} is too large to print")]
    SumTooLarge {
        /// What was added up.
        what: &'static str,
    },
    /// A cell outside the grammar of its column.
    #[error("column `{column}`: `{value}` is not {wanted}")]
    OutsideGrammar {
        /// The column.
        column: &'static str,
        /// The value, shortened.
        value: String,
        /// What the column takes.
        wanted: &'static str,
    },
    /// A cell that must not be empty.
    #[error("column `{column}` must not be empty")]
    Missing {
        /// The column.
        column: &'static str,
    },
    /// There is no such paper.
    #[error("there is no paper `{name}`; there are {}", known.join(", "))]
    NoSuchPaper {
        /// The name asked for.
        name: String,
        /// The names there are.
        known: Vec<String>,
    },
    /// The font in this program cannot be read: a bug.
    #[error("the font of the papers cannot be read")]
    Font,
    /// A job without an entry has nothing to print.
    #[error("the job has no entry yet")]
    NothingEntered,
    /// A template that does not parse, or asks for something the paper does not have.
    #[error("the template of the {paper} does not work: {what}")]
    Template {
        /// The paper.
        paper: &'static str,
        /// The place and the fault.
        what: String,
    },
    /// Content that JSON cannot hold.
    #[error("the {paper} cannot be written as JSON: {what}")]
    Json {
        /// The paper.
        paper: &'static str,
        /// The fault.
        what: String,
    },
}
