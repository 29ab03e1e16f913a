//! Whether each entry of a register can be: what moves has come, and has not left.

use std::collections::BTreeSet;

use serde::Deserialize;

use super::register::{ReceiptClosedSeen, seen};
use super::{Found, RegisterRecord};
use crate::custody::{IdentityMerged, RegisterEvent};

/// What an entry is about, by whichever member says it.
#[derive(Deserialize)]
struct AboutSeen {
    #[serde(default)]
    identity: Option<String>,
    #[serde(default)]
    identities: Vec<String>,
}

impl RegisterRecord {
    /// Modules that are held, let out or sent on without having come, and kinds that this program
    /// does not know.
    pub(super) fn entries(&self) -> Vec<Found> {
        let mut found = Vec::new();
        let mut here: BTreeSet<String> = BTreeSet::new();
        let mut unknown: BTreeSet<&str> = BTreeSet::new();
        for entry in self.record.log.entries() {
            let kind = entry.kind.as_str();
            if kind == "receipt_closed"
                && let Ok(closed) = ReceiptClosedSeen::deserialize(&entry.body)
            {
                for one in closed.arrived {
                    if !here.insert(one.identity.clone()) {
                        // Two modules under one serial: the receipt tells them apart.
                        here.insert(format!("{}#{}", one.identity, closed.receipt));
                    }
                }
            } else if kind == "identity_merged"
                && let Ok(merged) = IdentityMerged::deserialize(&entry.body)
            {
                here.remove(&merged.temporary);
                here.insert(merged.serial);
            } else if let Ok(about) = AboutSeen::deserialize(&entry.body)
                && matches!(kind, "held" | "reread" | "cleared" | "moved" | "dispatched")
            {
                for identity in about.identity.into_iter().chain(about.identities) {
                    let there = if kind == "dispatched" {
                        here.remove(&identity)
                    } else {
                        here.contains(&identity)
                    };
                    if !there {
                        found.push(
                            seen(entry, identity, format!("{kind}, and is not on site"))
                                .limit("came by a receipt, and has not left")
                                .way_out("look for the module, and write down where it is"),
                        );
                    }
                }
            }
            if !RegisterEvent::KINDS.contains(&kind) && unknown.insert(kind) {
                found.push(
                    seen(entry, "entry of the register", format!("kind `{kind}`"))
                        .limit("kinds that this version of the program knows")
                        .way_out("audit it with the version that wrote it"),
                );
            }
        }
        found
    }
}
