//! A treater's certificate: taken only with its serials, and matched with what left the site.

use std::collections::BTreeSet;

use super::event::CertificateTaken;
use super::receiving::RECEIVERS;
use super::register::Register;
use super::same_form;
use super::site::Site;
use crate::citation::Reason;
use crate::clock::Moment;

/// Takes a certificate; what it names and this site never sent is kept with it, and said.
///
/// # Errors
/// Every reason why not: no number, no serial, one that came in before.
pub fn certify(
    register: &Register,
    site: &Site,
    mut taken: CertificateTaken,
    now: Moment,
) -> Result<CertificateTaken, Vec<Reason>> {
    site.competent(&taken.by, &RECEIVERS, now.local_day(), "take a certificate")
        .map_err(|no| vec![no])?;
    let mut no = Vec::new();
    for (what, value) in [
        ("number of the certificate", &taken.number),
        ("who treated", &taken.treater),
    ] {
        if value.trim().is_empty() {
            no.push(
                Reason::new(what, "empty")
                    .limit("as the certificate says")
                    .way_out("a certificate without it proves nothing: ask the treater"),
            );
        }
    }
    let mut seen = BTreeSet::new();
    let twice: Vec<&str> = taken
        .serials
        .iter()
        .filter(|serial| !seen.insert(same_form(serial)))
        .map(String::as_str)
        .collect();
    if taken.serials.is_empty() || !twice.is_empty() {
        let value = if twice.is_empty() {
            "none".to_owned()
        } else {
            format!("{} twice", twice.join(", "))
        };
        no.push(
            Reason::new("serials on the certificate", value)
                .limit("every module by its serial, each once")
                .clause("step Z11 of the procedure (project default, not law)")
                .way_out("send it back to the treater: in bulk it proves nothing of one module"),
        );
    }
    if let Some(issued) = taken.issued_on.filter(|day| *day > now.local_day()) {
        no.push(
            Reason::new("day of the certificate", issued.to_string())
                .limit(format!("not after {}", now.local_day()))
                .way_out("look at the certificate again"),
        );
    }
    let same = |before: &CertificateTaken| {
        before.number == taken.number && before.treater == taken.treater
    };
    if let Some((at, before)) = register.certificates.iter().find(|(_, one)| same(one)) {
        no.push(
            Reason::new(
                format!("certificate {} of {}", taken.number, taken.treater),
                format!("taken on {at} by {}", before.by),
            )
            .limit("once")
            .way_out("if it was put right since, ask the treater for one with a number of its own"),
        );
    }
    if !no.is_empty() {
        return Err(no);
    }
    let item = |serial: &&String| register.item(serial);
    taken.never_sent = taken
        .serials
        .iter()
        .filter(|serial| item(serial).is_none_or(|item| item.gone.is_none()))
        .cloned()
        .collect();
    taken.named_before = taken
        .serials
        .iter()
        .filter(|serial| item(serial).is_some_and(|item| !item.certified.is_empty()))
        .cloned()
        .collect();
    Ok(taken)
}

/// Modules that were sent on as waste and that no certificate names yet, with the day on which they
/// left; the longest first.
#[must_use]
pub fn not_certified(register: &Register) -> Vec<(String, Moment)> {
    let mut waiting: Vec<(String, Moment)> = register
        .items
        .values()
        .filter(|item| item.certified.is_empty())
        .filter_map(|item| {
            let gone = item.gone.as_ref()?;
            let is_waste = super::is_waste(&gone.dispatched.purpose);
            is_waste.then(|| (item.arrived.identity.clone(), gone.at))
        })
        .collect();
    waiting.sort_by(|one, other| (one.1, &one.0).cmp(&(other.1, &other.0)));
    waiting
}
