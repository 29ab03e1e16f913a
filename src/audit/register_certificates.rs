//! Treaters' certificates in a register: who is on one, who should be.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::Found;
use super::checks::deadlines::CERTIFICATE_DAYS;
use super::register::{DispatchedSeen, RegisterRecord, seen};
use crate::custody::{is_waste, same_form};

/// The body of the entry, as an auditor reads it.
#[derive(Deserialize)]
struct CertificateSeen {
    number: String,
    treater: String,
    #[serde(default)]
    issued_on: Option<String>,
    #[serde(default)]
    treatment: Option<String>,
    serials: Vec<String>,
}

/// A certificate as a register keeps it, for one module.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CertifiedBy {
    /// The certificate in words, with the entry that it stands in.
    pub words: String,
}

impl RegisterRecord {
    /// Certificates by the serial, in one form, that they name.
    #[must_use]
    pub fn certified(&self) -> BTreeMap<String, CertifiedBy> {
        let mut found = BTreeMap::new();
        for (entry, one) in self.of::<CertificateSeen>("certificate_taken") {
            let day = one
                .issued_on
                .unwrap_or_else(|| entry.moment().local_day().to_string());
            let words = format!(
                "{} of {day} by {}, {} (entry {} of {})",
                one.number,
                one.treater,
                one.treatment.as_deref().unwrap_or("treatment not said"),
                entry.seq,
                self.record.log.origin()
            );
            for serial in &one.serials {
                let by = CertifiedBy {
                    words: words.clone(),
                };
                found.entry(same_form(serial)).or_insert(by);
            }
        }
        found
    }

    /// Modules that were sent for treatment and are on no certificate in time, and certificates that
    /// name what never was, or what another named before.
    pub(super) fn certificates_due(&self) -> Vec<Found> {
        let names = self.names();
        let mut sent = BTreeMap::new();
        for (entry, gone) in self.of::<DispatchedSeen>("dispatched") {
            for identity in &gone.identities {
                let form = same_form(&names.now(identity.clone()));
                sent.insert(
                    form,
                    (
                        entry,
                        identity.clone(),
                        is_waste(&gone.purpose),
                        gone.to.clone(),
                    ),
                );
            }
        }
        let mut found = Vec::new();
        let mut named: BTreeMap<String, String> = BTreeMap::new();
        for (entry, one) in self.of::<CertificateSeen>("certificate_taken") {
            let mut wrong = Vec::new();
            for serial in &one.serials {
                let form = same_form(&names.now(serial.clone()));
                if !sent.contains_key(&form) {
                    wrong.push(format!("{serial} never sent from here"));
                }
                if let Some(before) = named.insert(form, one.number.clone()) {
                    wrong.push(format!("{serial} on certificate {before} before"));
                }
            }
            if !wrong.is_empty() {
                found.push(
                    seen(
                        entry,
                        format!("certificate {} of {}", one.number, one.treater),
                        wrong.join("; "),
                    )
                    .limit("every module that was sent, each once")
                    .way_out("ask the treater which module it was; keep both letters"),
                );
            }
        }
        for (form, (entry, identity, waste, to)) in &sent {
            let days = (self.day - entry.moment().local_day()).num_days();
            if *waste && !named.contains_key(form) && days > CERTIFICATE_DAYS {
                found.push(
                    seen(
                        entry,
                        format!("certificate for {identity}"),
                        format!("none from {to} after {days} days"),
                    )
                    .limit(format!(
                        "{CERTIFICATE_DAYS} days, a setting of this project"
                    ))
                    .way_out("chase it; take it with `packdown stock certificate`"),
                );
            }
        }
        found
    }
}
