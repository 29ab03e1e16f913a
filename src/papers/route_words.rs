//! The package of a route in prose.

use crate::transport::{PackageAnswer, RouteAnswer};

/// The package for all legs as lines for a person.
#[must_use]
pub fn route_prose(route: &RouteAnswer) -> Vec<String> {
    let package = &route.package;
    let mut lines = vec![match package.answer {
        PackageAnswer::Accepted => format!("One package for all {} legs:", route.legs.len()),
        PackageAnswer::Refused => "NO ONE PACKAGE is good on every leg:".to_owned(),
        PackageAnswer::NotDetermined => {
            "The package for all legs is NOT DETERMINED while a leg is open:".to_owned()
        }
    }];
    if let Some(group) = package.group {
        lines.push(format!(
            "  Packaging with a UN mark: {} at {} or better",
            package.codes.join(" "),
            group.letter()
        ));
    }
    if !package.kinds.is_empty() {
        let kinds: Vec<String> = package
            .kinds
            .iter()
            .map(|kind| kind.name().replace('_', " "))
            .collect();
        lines.push(format!("  Packaging: {}", kinds.join(", ")));
    }
    if package.one_each {
        lines.push("  Each battery in an outer packaging of its own".to_owned());
    }
    for leg in &package.instructions {
        lines.push(format!("  {} by {}", leg.leg, leg.instruction));
    }
    for need in &package.needs {
        lines.push(format!("  - {need}"));
    }
    if package.answer == PackageAnswer::Accepted {
        let marks: Vec<String> = package
            .marks
            .iter()
            .map(|mark| match mark.min_height_mm {
                0 => mark.text.to_string(),
                height => format!("{} (at least {height} mm)", mark.text),
            })
            .collect();
        lines.push(format!("  Marks of all legs: {}", marks.join("; ")));
        lines.push(format!(
            "  Labels of all legs: {}",
            package.labels.join(", ")
        ));
        lines.push("  What the packer has in hand is judged by `packdown classify`.".to_owned());
    }
    for reason in &package.reasons {
        lines.push(format!("  - {}: {}", reason.what, reason.value));
        for (caption, text) in [
            ("limit", &reason.limit),
            ("clause", &reason.clause),
            ("do now", &reason.way_out),
        ] {
            if !text.is_empty() {
                lines.push(format!("      {caption}: {text}"));
            }
        }
    }
    lines
}
