//! The decision for one battery on one leg: what the rows say together, with every reason and a
//! trace of every row. Forbid beats require beats allow; a special row beats a general one only by
//! naming it; what is missing is asked for.

use std::borrow::Cow;
use std::fmt::Write as _;
use std::sync::Arc;

use chrono::NaiveDate;

use crate::citation::{Known, Reason};
use crate::transport::contradiction;
use crate::transport::criteria::{Fact, FactSet, Finding, Truth};
use crate::transport::decision::{
    Answer, Decision, DecisionEntry, Document, MarkDue, RequirementDue, TraceLine, TraceOutcome,
    Words,
};
use crate::transport::edition::{self, Edition};
use crate::transport::facts::Facts;
use crate::transport::instruction::Instruction;
use crate::transport::package::{self, OnRequest, PackageAnswer, PackageDecision};
use crate::transport::rule::{Effect, IfUnknown, LinePart, ListEntry, MarkText, Rule};
use crate::transport::rule_set::{RuleSet, rule_set};
use crate::transport::shelf::{Shelf, Shelved};
use crate::transport::shown::compare_marks;
use crate::transport::standing::{Row, Standing, standing};
use crate::transport::waste::judge_waste;

/// The decision by the rule set of this program.
#[must_use]
pub fn decide(facts: &Facts) -> Decision {
    traced(rule_set(), facts, Cow::Borrowed)
}

/// The same decision with an empty trace, for long lists.
#[must_use]
pub fn decide_untraced(facts: &Facts) -> Decision {
    draft(rule_set(), facts, Cow::Borrowed).0
}

/// The decision by another rule set: for tests that change a row.
#[must_use]
pub fn decide_by(rules: &RuleSet, facts: &Facts) -> Decision {
    traced(rules, facts, |text| Cow::Owned(text.to_owned()))
}

/// How a text of the rule set gets into a decision: lent where the rule set stays, else copied.
type Lend<'r> = fn(&'r str) -> Words;

fn traced<'r>(rules: &'r RuleSet, facts: &Facts, lend: Lend<'r>) -> Decision {
    let (mut decision, rows) = draft(rules, facts, lend);
    if let Some((shelf, standing)) = rows {
        decision.trace = standing
            .rows
            .iter()
            .filter_map(|row| Some(trace_line(row, shelf.rows.get(row.place)?.rule, facts)))
            .collect();
    }
    decision
}

type Stood<'r> = (&'r Shelf, Arc<Standing>);

fn draft<'r>(rules: &'r RuleSet, facts: &Facts, lend: Lend<'r>) -> (Decision, Option<Stood<'r>>) {
    let mut draft = Draft::new(facts, rules, lend);
    let Some((shelf, on)) = draft.shelf(rules) else {
        return (draft.decision, None);
    };
    let standing = standing(shelf, facts, on);
    for row in standing
        .at_work
        .iter()
        .filter_map(|n| standing.rows.get(*n))
    {
        if let Some(shelved) = shelf.rows.get(row.place) {
            draft.take(row, shelved, shelf.edition);
        }
    }
    draft.finish(shelf.edition);
    (draft.decision, Some((shelf, standing)))
}

fn trace_line(row: &Row, rule: &Rule, facts: &Facts) -> TraceLine {
    let mut because = String::new();
    let outcome = match (row.set_aside_by, row.finding.truth) {
        (Some(by), Truth::Yes | Truth::Unknown) => {
            because.push_str("set aside by ");
            because.push_str(by);
            TraceOutcome::DoesNotApply
        }
        (_, Truth::Yes) => TraceOutcome::Applies,
        (_, Truth::No) => TraceOutcome::DoesNotApply,
        (None, Truth::Unknown) => {
            for (n, fact) in row.finding.missing.iter().enumerate() {
                because.push_str(if n == 0 { "" } else { ", " });
                because.push_str(fact.name());
            }
            because.push_str(match rule.if_unknown {
                IfUnknown::Apply => " not known: the stricter holds",
                IfUnknown::Ask => " not known: asked for",
                IfUnknown::Skip => " not known: not relied on",
            });
            TraceOutcome::Unknown
        }
    };
    if because.is_empty() {
        because = values(row.finding.looked_at, facts);
    }
    TraceLine {
        rule: Cow::Borrowed(rule.id),
        outcome,
        because,
    }
}

/// The facts with their values, as one line.
fn values(set: FactSet, facts: &Facts) -> String {
    let mut line = String::new();
    for fact in set.iter() {
        if !line.is_empty() {
            line.push_str(", ");
        }
        line.push_str(fact.name());
        // Writing to a string cannot fail.
        let _ = match fact.value(facts) {
            Some(value) if fact == Fact::Soundness && facts.item.soundness.is_none() => {
                write!(line, " not known, counts as {value}")
            }
            Some(value) => write!(line, " is {value}"),
            None => write!(line, " not stated"),
        };
    }
    if line.is_empty() {
        line.push_str("without condition");
    }
    line
}

/// Room for the duties of most decisions, and for the line of the document.
const DUTIES: usize = 24;
const LINE: usize = 80;

/// A decision while its rows are read.
struct Draft<'a, 'r> {
    facts: &'a Facts,
    lend: Lend<'r>,
    decision: Decision,
    missing: FactSet,
    asking: Vec<&'static str>,
    entries: Vec<(&'static Rule, ListEntry)>,
    categories: Vec<(&'static Rule, &'static str)>,
    number_marks: Vec<(MarkText, u32)>,
    before_name: Vec<&'static str>,
    after_class: Vec<&'static str>,
    packing: Vec<&'static Instruction>,
    on_request: Vec<OnRequest>,
}

impl<'a, 'r> Draft<'a, 'r> {
    fn new(facts: &'a Facts, rules: &'r RuleSet, lend: Lend<'r>) -> Self {
        Self {
            facts,
            lend,
            decision: Decision {
                id: facts.id.clone(),
                answer: Answer::Allowed,
                edition: Cow::Borrowed(""),
                rule_set: lend(rules.name()),
                entry: None,
                provisions: Vec::new(),
                packing_instructions: Vec::new(),
                transport_category: None,
                marks: Vec::new(),
                labels: Vec::new(),
                document: Document::default(),
                requirements: Vec::with_capacity(DUTIES),
                package: PackageDecision {
                    answer: PackageAnswer::NotDetermined,
                    reasons: Vec::new(),
                },
                missing: Vec::new(),
                reasons: Vec::new(),
                unverified: Vec::new(),
                waste: judge_waste(facts),
                trace: Vec::new(),
            },
            missing: FactSet::default(),
            asking: Vec::new(),
            entries: Vec::new(),
            categories: Vec::new(),
            number_marks: Vec::new(),
            before_name: Vec::new(),
            after_class: Vec::new(),
            packing: Vec::new(),
            on_request: Vec::new(),
        }
    }

    fn at_least(&mut self, answer: Answer) {
        self.decision.answer = self.decision.answer.max(answer);
    }

    /// The rows for the leg and its day; where there are none, the decision says why and stays open.
    fn shelf(&mut self, rules: &'r RuleSet) -> Option<(&'r Shelf, NaiveDate)> {
        let facts = self.facts;
        let mode = edition::mode_of(facts.regime, facts.mode);
        let mut lacking = |name: &'static str, question: &str| {
            self.decision.missing.push(Cow::Borrowed(name));
            self.decision
                .reasons
                .push(Reason::new(name, "not known").way_out(question));
        };
        if mode.is_none() {
            lacking("mode", "how does it travel: road, rail, sea or aircraft");
        }
        if facts.on.is_none() {
            lacking(Fact::On.name(), Fact::On.question());
        }
        let Some((mode, on)) = mode.zip(facts.on) else {
            self.at_least(Answer::NotDetermined);
            return None;
        };
        let contradicts = facts.mode.is_some_and(|stated| stated != mode);
        let edition = Edition::of(facts.regime, mode, on).filter(|_| !contradicts);
        let Some(edition) = edition else {
            self.at_least(Answer::NotDetermined);
            let leg = facts.mode.unwrap_or(mode);
            self.decision.reasons.push(
                Reason::new(
                    "edition of the rules",
                    format!("none encoded for {} by {leg} on {on}", facts.regime),
                )
                .way_out("ask the compliance officer; this rule set does not answer for it"),
            );
            return None;
        };
        self.decision.edition = Cow::Borrowed(edition.name());
        Some((rules.shelf(edition, mode)?, on))
    }

    fn take(&mut self, row: &Row, shelved: &'r Shelved, edition: Edition) {
        let rule = shelved.rule;
        if row.asks(rule) {
            self.at_least(Answer::NotDetermined);
            self.missing = self.missing.with(row.finding.missing);
            self.asking.push(rule.id);
        }
        if !row.holds(rule) {
            return;
        }
        let relies_on_more_than_law =
            matches!(rule.known_in(edition), Known::Memory | Known::Secondary);
        for effect in rule.effects {
            self.apply(shelved, row.finding, effect, edition);
        }
        if relies_on_more_than_law || rule.effects.contains(&Effect::Unverified) {
            self.decision.unverified.push(Cow::Borrowed(rule.id));
        }
    }

    fn apply(&mut self, row: &'r Shelved, finding: Finding, effect: &Effect, edition: Edition) {
        let rule = row.rule;
        match *effect {
            Effect::Forbid { way_out } => {
                self.at_least(Answer::Forbidden);
                self.decision.reasons.push(
                    Reason::new(rule.says, values(finding.looked_at, self.facts))
                        .limit("may not travel so")
                        .clause(row.clause(edition))
                        .way_out(way_out),
                );
            }
            Effect::NotDetermined { question, who } => {
                self.at_least(Answer::NotDetermined);
                self.decision.reasons.push(
                    Reason::new(rule.says, values(finding.looked_at, self.facts))
                        .limit(question)
                        .clause(row.clause(edition))
                        .way_out(format!("ask {who}")),
                );
            }
            Effect::Entry(entry) => self.entries.push((rule, entry)),
            Effect::Provision(name) => push_once(&mut self.decision.provisions, name),
            Effect::Packing(instruction) => {
                self.at_least(Answer::AllowedWith);
                if !self.packing.contains(&instruction) {
                    self.packing.push(instruction);
                }
            }
            Effect::PackingOnRequest {
                instruction,
                question,
                who,
            } => self.on_request.push(OnRequest {
                instruction,
                question,
                who,
            }),
            Effect::Mark {
                text,
                min_height_mm,
            } => {
                self.at_least(Answer::AllowedWith);
                self.number_marks.push((text, min_height_mm));
            }
            Effect::Label(model) => {
                self.at_least(Answer::AllowedWith);
                push_once(&mut self.decision.labels, model);
            }
            Effect::Line(LinePart::AfterClass(words)) => self.after_class.push(words),
            Effect::Line(LinePart::BeforeName(words)) => self.before_name.push(words),
            Effect::Statement(words) => {
                self.at_least(Answer::AllowedWith);
                push_once(&mut self.decision.document.statements, words);
            }
            Effect::Category(category) => self.categories.push((rule, category)),
            Effect::Requirement => {
                self.at_least(Answer::AllowedWith);
                self.decision.requirements.push(RequirementDue {
                    rule: Cow::Borrowed(rule.id),
                    says: Cow::Borrowed(rule.says),
                    clause: (self.lend)(row.clause(edition)),
                });
            }
            Effect::Unverified => {}
        }
    }

    fn finish(&mut self, edition: Edition) {
        self.say_what_is_missing();
        for reason in contradiction::of_item(&self.facts.item) {
            self.at_least(Answer::NotDetermined);
            self.decision.reasons.push(reason);
        }
        let entries = std::mem::take(&mut self.entries);
        let categories = std::mem::take(&mut self.categories);
        let entry = self.one("entry", &entries);
        let category = self.one("transport category", &categories);
        self.decision.transport_category = category.map(Cow::Borrowed);
        if let Some(entry) = entry {
            self.write_entry(entry, edition);
        }
        let without_outcome = entry.is_none() || self.packing.is_empty();
        if without_outcome && self.decision.answer < Answer::NotDetermined {
            // A gap in the rows is said, never filled.
            self.at_least(Answer::NotDetermined);
            self.decision.reasons.push(
                Reason::new("rows of this rule set", "none decides this case")
                    .way_out("ask the compliance officer"),
            );
        }
        self.decision.packing_instructions = self
            .packing
            .iter()
            .map(|instruction| Cow::Borrowed(instruction.name))
            .collect();
        self.decision.package = self.package(edition);
        if let Some(package) = &self.facts.package {
            compare_marks(package, &mut self.decision);
        }
    }

    fn say_what_is_missing(&mut self) {
        let assumed = self.facts.item.soundness.is_none();
        if assumed {
            self.missing = self.missing.with(FactSet::of(Fact::Soundness));
            self.decision.reasons.push(
                Reason::new(Fact::Soundness.name(), "not known")
                    .limit("counts as undiagnosed, and so as damaged")
                    .way_out(Fact::Soundness.question()),
            );
        }
        for fact in self.missing.iter() {
            let name = fact.name();
            if self.decision.missing.iter().any(|known| known == name) {
                continue;
            }
            self.decision.missing.push(Cow::Borrowed(name));
            if assumed && name == Fact::Soundness.name() {
                continue;
            }
            self.decision
                .reasons
                .push(Reason::new(name, "not known").way_out(fact.question()));
        }
    }

    /// The one value that the holding rows give; two different ones are a conflict, never a choice.
    fn one<T: Copy + PartialEq>(&mut self, what: &str, given: &[(&'static Rule, T)]) -> Option<T> {
        let (first_rule, first) = *given.first()?;
        match given.iter().find(|(_, other)| *other != first) {
            None => Some(first),
            Some((other_rule, _)) => {
                self.at_least(Answer::NotDetermined);
                self.decision.reasons.push(
                    Reason::new(what, format!("{} and {}", first_rule.id, other_rule.id))
                        .limit("two rows disagree and neither names the other")
                        .way_out("report it; ask the compliance officer meanwhile"),
                );
                None
            }
        }
    }

    fn write_entry(&mut self, entry: ListEntry, edition: Edition) {
        self.decision.entry = Some(DecisionEntry {
            un: Cow::Borrowed(entry.un),
            proper_shipping_name: Cow::Borrowed(entry.proper_shipping_name),
            hazard_class: Cow::Borrowed(entry.hazard_class),
            label: Cow::Borrowed(entry.label),
        });
        let mut line = String::with_capacity(LINE);
        line.push_str(entry.un);
        line.push_str(edition.after_number());
        for words in &self.before_name {
            line.push_str(words);
            line.push(' ');
        }
        line.push_str(entry.proper_shipping_name);
        line.push_str(", ");
        line.push_str(entry.hazard_class);
        for words in &self.after_class {
            line.push_str(", ");
            line.push_str(words);
        }
        self.decision.document.line = line;
        for (text, min_height_mm) in &self.number_marks {
            let text = match text {
                MarkText::Name => entry.proper_shipping_name,
                MarkText::Number => entry.un,
                MarkText::Words(words) => words,
            };
            self.decision.marks.push(MarkDue {
                text: Cow::Borrowed(text),
                min_height_mm: *min_height_mm,
            });
        }
    }

    fn package(&self, edition: Edition) -> PackageDecision {
        if self.decision.answer == Answer::Forbidden {
            return PackageDecision {
                answer: PackageAnswer::Refused,
                reasons: vec![
                    Reason::new("battery", "may not travel")
                        .way_out("settle the decision for the battery first"),
                ],
            };
        }
        let mut checked = package::check(self.facts, edition, &self.packing, &self.on_request);
        // What is refused already stays so, whatever the right figure is.
        if checked.answer != PackageAnswer::Refused {
            for reason in contradiction::of_package(self.facts) {
                checked.answer = PackageAnswer::NotDetermined;
                checked.reasons.push(reason);
            }
        }
        // A package cannot be good for a battery whose rules are still open.
        if self.decision.answer == Answer::NotDetermined
            && checked.answer == PackageAnswer::Accepted
        {
            return PackageDecision {
                answer: PackageAnswer::NotDetermined,
                reasons: vec![
                    Reason::new("battery", "not determined")
                        .way_out("settle the decision for the battery first"),
                ],
            };
        }
        checked
    }
}

fn push_once(list: &mut Vec<Words>, text: &'static str) {
    if !list.iter().any(|known| known == text) {
        list.push(Cow::Borrowed(text));
    }
}
