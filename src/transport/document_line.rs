//! The line of a transport document: number, name, class and tunnel code, in legal order.

use crate::citation::Reason;
use crate::transport::decision::{Decision, DecisionEntry};
use crate::transport::document_check::Check;
use crate::transport::document_form::DocumentQuestion;
use crate::transport::document_words::{
    behind, contains, digits_of, is_class_or_group, is_group, is_tunnel_code, number_in, words,
};
use crate::transport::facts::Regime;

impl Check {
    pub(super) fn line(
        &mut self,
        asked: &DocumentQuestion,
        entry: &DecisionEntry,
        decision: &Decision,
    ) {
        let due = words(&decision.document.line);
        let number = digits_of(&entry.un);
        let lines: Vec<Vec<String>> = asked.lines.iter().map(|line| words(line)).collect();
        if self.regime == Regime::Rid {
            self.hazard_number(&lines, &number);
        }
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

    /// By rail the number of the orange plates stands before the UN number, where plates are fitted.
    fn hazard_number(&mut self, lines: &[Vec<String>], number: &str) {
        const HAZARD: &str = "90";
        for line in lines {
            let at = line.iter().position(|word| number_in(word) == Some(number));
            let before = at
                .and_then(|at| at.checked_sub(1))
                .and_then(|at| line.get(at));
            let is_hazard = |word: &&String| {
                (2..=4).contains(&word.len())
                    && word
                        .trim_start_matches('X')
                        .bytes()
                        .all(|b| b.is_ascii_digit())
            };
            if let Some(other) = before.filter(is_hazard)
                && other != HAZARD
            {
                self.refuse(
                    "hazard number before the UN number",
                    other,
                    HAZARD,
                    "RID 2025, 5.4.1.1.1(j); 3.2 Table A, column 20",
                    "write 90 where orange plates are fitted, and none where they are not",
                );
            }
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
        if let Some(other) = next.filter(|next| is_tunnel_code(next)) {
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
        } else if !line.iter().any(|part| *part == entry.hazard_class) {
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
}
