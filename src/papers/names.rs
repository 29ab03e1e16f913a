//! Names that machines use for the things on papers: a GS1 key where the thing carries one, else a
//! UUID made of what it is called, the same on every paper of a job.

use crate::ids::{CodeKind, GS1_DOMAIN, PackageCode, has_check_digit, name_uuid, read_scanned};
use crate::job::Job;
use crate::ledger::sha256;

/// UUID of a thing of a job: `kind` such as `package`, and what people call it.
fn uuid(job: &str, kind: &str, called: &str) -> String {
    name_uuid(&sha256(format!("{job}\0{kind}\0{called}").as_bytes()))
}

fn urn(job: &str, kind: &str, called: &str) -> String {
    format!("urn:uuid:{}", uuid(job, kind, called))
}

/// The code of a package of `job`, for its label, the tables and events.
#[must_use]
pub fn package_code(job: &Job, package: &str) -> PackageCode {
    job.package_code(package, || uuid(&job.plan().job, "package", package))
}

/// A package of the job with this name: the web address of its SSCC where it has one, else a UUID.
#[must_use]
pub fn package_name(job: &str, package: &str, sscc: Option<&str>) -> String {
    match sscc.filter(|sscc| has_check_digit(sscc)) {
        Some(sscc) => PackageCode::Sscc(sscc.to_owned()).square(),
        None => urn(job, "package", package),
    }
}

/// A battery module: the web address of its GS1 key and serial where its identity is one that
/// tells it from every other, else a UUID within the job.
#[must_use]
pub fn module_name(job: &str, serial: &str) -> String {
    let scanned = read_scanned(serial);
    let names_one = match scanned.kind {
        CodeKind::Sscc | CodeKind::Giai => serial.contains('('),
        CodeKind::ElementString | CodeKind::DigitalLink => {
            scanned.part("21").is_some() || scanned.part("8004").is_some()
        }
        _ => false,
    };
    names_one
        .then(|| scanned.link(GS1_DOMAIN).ok())
        .flatten()
        .unwrap_or_else(|| urn(job, "module", serial))
}

/// The battery pack or store that a job takes apart.
#[must_use]
pub fn pack_name(job: &str) -> String {
    urn(job, "pack", "")
}

/// A job.
#[must_use]
pub fn job_name(job: &str) -> String {
    urn(job, "job", "")
}

/// A place, by its words; the same in every job.
#[must_use]
pub fn place_name(place: &str) -> String {
    urn("", "place", place)
}

/// A firm or person, by name; the same in every job.
#[must_use]
pub fn party_name(party: &str) -> String {
    urn("", "party", party)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_the_same_each_time_and_differs_by_job_kind_and_thing() {
        let name = package_name("HL-1", "P1", None);
        assert!(read_scanned(&name).is_valid());
        let others = [
            package_name("HL-2", "P1", None),
            package_name("HL-1", "P2", None),
            package_name("HL-1", "P1", Some("095211411234567892")),
            module_name("HL-1", "P1"),
            pack_name("HL-1"),
            job_name("HL-1"),
            place_name("P1"),
            party_name("P1"),
        ];
        for (n, other) in others.iter().enumerate() {
            assert_ne!(*other, name);
            assert!(!others[..n].contains(other));
        }
    }

    #[test]
    fn a_module_with_a_gs1_serial_has_its_web_address() {
        // Number with the demonstration prefix 952 (from memory).
        assert_eq!(
            module_name("HL-1", "(01)09521234543213(21)M-1"),
            "https://id.gs1.org/01/09521234543213/21/M-1"
        );
        // A kind of article, or digits that only look like a number, names no single thing.
        for serial in ["(01)09521234543213", "09521234543213", "095211411234567892"] {
            assert!(
                module_name("HL-1", serial).starts_with("urn:uuid:"),
                "{serial}"
            );
        }
    }
}
