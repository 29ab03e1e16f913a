//! What travels with the transport document.

use crate::job::{Job, Leg, Verdict};
use crate::papers::labels::CARGO_AIRCRAFT_ONLY;
use crate::papers::plain_text;
use crate::papers::words::Words;
use crate::transport::{ApprovalKind, Decision, Regime};

/// Approvals in hand, and the duties about papers that the decisions name, once each.
pub(super) fn enclosed(job: &Job, leg: &Leg, verdicts: &[&Verdict], w: &Words) -> Vec<String> {
    let small = leg.small_load == Some(true);
    let mut lines: Vec<String> = job
        .plan()
        .approvals
        .iter()
        .map(|approval| match approval.expires_on {
            Some(day) => format!(
                "{} {}, {} {day}",
                kind_words(approval.kind, w),
                approval.reference,
                w.good_until
            ),
            None => format!("{} {}", kind_words(approval.kind, w), approval.reference),
        })
        .map(|line| plain_text(&line))
        .collect();
    let about_papers = |rule: &str| {
        matches!(
            rule,
            "us-emergency-information"
                | "us-paper-kept"
                | "us-carrier-keeps-paper"
                | "us-shipper-certification"
                | "us-text-to-be-read-again"
                | "land-document-kept"
                | "land-document-language"
                | "land-packing-certificate"
        ) || (rule == "adr-full-load-papers" && !small)
            || (rule == "adr-small-load-papers" && small)
            || rule.contains("approval")
    };
    for verdict in verdicts {
        for due in &verdict.decision.requirements {
            let line = format!("{} ({})", due.says, due.clause);
            if about_papers(&due.rule) && !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    if leg.regime == Regime::Air {
        lines.push(w.air_form.to_owned());
    }
    lines
}

/// What stands below the line: the statements of the decision, and what the rows
/// `imdg-emergency-schedule` and `air-declaration` want beside them.
pub(super) fn statements(regime: Regime, decision: &Decision) -> Vec<String> {
    let given = decision.document.statements.iter().map(ToString::to_string);
    let mut lines: Vec<String> = given.collect();
    let mut add = |line: String| {
        if !line.is_empty() && !lines.contains(&line) {
            lines.push(line);
        }
    };
    let due = |id: &str| decision.requirements.iter().any(|one| one.rule == id);
    if due("imdg-emergency-schedule") {
        add("EmS F-A, S-I".to_owned());
    }
    if regime == Regime::Air {
        add(decision.packing_instructions.join(" or "));
        if decision.labels.iter().any(|one| one == CARGO_AIRCRAFT_ONLY) {
            add("Cargo aircraft only".to_owned());
        }
    }
    lines
}

const fn kind_words(kind: ApprovalKind, w: &Words) -> &'static str {
    match kind {
        ApprovalKind::CompetentAuthority => w.approval_authority,
        ApprovalKind::MultilateralAgreement => w.agreement,
        ApprovalKind::SpecialPermit => w.special_permit,
        ApprovalKind::StateOfOrigin => w.approval_origin,
        ApprovalKind::StateOfTheOperator => w.approval_operator,
    }
}
