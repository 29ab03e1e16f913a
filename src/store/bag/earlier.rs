//! Proofs that a module brings from the bundle it came in, where a site sends it on: they must be of
//! the very log that the site received, as the site's own signed log says.

use std::collections::BTreeSet;

use super::bundle::{Bundle, BundleFound};
use super::names::file_name_of;
use super::source::Source;
use crate::custody::{CARRIED_ON, CarriedOn};
use crate::ledger::{TlogProof, to_hex};
use crate::store::StoreError;

/// Where they lie.
const EARLIER: &str = "data/earlier/";

impl BundleFound {
    pub(super) fn earlier(
        &mut self,
        bundle: &Bundle,
        source: &mut Source,
    ) -> Result<(), StoreError> {
        let carried: Vec<CarriedOn> = bundle
            .job_log
            .entries()
            .iter()
            .filter(|entry| entry.kind == CARRIED_ON)
            .filter_map(|entry| serde_json::from_value(entry.body.clone()).ok())
            .collect();
        let mut unbound = BTreeSet::new();
        for file in bundle
            .files
            .iter()
            .filter(|file| file.path.starts_with(EARLIER))
        {
            let text = source.text(&file.path)?.unwrap_or_default();
            match fault_of(&file.path, &text, &carried) {
                Err(what) => self
                    .faults
                    .push(format!("earlier proof `{}`: {what}", file.path)),
                Ok(None) => {}
                Ok(Some(log)) => {
                    unbound.insert(log);
                }
            }
        }
        self.notes.extend(unbound.into_iter().map(|log| {
            format!("the earlier proofs of log {log} hold, but the sender did not keep which state of it came")
        }));
        Ok(())
    }
}

/// What is wrong with a file; else the log that its proofs cannot be compared with.
fn fault_of(path: &str, text: &str, carried: &[CarriedOn]) -> Result<Option<String>, String> {
    let is_of = |one: &&CarriedOn| {
        let bundle = file_name_of(&format!("{}-{}", one.job, one.handover));
        let mut names = one.also.iter().chain([&one.identity]);
        names.any(|name| path == format!("{EARLIER}{bundle}/{}.tlog-proof", file_name_of(name)))
    };
    let one = carried
        .iter()
        .find(is_of)
        .ok_or("no module of the load came that way")?;
    let released = one
        .released
        .as_ref()
        .ok_or("the module came without a log")?;
    let proofs = TlogProof::parse_all(text).map_err(|error| error.to_string())?;
    let first = proofs.first().ok_or("it is empty")?;
    if !proofs
        .iter()
        .all(|proof| proof.holds() && proof.note == first.note)
    {
        return Err("it does not hold".into());
    }
    let checkpoint = first.checkpoint().map_err(|error| error.to_string())?;
    if checkpoint.origin != released.log {
        return Err(format!(
            "it is of log {}, not of {}",
            checkpoint.origin, released.log
        ));
    }
    match &one.checkpoint {
        None => Ok(Some(checkpoint.origin)),
        Some(came) if came.size == checkpoint.size && came.root == to_hex(&checkpoint.root) => {
            Ok(None)
        }
        Some(came) => Err(format!(
            "its checkpoint covers {} entries with root {}; received were {} with root {}",
            checkpoint.size,
            to_hex(&checkpoint.root),
            came.size,
            came.root
        )),
    }
}
