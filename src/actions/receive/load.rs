//! What a load is said to be: a hand-over, a foreign table, or nothing at all.

use std::path::Path;

use crate::actions::ActionError;
use crate::clock::Moment;
use crate::custody::{Handover, LeafRef, LogState, Organisation};
use crate::ledger::{Signed, sha256, to_hex};
use crate::store::bag::{Bundle, open_bundle};
use crate::store::{StoreError, is_demo_origin, read_text};

/// What is kept of a load in the register's folder.
#[derive(Debug, Clone)]
pub(crate) enum Kept {
    /// Nothing was stated.
    Nothing,
    /// The file as it came, with the name it is kept under.
    File(String, Vec<u8>),
    /// The bundle, with this device's cosignature beside it.
    Bundle(Box<Bundle>),
}

/// A load as it is stated.
#[derive(Debug, Clone)]
pub struct Load {
    /// What the sender states.
    pub handover: Handover,
    /// File or folder it was read from; empty where it came unannounced.
    pub source: String,
    /// How the statement is proved, in words.
    pub proof: String,
    /// The sender's `released` entry, where there is a log.
    pub released: Option<LeafRef>,
    /// The state of the sender's log that came with it.
    pub checkpoint: Option<LogState>,
    pub(crate) kept: Kept,
}

impl Load {
    /// A load that nobody announced.
    #[must_use]
    pub fn unannounced(from: &str, purpose: &str, site: &crate::custody::Site, at: Moment) -> Self {
        Self {
            handover: Handover {
                number: 0,
                job: "unannounced".into(),
                at,
                place: site.name.clone(),
                from: Organisation {
                    name: from.to_owned(),
                    address: String::new(),
                    country: None,
                },
                released_by: String::new(),
                to: receiver(site),
                taken_by: String::new(),
                taken_by_organisation: None,
                vehicle: None,
                purpose: purpose.to_owned(),
                kept: None,
                warmest_c: None,
                packages: Vec::new(),
                papers: Vec::new(),
                remarks: None,
            },
            source: String::new(),
            proof: "unannounced: nothing was stated".into(),
            released: None,
            checkpoint: None,
            kept: Kept::Nothing,
        }
    }

    /// A load as a file or folder states it.
    ///
    /// # Errors
    /// A file that cannot be read, or is of no known form.
    pub fn read(path: &Path) -> Result<Self, ActionError> {
        if path
            .extension()
            .is_some_and(|own| own.eq_ignore_ascii_case("json"))
        {
            Self::of_json(path)
        } else {
            Self::of_bundle(path)
        }
    }

    /// A load as a hand-over bundle states it, with the giver's log behind it.
    ///
    /// # Errors
    /// A zip file that plays tricks, or a bundle with a fault.
    pub fn of_bundle(path: &Path) -> Result<Self, ActionError> {
        let bundle = open_bundle(path)?;
        let signers = bundle.verification.signers.join(", ");
        let signature = match bundle.verification.signed {
            Signed::Signed if is_demo_origin(&bundle.checkpoint.origin) => {
                "signed with the public demo key, which proves nothing".to_owned()
            }
            Signed::Signed => format!("signed by {signers}, trusted here"),
            Signed::UnknownKey => format!(
                "signed by a key that is not trusted here; ask the giver for it some other way \
                 than with the load (log {})",
                bundle.checkpoint.origin
            ),
            Signed::Unsigned | Signed::BadSignature => "NOT SIGNED".into(),
        };
        Ok(Self {
            handover: bundle.handover.clone(),
            source: format!("{}.zip", bundle.name),
            proof: format!(
                "entry {} of a log of {} entries, {signature}",
                bundle.released.seq, bundle.checkpoint.size
            ),
            released: Some(bundle.released.clone()),
            checkpoint: Some(LogState {
                size: bundle.checkpoint.size,
                root: to_hex(&bundle.checkpoint.root),
            }),
            kept: Kept::Bundle(Box::new(bundle)),
        })
    }

    /// A load as the sender's own table states it.
    #[must_use]
    pub fn of_table(handover: Handover, path: &Path, text: String) -> Self {
        Self {
            handover,
            source: file_name(path),
            proof: "the sender's own table, columns confirmed here: not proved".into(),
            released: None,
            checkpoint: None,
            kept: Kept::File(kept_name(path, text.as_bytes()), text.into_bytes()),
        }
    }

    /// A hand-over stated in a JSON file of its own, without a log behind it.
    ///
    /// # Errors
    /// A file that cannot be read or is no hand-over.
    pub fn of_json(path: &Path) -> Result<Self, ActionError> {
        let text = read_text(path)?;
        let handover: Handover = serde_json::from_str(&text)
            .map_err(|why| StoreError::input(path.display(), "", why.to_string()))?;
        Ok(Self {
            handover,
            source: file_name(path),
            proof: "stated by the sender, without a log: not proved".into(),
            released: None,
            checkpoint: None,
            kept: Kept::File(kept_name(path, text.as_bytes()), text.into_bytes()),
        })
    }
}

/// The site as the receiver of a load.
pub(super) fn receiver(site: &crate::custody::Site) -> Organisation {
    Organisation {
        name: site.name.clone(),
        address: site.address.clone(),
        country: Some(site.country.clone()),
    }
}

/// The last part of a path.
pub(super) fn file_name(path: &Path) -> String {
    path.file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}

/// The name under which a file is kept: its own, made plain, after the start of its hash, so that
/// two files of one name are both kept.
pub(super) fn kept_name(path: &Path, bytes: &[u8]) -> String {
    let plain: String = file_name(path)
        .chars()
        .map(|sign| {
            if sign.is_ascii_alphanumeric() || ".-_".contains(sign) {
                sign
            } else {
                '_'
            }
        })
        .collect();
    let tag: String = to_hex(&sha256(bytes)).chars().take(12).collect();
    format!("{tag}-{plain}")
}
