//! Opens a site's register, gives serials, states facts, settles discrepancies, verifies.

use serde::Serialize;

use super::ActionError;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{
    FactsStated, IdentityMerged, Opened, Register, RegisterEvent, Settled, Site, merge, settle,
    state,
};
use crate::ledger::{Signed, to_hex};
use crate::store::{RegisterFolder, plain};

/// A register that was opened.
#[derive(Debug, Clone, Serialize)]
pub struct RegisterOpened {
    /// Site.
    pub site: String,
    /// Bays.
    pub bays: usize,
    /// People.
    pub people: usize,
    /// Entries in the ledger.
    pub entries: u64,
    /// Whether it was opened just now; else it stood open, and what changed was recorded.
    pub opened_now: bool,
}

/// Opens the register in a folder with `site.json`, or records what changed in that file.
///
/// # Errors
/// A site that cannot be used, or a ledger that is broken.
pub fn open_register(folder: &RegisterFolder, at: Moment) -> Result<RegisterOpened, ActionError> {
    let before = folder.has_ledger();
    let (_, open) = folder.write(at, "packdown", |open| {
        // The first entry is written with whatever comes first; where nothing else comes, it is
        // asked for outright.
        if open.register.site.as_ref() == Some(&open.site) {
            return Ok(((), Vec::new()));
        }
        Ok(((), vec![(open.opened(), Vec::new())]))
    })?;
    Ok(RegisterOpened {
        site: open.site.name.clone(),
        bays: open.site.bays.len(),
        people: open.site.people.len(),
        entries: open.log.len(),
        opened_now: !before,
    })
}

type Judged = Result<Vec<RegisterEvent>, Vec<Reason>>;

/// Writes what `judge` allows; gives the reasons where it does not.
fn write(
    folder: &RegisterFolder,
    at: Moment,
    by: &str,
    judge: impl FnOnce(&Register, &Site) -> Judged,
) -> Result<Result<(), Vec<Reason>>, ActionError> {
    let (given, _) = folder.write(at, by, |open| {
        judge(&open.register, &open.site)
            .map(|events| ((), plain(events)))
            .map_err(|reasons| (reasons, Vec::new()))
    })?;
    Ok(given)
}

/// Gives a temporary identity its serial.
///
/// # Errors
/// A register that cannot be opened or is being written elsewhere.
pub fn merge_identity(
    folder: &RegisterFolder,
    merged: IdentityMerged,
    at: Moment,
) -> Result<Result<(), Vec<Reason>>, ActionError> {
    let by = merged.by.clone();
    write(folder, at, &by, |register, site| {
        merge(register, site, merged, at)
    })
}

/// Settles a discrepancy.
///
/// # Errors
/// A register that cannot be opened or is being written elsewhere.
pub fn settle_discrepancy(
    folder: &RegisterFolder,
    settled: Settled,
    at: Moment,
) -> Result<Result<(), Vec<Reason>>, ActionError> {
    let by = settled.by.clone();
    write(folder, at, &by, |register, site| {
        settle(register, site, settled, at)
    })
}

/// States a fact that was read later.
///
/// # Errors
/// A register that cannot be opened or is being written elsewhere.
pub fn state_facts(
    folder: &RegisterFolder,
    stated: FactsStated,
    at: Moment,
) -> Result<Result<(), Vec<Reason>>, ActionError> {
    let by = stated.by.clone();
    write(folder, at, &by, |register, site| {
        state(register, site, stated, at)
    })
}

/// What a verifier says of a register.
#[derive(Debug, Clone, Serialize)]
pub struct RegisterVerified {
    /// Origin of the log.
    pub log: String,
    /// Entries.
    pub entries: u64,
    /// Root, lower-case hex.
    pub root: String,
    /// What the signature is worth.
    pub signed: bool,
    /// Every break in words.
    pub breaks: Vec<String>,
    /// Entries that cannot be, in words.
    pub misfits: Vec<String>,
    /// Photographs and certificates that are missing or changed.
    pub photos: Vec<String>,
    /// Whether it holds.
    pub holds: bool,
}

/// Verifies a register's ledger and folds it again.
///
/// # Errors
/// No ledger to verify.
pub fn verify_register(folder: &RegisterFolder) -> Result<RegisterVerified, ActionError> {
    let found = folder.verification(&[])?;
    let register = Register::fold(found.log.entries());
    let photos = folder.photo_faults(&found.log);
    Ok(RegisterVerified {
        log: found.log.origin().to_owned(),
        entries: found.size,
        root: to_hex(&found.root),
        signed: matches!(found.signed, Signed::Signed),
        breaks: found.breaks.iter().map(ToString::to_string).collect(),
        misfits: register
            .misfits
            .iter()
            .map(|misfit| format!("entry {}: {}", misfit.seq, misfit.why))
            .collect(),
        holds: found.holds() && register.misfits.is_empty() && photos.is_empty(),
        photos,
    })
}

impl crate::store::OpenRegister {
    fn opened(&self) -> RegisterEvent {
        Opened {
            site: self.site.clone(),
            settings_sha256: self.settings_sha256().to_owned(),
            program: format!("packdown {}", env!("CARGO_PKG_VERSION")),
        }
        .into()
    }
}
