//! A load from the opening of its receipt to its end; each scan on disk before it is answered.

use std::path::{Path, PathBuf};

use super::load::{self, Kept, Load};
use super::shown::{ReceiptShown, receipt_shown};
use crate::actions::ActionError;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{
    self, ColumnsConfirmed, Compared, Expected, Handover, Heard, Opening, RECEIVERS, ReceiptOpened,
    Scan, Subject,
};
use crate::ids::{CodeKind, GS1_DOMAIN, read_scanned};
use crate::papers::names::{module_name, package_name};
use crate::store::{RegisterFolder, StoreError, plain, read_text};

/// A wish that was refused, or what it gave.
pub type Granted<T> = Result<T, Vec<Reason>>;

/// A load that is being received.
#[derive(Debug, Clone)]
pub struct Receiving {
    folder: RegisterFolder,
    receipt: String,
    by: String,
    at: Option<Moment>,
    handover: Handover,
    /// Scans that were kept before, where an open receipt is gone on with.
    pub kept_before: usize,
    /// The giver's checkpoint with this device's cosignature, to be sent back.
    pub cosigned: Option<PathBuf>,
}

/// Who brings a load.
#[derive(Debug, Clone, Default)]
pub struct Delivery {
    /// The driver.
    pub delivered_by: String,
    /// Vehicle.
    pub vehicle: Option<String>,
}

/// What a code names, in the way of writing that the sender's list has: the text as it stands, the
/// name that a package label carries, the key of a GS1 code, or the serial in it. A code that is
/// not on the list keeps its key, so that it is the same thing at the next scan.
pub(crate) fn identity_of(code: &str, expected: &Expected<'_>) -> String {
    let text = code.trim();
    let listed = |name: &str| expected.module(name).is_some() || expected.package(name).is_some();
    let scanned = read_scanned(text);
    if listed(text) || scanned.kind == CodeKind::Plain || !scanned.is_valid() {
        return text.to_owned();
    }
    let name = scanned.identity_text();
    let job = &expected.handover().job;
    let link = scanned.link(GS1_DOMAIN).ok();
    let is_meant = |known: String| known == name || Some(known) == link;
    let package = || {
        let mut packages = expected.packages().iter();
        packages
            .find(|one| is_meant(package_name(job, &one.id, one.sscc.as_deref())))
            .map(|one| &one.id)
    };
    let module = || {
        let mut modules = expected.modules().map(|(_, module)| &module.identity);
        modules.find(|identity| is_meant(module_name(job, identity)))
    };
    let labelled = package().or_else(module).cloned();
    let serial = || scanned.part("21").filter(|serial| listed(serial));
    labelled
        .or_else(|| listed(&name).then(|| name.clone()))
        .or_else(|| serial().map(str::to_owned))
        .unwrap_or(name)
}

/// The code as it was scanned, where it is not the identity itself.
pub(crate) fn code_kept(code: &str, subject: &Subject) -> Option<String> {
    let code = code.trim();
    match subject {
        Subject::Package(name) | Subject::Module(name) if name != code && !code.is_empty() => {
            Some(code.to_owned())
        }
        _ => None,
    }
}

/// Opens the receipt of `load`, or goes on with it.
///
/// # Errors
/// A register that cannot be opened or is being written elsewhere.
pub fn begin(
    folder: &RegisterFolder,
    load: Load,
    delivery: &Delivery,
    confirmed: Option<ColumnsConfirmed>,
    by: &str,
    at: Option<Moment>,
) -> Result<Granted<Receiving>, ActionError> {
    let now = ActionError::in_time(at)?;
    let handover = load.handover.clone();
    let site = folder.site()?;
    // Nothing is cosigned for somebody who may not receive.
    if let Err(no) = site.competent(by, &RECEIVERS, now.local_day(), "receive a load") {
        return Ok(Err(vec![no]));
    }
    // Kept first: the entry that names it must never stand without it.
    let cosigned = match &load.kept {
        Kept::Nothing => None,
        Kept::File(name, bytes) => {
            folder.keep(name, bytes)?;
            None
        }
        Kept::Bundle(bundle) => Some(folder.keep_bundle(bundle, now)?),
    };
    let refs: Vec<String> = load
        .released
        .iter()
        .map(|leaf| leaf.leaf_hash.clone())
        .collect();
    let (given, open) = folder.write(now, by, |open| {
        let opened = ReceiptOpened {
            receipt: open.register.next_receipt(),
            handover: load.handover,
            source: load.source,
            proof: load.proof,
            released: load.released,
            checkpoint: load.checkpoint,
            delivered_by: delivery.delivered_by.clone(),
            vehicle: delivery.vehicle.clone(),
        };
        let name = opened.receipt.clone();
        match custody::open(
            &open.register,
            &open.site,
            &open.tolerances,
            opened,
            by,
            now,
        ) {
            Ok(Opening::New(event)) => {
                let mut events = plain(confirmed.map(Into::into).into_iter().collect());
                events.push((event, refs));
                Ok((name, events))
            }
            Ok(Opening::GoesOn(name)) => Ok((name, Vec::new())),
            Err((reasons, events)) => Err((reasons, plain(events))),
        }
    })?;
    Ok(given.map(|receipt| Receiving {
        kept_before: open
            .register
            .receipts
            .get(&receipt)
            .map_or(0, |one| one.scans.len()),
        handover: open
            .register
            .receipts
            .get(&receipt)
            .map_or(handover, |one| one.opened.handover.clone()),
        cosigned,
        folder: folder.clone(),
        receipt,
        by: by.to_owned(),
        at,
    }))
}

impl Receiving {
    /// Name of the receipt.
    #[must_use]
    pub fn receipt(&self) -> &str {
        &self.receipt
    }

    /// What was stated.
    #[must_use]
    pub const fn handover(&self) -> &Handover {
        &self.handover
    }

    /// Takes one scan: it is on disk before this returns. Gives its number, what it was about,
    /// and what is to be said at once.
    ///
    /// # Errors
    /// A register that cannot be opened or is being written elsewhere.
    pub fn scan(&self, mut scan: Scan) -> Result<Granted<(u32, Subject, Heard)>, ActionError> {
        let now = ActionError::in_time(self.at)?;
        if let Err(why) = self.keep_photos(&mut scan) {
            return Ok(Err(vec![why]));
        }
        let (given, _) = self.folder.write(now, &self.by, |open| {
            custody::scan(
                &open.register,
                &open.site,
                &open.tolerances,
                &self.receipt,
                scan,
            )
            .map(|(event, subject, heard)| {
                let number = match &event {
                    custody::RegisterEvent::Scanned(scanned) => scanned.number,
                    _ => 0,
                };
                ((number, subject, heard), plain(vec![event]))
            })
            .map_err(|reasons| (reasons, Vec::new()))
        })?;
        Ok(given)
    }

    /// Keeps the photographs of a scan, before the entry that names them.
    fn keep_photos(&self, scan: &mut Scan) -> Result<(), Reason> {
        for photo in scan.photos.iter_mut().filter(|one| one.sha256.is_empty()) {
            *photo = self
                .folder
                .keep_photo(Path::new(&photo.file))
                .map_err(|why| {
                    Reason::new("photograph", why.to_string())
                        .limit("a file that can be read and kept beside the register")
                        .way_out("look where the camera put it; nothing was taken from this line")
                })?;
        }
        Ok(())
    }

    /// Takes the last scan back that still counts.
    ///
    /// # Errors
    /// As [`Self::scan`].
    pub fn undo_last(&self) -> Result<Granted<(u32, Subject, Heard)>, ActionError> {
        let scans = self
            .folder
            .open()?
            .register
            .receipts
            .get(&self.receipt)
            .map(|receipt| receipt.scans.clone())
            .unwrap_or_default();
        let withdrawn: Vec<u32> = scans.iter().filter_map(|scan| scan.withdraws).collect();
        let last = (1_u32..)
            .zip(&scans)
            .filter(|(number, scan)| scan.withdraws.is_none() && !withdrawn.contains(number))
            .last();
        let Some((number, last)) = last else {
            return Ok(Err(vec![
                Reason::new("scan to take back", "none").way_out("scan first"),
            ]));
        };
        let mut scan = Scan::of(last.subject.clone());
        scan.sight = false;
        scan.withdraws = Some(number);
        self.scan(scan)
    }

    /// Takes many scans at once: all of them on disk, or none.
    ///
    /// # Errors
    /// A register that cannot be opened or is being written elsewhere.
    pub fn scan_all(&self, mut scans: Vec<Scan>) -> Result<Granted<usize>, ActionError> {
        let now = ActionError::in_time(self.at)?;
        for scan in &mut scans {
            if let Err(why) = self.keep_photos(scan) {
                return Ok(Err(vec![why]));
            }
        }
        let (given, _) = self.folder.write(now, &self.by, |open| {
            custody::scan_all(&open.register, &open.site, &self.receipt, scans)
                .map(|events| (events.len(), plain(events)))
                .map_err(|reasons| (reasons, Vec::new()))
        })?;
        Ok(given)
    }

    /// How the receipt stands.
    ///
    /// # Errors
    /// A register that cannot be opened.
    pub fn standing(&self) -> Result<Granted<Compared>, ActionError> {
        let open = self.folder.open()?;
        Ok(
            custody::standing(&open.register, &open.tolerances, &self.receipt)
                .map_err(|no| vec![no]),
        )
    }

    /// Closes the receipt.
    ///
    /// # Errors
    /// A register that cannot be opened or is being written elsewhere.
    pub fn close(&self, bay: Option<&str>) -> Result<Granted<ReceiptShown>, ActionError> {
        let now = ActionError::in_time(self.at)?;
        let refs = self.refs()?;
        let (given, open) = self.folder.write(now, &self.by, |open| {
            custody::close(
                &open.register,
                &open.site,
                &open.tolerances,
                &self.receipt,
                &self.by,
                bay,
                now,
            )
            .map(|mut closing| {
                let events = std::mem::take(&mut closing.events);
                let answered = events
                    .into_iter()
                    .map(|event| (event, refs.clone()))
                    .collect();
                (closing, answered)
            })
            .map_err(|reasons| (reasons, Vec::new()))
        })?;
        Ok(given.map(|closing| receipt_shown(&open, &self.receipt, &closing, now)))
    }

    /// Refuses the load.
    ///
    /// # Errors
    /// A register that cannot be opened or is being written elsewhere.
    pub fn refuse(&self, reason: &str) -> Result<Granted<()>, ActionError> {
        let now = ActionError::in_time(self.at)?;
        let refs = self.refs()?;
        let (given, _) = self.folder.write(now, &self.by, |open| {
            custody::refuse(
                &open.register,
                &open.site,
                &open.tolerances,
                &self.receipt,
                &self.by,
                reason,
                now,
            )
            .map(|events| {
                let answered = events
                    .into_iter()
                    .map(|event| (event, refs.clone()))
                    .collect();
                ((), answered)
            })
            .map_err(|reasons| (reasons, Vec::new()))
        })?;
        Ok(given)
    }

    /// The leaf of the sender's release, which every entry about the receipt answers.
    fn refs(&self) -> Result<Vec<String>, ActionError> {
        let open = self.folder.open()?;
        Ok(open
            .register
            .receipts
            .get(&self.receipt)
            .and_then(|receipt| receipt.opened.released.as_ref())
            .map(|leaf| leaf.leaf_hash.clone())
            .into_iter()
            .collect())
    }
}

/// The text of a file, and the name that a message gives it.
///
/// # Errors
/// A file that cannot be read.
pub fn read_named(path: &Path) -> Result<(String, String), StoreError> {
    Ok((load::file_name(path), read_text(path)?))
}
