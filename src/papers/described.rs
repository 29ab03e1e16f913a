//! Tables that a command writes to a file of the user's choice, and the Data Packages that describe
//! them: the answers of `classify`, the findings of `audit`.

use super::PaperError;
use super::column::{Column, Kind, column, required};
use super::tabular::{Place, Tabular};

/// Answers of `classify`, one row a battery and leg.
const ANSWERS: Tabular = Tabular {
    name: "answers",
    title: "How each battery may travel, one row a battery and leg",
    about: "Where several stand in a cell, `; ` parts them.",
    format: "1.0",
    key: &[],
    columns: &ANSWER_COLUMNS,
};

const ANSWER_COLUMNS: [Column; 17] = [
    column("id", Kind::Text, "Id of the battery, as given."),
    required(
        "regime",
        Kind::Code(&["adr", "air", "cfr49", "imdg", "rid"]),
        "Body of rules of the leg.",
    ),
    required(
        "answer",
        Kind::Code(&["allowed", "allowed_with", "not_determined", "forbidden"]),
        "Whether it may travel.",
    ),
    column(
        "edition",
        Kind::Text,
        "Edition it was decided by; empty where none is encoded.",
    ),
    column("un", Kind::Text, "UN number, as that law writes it."),
    column("provisions", Kind::Text, "Special provisions at work."),
    column(
        "packing_instructions",
        Kind::Text,
        "Packing instructions that may be used.",
    ),
    column(
        "transport_category",
        Kind::Text,
        "Transport category, where the regime has one.",
    ),
    column(
        "marks",
        Kind::Text,
        "Marks due on the package, with the least height of the letters.",
    ),
    column("labels", Kind::Text, "Labels due on the package."),
    column(
        "document_line",
        Kind::Text,
        "Line for the transport document.",
    ),
    column(
        "statements",
        Kind::Text,
        "Statements for the transport document.",
    ),
    column(
        "eu_waste_code",
        Kind::Text,
        "Entry of the European list of waste, where it is waste.",
    ),
    column(
        "us_waste",
        Kind::Code(&["hazardous_waste", "not_waste", "universal_waste"]),
        "What it is under 40 CFR, where that is known.",
    ),
    column(
        "package",
        Kind::Code(&["accepted", "not_determined", "refused"]),
        "Whether the package is accepted; empty where none was described.",
    ),
    column("missing", Kind::Text, "Facts that are missing."),
    column("reasons", Kind::Text, "Why not, and what to do."),
];

/// Findings of `audit`, one row a finding.
const FINDINGS: Tabular = Tabular {
    name: "findings",
    title: "Findings of an audit, one row a finding",
    about: "",
    format: "1.0",
    key: &[],
    columns: &FINDING_COLUMNS,
};

const FINDING_COLUMNS: [Column; 15] = [
    required(
        "severity",
        Kind::Code(&["critical", "major", "minor", "note"]),
        "How grave it is.",
    ),
    required("check", Kind::Text, "Check that found it."),
    column("job", Kind::Text, "Job."),
    column("site", Kind::Text, "Site of the job."),
    column("person", Kind::Text, "Who made the entry, by name."),
    column("module", Kind::Text, "Module, where it is one module's."),
    column(
        "entry",
        Kind::Whole,
        "Entry that it rests on: its number in the log, from 0.",
    ),
    column("step", Kind::Text, "Step of that entry."),
    column("at", Kind::Text, "When that entry was made."),
    required("what", Kind::Text, "What was looked at."),
    column("found", Kind::Text, "What was found."),
    column("limit", Kind::Text, "What it had to be."),
    column(
        "clause",
        Kind::Text,
        "Where that is written, and how it is known.",
    ),
    column("do_now", Kind::Text, "What to do now."),
    column("source", Kind::Text, "Folder or file it was read from."),
];

/// Heads of the findings.
pub fn finding_heads() -> impl Iterator<Item = &'static str> {
    FINDING_COLUMNS.iter().map(|column| column.name)
}

/// Describes a table of answers of so many bytes in the file `path`, for the same folder. It has no
/// hash: the table may be longer than memory.
///
/// # Errors
/// None that a user can cause.
pub fn answers_datapackage(path: &str, bytes: u64) -> Result<String, PaperError> {
    ANSWERS.package(&Place::of(path, bytes), None)
}

/// The same of a table of findings.
///
/// # Errors
/// None that a user can cause.
pub fn findings_datapackage(path: &str, bytes: u64) -> Result<String, PaperError> {
    FINDINGS.package(&Place::of(path, bytes), None)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::papers::answers::HEADS;

    #[test]
    fn the_description_names_the_heads_that_are_written() {
        let heads: Vec<&str> = ANSWER_COLUMNS.iter().map(|column| column.name).collect();
        assert_eq!(format!("{}\n", heads.join(",")), HEADS);
    }
}
