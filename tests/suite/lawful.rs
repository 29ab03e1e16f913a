//! A lawful job to change one thing of: a sound home stack, entry by entry.

use std::fs;
use std::path::Path;

use packdown::clock::Moment;
use packdown::job::{Job, Plan, Taken};
use packdown::procedure::{Entry, Evidence, Outcome, Procedure, Settings, Value};

/// The plan, changed as text before it is read.
pub(crate) fn plan(changes: &[(&str, &str)]) -> Plan {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/lawful-stack/job.json");
    let mut text = fs::read_to_string(path).unwrap();
    for (old, new) in changes {
        assert!(text.contains(old), "the plan does not contain {old}");
        text = text.replace(old, new);
    }
    Plan::read(&text).unwrap()
}

/// A job without entries.
pub(crate) fn empty(changes: &[(&str, &str)]) -> Job {
    let plan = plan(changes);
    let procedure = Procedure::shipped(plan.procedure_name()).unwrap().unwrap();
    Job::open(plan, procedure, Settings::shipped().unwrap())
}

/// The lawful entries, in order.
pub(crate) fn entries() -> Vec<Entry> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/lawful-stack/record.jsonl");
    let text = fs::read_to_string(path).unwrap();
    text.lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

/// The lawful entry of a step, of the first module where it is one module's.
pub(crate) fn entry(step: &str) -> Entry {
    entries()
        .into_iter()
        .find(|entry| entry.step.as_deref() == Some(step))
        .unwrap()
}

/// A job that has taken every lawful entry before `step` (of the first module).
pub(crate) fn before(step: &str) -> Job {
    before_with(step, &[], |_| {})
}

/// As [`before`], with a changed plan and each entry changed on its way in.
pub(crate) fn before_with(
    step: &str,
    changes: &[(&str, &str)],
    change: impl Fn(&mut Entry),
) -> Job {
    let mut job = empty(changes);
    for mut entry in entries() {
        if entry.step.as_deref() == Some(step) {
            return job;
        }
        change(&mut entry);
        let taken = job.take(entry);
        assert_ne!(taken.judgement.outcome, Outcome::Refused, "{taken:?}");
    }
    panic!("the lawful record has no {step}");
}

/// Evidence from JSON.
pub(crate) fn evidence(json: &str) -> Evidence {
    serde_json::from_str(json).unwrap()
}

/// An entry with one answer changed.
pub(crate) fn with(mut entry: Entry, name: &str, json: &str) -> Entry {
    let wrapped = evidence(&format!("{{\"value\":{json}}}"));
    entry.evidence.put(
        name,
        wrapped.answer("value").cloned().unwrap_or(Value::Unknown),
    );
    entry
}

/// An entry from JSON.
pub(crate) fn read(json: &str) -> Entry {
    serde_json::from_str(json).unwrap()
}

/// The entry moved in time by `seconds`, with every time in its evidence.
pub(crate) fn moved(entry: &Entry, seconds: i64) -> Entry {
    let shift = |moment: Moment| -> Moment {
        let at = chrono::DateTime::parse_from_rfc3339(&moment.local()).unwrap();
        (at + chrono::Duration::seconds(seconds))
            .to_rfc3339()
            .parse()
            .unwrap()
    };
    let mut moved = entry.clone();
    moved.at = shift(entry.at);
    moved.evidence = shifted(&entry.evidence, &shift);
    moved
}

fn shifted(evidence: &Evidence, shift: &impl Fn(Moment) -> Moment) -> Evidence {
    let mut out = Evidence::default();
    for (name, value) in evidence.iter() {
        out.put(name, shifted_value(value, shift));
    }
    out
}

fn shifted_value(value: &Value, shift: &impl Fn(Moment) -> Moment) -> Value {
    match value {
        Value::Text(text) if text.contains('T') => match text.parse::<Moment>() {
            Ok(moment) => Value::Text(shift(moment).local()),
            Err(_) => value.clone(),
        },
        Value::List(items) => Value::List(
            items
                .iter()
                .map(|item| shifted_value(item, shift))
                .collect(),
        ),
        Value::Row(row) => Value::Row(shifted(row, shift)),
        other => other.clone(),
    }
}

/// What is said of an entry: outcome and the reasons as text.
pub(crate) fn said(taken: &Taken) -> (Outcome, Vec<String>) {
    (
        taken.judgement.outcome,
        taken
            .judgement
            .reasons
            .iter()
            .map(ToString::to_string)
            .collect(),
    )
}
