//! What was due, and when: accumulation, report of an incident, certificate, keeping the file.

use chrono::{Days, Months, NaiveDate};

use crate::audit::retention::longest_for;
use crate::audit::{Dossier, Found, Recorded};
use crate::inspection;
use crate::procedure::{Act, Kind};
use crate::transport::Regime;
use crate::units::{Decimal, Grams};

/// Days after delivery to the treater above which an auditor asks for the certificate. A setting of
/// this project, not law.
pub(in crate::audit) const CERTIFICATE_DAYS: i64 = 180;

/// The day on which the first module came out.
fn generated_on(dossier: &Dossier) -> Option<(&Recorded, NaiveDate)> {
    dossier
        .doing(Act::LiftModule)
        .next()
        .map(|one| (one, one.entry.at.local_day()))
}

/// `deadline.accumulation`
pub(in crate::audit) fn accumulation(dossier: &Dossier) -> Vec<Found> {
    if !dossier.is_in_the_us() || !dossier.plan().purpose.is_waste() {
        return Vec::new();
    }
    let Some((out, since)) = generated_on(dossier) else {
        return Vec::new();
    };
    let Some(last) = since.checked_add_months(Months::new(12)) else {
        return Vec::new();
    };
    let sent = dossier
        .last("Z10", None)
        .map(|one| one.entry.at.local_day());
    if sent.unwrap_or(dossier.day) <= last {
        return Vec::new();
    }
    let found = sent.map_or_else(
        || format!("since {since}, not sent on by {}", dossier.day),
        |sent| format!("since {since}, sent on {sent}"),
    );
    vec![
        Found::new("time of accumulation", found)
            .on(out)
            .limit(format!("one year, until {last}"))
            .way_out("send it to a destination facility now, and tell the officer"),
    ]
}

/// The first entry after the hand-over that raised a red flag: an incident on the way.
fn incident(dossier: &Dossier) -> Option<&Recorded> {
    let released = dossier.released()?;
    dossier.entries.iter().find(|one| {
        one.seq > released.seq
            && one.entry.kind == Kind::Finding
            && one
                .entry
                .evidence
                .texts("findings")
                .iter()
                .flat_map(|text| text.split([',', ' ']))
                .any(|code| inspection::finding(code).is_ok_and(inspection::Finding::is_red_flag))
    })
}

/// `deadline.incident_report`
pub(in crate::audit) fn incident_report(dossier: &Dossier) -> Vec<Found> {
    let Some(incident) = incident(dossier) else {
        return Vec::new();
    };
    let day = incident.entry.at.local_day();
    let us = dossier.is_in_the_us();
    let due = if us {
        day.checked_add_days(Days::new(30))
    } else {
        day.checked_add_months(Months::new(1))
    };
    let Some(due) = due else { return Vec::new() };
    let sent = dossier
        .entries
        .iter()
        .filter(|one| one.seq > incident.seq)
        .find_map(|one| one.entry.evidence.time("incident_report_sent_at"));
    let found = match sent.map(|sent| sent.local_day()) {
        Some(sent) if sent <= due => return Vec::new(),
        Some(sent) => format!("sent {sent}"),
        None if dossier.day <= due => return Vec::new(),
        None => "none on record".to_owned(),
    };
    vec![
        Found::new("written report of the incident", found)
            .on(incident)
            .limit(format!("until {due}"))
            .clause(if us {
                "49 CFR 171.16(a): within 30 days of discovery"
            } else {
                "ADR 2025, 1.8.5: within one month"
            })
            .way_out("send it now; enter a reading with `incident_report_sent_at`"),
    ]
}

/// `deadline.certificate`
pub(in crate::audit) fn certificate(dossier: &Dossier) -> Vec<Found> {
    let (Some(sent), None) = (dossier.last("Z10", None), dossier.last("Z11", None)) else {
        return Vec::new();
    };
    // A register that sent it on may have taken the certificate.
    if dossier.all_certified() {
        return Vec::new();
    }
    let days = (dossier.day - sent.entry.at.local_day()).num_days();
    if days <= CERTIFICATE_DAYS {
        return Vec::new();
    }
    vec![
        Found::new(
            "certificate of the treater",
            format!("none after {days} days"),
        )
        .on(sent)
        .limit(format!(
            "{CERTIFICATE_DAYS} days, a setting of this project"
        ))
        .way_out("chase it; the job stays open"),
    ]
}

/// `certificate.serials`
pub(in crate::audit) fn certificate_serials(dossier: &Dossier) -> Vec<Found> {
    let Some(one) = dossier.last("Z11", None) else {
        return Vec::new();
    };
    let listed = one.entry.evidence.texts("serials");
    let removed = dossier.removed_identities();
    let missing: Vec<&str> = removed
        .iter()
        .map(String::as_str)
        .filter(|serial| !listed.contains(serial))
        .collect();
    let strange: Vec<&str> = listed
        .iter()
        .copied()
        .filter(|serial| !removed.iter().any(|one| one == serial))
        .collect();
    if missing.is_empty() && strange.is_empty() {
        return Vec::new();
    }
    let mut found = Vec::new();
    if !missing.is_empty() {
        found.push(format!("without {}", missing.join(", ")));
    }
    if !strange.is_empty() {
        found.push(format!("names {}, never removed", strange.join(", ")));
    }
    vec![
        Found::new("serials on the certificate", found.join("; "))
            .on(one)
            .limit("every serial that was removed, each once")
            .way_out(
                "send it back to the treater: a certificate in bulk proves nothing of one module",
            ),
    ]
}

/// `certificate.mass`
pub(in crate::audit) fn certificate_mass(dossier: &Dossier) -> Vec<Found> {
    let Some(one) = dossier.last("Z11", None) else {
        return Vec::new();
    };
    let removed = (0..dossier.frame().modules.len())
        .filter(|module| dossier.job.progress().is_lifted(dossier.frame(), *module))
        .map(|module| dossier.job.net_mass(module))
        .try_fold(Grams::default(), |sum, mass| sum.plus(mass?));
    let treated = one
        .entry
        .evidence
        .number("treated_mass_kg")
        .and_then(|mass| Grams::try_from(mass).ok());
    match (removed, treated) {
        (Some(removed), Some(treated)) => {
            let off = (removed.as_thousandths() - treated.as_thousandths()).abs();
            // 40 CFR 264.72: more than 10 % in weight is a significant discrepancy.
            if off * 10 <= removed.as_thousandths() {
                return Vec::new();
            }
            vec![
                Found::new(
                    "mass on the certificate",
                    format!("{} kg", treated.decimal()),
                )
                .on(one)
                .limit(format!(
                    "within a tenth of {} kg removed",
                    removed.decimal()
                ))
                .way_out("ask the treater what else was weighed"),
            ]
        }
        _ => Vec::new(),
    }
}

/// `deadline.retention`
pub(in crate::audit) fn retention(dossier: &Dossier) -> Vec<Found> {
    let Some(one) = dossier.last("Z12", None) else {
        return Vec::new();
    };
    let kept = one
        .entry
        .evidence
        .number("retention_years")
        .and_then(Decimal::as_whole)
        .unwrap_or(0);
    let longest = longest_for(dossier);
    if kept.saturating_mul(12) >= i64::from(longest.months) {
        return Vec::new();
    }
    vec![
        Found::new("keeping of the file", format!("{kept} years"))
            .on(one)
            .limit(format!("{} months: {}", longest.months, longest.what))
            .way_out("keep the whole job for the longest period that applies"),
    ]
}

/// Whether the goods go by road under ADR on any leg.
#[must_use]
pub(in crate::audit) fn goes_by_adr(dossier: &Dossier) -> bool {
    dossier
        .plan()
        .route
        .iter()
        .any(|leg| leg.regime == Regime::Adr)
}
