//! The form of a rule: one row that says when it holds, what follows, where it is written and how
//! that is known. The rows themselves stand in files of their own, by regime.

use std::fmt;

use chrono::NaiveDate;

use crate::citation::{Clause, Known};
use crate::transport::criteria::{Criteria, Finding};
use crate::transport::edition::Edition;
use crate::transport::facts::{Facts, Mode, Regime};
use crate::transport::instruction::Instruction;

/// Where a row applies at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scope {
    /// The regime.
    pub regime: Regime,
    /// The modes in it.
    pub modes: &'static [Mode],
}

/// What a row does while facts are missing that it needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IfUnknown {
    /// It holds: right for a row that asks for more.
    Apply,
    /// The decision is not determined and the facts are asked for.
    Ask,
    /// It does not hold: right for a row that gives a choice.
    Skip,
}

/// A place in an edition.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// The edition.
    pub edition: Edition,
    /// The numbered place.
    pub place: &'static str,
    /// How it is known there, where that differs from the row.
    pub known: Option<Known>,
}

/// An entry of the dangerous-goods list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ListEntry {
    /// The number as that law writes it.
    pub un: &'static str,
    /// The name as that law writes it.
    pub proper_shipping_name: &'static str,
    /// The class as it stands in the transport document.
    pub hazard_class: &'static str,
    /// The model of the label.
    pub label: &'static str,
}

/// What a mark says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkText {
    /// The proper shipping name of the entry.
    Name,
    /// The UN number of the entry.
    Number,
    /// These words.
    Words(&'static str),
}

/// A word of the transport document's line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LinePart {
    /// After the class, such as the tunnel code.
    AfterClass(&'static str),
    /// Before the name, such as the word for waste.
    BeforeName(&'static str),
}

/// What follows where a row holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effect {
    /// It may not travel.
    Forbid {
        /// What cures it.
        way_out: &'static str,
    },
    /// Somebody must decide.
    NotDetermined {
        /// The question.
        question: &'static str,
        /// Who decides.
        who: &'static str,
    },
    /// The entry.
    Entry(ListEntry),
    /// A special provision is at work.
    Provision(&'static str),
    /// A packing instruction may be used.
    Packing(&'static Instruction),
    /// A packing instruction might be used, if somebody so decides.
    PackingOnRequest {
        /// The instruction.
        instruction: &'static Instruction,
        /// The question.
        question: &'static str,
        /// Who decides.
        who: &'static str,
    },
    /// A mark on the package.
    Mark {
        /// What it says.
        text: MarkText,
        /// Least height of its letters, in mm; 0 where none is set.
        min_height_mm: u32,
    },
    /// A label on the package.
    Label(&'static str),
    /// A word of the document's line.
    Line(LinePart),
    /// A statement in the document.
    Statement(&'static str),
    /// Transport category.
    Category(&'static str),
    /// The sentence of the row is a duty.
    Requirement,
    /// The row rests on something that was not verified; the paper says so.
    Unverified,
}

impl Effect {
    /// Whether it can only make an answer stricter.
    #[must_use]
    pub const fn only_stricter(self) -> bool {
        matches!(
            self,
            Self::Forbid { .. }
                | Self::NotDetermined { .. }
                | Self::Mark { .. }
                | Self::Label(_)
                | Self::Statement(_)
                | Self::Requirement
                | Self::Unverified
        )
    }
}

/// One rule.
#[derive(Debug, Clone, Copy)]
pub struct Rule {
    /// Permanent name: kebab-case, without a clause number.
    pub id: &'static str,
    /// What it says, in one sentence of ours.
    pub says: &'static str,
    /// Where it applies at all.
    pub scope: &'static [Scope],
    /// The condition.
    pub when: Criteria,
    /// What happens while facts are missing.
    pub if_unknown: IfUnknown,
    /// What follows.
    pub effects: &'static [Effect],
    /// Where it is written: one place for each edition that has it. Without a place in an edition
    /// the row does not belong to that edition.
    pub clauses: &'static [Place],
    /// First day, where it begins later than its edition.
    pub valid_from: Option<NaiveDate>,
    /// Last day, where it ends before its edition.
    pub valid_to: Option<NaiveDate>,
    /// How it is known.
    pub basis: Known,
    /// The read text of another regime that says the same; empty where there is none. A row that is
    /// known second-hand may give something only where there is one.
    pub mirror: &'static str,
    /// Rows that it sets aside where it holds.
    pub overrides: &'static [&'static str],
}

impl Rule {
    /// A row to fill in: law that was read, asks while facts are missing, sets nothing aside.
    pub(crate) const BLANK: Self = Self {
        id: "",
        says: "",
        scope: &[],
        when: Criteria::Always,
        if_unknown: IfUnknown::Ask,
        effects: &[],
        clauses: &[],
        valid_from: None,
        valid_to: None,
        basis: Known::Read,
        mirror: "",
        overrides: &[],
    };

    /// Its place in `edition`, or `None` where the edition does not have it.
    #[must_use]
    pub fn place(&self, edition: Edition) -> Option<&'static str> {
        self.clauses
            .iter()
            .find(|place| place.edition == edition)
            .map(|place| place.place)
    }

    /// How it is known in `edition`.
    #[must_use]
    pub fn known_in(&self, edition: Edition) -> Known {
        self.clauses
            .iter()
            .find(|place| place.edition == edition)
            .and_then(|place| place.known)
            .unwrap_or(self.basis)
    }

    /// Whether it belongs to this edition and mode, on some day.
    #[must_use]
    pub fn belongs_to(&self, edition: Edition, mode: Mode) -> bool {
        self.place(edition).is_some()
            && self
                .scope
                .iter()
                .any(|scope| scope.regime == edition.regime() && scope.modes.contains(&mode))
    }

    /// Whether it forbids.
    #[must_use]
    pub fn forbids(&self) -> bool {
        self.effects
            .iter()
            .any(|effect| matches!(effect, Effect::Forbid { .. }))
    }

    /// What its condition comes to.
    #[must_use]
    pub fn evaluate(&self, facts: &Facts) -> Finding {
        self.when.evaluate(facts)
    }

    /// Its clause in `edition`, with how it is known.
    #[must_use]
    pub fn clause(&self, edition: Edition) -> Clause {
        if self.basis == Known::ProjectDefault {
            return Clause {
                document: "packdown".to_owned(),
                edition: String::new(),
                place: self.id.to_owned(),
                known: self.basis,
            };
        }
        Clause {
            document: edition.document().to_owned(),
            edition: edition.dated().to_owned(),
            place: self.place(edition).unwrap_or_default().to_owned(),
            known: self.known_in(edition),
        }
    }
}

impl fmt::Display for Effect {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Forbid { way_out } => write!(f, "forbid; way out: {way_out}"),
            Self::NotDetermined { question, who } => {
                write!(f, "not determined: {question}; decides: {who}")
            }
            Self::Entry(entry) => write!(
                f,
                "entry {} {}, {}, label {}",
                entry.un, entry.proper_shipping_name, entry.hazard_class, entry.label
            ),
            Self::Provision(name) => write!(f, "provision {name}"),
            Self::Packing(instruction) => write!(f, "packing {instruction}"),
            Self::PackingOnRequest {
                instruction,
                question,
                who,
            } => write!(f, "packing {instruction} if {who} decides: {question}"),
            Self::Mark {
                text,
                min_height_mm,
            } => {
                let text = match text {
                    MarkText::Name => "<proper shipping name>",
                    MarkText::Number => "<UN number>",
                    MarkText::Words(words) => words,
                };
                write!(f, "mark {text}, {min_height_mm} mm")
            }
            Self::Label(model) => write!(f, "label {model}"),
            Self::Line(LinePart::AfterClass(words)) => write!(f, "line after class: {words}"),
            Self::Line(LinePart::BeforeName(words)) => write!(f, "line before name: {words}"),
            Self::Statement(words) => write!(f, "statement: {words}"),
            Self::Category(category) => write!(f, "transport category {category}"),
            Self::Requirement => f.write_str("required"),
            Self::Unverified => f.write_str("unverified"),
        }
    }
}

impl fmt::Display for Rule {
    /// The row as one line of text; the hash of the rule set is taken over these lines.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} | {} |", self.id, self.says)?;
        for scope in self.scope {
            write!(f, " {}:", scope.regime)?;
            for mode in scope.modes {
                write!(f, " {mode}")?;
            }
        }
        write!(f, " | {} | if unknown: ", self.when)?;
        f.write_str(match self.if_unknown {
            IfUnknown::Apply => "apply",
            IfUnknown::Ask => "ask",
            IfUnknown::Skip => "skip",
        })?;
        for effect in self.effects {
            write!(f, " | {effect}")?;
        }
        for place in self.clauses {
            write!(f, " | {}, {}", place.edition.name(), place.place)?;
            if let Some(known) = place.known {
                write!(f, " ({})", known.words())?;
            }
        }
        if let Some(first) = self.valid_from {
            write!(f, " | from {first}")?;
        }
        if let Some(last) = self.valid_to {
            write!(f, " | until {last}")?;
        }
        write!(f, " | {}", self.basis.words())?;
        if !self.mirror.is_empty() {
            write!(f, " | as {}", self.mirror)?;
        }
        for id in self.overrides {
            write!(f, " | sets aside {id}")?;
        }
        Ok(())
    }
}
