//! Numbers for packages out of the user's own GS1 company prefix.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Job;
use crate::citation::Reason;
use crate::ids::{CompanyPrefix, PackageCode};

/// Numbers that a plan asks a fit of for each module: a package may be named anew.
const NUMBERS_EACH: u64 = 10;

/// The GS1 company prefix of whoever hands over, and where the numbers of this job begin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Gs1 {
    /// The prefix that GS1 gave: 6 to 12 digits. Never an invented one; invented jobs take one
    /// that begins with 952, which GS1 keeps for examples.
    pub company_prefix: String,
    /// First digit of each number, 0 to 9.
    #[serde(default)]
    pub extension_digit: u8,
    /// Number of the first package; those after it count on. No number may be given to two
    /// packages within a year, so each job gets a range of its own.
    pub first_serial_reference: u64,
}

impl Gs1 {
    /// What is wrong with it, for so many modules.
    pub(super) fn faults(&self, demo: bool, modules: usize) -> Vec<Reason> {
        let from_memory = |what: &str, value: String, limit: &str, way_out: &str| {
            Reason::new(what, value)
                .limit(limit)
                .clause("GS1 General Specifications (from memory)")
                .way_out(way_out)
        };
        let mut faults = Vec::new();
        let prefix = match CompanyPrefix::read(&self.company_prefix) {
            Ok(prefix) => prefix,
            Err(fault) => {
                let mut reason = Reason::from(fault);
                reason.what = "gs1.company_prefix".into();
                return vec![reason];
            }
        };
        if prefix.is_for_examples() != demo {
            faults.push(from_memory(
                "gs1.company_prefix",
                self.company_prefix.clone(),
                if demo {
                    "one that begins with 952 in an invented job, since any other is somebody's"
                } else {
                    "not one that begins with 952: those are for examples"
                },
                "copy it from the licence that GS1 gave you, or leave `gs1` out: packages then \
                 get a UUID",
            ));
        }
        if self.extension_digit > 9 {
            faults.push(from_memory(
                "gs1.extension_digit",
                self.extension_digit.to_string(),
                "0 to 9",
                "put the plan right",
            ));
        }
        let needed = (modules as u64).saturating_mul(NUMBERS_EACH);
        let last = self.first_serial_reference.saturating_add(needed);
        if let Err(fault) = prefix.sscc(0, last) {
            let mut reason = Reason::from(fault);
            reason.what = "gs1.first_serial_reference".into();
            faults.push(reason);
        }
        faults
    }
}

impl Job {
    /// The code of a package: an SSCC where the plan has a company prefix, else the UUID that
    /// `uuid` makes.
    ///
    /// Numbers go by the order in which the record first names the packages, so one that was given
    /// stays whatever comes after it.
    #[must_use]
    pub fn package_code(&self, package: &str, uuid: impl Fn() -> String) -> PackageCode {
        let numbered = self.plan().gs1.as_ref().and_then(|gs1| {
            let prefix = CompanyPrefix::read(&gs1.company_prefix).ok()?;
            let serial = gs1
                .first_serial_reference
                .checked_add(self.place_of_package(package)?)?;
            prefix.sscc(gs1.extension_digit, serial).ok()
        });
        match numbered {
            Some(sscc) => PackageCode::Sscc(sscc),
            None => PackageCode::Uuid(format!("urn:uuid:{}", uuid())),
        }
    }

    fn place_of_package(&self, package: &str) -> Option<u64> {
        let mut named: Vec<&str> = Vec::new();
        for taken in self.taken() {
            let Some(name) = taken.entry.evidence.text("package") else {
                continue;
            };
            if name == package {
                return u64::try_from(named.len()).ok();
            }
            if !named.contains(&name) {
                named.push(name);
            }
        }
        None
    }
}
