//! Whether the words of a transport document are right for one battery: the line in legal order,
//! statements, quantity and points. For the officer who reads a document that somebody else wrote.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::battery::Purpose;
use crate::citation::Reason;
use crate::transport::decide::decide_untraced;
use crate::transport::decision::{Answer, Decision, DecisionEntry};
use crate::transport::facts::{ApprovalKind, Facts, Mode, Regime};
use crate::transport::vehicle_load::{SMALL_LOAD_POINTS, factor_of};
use crate::units::{Decimal, Grams};

/// Agreements of states about these batteries that a document may still quote, with the last day
/// of each where it is known (dates second-hand, from pages that list the agreements).
const AGREEMENTS: [(&str, Option<NaiveDate>); 5] = [
    ("M259", None),
    ("M285", None),
    ("M292", NaiveDate::from_ymd_opt(2016, 12, 31)),
    ("M307", NaiveDate::from_ymd_opt(2018, 12, 31)),
    ("M354", NaiveDate::from_ymd_opt(2025, 6, 30)),
];

/// What is asked about a document.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DocumentQuestion {
    /// Body of rules; the one in the facts where it is absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub regime: Option<Regime>,
    /// How it travels; as in the facts where it is absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mode: Option<Mode>,
    /// Day of carriage; the one in the facts where it is absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<NaiveDate>,
    /// The battery, as for `classify`; its regime may be left out where it stands above.
    pub facts: Facts,
    /// The lines of the document, as written.
    pub lines: Vec<String>,
    /// Statements, where they stand apart from the lines.
    #[serde(default)]
    pub statements: Vec<String>,
    /// Quantity, as the document gives it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub quantity: Option<Quantity>,
    /// Whether the carriage relies on the relief for small loads (ADR 1.1.3.6).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub small_load: Option<bool>,
    /// Points of the category, as the document gives them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub points: Option<Decimal>,
}

/// The quantity in a document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Quantity {
    /// Mass of the batteries without packaging.
    pub net_mass_kg: Grams,
    /// Whether it was estimated, not weighed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub estimated: Option<bool>,
}

/// Whether a document is good.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum DocumentStanding {
    /// It is.
    Accepted,
    /// Something is not known, or somebody must decide.
    NotDetermined,
    /// Something in it is wrong or missing.
    Refused,
}

/// The answer for a document.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct DocumentAnswer {
    /// The answer.
    pub answer: DocumentStanding,
    /// What is wrong or not known, with its cure; empty where it is accepted.
    pub reasons: Vec<Reason>,
}

/// The answer for the document in `asked`.
#[must_use]
pub fn check_document(asked: &DocumentQuestion) -> DocumentAnswer {
    let mut check = Check {
        regime: asked.regime.unwrap_or(asked.facts.regime),
        refusals: Vec::new(),
        questions: Vec::new(),
    };
    let facts = check.facts_of(asked);
    let decision = decide_untraced(&facts);
    check.battery(&decision);
    if let Some(entry) = &decision.entry {
        check.line(asked, entry, &decision);
    }
    check.statements(asked, &decision);
    check.agreements(asked, &facts);
    check.quantity(asked, &facts, &decision);
    check.answer()
}

struct Check {
    regime: Regime,
    refusals: Vec<Reason>,
    questions: Vec<Reason>,
}

impl Check {
    fn answer(mut self) -> DocumentAnswer {
        let answer = if !self.refusals.is_empty() {
            DocumentStanding::Refused
        } else if !self.questions.is_empty() {
            DocumentStanding::NotDetermined
        } else {
            DocumentStanding::Accepted
        };
        self.refusals.append(&mut self.questions);
        DocumentAnswer {
            answer,
            reasons: self.refusals,
        }
    }

    /// The clause in the law of this leg. For sea and air the places are from memory.
    fn law(&self, adr: &str, us: &str) -> String {
        match self.regime {
            Regime::Adr => adr.to_owned(),
            Regime::Rid => adr.replace("ADR", "RID"),
            Regime::Cfr49 => us.to_owned(),
            Regime::Imdg => "IMDG 42-24, 5.4.1.4 (from memory, unverified)".to_owned(),
            Regime::Air => {
                "ICAO Technical Instructions, 5;4.1 (from memory, unverified)".to_owned()
            }
        }
    }

    fn refuse(&mut self, what: &str, value: &str, limit: &str, clause: &str, way_out: &str) {
        self.refusals.push(
            Reason::new(what, value)
                .limit(limit)
                .clause(clause)
                .way_out(way_out),
        );
    }

    /// The facts with what stands beside them; what contradicts is asked, never chosen.
    fn facts_of(&mut self, asked: &DocumentQuestion) -> Facts {
        let mut facts = asked.facts.clone();
        let mut differ = |what: &str, above: Option<String>, inside: Option<String>| {
            if let (Some(above), Some(inside)) = (above, inside)
                && above != inside
            {
                self.questions.push(
                    Reason::new(what, format!("{above}, but {inside} in the facts"))
                        .way_out("which of the two is right"),
                );
            }
        };
        differ(
            "regime",
            asked.regime.map(|regime| regime.to_string()),
            Some(facts.regime.to_string()),
        );
        differ(
            "mode",
            asked.mode.map(|mode| mode.to_string()),
            facts.mode.map(|mode| mode.to_string()),
        );
        differ(
            "on",
            asked.on.map(|day| day.to_string()),
            facts.on.map(|day| day.to_string()),
        );
        facts.regime = asked.regime.unwrap_or(facts.regime);
        facts.mode = asked.mode.or(facts.mode);
        facts.on = asked.on.or(facts.on);
        facts
    }

    fn battery(&mut self, decision: &Decision) {
        match decision.answer {
            Answer::Forbidden => self.refusals.extend(decision.reasons.clone()),
            Answer::NotDetermined => self.questions.extend(decision.reasons.clone()),
            Answer::Allowed | Answer::AllowedWith => {}
        }
    }

    fn line(&mut self, asked: &DocumentQuestion, entry: &DecisionEntry, decision: &Decision) {
        let due = words(&decision.document.line);
        let number = digits_of(&entry.un);
        let lines: Vec<Vec<String>> = asked.lines.iter().map(|line| words(line)).collect();
        // The tunnel code is the last word, and only due where the way passes such tunnels.
        let without_tunnel = match due.split_last() {
            Some((last, rest)) if last.starts_with('(') => Some(rest),
            _ => None,
        };
        let clean = |line: &Vec<String>, part: &[String]| {
            contains(line, part) && behind(line, part).is_none_or(|next| !is_class_or_group(next))
        };
        if lines.iter().any(|line| clean(line, &due)) {
            return;
        }
        if let Some(shorter) = without_tunnel
            && let Some(line) = lines.iter().find(|line| clean(line, shorter))
        {
            self.tunnel(asked, line, behind(line, shorter), due.last());
            return;
        }
        let found = lines
            .iter()
            .find(|line| {
                line.iter()
                    .any(|word| number_in(word) == Some(number.as_str()))
            })
            .or_else(|| {
                lines
                    .iter()
                    .find(|line| line.iter().any(|word| number_in(word).is_some()))
            });
        match found {
            None => self.refuse(
                "line of the transport document",
                "none with a UN number",
                &decision.document.line,
                &self.law("ADR 2025, 5.4.1.1.1", "49 CFR, 172.202"),
                "write the line",
            ),
            Some(line) => self.faults_of(&line.clone(), &due, entry, decision),
        }
    }

    /// The tunnel code of a line that is right up to the class.
    fn tunnel(
        &mut self,
        asked: &DocumentQuestion,
        line: &[String],
        next: Option<&String>,
        due: Option<&String>,
    ) {
        let clause = "ADR 2025, 5.4.1.1.1(k)";
        if let Some(other) = next.filter(|next| next.starts_with('(') && next.len() <= 5) {
            self.refuse(
                "tunnel code",
                other,
                "(E)",
                clause,
                "write (E) behind the class",
            );
        } else if due.is_some_and(|due| line.contains(due)) {
            self.refuse(
                "something between the parts of the line",
                &line.join(" "),
                "number, name, class and tunnel code together, with nothing between",
                "ADR 2025, 5.4.1.1.1",
                "write (E) directly behind the class",
            );
        } else if asked.small_load != Some(true) {
            self.questions.push(
                Reason::new("tunnel code", "not in the line")
                    .limit("(E) behind the class, where the way passes restricted tunnels")
                    .clause(clause)
                    .way_out("does the way pass a restricted tunnel; if so, add (E)"),
            );
        }
    }

    /// What is wrong with a line that is not the one that is due.
    fn faults_of(
        &mut self,
        line: &[String],
        due: &[String],
        entry: &DecisionEntry,
        decision: &Decision,
    ) {
        let before = self.refusals.len();
        let whole = line.join(" ");
        let order = &self.law("ADR 2025, 5.4.1.1.1", "49 CFR, 172.202(b)");
        let write = format!("write: {}", decision.document.line);
        let number = digits_of(&entry.un);
        if let Some(other) = line.iter().find_map(|word| number_in(word))
            && other != number
        {
            self.refuse("UN number", other, &entry.un, order, &write);
        }
        if let Some(class) = line
            .iter()
            .find(|word| matches!(word.as_str(), "9A" | "(9A)"))
        {
            self.refuse(
                "class in the transport document",
                class,
                &format!("{}, not the number of the label", entry.hazard_class),
                &self.law("ADR 2025, 5.4.1.1.1(c)", "49 CFR, 172.202(a)(3)"),
                &write,
            );
        } else if !line.contains(&entry.hazard_class) {
            self.refuse(
                "class in the transport document",
                "missing",
                &entry.hazard_class,
                order,
                &write,
            );
        }
        if let Some(group) = line.iter().find(|word| is_group(word)) {
            self.refuse(
                "packing group in the transport document",
                group,
                "none: these entries have no packing group",
                &self.law(
                    "ADR 2025, 5.4.1.1.1(d); 3.2 Table A, column 4",
                    "49 CFR, 172.101 table, column 5",
                ),
                "strike it out",
            );
        }
        let name = words(&entry.proper_shipping_name);
        if whole.contains("UNIVERSAL WASTE") {
            self.refuse(
                "proper shipping name",
                "with the words universal waste",
                &entry.proper_shipping_name,
                &self.law(
                    "ADR 2025, 5.4.1.1.3.1",
                    "49 CFR, 172.101(c)(9); letter of interpretation 25-0098",
                ),
                "strike them out; they belong on the waste label, not in the name",
            );
        } else {
            let (due_waste, has_waste) = (
                due.iter().any(|w| w == "WASTE"),
                line.iter().any(|w| w == "WASTE"),
            );
            if due_waste && !has_waste {
                self.refuse(
                    "word WASTE before the name",
                    "missing",
                    "WASTE before the proper shipping name of waste",
                    "ADR 2025, 5.4.1.1.3.1",
                    &write,
                );
            } else if has_waste && !due_waste {
                self.refuse(
                    "word WASTE before the name",
                    "written",
                    "only where it is due for this battery",
                    &self.law("ADR 2025, 5.4.1.1.3.1", "49 CFR, 172.101(c)(9)"),
                    &write,
                );
            }
        }
        if !contains(line, &name) {
            self.refuse(
                "proper shipping name",
                "not in the line",
                &entry.proper_shipping_name,
                order,
                &write,
            );
        }
        if self.refusals.len() > before {
            return;
        }
        // Every part is there: either in another order, or with something in between.
        let place = |part: &[String]| line.windows(part.len()).position(|window| window == part);
        let number_at = line.iter().position(|word| number_in(word).is_some());
        let name_at = place(&name);
        let class_at = line.iter().position(|word| *word == entry.hazard_class);
        if number_at < name_at && name_at < class_at {
            self.refuse(
                "something between the parts of the line",
                &whole,
                "number, name, class and tunnel code together, with nothing between",
                order,
                &write,
            );
        } else {
            self.refuse(
                "order of the line",
                &whole,
                "number, name, class, tunnel code",
                order,
                &write,
            );
        }
    }

    fn statements(&mut self, asked: &DocumentQuestion, decision: &Decision) {
        let written: Vec<Vec<String>> = asked
            .statements
            .iter()
            .chain(&asked.lines)
            .map(|line| words(line))
            .collect();
        for due in &decision.document.statements {
            let due_words = words(due);
            if !written.iter().any(|line| contains(line, &due_words)) {
                self.refuse(
                    "statement in the transport document",
                    "missing",
                    due,
                    &self.law("ADR 2025, 5.4.1.1.21; 3.3", "49 CFR, 172.203; 173.185"),
                    &format!("write: {due}"),
                );
            }
        }
        if decision.entry.is_none() {
            return;
        }
        for line in &written {
            let Some(number) = provision_in(line) else {
                continue;
            };
            let is_due = decision
                .document
                .statements
                .iter()
                .any(|due| provision_in(&words(due)).as_deref() == Some(number.as_str()));
            if !is_due {
                self.refuse(
                    "statement in the transport document",
                    &format!("special provision {number}"),
                    "not due for this battery as described",
                    &self.law("ADR 2025, 3.3", "49 CFR, 172.203"),
                    "strike it out, or put the facts right",
                );
            }
        }
    }

    /// An agreement of states that has ended carries nothing any more.
    fn agreements(&mut self, asked: &DocumentQuestion, facts: &Facts) {
        let Some(on) = facts.on else { return };
        let mut seen: Vec<String> = Vec::new();
        for line in asked.statements.iter().chain(&asked.lines) {
            for word in words(line) {
                let name = word.trim_matches(|c: char| !c.is_ascii_alphanumeric());
                let number = name.strip_prefix('M').unwrap_or_default();
                let is_agreement = number.len() == 3 && number.bytes().all(|b| b.is_ascii_digit());
                if !is_agreement || seen.iter().any(|known| known == name) {
                    continue;
                }
                seen.push(name.to_owned());
                let last = AGREEMENTS
                    .iter()
                    .find(|(known, _)| *known == name)
                    .and_then(|(_, last)| *last);
                match last {
                    Some(last) if on > last => self.refuse(
                        "agreement quoted in the document",
                        &format!("{name}, ended on {last}"),
                        &format!("in force on {on}"),
                        "ADR 2025, 1.5.1",
                        "strike it out and travel by the rules themselves, or by an agreement in force",
                    ),
                    Some(_) => {}
                    None => self.questions.push(
                        Reason::new("agreement quoted in the document", name)
                            .limit(format!("in force on {on}"))
                            .clause("ADR 2025, 1.5.1")
                            .way_out("show that it is in force, and between which states"),
                    ),
                }
            }
        }
        for approval in facts.approvals.iter().flatten() {
            if approval.kind == ApprovalKind::MultilateralAgreement
                && let Some(last) = approval.expires_on
                && on > last
            {
                self.refuse(
                    "agreement among the approvals",
                    &format!("{}, ended on {last}", approval.reference),
                    &format!("in force on {on}"),
                    "ADR 2025, 1.5.1",
                    "travel by the rules themselves, or by an agreement in force",
                );
            }
        }
    }

    fn quantity(&mut self, asked: &DocumentQuestion, facts: &Facts, decision: &Decision) {
        let small = asked.small_load == Some(true);
        if small && self.regime != Regime::Adr {
            self.refuse(
                "relief for small loads",
                self.regime.name(),
                "road under ADR only",
                "ADR 2025, 1.1.3.6",
                "write the document for a full load",
            );
            return;
        }
        let Some(quantity) = asked.quantity else {
            self.questions.push(
                Reason::new("quantity", "not known")
                    .clause(self.law("ADR 2025, 5.4.1.1.1(f)", "49 CFR, 172.202(a)(5)"))
                    .way_out("which mass does the document give"),
            );
            return;
        };
        if quantity.net_mass_kg.as_thousandths() <= 0 {
            self.refuse(
                "quantity",
                &quantity.net_mass_kg.to_string(),
                "more than 0 kg",
                &self.law("ADR 2025, 5.4.1.1.1(f)", "49 CFR, 172.202(a)(5)"),
                "weigh the batteries",
            );
        }
        if quantity.estimated == Some(true) {
            if small {
                self.refuse(
                    "quantity",
                    "estimated",
                    "weighed, where the relief for small loads is used",
                    "ADR 2025, 5.4.1.1.3.2",
                    "weigh the batteries, or carry them as a full load",
                );
            } else if !facts.item.purpose.is_some_and(Purpose::is_waste) {
                self.questions.push(
                    Reason::new("quantity", "estimated")
                        .limit("estimates are for waste only")
                        .clause("ADR 2025, 5.4.1.1.3.2")
                        .way_out("weigh the batteries"),
                );
            }
        }
        if small {
            self.points(asked, quantity, decision);
        }
    }

    fn points(&mut self, asked: &DocumentQuestion, quantity: Quantity, decision: &Decision) {
        let clause = "ADR 2025, 1.1.3.6.3; 5.4.1.1.1(f)";
        let Some(category) = decision.transport_category.as_deref() else {
            return;
        };
        let Some(factor) = factor_of(category) else {
            self.refuse(
                "relief for small loads",
                &format!("transport category {category}"),
                "no battery of category 0 aboard",
                "ADR 2025, 1.1.3.6.3; 3.3 SP 677",
                "carry it as a full load",
            );
            return;
        };
        let Some(least) = quantity.net_mass_kg.as_thousandths().checked_mul(factor) else {
            return;
        };
        let least = Decimal::from_thousandths(least);
        match asked.points {
            None => self.refuse(
                "points of the small load",
                "missing",
                &format!(
                    "{least} for {}, transport category {category}",
                    quantity.net_mass_kg
                ),
                clause,
                "write quantity and points of each transport category",
            ),
            Some(points) if points < least => self.refuse(
                "points of the small load",
                &points.to_string(),
                &format!("at least {least}: {} by {factor}", quantity.net_mass_kg),
                clause,
                "put the points right",
            ),
            Some(points) if points > Decimal::whole(SMALL_LOAD_POINTS) => self.refuse(
                "points of the small load",
                &points.to_string(),
                &format!("at most {SMALL_LOAD_POINTS}"),
                "ADR 2025, 1.1.3.6.4",
                "carry it as a full load",
            ),
            Some(_) => {}
        }
    }
}

/// The words of a line in capitals, without the commas behind them; `UN` and its number are one.
fn words(line: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for word in line.split(|sign: char| sign.is_whitespace() || sign == ',' || sign == ';') {
        if word.is_empty() {
            continue;
        }
        let word = word.to_uppercase();
        match found.last_mut() {
            Some(last) if last == "UN" && word.bytes().all(|b| b.is_ascii_digit()) => {
                last.push_str(&word);
            }
            _ => found.push(word),
        }
    }
    found
}

fn contains(line: &[String], part: &[String]) -> bool {
    !part.is_empty() && line.windows(part.len()).any(|window| window == part)
}

/// The word behind `part` in `line`.
fn behind<'a>(line: &'a [String], part: &[String]) -> Option<&'a String> {
    let at = line.windows(part.len()).position(|window| window == part)?;
    line.get(at + part.len())
}

fn number_in(word: &str) -> Option<&str> {
    let digits = word.strip_prefix("UN")?;
    (digits.len() == 4 && digits.bytes().all(|b| b.is_ascii_digit())).then_some(digits)
}

fn digits_of(un: &str) -> String {
    un.chars().filter(char::is_ascii_digit).collect()
}

fn is_group(word: &str) -> bool {
    matches!(word, "I" | "II" | "III" | "PGI" | "PGII" | "PGIII" | "PG")
}

fn is_class_or_group(word: &str) -> bool {
    is_group(word) || word == "9A" || word == "(9A)"
}

/// The number behind `special provision`.
fn provision_in(line: &[String]) -> Option<String> {
    let at = line
        .windows(2)
        .position(|pair| matches!(pair, [a, b] if a == "SPECIAL" && b == "PROVISION"))?;
    let number = line.get(at + 2)?;
    let digits: String = number.chars().filter(char::is_ascii_digit).collect();
    (!digits.is_empty()).then_some(digits)
}
