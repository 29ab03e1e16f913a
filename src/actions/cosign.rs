//! The receiver's device signs what it saw of the giver's log, and remembers it.

use std::path::{Path, PathBuf};

use serde::Serialize;

use super::ActionError;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{RECEIVERS, Taken};
use crate::ledger::to_hex;
use crate::store::bag::{Bundle, open_bundle};
use crate::store::{RegisterFolder, cosign, replace, signing_key};

/// What cosigning gave.
#[derive(Debug, Clone, Serialize)]
pub struct CosignedBundle {
    /// The file to send back to the giver.
    pub file: PathBuf,
    /// Name of the key that signed.
    pub by: String,
    /// When.
    pub at: Moment,
    /// The giver's log.
    pub log: String,
    /// Entries that the checkpoint covers.
    pub size: u64,
    /// Root over them, lower-case hexadecimal.
    pub root: String,
    /// Entries of the same log that this device had seen before; none at the first sight.
    pub seen_before: Option<u64>,
    /// Who takes the load, as signed beside the cosignature.
    pub taken: Option<Taken>,
    /// Whether the job is invented, so that nothing is proved.
    pub demo: bool,
}

/// Who takes the load over, by name; by the name in its `site.json` where the site is said.
#[derive(Debug, Clone, Copy)]
pub struct TakenBy<'a> {
    /// The person.
    pub person: &'a str,
    /// Folder of the site's register, or its `site.json`.
    pub site: Option<&'a Path>,
}

/// Cosigns the checkpoint of the bundle at `path` and writes the note to `out`.
///
/// # Errors
/// A bundle with a fault, a person who may not receive, or a bundle whose log is not the continuation of what this device saw of it
/// before: a fork, which nobody but people can resolve.
pub fn cosign_bundle(
    path: &Path,
    out: &Path,
    at: Option<Moment>,
    by: Option<TakenBy<'_>>,
) -> Result<CosignedBundle, ActionError> {
    let bundle = open_bundle(path)?;
    let at = at.unwrap_or_else(Moment::present).whole_seconds();
    // Whoever may not take the load stops it before anything is signed.
    let taken = by.map(|by| taken_by(by, &bundle, at)).transpose()?;
    let cosigned = cosign(&bundle, at)?;
    let mut text = cosigned.note.to_string();
    if let Some(taken) = &taken {
        text.push_str(&taken.sign(&signing_key(cosigned.demo)?)?.to_string());
    }
    replace(out, text.as_bytes())?;
    Ok(CosignedBundle {
        file: out.into(),
        by: cosigned.by,
        at,
        log: bundle.checkpoint.origin.clone(),
        size: bundle.checkpoint.size,
        root: to_hex(&bundle.checkpoint.root),
        seen_before: cosigned.seen_before,
        taken,
        demo: cosigned.demo,
    })
}

/// The person with the competence that is in date at the site, where the site is said.
fn taken_by(by: TakenBy<'_>, bundle: &Bundle, at: Moment) -> Result<Taken, ActionError> {
    let mut taken = Taken {
        log: bundle.checkpoint.origin.clone(),
        size: bundle.checkpoint.size,
        root: to_hex(&bundle.checkpoint.root),
        person: by.person.trim().to_owned(),
        site: None,
        competence: None,
        at,
    };
    if taken.person.is_empty() || taken.person.chars().any(char::is_control) {
        return Err(ActionError::Handover(
            Reason::new(
                "who takes the load",
                format!("`{}`", taken.person.escape_debug()),
            )
            .limit("a name on one line")
            .way_out("say the person with --by"),
        ));
    }
    if let Some(place) = by.site {
        let folder = match place.file_name() {
            Some(name) if name == "site.json" => place.parent().unwrap_or(place),
            _ => place,
        };
        let site = RegisterFolder::at(folder).site()?;
        let day = at.local_day();
        let person = site
            .competent(&taken.person, &RECEIVERS, day, "take a load over")
            .map_err(ActionError::Handover)?;
        let had = person.competence(&RECEIVERS, day);
        taken.competence = had.map(|had| format!("{} until {}", had.role.words(), had.expires_on));
        taken.person.clone_from(&person.name);
        taken.site = Some(site.name.clone());
    }
    Ok(taken)
}
