//! Reads a procedure file, joins the fragments it includes, and says what is wrong with it.
//!
//! Nothing in a fragment can be taken away by the file that includes it; it can only be added to.

use std::collections::{BTreeMap, BTreeSet};

use crate::battery::Variant;
use crate::ledger::{Sum, to_hex};
use crate::procedure::graph::Graph;
use crate::procedure::look_over::look_over;
use crate::procedure::step::{Also, ProcedureFile};
use crate::procedure::{Branch, Need, Procedure, ProcedureError, Step, When};

/// The form of procedure files that this version reads: the same major, any minor up to this.
///
/// - 1.0: first form.
const FORMAT: (u32, u32) = (1, 0);

/// Steps of one procedure at most: ten times the longest that ships. The proof compares each with
/// each.
const MOST_STEPS: usize = 1_000;

/// A file that comes with the program: its name, its source, and the same in the form that is read.
///
/// TOML takes four times as long to read as JSON, and every command that opens a job reads some
/// 60 kB of it. So the JSON is compiled in beside it; a test makes it anew from the source and
/// compares.
struct Shipped {
    name: &'static str,
    source: &'static str,
    compiled: &'static str,
}

macro_rules! shipped {
    ($($name:literal),* $(,)?) => {
        [$(Shipped {
            name: $name,
            source: include_str!(concat!("../../templates/procedures/", $name, ".toml")),
            compiled: include_str!(concat!("../../templates/procedures/compiled/", $name, ".json")),
        }),*]
    };
}

/// Procedures that come with the program.
const PROCEDURES: [Shipped; 4] = shipped![
    "ac-coupled-stack",
    "damaged-pack",
    "dc-coupled-hybrid",
    "rack",
];

/// Parts that procedures include by name.
const FRAGMENTS: [Shipped; 5] = shipped![
    "close-out",
    "damaged-module",
    "module-loop",
    "red-flag",
    "trunk",
];

impl Procedure {
    /// The names of the procedures that come with the program.
    #[must_use]
    pub fn shipped_ids() -> Vec<&'static str> {
        PROCEDURES.iter().map(|file| file.name).collect()
    }

    /// A procedure that comes with the program, or `None` where there is none of that name.
    ///
    /// # Errors
    /// None that a test would not have found before.
    #[must_use]
    pub fn shipped(id: &str) -> Option<Result<Self, ProcedureError>> {
        let file = find(&PROCEDURES, id)?;
        // What a user's file is looked over for, a test has looked over here.
        Some(read_compiled(file).and_then(|own| join(own, file.source, &shipped_fragment)))
    }

    /// The file of a procedure that comes with the program, as a user may copy it.
    #[must_use]
    pub fn shipped_text(id: &str) -> Option<&'static str> {
        find(&PROCEDURES, id).map(|file| file.source)
    }

    /// A user's own procedure. It may include the fragments that come with the program.
    ///
    /// # Errors
    /// The first thing that is wrong with it.
    pub fn read(text: &str) -> Result<Self, ProcedureError> {
        let procedure = join(parse(text)?, text, &shipped_fragment)?;
        look_over(&procedure)?;
        Ok(procedure)
    }

    /// A procedure from its own file and its fragments as they were kept with a job: those that come
    /// with the program may have changed since. Its fingerprint says whether it is the one.
    ///
    /// # Errors
    /// The first thing that is wrong with it.
    pub fn read_kept(text: &str, fragments: &[(String, String)]) -> Result<Self, ProcedureError> {
        let fragment = |name: &str| match fragments.iter().find(|(of, _)| of == name) {
            Some((_, source)) => Ok(Some((parse(source)?, source.as_str()))),
            None => Ok(None),
        };
        let procedure = join(parse(text)?, text, &fragment)?;
        look_over(&procedure)?;
        Ok(procedure)
    }

    /// The source of a fragment that comes with the program.
    #[must_use]
    pub fn fragment_text(name: &str) -> Option<&'static str> {
        find(&FRAGMENTS, name).map(|file| file.source)
    }

    /// The step of that id.
    #[must_use]
    pub fn step(&self, id: &str) -> Option<&Step> {
        self.steps.iter().find(|step| step.id == id)
    }
}

fn fragment_names() -> String {
    let names: Vec<String> = FRAGMENTS
        .iter()
        .map(|file| format!("`{}`", file.name))
        .collect();
    names.join(", ")
}

fn find<'a>(table: &'a [Shipped], name: &str) -> Option<&'a Shipped> {
    table.iter().find(|file| file.name == name)
}

/// A fragment as it is read, and its source.
type Fragment<'t> = Option<(ProcedureFile, &'t str)>;

fn shipped_fragment(name: &str) -> Result<Fragment<'static>, ProcedureError> {
    match find(&FRAGMENTS, name) {
        Some(file) => Ok(Some((read_compiled(file)?, file.source))),
        None => Ok(None),
    }
}

/// Joins a file with its fragments.
fn join<'t>(
    own: ProcedureFile,
    source: &str,
    fragment: &dyn Fn(&str) -> Result<Fragment<'t>, ProcedureError>,
) -> Result<Procedure, ProcedureError> {
    let mut digest = Sum::default();
    let mut steps = Vec::new();
    let mut cautions = own.cautions;
    for name in &own.include {
        let (part, source) = fragment(name)?.ok_or_else(|| ProcedureError::UnknownFragment {
            found: name.clone(),
            known: fragment_names(),
        })?;
        digest.add(source.as_bytes());
        cautions.extend(part.cautions);
        steps.extend(part.steps);
    }
    digest.add(source.as_bytes());
    steps.extend(own.steps);
    if steps.len() > MOST_STEPS {
        return Err(ProcedureError::TooManySteps {
            found: steps.len(),
            most: MOST_STEPS,
        });
    }
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
        includes: own.include,
        cautions,
        steps: in_working_order(steps)?,
        fingerprint: to_hex(&digest.hash()),
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

fn parse(text: &str) -> Result<ProcedureFile, ProcedureError> {
    let file: ProcedureFile = toml::from_str(text).map_err(|error| toml_error(text, &error))?;
    let form = file
        .format
        .split_once('.')
        .and_then(|(major, minor)| Some((major.parse::<u32>().ok()?, minor.parse::<u32>().ok()?)));
    match form {
        Some((major, minor)) if major == FORMAT.0 && minor <= FORMAT.1 => Ok(file),
        _ => Err(ProcedureError::Format {
            found: file.format,
            reads: format!("{}.0 to {}.{}", FORMAT.0, FORMAT.0, FORMAT.1),
        }),
    }
}

fn read_compiled(file: &Shipped) -> Result<ProcedureFile, ProcedureError> {
    serde_json::from_str(file.compiled).map_err(|error| ProcedureError::Form {
        line: error.line(),
        what: error.to_string(),
    })
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
