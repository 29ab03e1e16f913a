//! Reads a procedure file, joins the fragments it includes, and says what is wrong with it.
//!
//! Nothing in a fragment can be taken away by the file that includes it; it can only be added to.

use std::collections::{BTreeMap, BTreeSet};

use sha2::{Digest, Sha256};

use crate::battery::Variant;
use crate::procedure::graph::Graph;
use crate::procedure::step::{Also, ProcedureFile};
use crate::procedure::{
    Branch, Cycle, EvidenceKind, EvidenceSpec, Limit, Need, Procedure, Settings, Step, When,
};

/// The form of procedure files that this version reads: the same major, any minor up to this.
///
/// - 1.0: first form.
const FORMAT: (u32, u32) = (1, 0);

/// Procedures that come with the program.
const SHIPPED: [(&str, &str); 4] = [
    (
        "ac-coupled-stack",
        include_str!("../../templates/procedures/ac-coupled-stack.toml"),
    ),
    (
        "damaged-pack",
        include_str!("../../templates/procedures/damaged-pack.toml"),
    ),
    (
        "dc-coupled-hybrid",
        include_str!("../../templates/procedures/dc-coupled-hybrid.toml"),
    ),
    ("rack", include_str!("../../templates/procedures/rack.toml")),
];

/// Parts that procedures include by name.
const FRAGMENTS: [(&str, &str); 5] = [
    (
        "close-out",
        include_str!("../../templates/procedures/close-out.toml"),
    ),
    (
        "damaged-module",
        include_str!("../../templates/procedures/damaged-module.toml"),
    ),
    (
        "module-loop",
        include_str!("../../templates/procedures/module-loop.toml"),
    ),
    (
        "red-flag",
        include_str!("../../templates/procedures/red-flag.toml"),
    ),
    (
        "trunk",
        include_str!("../../templates/procedures/trunk.toml"),
    ),
];

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
    #[error("`{found}` is not a file format that this version reads (it reads {major}.0 to {major}.{minor})", major = FORMAT.0, minor = FORMAT.1)]
    Format {
        /// The text as given.
        found: String,
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
    #[error("no fragment `{found}`; there are {known}; a path is not a name", known = names(&FRAGMENTS))]
    UnknownFragment {
        /// The name as given.
        found: String,
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

fn names(table: &[(&str, &str)]) -> String {
    let names: Vec<String> = table.iter().map(|(name, _)| format!("`{name}`")).collect();
    names.join(", ")
}

impl Procedure {
    /// The names of the procedures that come with the program.
    #[must_use]
    pub fn shipped_ids() -> Vec<&'static str> {
        SHIPPED.iter().map(|(id, _)| *id).collect()
    }

    /// A procedure that comes with the program, or `None` where there is none of that name.
    ///
    /// # Errors
    /// None that a test would not have found before.
    #[must_use]
    pub fn shipped(id: &str) -> Option<Result<Self, ProcedureError>> {
        // What a user's file is looked over for, a test has looked over here.
        Some(join(Self::shipped_text(id)?))
    }

    /// The file of a procedure that comes with the program, as a user may copy it.
    #[must_use]
    pub fn shipped_text(id: &str) -> Option<&'static str> {
        find(&SHIPPED, id)
    }

    /// A user's own procedure. It may include the fragments that come with the program.
    ///
    /// # Errors
    /// The first thing that is wrong with it.
    pub fn read(text: &str) -> Result<Self, ProcedureError> {
        let procedure = join(text)?;
        look_over(&procedure)?;
        Ok(procedure)
    }

    /// The step of that id.
    #[must_use]
    pub fn step(&self, id: &str) -> Option<&Step> {
        self.steps.iter().find(|step| step.id == id)
    }
}

fn find(table: &[(&str, &'static str)], name: &str) -> Option<&'static str> {
    table
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, text)| *text)
}

/// Joins a file with its fragments.
fn join(text: &str) -> Result<Procedure, ProcedureError> {
    let own = parse(text)?;
    let mut digest = Sha256::new();
    let mut steps = Vec::new();
    let mut cautions = own.cautions;
    for name in &own.include {
        let fragment = find(&FRAGMENTS, name).ok_or_else(|| ProcedureError::UnknownFragment {
            found: name.clone(),
        })?;
        digest.update(fragment);
        let part = parse(fragment)?;
        cautions.extend(part.cautions);
        steps.extend(part.steps);
    }
    digest.update(text);
    steps.extend(own.steps);
    for addition in own.also {
        add(&mut steps, addition)?;
    }
    let variant = own.variant.ok_or(ProcedureError::NoVariant)?;
    for step in &mut steps {
        expand(step, &own.alias)?;
        if variant == Variant::DamagedPack {
            make_ordinary(step);
        }
    }
    Ok(Procedure {
        id: own.id,
        title: own.title,
        variant,
        cautions,
        steps: in_working_order(steps)?,
        fingerprint: hex(&digest.finalize()),
    })
}

/// In a damaged pack the red flag is up from the start and every module counts as damaged: what
/// is kept for those cases elsewhere is the ordinary way.
fn make_ordinary(step: &mut Step) {
    if step.branch == Branch::RedFlag {
        step.branch = Branch::Main;
    }
    if step.when == When::Damaged {
        step.when = When::Always;
    }
}

/// The steps as people meet them: each after everything that it names.
fn in_working_order(steps: Vec<Step>) -> Result<Vec<Step>, ProcedureError> {
    let mut ids = BTreeSet::new();
    for step in &steps {
        if !ids.insert(step.id.as_str()) {
            return Err(ProcedureError::RepeatedStep(step.id.clone()));
        }
    }
    let graph = Graph::new(&steps).map_err(ProcedureError::Circle)?;
    let mut slots: Vec<Option<Step>> = steps.into_iter().map(Some).collect();
    Ok(graph
        .order()
        .iter()
        .filter_map(|place| slots.get_mut(*place)?.take())
        .collect())
}

fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a string cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

fn parse(text: &str) -> Result<ProcedureFile, ProcedureError> {
    let file: ProcedureFile = toml::from_str(text).map_err(|error| toml_error(text, &error))?;
    let form = file
        .format
        .split_once('.')
        .and_then(|(major, minor)| Some((major.parse::<u32>().ok()?, minor.parse::<u32>().ok()?)));
    match form {
        Some((major, minor)) if major == FORMAT.0 && minor <= FORMAT.1 => Ok(file),
        _ => Err(ProcedureError::Format { found: file.format }),
    }
}

/// The parser's complaint as one line with its place.
pub(super) fn toml_error(text: &str, error: &toml::de::Error) -> ProcedureError {
    let end = error.span().map_or(0, |span| span.start);
    let line = 1 + text.bytes().take(end).filter(|byte| *byte == b'\n').count();
    let message = error.message();
    if let Some((field, allowed)) = message
        .strip_prefix("unknown field `")
        .and_then(|rest| rest.split_once("`, expected "))
    {
        return ProcedureError::UnknownField {
            line,
            field: field.to_owned(),
            allowed: allowed.trim_start_matches("one of ").to_owned(),
        };
    }
    ProcedureError::Form {
        line,
        what: message.replace('\n', "; "),
    }
}

fn add(steps: &mut [Step], addition: Also) -> Result<(), ProcedureError> {
    let step = steps
        .iter_mut()
        .find(|step| step.id == addition.step)
        .ok_or_else(|| ProcedureError::UnknownAddition(addition.step.clone()))?;
    step.needs.extend(addition.needs);
    step.evidence.extend(addition.evidence);
    step.cautions.extend(addition.cautions);
    step.optional &= !addition.compulsory;
    Ok(())
}

/// Puts what the file says in the place of each `@name`.
fn expand(step: &mut Step, alias: &BTreeMap<String, Vec<String>>) -> Result<(), ProcedureError> {
    let is_alias = |need: &Need| matches!(need, Need::Step(id) if id.starts_with('@'));
    if !step.needs.iter().any(is_alias) {
        return Ok(());
    }
    let mut needs = Vec::new();
    for need in std::mem::take(&mut step.needs) {
        let Need::Step(id) = &need else {
            needs.push(need);
            continue;
        };
        let Some(name) = id.strip_prefix('@') else {
            needs.push(need);
            continue;
        };
        let stands_for = alias
            .get(name)
            .ok_or_else(|| ProcedureError::UnknownAlias {
                step: step.id.clone(),
                alias: name.to_owned(),
            })?;
        for text in stands_for {
            needs.push(text.parse().map_err(|_| ProcedureError::UnknownStep {
                step: step.id.clone(),
                other: text.clone(),
            })?);
        }
    }
    step.needs = needs;
    Ok(())
}

/// What the form of the file cannot say: that names exist, and that limits have a source.
pub(super) fn look_over(procedure: &Procedure) -> Result<(), ProcedureError> {
    let ids: BTreeSet<&str> = procedure
        .steps
        .iter()
        .map(|step| step.id.as_str())
        .collect();
    let settings = Settings::shipped()?;
    for step in &procedure.steps {
        let is_id_byte = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'-';
        if step.id.is_empty() || !step.id.bytes().all(is_id_byte) {
            return Err(ProcedureError::StepId(step.id.clone()));
        }
        if step.does.is_empty() || step.does.chars().any(char::is_control) {
            return Err(ProcedureError::StepWords(step.id.clone()));
        }
        if step.role.is_empty() {
            return Err(ProcedureError::EmptyRole(step.id.clone()));
        }
        for other in step.needs.iter().flat_map(Need::ids) {
            if !ids.contains(other) {
                return Err(ProcedureError::UnknownStep {
                    step: step.id.clone(),
                    other: other.to_owned(),
                });
            }
        }
        let look = Look {
            procedure,
            settings: &settings,
            step,
        };
        look.evidence(&step.evidence)?;
    }
    Ok(())
}

struct Look<'a> {
    procedure: &'a Procedure,
    settings: &'a Settings,
    step: &'a Step,
}

impl Look<'_> {
    fn evidence(&self, specs: &[EvidenceSpec]) -> Result<(), ProcedureError> {
        let mut seen = BTreeSet::new();
        for spec in specs {
            if !seen.insert(spec.name.as_str()) {
                return Err(ProcedureError::RepeatedEvidence {
                    step: self.step.id.clone(),
                    evidence: spec.name.clone(),
                });
            }
            if spec.kind == EvidenceKind::Table && spec.columns.is_empty() {
                return Err(ProcedureError::TableWithoutColumns {
                    step: self.step.id.clone(),
                    evidence: spec.name.clone(),
                });
            }
            for limit in &spec.limits {
                self.limit(spec, specs, limit)?;
            }
            self.evidence(&spec.columns)?;
        }
        Ok(())
    }

    fn limit(
        &self,
        spec: &EvidenceSpec,
        beside: &[EvidenceSpec],
        limit: &Limit,
    ) -> Result<(), ProcedureError> {
        let missing = match (limit.clause.is_empty(), limit.known) {
            (true, _) => Some("clause"),
            (false, None) => Some("known"),
            (false, Some(_)) => None,
        };
        if let Some(field) = missing {
            return Err(ProcedureError::LimitWithoutClause {
                step: self.step.id.clone(),
                evidence: spec.name.clone(),
                field,
            });
        }
        let named = [
            limit.at_most_setting.as_ref(),
            limit.at_least_setting.as_ref(),
            limit.magnitude_at_most_setting.as_ref(),
            limit.above.as_ref().map(|above| &above.setting),
        ];
        for setting in named.into_iter().flatten() {
            if self.settings.get(setting).is_none() {
                return Err(ProcedureError::UnknownSetting {
                    step: self.step.id.clone(),
                    evidence: spec.name.clone(),
                    setting: setting.clone(),
                });
            }
        }
        if let Some(above) = &limit.above
            && !beside.iter().any(|other| other.name == above.of)
        {
            return Err(self.unknown_answer(spec, &above.of));
        }
        if let Some(same) = &limit.same_as {
            let is_asked = same.split_once('.').is_some_and(|(step, name)| {
                self.procedure
                    .step(step)
                    .is_some_and(|step| step.spec(name).is_some())
            });
            if !is_asked {
                return Err(self.unknown_answer(spec, same));
            }
        }
        Ok(())
    }

    fn unknown_answer(&self, spec: &EvidenceSpec, other: &str) -> ProcedureError {
        ProcedureError::UnknownAnswer {
            step: self.step.id.clone(),
            evidence: spec.name.clone(),
            other: other.to_owned(),
        }
    }
}
