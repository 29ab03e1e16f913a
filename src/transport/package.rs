//! Whether a package, as described, is one that the allowed instructions accept: for the packer
//! before it is closed and for the officer afterwards. What is not said is asked for.

use std::cmp::Ordering;

use chrono::Datelike as _;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::citation::Reason;
use crate::transport::contents::{inside, masses, number, verified};
use crate::transport::edition::Edition;
use crate::transport::facts::{Facts, Package, PackageKind};
use crate::transport::instruction::{Instruction, Outer};
use crate::transport::mark::{PackagingMark, check_mark};

/// Greatest net mass by code, in grams (ADR 2025, 6.1.4, read; the same figures in 49 CFR from
/// memory except the box of expanded plastics, 178.517(b)(7), read).
pub(crate) const NET_LIMITS: [(&str, i64); 19] = [
    ("1A2", 400_000),
    ("1B2", 400_000),
    ("1D", 400_000),
    ("1G", 400_000),
    ("1H2", 400_000),
    ("1N2", 400_000),
    ("3A2", 120_000),
    ("3B2", 120_000),
    ("3H2", 120_000),
    ("4A", 400_000),
    ("4B", 400_000),
    ("4C1", 400_000),
    ("4C2", 400_000),
    ("4D", 400_000),
    ("4F", 400_000),
    ("4G", 400_000),
    ("4H1", 60_000),
    ("4H2", 400_000),
    ("4N", 400_000),
];

/// Net mass above which only an instruction that says so needs no tested packaging.
pub(super) const UNTESTED_NET_LIMIT: i64 = 400_000;
/// Years of use of plastics drums and jerricans (ADR 2025, 4.1.1.15, read).
const PLASTICS_YEARS: i32 = 5;

/// Whether the package is accepted.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum PackageAnswer {
    /// At least one allowed instruction accepts it.
    Accepted,
    /// Something is not known, or somebody must decide.
    NotDetermined,
    /// No allowed instruction accepts it.
    Refused,
}

/// The answer for the package, with its reasons.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PackageDecision {
    /// The answer.
    pub answer: PackageAnswer,
    /// Why not, or what to ask; empty where it is accepted.
    pub reasons: Vec<Reason>,
}

/// An instruction that somebody would have to allow first.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OnRequest {
    pub(crate) instruction: &'static Instruction,
    pub(crate) question: &'static str,
    pub(crate) who: &'static str,
}

/// What one instruction says of a package.
pub(super) struct Trial {
    edition: Edition,
    instruction: &'static Instruction,
    refusals: Vec<Said>,
    questions: Vec<Said>,
    /// Whether the packaging itself is of the right kind, so that its reasons are the useful ones.
    right_outer: bool,
}

/// What a trial has to say. It becomes text only for the one instruction that is answered by.
enum Said {
    /// The fact, and the question for it; the clause is the instruction's own or another.
    Asked(&'static str, &'static str, Option<&'static str>),
    /// The instruction wants other packagings.
    OtherPackaging(PackageKind),
    /// The instruction wants a UN mark.
    NeedsMark(PackageKind),
    /// Anything else.
    Reason(Reason),
}

impl Trial {
    const fn new(edition: Edition, instruction: &'static Instruction) -> Self {
        Self {
            edition,
            instruction,
            refusals: Vec::new(),
            questions: Vec::new(),
            right_outer: false,
        }
    }

    /// The clause of the instruction, with its edition.
    pub(super) fn clause(&self) -> String {
        clause(self.edition, self.instruction)
    }

    fn answer(&self) -> PackageAnswer {
        if !self.refusals.is_empty() {
            PackageAnswer::Refused
        } else if !self.questions.is_empty() {
            PackageAnswer::NotDetermined
        } else {
            PackageAnswer::Accepted
        }
    }

    /// Asks for a fact that the instruction needs.
    pub(super) fn ask(&mut self, fact: &'static str, question: &'static str) {
        self.questions.push(Said::Asked(fact, question, None));
    }

    /// Asks for a fact that another clause needs.
    fn ask_by(&mut self, fact: &'static str, question: &'static str, clause: &'static str) {
        self.questions
            .push(Said::Asked(fact, question, Some(clause)));
    }

    fn question(&mut self, reason: Reason) {
        self.questions.push(Said::Reason(reason));
    }

    pub(super) fn refuse(&mut self, reason: Reason) {
        self.refusals.push(Said::Reason(reason));
    }

    /// Why not, or else what to ask.
    fn reasons(&self) -> Vec<Reason> {
        let said = if self.refusals.is_empty() {
            &self.questions
        } else {
            &self.refusals
        };
        said.iter().map(|said| self.reason(said)).collect()
    }

    fn reason(&self, said: &Said) -> Reason {
        let name = self.instruction.name;
        match said {
            Said::Asked(fact, question, clause) => {
                let reason = Reason::new(*fact, "not known").way_out(*question);
                match clause {
                    Some(clause) => reason.clause(clause),
                    None => reason.clause(self.clause()),
                }
            }
            Said::OtherPackaging(kind) => {
                let may: Vec<&str> = match self.instruction.outer {
                    Outer::Unmarked(kinds) => kinds.iter().map(|kind| kind.name()).collect(),
                    Outer::AsApproved | Outer::Marked { .. } => Vec::new(),
                };
                Reason::new("package.kind", kind.name())
                    .limit(format!("{name}: {}", may.join(", ")))
                    .clause(self.clause())
                    .way_out("the packer repacks it in what the limit names")
            }
            Said::NeedsMark(kind) => {
                let letter = match self.instruction.outer {
                    Outer::Marked { group, .. } => group.letter(),
                    Outer::AsApproved | Outer::Unmarked(_) => "",
                };
                Reason::new("package.kind", kind.name())
                    .limit(format!(
                        "{name}: a packaging with a UN mark, {letter} or better"
                    ))
                    .clause(self.clause())
                    .way_out("the packer repacks it in what the limit names")
            }
            Said::Reason(reason) => reason.clone(),
        }
    }
}

/// The answer for the package in `facts`, given the instructions that may be used.
pub(crate) fn check(
    facts: &Facts,
    edition: Edition,
    allowed: &[&'static Instruction],
    on_request: &[OnRequest],
) -> PackageDecision {
    let Some(package) = &facts.package else {
        return PackageDecision {
            answer: PackageAnswer::NotDetermined,
            reasons: vec![
                Reason::new("package", "not described")
                    .limit(names(allowed))
                    .way_out("say what it is packed in"),
            ],
        };
    };
    let mark = package.mark.as_deref().and_then(PackagingMark::read);
    let attempt = |instruction| attempt(facts, edition, package, instruction, mark.as_ref());
    let trials: Vec<Trial> = allowed.iter().copied().map(attempt).collect();
    if trials
        .iter()
        .any(|trial| trial.answer() == PackageAnswer::Accepted)
    {
        return PackageDecision {
            answer: PackageAnswer::Accepted,
            reasons: Vec::new(),
        };
    }
    for request in on_request {
        if attempt(request.instruction).answer() != PackageAnswer::Refused {
            return PackageDecision {
                answer: PackageAnswer::NotDetermined,
                reasons: vec![
                    Reason::new(request.instruction.name, request.question)
                        .clause(clause(edition, request.instruction))
                        .way_out(format!("ask {}", request.who)),
                ],
            };
        }
    }
    // The nearest instruction: one that only asks before one that refuses, the right kind of
    // packaging first, then the fewest reasons.
    let nearest = trials.into_iter().min_by_key(|trial| {
        (
            trial.answer(),
            !trial.right_outer,
            trial.refusals.len() + trial.questions.len(),
        )
    });
    match nearest {
        None => PackageDecision {
            answer: PackageAnswer::NotDetermined,
            reasons: vec![
                Reason::new("packing instruction", "none determined")
                    .way_out("settle the decision for the battery first: see its reasons"),
            ],
        },
        Some(trial) => PackageDecision {
            answer: trial.answer(),
            reasons: trial.reasons(),
        },
    }
}

fn clause(edition: Edition, instruction: &Instruction) -> String {
    format!("{}, {}", edition.name(), instruction.clause)
}

fn names(instructions: &[&'static Instruction]) -> String {
    let names: Vec<&str> = instructions.iter().map(|one| one.name).collect();
    names.join(", ")
}

fn attempt(
    facts: &Facts,
    edition: Edition,
    package: &Package,
    instruction: &'static Instruction,
    mark: Option<&PackagingMark>,
) -> Trial {
    let mut trial = Trial::new(edition, instruction);
    let Some(kind) = package.kind else {
        trial.ask("package.kind", "what is it packed in");
        return trial;
    };
    let mark = match instruction.outer {
        Outer::AsApproved => {
            trial.right_outer = true;
            trial.ask(
                "package",
                "does it meet the approval in every point; its reader decides",
            );
            return trial;
        }
        Outer::Unmarked(kinds) => {
            trial.right_outer = kinds.contains(&kind);
            if !trial.right_outer {
                trial.refusals.push(Said::OtherPackaging(kind));
                return trial;
            }
            mark
        }
        Outer::Marked { .. } => {
            let mark = marked(package, kind, instruction, mark, &mut trial);
            if mark.is_none() {
                return trial;
            }
            mark
        }
    };
    number(facts, package, instruction, &mut trial);
    masses(facts, package, instruction, mark, &mut trial);
    for need in instruction.needs {
        inside(facts, package, *need, mark, &mut trial);
    }
    if instruction.verified {
        verified(facts, package, &mut trial);
    }
    trial
}

/// The mark of a packaging that must have one, if it is good enough.
fn marked<'m>(
    package: &Package,
    kind: PackageKind,
    instruction: &Instruction,
    mark: Option<&'m PackagingMark>,
    trial: &mut Trial,
) -> Option<&'m PackagingMark> {
    let Outer::Marked { codes, group } = instruction.outer else {
        return None;
    };
    if !matches!(kind, PackageKind::UnPackaging | PackageKind::LargePackaging) {
        trial.refusals.push(Said::NeedsMark(kind));
        return None;
    }
    let Some(text) = package.mark.as_deref() else {
        trial.right_outer = true;
        trial.ask("package.mark", "what is the UN mark on the packaging");
        return None;
    };
    let Some(mark) = mark else {
        trial.right_outer = true;
        let wrong: Vec<String> = check_mark(text)
            .reasons
            .iter()
            .map(|reason| format!("{} {}: {}", reason.what, reason.value, reason.limit))
            .collect();
        trial.question(
            Reason::new("package.mark", text)
                .limit(wrong.join("; "))
                .way_out("copy the whole mark from the packaging"),
        );
        return None;
    };
    if mark.gross_limit.is_none() {
        trial.right_outer = true;
        trial.question(
            Reason::new("package.mark", text)
                .limit("S: tested for solids and inner packagings")
                .clause(trial.clause())
                .way_out(
                    "ask the maker for a mark with S; a test for liquids does not cover batteries",
                ),
        );
        return None;
    }
    if mark.is_large() != (kind == PackageKind::LargePackaging) {
        trial.right_outer = true;
        trial.question(
            Reason::new(
                "package.kind",
                format!("{} with the mark {text}", kind.name()),
            )
            .limit("codes 50 and 51 are large packagings, all others are not")
            .way_out("which of the two is right"),
        );
        return None;
    }
    if !codes
        .iter()
        .copied()
        .flatten()
        .any(|code| *code == mark.code)
    {
        let may: Vec<&str> = codes.iter().copied().flatten().copied().collect();
        trial.refuse(
            Reason::new("packaging code", mark.code.as_str())
                .limit(format!("{}: {}", instruction.name, may.join(" ")))
                .clause(trial.clause())
                .way_out("the packer repacks it in what the limit names"),
        );
        return None;
    }
    trial.right_outer = true;
    if mark.group < group {
        trial.refuse(
            Reason::new("packing group letter", mark.group.letter())
                .limit(format!("{} or better", group.letter()))
                .clause(trial.clause())
                .way_out("the packer repacks it in a packaging tested for the higher group"),
        );
    }
    if mark.variant == Some('T') {
        trial.refuse(
            Reason::new("packaging code", format!("{}T", mark.code))
                .limit("a salvage packaging only for a package found damaged on the way")
                .clause(trial.clause())
                .way_out("the packer repacks it in what the limit names"),
        );
    }
    age(package, mark, trial);
    Some(mark)
}

/// Plastics drums and jerricans are used for five years; in the month in which they end, and in the
/// whole last year where the mark shows no month, somebody must look.
fn age(package: &Package, mark: &PackagingMark, trial: &mut Trial) {
    if !matches!(mark.code.as_str(), "1H2" | "3H2") {
        return;
    }
    let clause = "ADR 2025, 4.1.1.15";
    let Some(packed_on) = package.packed_on else {
        trial.ask_by("package.packed_on", "on which day is it packed", clause);
        return;
    };
    let end = mark.year + PLASTICS_YEARS;
    let made = mark.month.map_or_else(
        || mark.year.to_string(),
        |month| format!("{}-{month:02}", mark.year),
    );
    let past = match mark.month {
        None => packed_on.year().cmp(&end),
        Some(month) => (packed_on.year(), packed_on.month()).cmp(&(end, u32::from(month))),
    };
    match past {
        Ordering::Less => {}
        Ordering::Equal => trial.ask_by(
            "manufacture of the plastics packaging",
            match mark.month {
                None => "in which month was it made: five years end this year",
                Some(_) => "on which day was it made: five years end this month",
            },
            clause,
        ),
        Ordering::Greater => trial.refuse(
            Reason::new("manufacture of the plastics packaging", made)
                .limit(format!("{PLASTICS_YEARS} years from manufacture"))
                .clause(clause)
                .way_out("the packer repacks it in a newer one"),
        ),
    }
}
