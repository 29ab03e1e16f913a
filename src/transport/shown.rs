//! Marks and labels as they stand on a package, against those that are due.

use crate::citation::Reason;
use crate::transport::decision::Decision;
use crate::transport::edition::Edition;
use crate::transport::facts::Package;
use crate::transport::package::PackageAnswer;
use crate::transport::rule::{Effect, MarkText};
use crate::transport::rule_set::rule_set;

/// Marks and labels as they stand on the package, against those that are due. Too small a mark and
/// a wrong label refuse the package; a mark not yet put on is said as a reason.
pub(super) fn compare_marks(package: &Package, decision: &mut Decision) {
    let mut refusals = Vec::new();
    if let Some(shown) = &package.marks {
        for due in &decision.marks {
            let stands = shown
                .iter()
                .find(|mark| mark.text.trim().eq_ignore_ascii_case(&due.text));
            match stands {
                None => decision.reasons.push(
                    Reason::new("mark on the package", "not on it")
                        .limit(match due.min_height_mm {
                            0 => due.text.to_string(),
                            height => format!("{}, at least {height} mm", due.text),
                        })
                        .clause(clause_of_mark(decision, &due.text, due.min_height_mm))
                        .way_out("the packer puts it on before the package is handed over"),
                ),
                Some(mark) => {
                    if let Some(height) = mark.height_mm
                        && height < due.min_height_mm
                    {
                        refusals.push(
                            Reason::new(
                                format!("height of the mark {}", due.text),
                                format!("{height} mm"),
                            )
                            .limit(format!("{} mm", due.min_height_mm))
                            .clause(clause_of_mark(decision, &due.text, due.min_height_mm))
                            .way_out("the packer marks it again in larger letters"),
                        );
                    }
                }
            }
        }
    }
    if let Some(shown) = &package.labels {
        for due in &decision.labels {
            if !shown.iter().any(|label| label.trim() == due) {
                refusals.push(
                    Reason::new("labels on the package", shown.join(", "))
                        .limit(format!("label {due}"))
                        .clause(clause_of_label(decision, due))
                        .way_out("the packer puts the right label on"),
                );
            }
        }
    }
    if !refusals.is_empty() {
        if decision.package.answer != PackageAnswer::Refused {
            decision.package.reasons.clear();
            decision.package.answer = PackageAnswer::Refused;
        }
        decision.package.reasons.extend(refusals);
    }
}

/// Where the mark is written that is due; empty where no row says so.
fn clause_of_mark(decision: &Decision, words: &str, height: u32) -> String {
    let entry = decision.entry.as_ref();
    clause(decision, |effect| {
        let Effect::Mark {
            text,
            min_height_mm,
        } = effect
        else {
            return false;
        };
        let same = match text {
            MarkText::Name => entry.is_some_and(|entry| entry.proper_shipping_name == words),
            MarkText::Number => entry.is_some_and(|entry| entry.un == words),
            MarkText::Words(own) => *own == words,
        };
        same && *min_height_mm == height
    })
}

fn clause_of_label(decision: &Decision, model: &str) -> String {
    clause(
        decision,
        |effect| matches!(effect, Effect::Label(own) if *own == model),
    )
}

/// The clause, in the edition of the decision, of the first row that has such an effect.
fn clause(decision: &Decision, is_it: impl Fn(&Effect) -> bool) -> String {
    let edition = Edition::ALL
        .into_iter()
        .find(|edition| edition.name() == decision.edition);
    let Some(edition) = edition else {
        return String::new();
    };
    rule_set()
        .rules()
        .iter()
        .find(|rule| rule.place(edition).is_some() && rule.effects.iter().any(&is_it))
        .map_or_else(String::new, |rule| rule.clause(edition).to_string())
}
