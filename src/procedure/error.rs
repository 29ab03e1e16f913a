//! Why a procedure file or a settings file cannot be used.

use crate::procedure::Cycle;

/// Why a procedure or settings file cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ProcedureError {
    /// A step is its own ancestor.
    #[error("steps need each other in a circle: {}", .0.0.join(" -> "))]
    Circle(Cycle),
    /// A step has no role, so nobody may do it.
    #[error("step `{0}` names no role, so nobody may do it")]
    EmptyRole(String),
    /// Not TOML, or a value of the wrong kind.
    #[error("line {line}: {what}")]
    Form {
        /// Line, counted from one.
        line: usize,
        /// What is wrong there.
        what: String,
    },
    /// The form's number is not one that this version reads.
    #[error("`{found}` is not a file format that this version reads (it reads {reads})")]
    Format {
        /// The text as given.
        found: String,
        /// What this version reads.
        reads: String,
    },
    /// A limit does not say where it is written, or how that is known.
    #[error("step `{step}`: a limit on `{evidence}` has no `{field}`")]
    LimitWithoutClause {
        /// The step.
        step: String,
        /// The evidence.
        evidence: String,
        /// The field that is missing: `clause` or `known`.
        field: &'static str,
    },
    /// A procedure without a variant.
    #[error("`variant` is missing; it says for which installations the procedure is meant")]
    NoVariant,
    /// An id that no need could name.
    #[error("step `{0}`: an id is letters, digits and dashes, such as `C21`")]
    StepId(String),
    /// What to do is not one line.
    #[error("step `{0}`: `do` is one line of text")]
    StepWords(String),
    /// An addition to a step that no fragment has.
    #[error("`also` adds to `{0}`, which is not a step of this procedure")]
    UnknownAddition(String),
    /// The same name twice in one step.
    #[error("step `{step}` asks for `{evidence}` twice")]
    RepeatedEvidence {
        /// The step.
        step: String,
        /// The name.
        evidence: String,
    },
    /// The same step id twice.
    #[error("step `{0}` stands twice")]
    RepeatedStep(String),
    /// The same setting twice.
    #[error("setting `{0}` stands twice")]
    RepeatedSetting(String),
    /// A setting is missing in a settings file.
    #[error("setting `{0}` is missing; a settings file holds every one")]
    SettingMissing(String),
    /// A setting beyond the published limit that it must respect.
    #[error("setting `{name}`: {value} is {side} {limit} [{source_of_limit}]")]
    SettingBeyond {
        /// The setting.
        name: String,
        /// Its value.
        value: String,
        /// `above` or `below`.
        side: &'static str,
        /// The published limit.
        limit: String,
        /// Where it is published.
        source_of_limit: String,
    },
    /// A table without columns cannot be filled in.
    #[error("step `{step}`: table `{evidence}` has no columns")]
    TableWithoutColumns {
        /// The step.
        step: String,
        /// The table.
        evidence: String,
    },
    /// More steps than any removal has.
    #[error("{found} steps; at most {most} are read")]
    TooManySteps {
        /// How many there are.
        found: usize,
        /// How many may be.
        most: usize,
    },
    /// `@name` that the file does not explain.
    #[error("step `{step}` needs `@{alias}`, and the file says nothing under `alias.{alias}`")]
    UnknownAlias {
        /// The step.
        step: String,
        /// The alias.
        alias: String,
    },
    /// An answer that is referred to and not asked for.
    #[error("step `{step}`: the limit on `{evidence}` refers to `{other}`, which is not asked for")]
    UnknownAnswer {
        /// The step.
        step: String,
        /// The evidence that has the limit.
        evidence: String,
        /// What it refers to.
        other: String,
    },
    /// A field that the form does not have.
    #[error("line {line}: unknown field `{field}`; allowed here: {allowed}")]
    UnknownField {
        /// Line, counted from one.
        line: usize,
        /// The field.
        field: String,
        /// What may stand there.
        allowed: String,
    },
    /// No such fragment.
    #[error("no fragment `{found}`; there are {known}; a path is not a name")]
    UnknownFragment {
        /// The name as given.
        found: String,
        /// The names there are.
        known: String,
    },
    /// A limit names a setting that there is not.
    #[error("step `{step}`: the limit on `{evidence}` names no setting: `{setting}`")]
    UnknownSetting {
        /// The step.
        step: String,
        /// The evidence.
        evidence: String,
        /// The name as given.
        setting: String,
    },
    /// A setting of a settings file that the program does not have.
    #[error("there is no setting `{0}`")]
    NoSuchSetting(String),
    /// A need or an addition names no step.
    #[error("step `{step}` refers to `{other}`, which is not a step of this procedure")]
    UnknownStep {
        /// The step that refers.
        step: String,
        /// The id it names.
        other: String,
    },
}
