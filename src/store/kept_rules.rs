//! The procedure and settings that a job was opened with, kept beside it word for word.
//!
//! The opening of a job names both by their hashes. Those that ship change from version to version;
//! a job is read back by its own, so an old one still says what it said.

use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use super::StoreError;
use super::folder::settings_sha256;
use super::procedures::{load_procedure, load_settings};
use crate::job::OpenedBody;
use crate::ledger::{Sum, to_hex};
use crate::procedure::{Procedure, ProcedureError, Settings, prove};

/// The file, beside the ledger and in a bundle's payload.
pub(crate) const RULES_FILE: &str = "rules.json";

/// Sources of what a job is played by.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct KeptRules {
    /// Form of this file, `1.0`.
    format: String,
    /// The procedure's own file.
    pub(crate) procedure: String,
    /// Fragments that it includes, in order: name and source.
    fragments: Vec<(String, String)>,
    /// The settings.
    pub(crate) settings: String,
}

/// What a job is played by, and whether it is what the job was opened with.
#[derive(Debug, Clone)]
pub(crate) struct Rules {
    pub(crate) procedure: Procedure,
    pub(crate) settings: Settings,
    /// Hash of the settings as they were written.
    pub(crate) settings_sha256: String,
}

impl KeptRules {
    /// The sources of a job that is being opened: `own` and `own_settings` are the user's files,
    /// where there are any.
    pub(crate) fn of(
        procedure: &Procedure,
        own: Option<String>,
        own_settings: Option<String>,
    ) -> Self {
        let fragments = procedure.includes.iter().filter_map(|name| {
            let source = Procedure::fragment_text(name)?;
            Some((name.clone(), source.to_owned()))
        });
        let shipped = Procedure::shipped_text(&procedure.id).unwrap_or_default();
        Self {
            format: "1.0".into(),
            procedure: own.unwrap_or_else(|| shipped.to_owned()),
            fragments: fragments.collect(),
            settings: own_settings.unwrap_or_else(|| Settings::shipped_text().to_owned()),
        }
    }

    pub(crate) fn read(text: &str) -> Option<Self> {
        let kept: Self = serde_json::from_str(text).ok()?;
        kept.format.starts_with("1.").then_some(kept)
    }

    pub(crate) fn bytes(&self) -> Result<Vec<u8>, StoreError> {
        let mut bytes = serde_json::to_vec_pretty(self)?;
        bytes.push(b'\n');
        Ok(bytes)
    }

    /// The procedure, where it is the one of that hash and its proof holds.
    fn procedure(&self, sha256: &str) -> Option<Procedure> {
        let procedure = Procedure::read_kept(&self.procedure, &self.fragments).ok()?;
        let is_it = procedure.fingerprint == sha256 && prove(&procedure).is_ok();
        is_it.then_some(procedure)
    }

    /// The settings, where they are those of that hash.
    fn settings(&self, sha256: &str) -> Option<Settings> {
        let (written, now) = Settings::read_kept(&self.settings).ok()?;
        (settings_sha256(&written) == sha256).then_some(now)
    }

    /// Whether it holds the very procedure and settings that the job was opened with, by their
    /// hashes alone.
    pub(crate) fn are_of(&self, opened: &OpenedBody) -> bool {
        let mut sum = Sum::default();
        for (_, source) in &self.fragments {
            sum.add(source.as_bytes());
        }
        sum.add(self.procedure.as_bytes());
        to_hex(&sum.hash()) == opened.procedure_sha256
            && self.settings_hash().as_deref() == Some(opened.settings_sha256.as_str())
    }

    fn settings_hash(&self) -> Option<String> {
        static SHIPPED: OnceLock<Option<String>> = OnceLock::new();
        let hash = |text: &str| {
            let (written, _) = Settings::read_kept(text).ok()?;
            Some(settings_sha256(&written))
        };
        if self.settings == Settings::shipped_text() {
            // Of ten thousand bundles most have these.
            SHIPPED.get_or_init(|| hash(&self.settings)).clone()
        } else {
            hash(&self.settings)
        }
    }
}

/// What ships, read once for many jobs.
pub(crate) trait Rulebook {
    /// The procedure of that name.
    fn procedure(&self, name: &str) -> Result<Procedure, StoreError>;
    /// The settings and their hash.
    fn settings(&self) -> Result<(Settings, String), StoreError>;
}

/// What ships, for one job.
pub(crate) struct Shipped;

impl Rulebook for Shipped {
    fn procedure(&self, name: &str) -> Result<Procedure, StoreError> {
        load_procedure(name, None)
    }

    fn settings(&self) -> Result<(Settings, String), StoreError> {
        let settings = load_settings(None)?;
        let sha256 = settings_sha256(&settings);
        Ok((settings, sha256))
    }
}

/// The rules that a job is read back by: those that ship, the user's own files beside it, or those
/// kept with it, whichever it was opened with. Where none is, the user's own, else what ships; the
/// hashes then tell. `text` reads a file beside the ledger, `None` where it is not there.
///
/// # Errors
/// A user's own file that cannot be used, or a procedure that is nowhere at hand.
pub(crate) fn rules_of(
    opened: &OpenedBody,
    book: &dyn Rulebook,
    text: &mut dyn FnMut(&str) -> Result<Option<String>, StoreError>,
) -> Result<Rules, StoreError> {
    let mut at_hand = AtHand { text, kept: None };
    let procedure = at_hand.the_one(
        book.procedure(opened.plan.procedure_name()),
        |one| one.fingerprint == opened.procedure_sha256,
        "procedure.toml",
        own_procedure,
        |kept| kept.procedure(&opened.procedure_sha256),
    )?;
    let sha256 = &opened.settings_sha256;
    let (settings, settings_sha256) = at_hand.the_one(
        Ok(book.settings()?),
        |(_, hash)| hash == sha256,
        "settings.toml",
        own_settings,
        |kept| Some((kept.settings(sha256)?, sha256.clone())),
    )?;
    Ok(Rules {
        procedure,
        settings,
        settings_sha256,
    })
}

/// Gives the text of a file beside the ledger, `None` where it is not there.
type TextOf<'t> = dyn FnMut(&str) -> Result<Option<String>, StoreError> + 't;

/// What lies beside the ledger.
struct AtHand<'a, 't> {
    text: &'a mut TextOf<'t>,
    /// What is kept with the job, once it was looked for.
    kept: Option<Option<KeptRules>>,
}

impl AtHand<'_, '_> {
    fn kept(&mut self) -> Result<Option<&KeptRules>, StoreError> {
        let kept = match self.kept.take() {
            Some(kept) => kept,
            None => (self.text)(RULES_FILE)?
                .as_deref()
                .and_then(KeptRules::read),
        };
        Ok(self.kept.insert(kept).as_ref())
    }

    /// What ships, the user's own file, or what is kept, whichever `is_it`; where none is, the
    /// user's own, else what ships.
    fn the_one<T>(
        &mut self,
        ships: Result<T, StoreError>,
        is_it: impl Fn(&T) -> bool,
        file: &str,
        read: fn(&str) -> Result<T, StoreError>,
        of_kept: impl Fn(&KeptRules) -> Option<T>,
    ) -> Result<T, StoreError> {
        if ships.as_ref().is_ok_and(&is_it) {
            return ships;
        }
        let best = match (self.text)(file)? {
            Some(text) => read(&text),
            None => ships,
        };
        if best.as_ref().is_ok_and(&is_it) {
            return best;
        }
        self.kept()?.and_then(of_kept).map_or(best, Ok)
    }
}

fn own_procedure(text: &str) -> Result<Procedure, StoreError> {
    let name = || "procedure.toml".to_owned();
    let wrong = |why: ProcedureError| StoreError::Procedure {
        name: name(),
        why: Box::new(why),
    };
    let procedure = Procedure::read(text).map_err(wrong)?;
    prove(&procedure).map_err(|escapes| StoreError::Unproved {
        name: name(),
        escapes,
    })?;
    Ok(procedure)
}

fn own_settings(text: &str) -> Result<(Settings, String), StoreError> {
    let settings = Settings::read(text).map_err(|why| StoreError::Settings {
        path: "settings.toml".into(),
        why: Box::new(why),
    })?;
    let sha256 = settings_sha256(&settings);
    Ok((settings, sha256))
}
