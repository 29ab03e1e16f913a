//! Whether the words of a transport document are right for one battery: the line in legal order,
//! statements, quantity and points. For the officer who reads a document that somebody else wrote.

use crate::battery::Purpose;
use crate::citation::Reason;
use crate::transport::decide::decide_untraced;
use crate::transport::decision::{Answer, Decision};
use crate::transport::document_form::{
    DocumentAnswer, DocumentQuestion, DocumentStanding, Quantity,
};
use crate::transport::document_words::{contains, provision_in, words};
use crate::transport::facts::{ApprovalKind, Facts, Regime};
use crate::transport::vehicle_load::factor_of;
use crate::transport::vehicle_rows::{AGREEMENTS, SMALL_LOAD};
use crate::units::Decimal;

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
    check.answer(decision)
}

pub(super) struct Check {
    pub(super) regime: Regime,
    pub(super) refusals: Vec<Reason>,
    pub(super) questions: Vec<Reason>,
}

impl Check {
    fn answer(mut self, decision: Decision) -> DocumentAnswer {
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
            edition: decision.edition,
            rule_set: decision.rule_set,
            reasons: self.refusals,
        }
    }

    /// The clause in the law of this leg. For sea and air the places are from memory.
    pub(super) fn law(&self, adr: &str, us: &str) -> String {
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

    pub(super) fn refuse(
        &mut self,
        what: &str,
        value: &str,
        limit: &str,
        clause: &str,
        way_out: &str,
    ) {
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
                    .find(|agreement| agreement.name == name)
                    .and_then(|agreement| agreement.last_day);
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
                "the carrier takes it as a full load",
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
            Some(points) if points > Decimal::from_thousandths(SMALL_LOAD.thousandths()) => self
                .refuse(
                    "points of the small load",
                    &points.to_string(),
                    &format!("at most {}", SMALL_LOAD.limit_words()),
                    SMALL_LOAD.clause,
                    "the carrier takes it as a full load",
                ),
            Some(_) => {}
        }
    }
}
