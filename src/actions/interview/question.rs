//! One question to a crew: what is asked, what may be chosen, what "unknown" amounts to.

use chrono::NaiveDate;
use serde::Serialize;

use crate::procedure::{EvidenceKind, EvidenceSpec, Frame, Limit, Value};
use crate::units::Decimal;

/// Something to choose, by its number or by its name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Choice {
    /// What is written down.
    pub value: String,
    /// What it is, where the name alone does not say it; may be empty.
    pub words: String,
}

impl Choice {
    pub(super) fn new(value: impl Into<String>, words: impl Into<String>) -> Self {
        Self {
            value: value.into(),
            words: words.into(),
        }
    }
}

/// One question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Question {
    /// Name of the answer.
    pub name: String,
    /// The question.
    pub ask: String,
    /// The kind of the answer.
    pub kind: EvidenceKind,
    /// Unit of a number; empty where it has none.
    pub unit: &'static str,
    /// What may be chosen; empty where the answer is free.
    pub choices: Vec<Choice>,
    /// What "unknown" amounts to; empty where it does not pass the step.
    pub unknown: String,
    /// Whether it may be passed over.
    pub optional: bool,
    /// Limits on the answer, each with its clause, for who asks.
    pub limits: Vec<String>,
    /// Columns, where it is a table.
    pub columns: Vec<Question>,
    /// Rows that a table wants, each by its first columns; no others where `only_these`.
    pub rows: Vec<Vec<Value>>,
    /// Whether a table has no rows beside those that it wants.
    pub only_these: bool,
}

impl Question {
    pub(super) fn of(spec: &EvidenceSpec, frame: &Frame, today: NaiveDate) -> Self {
        let choices = match spec.kind {
            EvidenceKind::Choice => spec.of.iter().map(|word| Choice::new(word, "")).collect(),
            EvidenceKind::YesNo => vec![Choice::new("yes", ""), Choice::new("no", "")],
            EvidenceKind::Person => frame
                .people
                .iter()
                .map(|person| Choice::new(&person.id, &person.name))
                .collect(),
            EvidenceKind::Instrument => instruments(&spec.of, frame, today),
            // A device may be one that nobody planned, so these are only offered.
            EvidenceKind::Text if spec.name == "device" => {
                let devices = frame.installation.isolating_devices.iter();
                devices
                    .map(|device| Choice::new(&device.id, &device.description))
                    .collect()
            }
            _ => Vec::new(),
        };
        let (rows, only_these) = rows_wanted(spec, frame);
        Self {
            name: spec.name.clone(),
            ask: spec.ask.clone(),
            kind: spec.kind,
            unit: match spec.kind {
                EvidenceKind::Number | EvidenceKind::Whole => unit(&spec.name),
                _ => "",
            },
            choices,
            unknown: spec.unknown.clone(),
            optional: spec.optional,
            limits: spec
                .limits
                .iter()
                .map(|limit| in_words(limit, frame))
                .collect(),
            columns: spec
                .columns
                .iter()
                .map(|column| Self::of(column, frame, today))
                .collect(),
            rows,
            only_these,
        }
    }

    /// Whether the step may pass though this is not known.
    #[must_use]
    pub const fn may_stay_unknown(&self) -> bool {
        self.optional || !self.unknown.is_empty()
    }

    /// What may be answered, in words.
    #[must_use]
    pub fn form(&self) -> String {
        match self.kind {
            EvidenceKind::Number if self.unit.is_empty() => "number".into(),
            EvidenceKind::Number => format!("number, {}", self.unit),
            EvidenceKind::Whole => "whole number".into(),
            EvidenceKind::Text if self.choices.is_empty() => "text".into(),
            EvidenceKind::Text => "number, or text".into(),
            EvidenceKind::Time => "now, or HH:MM of today".into(),
            EvidenceKind::Findings => "codes such as F10, a word to look for one, or none".into(),
            EvidenceKind::List => "texts, separated by ;".into(),
            EvidenceKind::Table => "rows".into(),
            EvidenceKind::Instrument if self.choices.is_empty() => {
                "serial; the plan has none that serves".into()
            }
            EvidenceKind::Instrument => "number or serial".into(),
            EvidenceKind::YesNo | EvidenceKind::Choice | EvidenceKind::Person => {
                "number or word".into()
            }
        }
    }
}

/// Instruments of the plan that serve, those in date first; who is out of date says why it is last.
fn instruments(kinds: &[String], frame: &Frame, today: NaiveDate) -> Vec<Choice> {
    let serves = |kind: &str| kinds.is_empty() || kinds.iter().any(|one| one == kind);
    let (mut good, mut bad) = (Vec::new(), Vec::new());
    for one in frame
        .instruments
        .iter()
        .filter(|one| serves(one.kind.name()))
    {
        let kind = one.kind.name().replace('_', " ");
        match one.out_of_date(today) {
            None => good.push(Choice::new(&one.serial, kind)),
            Some(why) => bad.push(Choice::new(
                &one.serial,
                format!("{kind}, NOT IN DATE: {}", why.value),
            )),
        }
    }
    good.append(&mut bad);
    good
}

/// The rows that a table wants: of each kind where it asks "is it there?", of each pair of
/// conductors that has to be proved dead.
fn rows_wanted(spec: &EvidenceSpec, frame: &Frame) -> (Vec<Vec<Value>>, bool) {
    let text = |word: &str| Value::Text(word.to_owned());
    match spec.columns.as_slice() {
        [kind, there, ..]
            if kind.kind == EvidenceKind::Choice && there.kind == EvidenceKind::YesNo =>
        {
            (kind.of.iter().map(|word| vec![text(word)]).collect(), true)
        }
        [pair, supply, ..] if pair.name == "pair" && supply.name == "supply" => {
            let pairs = frame.installation.pairs_to_prove();
            let rows = pairs
                .iter()
                .map(|(pair, supply)| vec![text(pair), text(supply)]);
            (rows.collect(), false)
        }
        _ => (Vec::new(), false),
    }
}

/// The unit that the name of a number ends in.
fn unit(name: &str) -> &'static str {
    match name.rsplit('_').next().unwrap_or_default() {
        "v" => "V",
        "mv" => "mV",
        "a" => "A",
        "ah" => "Ah",
        "wh" => "Wh",
        "ohm" => "ohm",
        "mohm" => "Mohm",
        "c" => "°C",
        "kg" => "kg",
        "m" => "m",
        "mm" => "mm",
        "nm" => "N m",
        "min" => "min",
        "s" => "s",
        "h" => "h",
        "ppm" => "ppm",
        "percent" => "%",
        _ => "",
    }
}

fn in_words(limit: &Limit, frame: &Frame) -> String {
    let value = |number: Option<Decimal>, setting: &Option<String>| {
        number.or_else(|| setting.as_ref().map(|name| frame.setting(name)))
    };
    let mut parts = Vec::new();
    if let Some(least) = value(limit.at_least, &limit.at_least_setting) {
        parts.push(format!("at least {least}"));
    }
    if let Some(most) = value(limit.at_most, &limit.at_most_setting) {
        parts.push(format!("at most {most}"));
    }
    if let Some(most) = value(limit.magnitude_at_most, &limit.magnitude_at_most_setting) {
        parts.push(format!("at most {most} either way"));
    }
    if let Some(is) = &limit.is {
        parts.push(format!("must be {is}"));
    }
    if let Some(other) = &limit.same_as {
        parts.push(format!("the same as {other}"));
    }
    if let Some(above) = &limit.above {
        let rise = frame.setting(&above.setting);
        parts.push(format!("at most {rise} above {}", above.of));
    }
    let mut words = parts.join(", ");
    if let Some(code) = &limit.finding {
        words.push_str(&format!("; else finding {code}"));
    }
    if limit.red_flag {
        words.push_str("; else a red flag");
    }
    if !limit.clause.is_empty() {
        words.push_str(&format!(" ({})", limit.clause));
    }
    words
}
