//! Marks and labels as they stand on a package, against those that are due.

use crate::citation::Reason;
use crate::transport::decision::Decision;
use crate::transport::facts::Package;
use crate::transport::package::PackageAnswer;

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
                        .limit(format!("{}, at least {} mm", due.text, due.min_height_mm))
                        .way_out("put it on before the package is handed over"),
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
                            .way_out("mark it again in larger letters"),
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
                        .way_out("put the right label on"),
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
