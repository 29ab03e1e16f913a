//! Do the answers pass the step? Each is looked at against what the step asks and its limits.

use super::acts::cannot_be;
use super::entry::LONGEST_TEXT;
use super::frame::{Frame, Slot};
use super::progress::Progress;
use super::{Evidence, EvidenceKind, EvidenceSpec, Limit, Step, Value};
use crate::citation::Reason;
use crate::clock::Moment;
use crate::inspection;
use crate::units::Decimal;

/// What the answers to one step amount to.
#[derive(Debug, Default)]
pub(super) struct Answers {
    /// Why they do not pass it; empty where they do.
    pub(super) fails: Vec<Reason>,
    /// Why the entry as a whole may not stand: instruments that are unknown or out of date.
    pub(super) refusals: Vec<Reason>,
    /// Answers that the step does not ask for: slips of the pen, refused whoever makes them.
    pub(super) slips: Vec<Reason>,
    /// Findings that follow from them.
    pub(super) findings: Vec<String>,
    /// Answers that are unknown, with the safe consequence.
    pub(super) unknowns: Vec<String>,
    /// A reading that shows the dead side is not dead.
    pub(super) breaks_dead_proof: Option<String>,
    /// An answer that is a red flag.
    pub(super) red_flag: Option<String>,
}

/// Looks at every answer of `evidence` to `step`.
pub(super) fn look(
    frame: &Frame,
    progress: &Progress,
    step: &Step,
    slot: Slot,
    at: Moment,
    evidence: &Evidence,
) -> Answers {
    let mut look = Look {
        frame,
        progress,
        slot,
        at,
        answers: Answers::default(),
    };
    look.all(
        &step.evidence,
        evidence,
        &frame.name_of_step(&step.id, slot),
    );
    look.answers
}

struct Look<'a> {
    frame: &'a Frame,
    progress: &'a Progress,
    slot: Slot,
    at: Moment,
    answers: Answers,
}

impl Look<'_> {
    fn all(&mut self, specs: &[EvidenceSpec], evidence: &Evidence, place: &str) {
        for (name, _) in evidence.iter() {
            if !specs.iter().any(|spec| spec.name == name) {
                let known = specs.iter().map(|spec| spec.name.as_str());
                self.answers.slips.push(
                    Reason::new(format!("answer `{name}` of {place}"), "not asked for")
                        .limit(
                            specs
                                .iter()
                                .map(|s| s.name.as_str())
                                .collect::<Vec<_>>()
                                .join(", "),
                        )
                        .way_out(match nearest(name, known) {
                            Some(near) => format!("did you mean `{near}`?"),
                            None => "leave it out, or put it in a reading of its own".into(),
                        }),
                );
            }
        }
        for spec in specs {
            self.one(spec, evidence, place);
        }
    }

    fn one(&mut self, spec: &EvidenceSpec, evidence: &Evidence, place: &str) {
        let what = format!("{place}, {}", spec.name);
        match evidence.answer(&spec.name) {
            None if spec.optional => {}
            None | Some(Value::Unknown) => {
                if !spec.unknown.is_empty() {
                    self.answers
                        .unknowns
                        .push(format!("{what}: not known; {}", spec.unknown));
                    // "Taken as yes" is meant: what would be found is found.
                    let would_be = spec.limits.iter().filter(|limit| limit.is.is_some());
                    let codes = would_be.filter_map(|limit| limit.finding.clone());
                    self.answers
                        .findings
                        .extend(codes.chain(spec.unknown_finding.clone()));
                } else if !spec.optional {
                    self.answers.fails.push(
                        Reason::new(what, "not known")
                            .limit(wanted(spec))
                            .way_out(format!("answer it: {}", spec.ask)),
                    );
                }
            }
            Some(value) => {
                if self.has_kind(spec, value, &what, evidence) {
                    for limit in &spec.limits {
                        self.keeps(limit, spec, value, &what, evidence);
                    }
                }
            }
        }
    }

    /// Whether the answer is of the kind asked for; rows of a table are looked at one by one.
    fn has_kind(
        &mut self,
        spec: &EvidenceSpec,
        value: &Value,
        what: &str,
        evidence: &Evidence,
    ) -> bool {
        if let Some(number) = value.number()
            && let Some(limit) = cannot_be(spec, number)
        {
            self.answers.fails.push(
                Reason::new(what, value.to_string())
                    .limit(limit)
                    .clause("no such figure (common practice, no source)")
                    .way_out(format!("read it again and answer anew: {}", spec.ask)),
            );
            return false;
        }
        let fits = match spec.kind {
            EvidenceKind::Number => value.number().is_some(),
            EvidenceKind::Whole => value
                .number()
                .and_then(Decimal::as_whole)
                .is_some_and(|n| n >= 0),
            EvidenceKind::Text => {
                matches!(value, Value::Text(text) if text.len() <= 4 * LONGEST_TEXT)
            }
            EvidenceKind::YesNo => value.yes_no().is_some(),
            EvidenceKind::Choice => {
                matches!(value, Value::Text(text) if spec.of.contains(text))
            }
            EvidenceKind::Time => {
                let time = evidence.time(&spec.name);
                if let Some(time) = time {
                    self.not_in_future(spec, time, what);
                }
                time.is_some()
            }
            EvidenceKind::Person => match value {
                Value::Text(id) => self.frame.person(id).is_some(),
                _ => false,
            },
            EvidenceKind::Instrument => return self.instrument(spec, value, what),
            EvidenceKind::Findings => return self.findings(value, what),
            EvidenceKind::List => {
                let listed = matches!(value, Value::List(items)
                    if items.iter().all(|i| matches!(i, Value::Text(_)))
                        && (spec.optional || !items.is_empty()));
                listed || matches!(value, Value::Text(_))
            }
            EvidenceKind::Table => {
                let rows = evidence.rows(&spec.name);
                let whole = matches!(value, Value::List(items) if items.len() == rows.len());
                if whole && (!rows.is_empty() || spec.optional) {
                    for (n, row) in rows.iter().enumerate() {
                        self.all(&spec.columns, row, &format!("{what} row {}", n + 1));
                    }
                    true
                } else {
                    false
                }
            }
        };
        if !fits {
            self.answers.fails.push(
                Reason::new(what, value.to_string())
                    .limit(wanted(spec))
                    .way_out(format!("answer it again: {}", spec.ask)),
            );
        }
        fits
    }

    /// A time in an answer lies before the entry, unless its name says that it is an expiry.
    fn not_in_future(&mut self, spec: &EvidenceSpec, time: Moment, what: &str) {
        if time > self.at && !spec.name.starts_with("expires") {
            self.answers.fails.push(
                Reason::new(what, time.to_string())
                    .limit(format!("not after the entry itself, {}", self.at))
                    .way_out("write it down after it happened"),
            );
        }
    }

    fn instrument(&mut self, spec: &EvidenceSpec, value: &Value, what: &str) -> bool {
        let Value::Text(serial) = value else {
            self.answers.fails.push(
                Reason::new(what, value.to_string())
                    .limit(wanted(spec))
                    .way_out("give the serial of one instrument of the plan"),
            );
            return false;
        };
        let Some(instrument) = self.frame.instrument(serial) else {
            let known = self.frame.instruments.iter().map(|one| one.serial.as_str());
            self.answers.refusals.push(
                Reason::new(what, format!("`{serial}` is not on the plan"))
                    .limit(wanted(spec))
                    .way_out(match nearest(serial, known) {
                        Some(near) => {
                            format!("did you mean `{near}`? otherwise enter it in the plan first")
                        }
                        None => "enter it in the plan with its due date first".into(),
                    }),
            );
            return false;
        };
        if !spec.of.is_empty() && !spec.of.iter().any(|kind| kind == instrument.kind.name()) {
            self.answers.refusals.push(
                Reason::new(
                    what,
                    format!("{serial} is a {}", instrument.kind.name().replace('_', " ")),
                )
                .limit(wanted(spec))
                .way_out("use an instrument made for this reading"),
            );
            return false;
        }
        match instrument.out_of_date(self.at.local_day()) {
            Some(reason) => {
                self.answers.refusals.push(reason);
                false
            }
            None => true,
        }
    }

    fn findings(&mut self, value: &Value, what: &str) -> bool {
        let codes: Vec<&str> = match value {
            Value::Text(text) => text
                .split([',', ' '])
                .filter(|code| !code.is_empty())
                .collect(),
            Value::List(items) => items
                .iter()
                .filter_map(|i| {
                    if let Value::Text(t) = i {
                        Some(t.as_str())
                    } else {
                        None
                    }
                })
                .collect(),
            _ => Vec::new(),
        };
        let mut all_known = true;
        for code in codes
            .into_iter()
            .filter(|code| !code.eq_ignore_ascii_case("none"))
        {
            match inspection::finding(code) {
                Ok(finding) => {
                    self.answers.findings.push(code.to_owned());
                    if finding.is_red_flag() {
                        self.answers.red_flag = Some(format!("{code} {}", finding.words));
                    }
                }
                Err(error) => {
                    all_known = false;
                    self.answers.fails.push(
                        Reason::new(what, error.to_string())
                            .limit("F01 to F37: `packdown procedure findings`")
                            .way_out("take the code that fits best; in doubt the worse one"),
                    );
                }
            }
        }
        all_known
    }

    fn keeps(
        &mut self,
        limit: &Limit,
        spec: &EvidenceSpec,
        value: &Value,
        what: &str,
        row: &Evidence,
    ) {
        let Some(allowed) = self.breach(limit, value, row) else {
            return;
        };
        if let Some(code) = &limit.finding {
            self.answers.findings.push(code.clone());
            if inspection::finding(code).is_ok_and(inspection::Finding::is_red_flag) {
                self.answers.red_flag = Some(format!("{what}: {value}"));
            }
            return;
        }
        if limit.breaks_dead_proof {
            self.answers.breaks_dead_proof = Some(format!("{what}: {value}"));
        }
        if limit.red_flag {
            self.answers.red_flag = Some(format!("{what}: {value}"));
        }
        let mut clause = limit.clause.clone();
        if let Some(known) = limit.known
            && known != crate::citation::Known::Read
            && !clause.contains(known.words())
        {
            clause = if clause.is_empty() {
                known.words().into()
            } else {
                format!("{clause} ({})", known.words())
            };
        }
        self.answers.fails.push(
            Reason::new(what, value.to_string())
                .limit(allowed)
                .clause(clause)
                .way_out(format!("not passed; {}", spec.ask)),
        );
    }

    /// What was allowed, where the value is beyond it.
    fn breach(&self, limit: &Limit, value: &Value, row: &Evidence) -> Option<String> {
        let number = value.number();
        let setting = |name: &Option<String>| name.as_ref().map(|name| self.frame.setting(name));
        let most = limit.at_most.or(setting(&limit.at_most_setting));
        let least = limit.at_least.or(setting(&limit.at_least_setting));
        let magnitude = limit
            .magnitude_at_most
            .or(setting(&limit.magnitude_at_most_setting));
        if let Some(most) = most
            && number.is_none_or(|number| number > most)
        {
            return Some(format!("at most {most}"));
        }
        if let Some(least) = least
            && number.is_none_or(|number| number < least)
        {
            return Some(format!("at least {least}"));
        }
        if let Some(most) = magnitude
            && number.is_none_or(|number| number.magnitude() > most)
        {
            return Some(format!("at most {most} either way"));
        }
        if let Some(is) = &limit.is {
            let same = match value.yes_no() {
                Some(answer) if is == "yes" || is == "no" => answer == (is == "yes"),
                _ => matches!(value, Value::Text(text) if text == is),
            };
            if !same {
                return Some(format!("must be {is}"));
            }
        }
        if let Some(other) = &limit.same_as {
            let expected = other.split_once('.').and_then(|(step, name)| {
                let own = row.answer(name);
                self.progress
                    .evidence_of(self.frame, step, self.slot)
                    .and_then(|e| e.answer(name))
                    .or(own)
            });
            let same = expected.is_some_and(|expected| match (expected.number(), number) {
                (Some(a), Some(b)) => a == b,
                _ => expected == value,
            });
            if !same {
                return Some(match expected {
                    Some(expected) => format!("the same as {other}: {expected}"),
                    None => format!("the same as {other}, which is not on record"),
                });
            }
        }
        if let Some(above) = &limit.above {
            let base = row.number(&above.of).and_then(Decimal::thousandths);
            let rise = self
                .frame
                .setting(&above.setting)
                .thousandths()
                .unwrap_or(0);
            let inside = match (number.and_then(Decimal::thousandths), base) {
                (Some(value), Some(base)) => value.saturating_sub(base) <= rise,
                _ => false,
            };
            if !inside {
                return Some(format!(
                    "at most {} above {}",
                    Decimal::from_thousandths(rise),
                    above.of
                ));
            }
        }
        None
    }
}

/// What kind of answer is wanted, in words.
fn wanted(spec: &EvidenceSpec) -> String {
    match spec.kind {
        EvidenceKind::Number => "a number".into(),
        EvidenceKind::Whole => "a whole number, 0 or more".into(),
        EvidenceKind::Text => "a text".into(),
        EvidenceKind::YesNo => "yes or no".into(),
        EvidenceKind::Choice => format!("one of {}", spec.of.join(", ")),
        EvidenceKind::Time => "a time with its offset, such as 2026-11-25T08:50:00+01:00".into(),
        EvidenceKind::Person => "a person of the plan".into(),
        EvidenceKind::Instrument => {
            format!("a {} of the plan", spec.of.join(" or ").replace('_', " "))
        }
        EvidenceKind::Findings => "finding codes F01 to F37".into(),
        EvidenceKind::List => "a list of texts".into(),
        EvidenceKind::Table => format!(
            "rows of {}",
            spec.columns
                .iter()
                .map(|c| c.name.as_str())
                .collect::<Vec<_>>()
                .join(", ")
        ),
    }
}

/// The known word nearest to `word`, where one is near enough to be a slip.
pub(crate) fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    known
        .map(|candidate| (strsim::jaro_winkler(word, candidate), candidate))
        .filter(|(likeness, _)| *likeness > 0.8)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, candidate)| candidate)
}
