//! A site's register on disk: `site.json`, the ledger under `ledger/`, bundles as received.
//!
//! The ledger is the register: everything else can be made again from it. It is written in the
//! manner of a job's ledger. `site.json` may be edited; the next entry then records the change.

use std::fs;
use std::path::{Path, PathBuf};

use super::StoreError;
use super::bag::{Bundle, file_name_of, keep};
use super::device_log::DeviceLog;
use super::folder::settings_sha256;
use super::keys::signing_key;
use super::record::read_text;
use super::seen::cosign;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{Opened, Register, RegisterEvent, Site, Tolerances};
use crate::ledger::{Draft, Log, Note, Verification, Verifier};
use crate::procedure::Settings;

/// A register's folder.
#[derive(Debug, Clone)]
pub struct RegisterFolder {
    path: PathBuf,
}

/// A register read back from its ledger.
#[derive(Debug)]
pub struct OpenRegister {
    /// As its entries make it.
    pub register: Register,
    /// The site as `site.json` states it now.
    pub site: Site,
    /// The numbers in force.
    pub tolerances: Tolerances,
    /// The log.
    pub log: Log,
    settings_sha256: String,
}

/// Entries with the leaf hashes or ids that they answer.
pub(crate) type Answered = (RegisterEvent, Vec<String>);

impl OpenRegister {
    /// SHA-256 over the settings in force.
    pub(crate) fn settings_sha256(&self) -> &str {
        &self.settings_sha256
    }
}

impl RegisterFolder {
    /// The folder at `path`; it need not exist.
    #[must_use]
    pub fn at(path: impl Into<PathBuf>) -> Self {
        Self { path: path.into() }
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Whether it has a ledger.
    #[must_use]
    pub fn has_ledger(&self) -> bool {
        DeviceLog::in_folder(&self.path).file().exists()
    }

    /// The site as `site.json` states it.
    ///
    /// # Errors
    /// No such file, or one that cannot be used.
    pub fn site(&self) -> Result<Site, StoreError> {
        let path = self.path.join("site.json");
        let text = read_text(&path)?;
        Site::read(&text).map_err(|why| StoreError::Site { path, why })
    }

    /// The settings in force: the site's own `settings.toml`, else those that ship.
    ///
    /// # Errors
    /// A file that cannot be used.
    pub fn settings(&self) -> Result<Settings, StoreError> {
        let path = self.path.join("settings.toml");
        let read = if path.exists() {
            Settings::read_for_sites(&read_text(&path)?)
        } else {
            Settings::shipped_for_sites()
        };
        read.map_err(|why| StoreError::Settings {
            path,
            why: Box::new(why),
        })
    }

    /// What a verifier says of the ledger, with `more` keys trusted.
    ///
    /// # Errors
    /// No ledger, or one that cannot be read at all.
    pub fn verification(&self, more: &[Verifier]) -> Result<Verification, StoreError> {
        DeviceLog::in_folder(&self.path).verification(more)
    }

    /// Reads the register back; one without a ledger yet is empty.
    ///
    /// # Errors
    /// A site or settings that cannot be used, a ledger that is broken, or one that is no
    /// register's.
    pub fn open(&self) -> Result<OpenRegister, StoreError> {
        let site = self.site()?;
        let settings = self.settings()?;
        let (log, register) = if self.has_ledger() {
            let verification = self.verification(&[])?;
            if let Some(fault) = verification.breaks.iter().find(|fault| !fault.is_lawful()) {
                return Err(StoreError::LedgerBroken {
                    path: self.path.clone(),
                    what: fault.to_string(),
                });
            }
            let log = verification.log;
            if log
                .entries()
                .first()
                .is_some_and(|entry| entry.kind != "register_opened")
            {
                return Err(StoreError::OtherRecord {
                    path: self.path.clone(),
                    what: "its first entry does not open a register".into(),
                });
            }
            let register = Register::fold(log.entries());
            (log, register)
        } else {
            let key = signing_key(site.demo)?;
            (Log::open(key.name())?, Register::default())
        };
        Ok(OpenRegister {
            register,
            tolerances: Tolerances::from(&settings),
            settings_sha256: settings_sha256(&settings),
            site,
            log,
        })
    }

    /// Under the writer's lock: reads the register, asks `decide` which entries to write, writes
    /// them, on disk before this returns, and gives what `decide` gave.
    ///
    /// Where `decide` says no, the entries that come with the no are written all the same.
    ///
    /// # Errors
    /// A register that cannot be opened, or one that is being written elsewhere.
    pub(crate) fn write<T>(
        &self,
        at: Moment,
        actor: &str,
        decide: impl FnOnce(&OpenRegister) -> Decided<T>,
    ) -> Result<(Result<T, Vec<Reason>>, OpenRegister), StoreError> {
        if !self.path.join("site.json").exists() {
            // Without a site there is nothing to lock, and no folder to leave behind.
            self.site()?;
        }
        let device = DeviceLog::in_folder(&self.path);
        let _lock = device.lock()?;
        let mut open = self.open()?;
        let decided = decide(&open);
        let (given, events) = match decided {
            Ok((given, events)) => (Ok(given), events),
            Err((reasons, events)) => (Err(reasons), events),
        };
        if events.is_empty() {
            return Ok((given, open));
        }
        let key = signing_key(open.site.demo)?;
        let good_bytes = open.log.good_bytes();
        let mut lines = String::new();
        let stated = open.register.site.as_ref() == Some(&open.site);
        let first = events
            .first()
            .is_some_and(|(event, _)| event.kind() == "register_opened");
        let opened = (!stated && !first).then(|| {
            let opened = Opened {
                site: open.site.clone(),
                settings_sha256: open.settings_sha256.clone(),
                program: format!("packdown {}", env!("CARGO_PKG_VERSION")),
            };
            (RegisterEvent::from(opened), Vec::new())
        });
        for (event, refs) in opened.into_iter().chain(events) {
            let appended = open.log.append(Draft {
                time: at,
                actor: actor.to_owned(),
                kind: event.kind().to_owned(),
                body: event.body()?,
                refs,
                photos: Vec::new(),
            })?;
            lines.push_str(&appended.line);
        }
        device.append(&open.log, good_bytes, &lines, &key)?;
        open.register = Register::fold(open.log.entries());
        Ok((given, open))
    }

    /// Keeps a copy of what was received, as it came, under `bundles/`.
    ///
    /// # Errors
    /// A file that cannot be read or written.
    pub(crate) fn keep(&self, name: &str, bytes: &[u8]) -> Result<PathBuf, StoreError> {
        let folder = self.path.join("bundles");
        fs::create_dir_all(&folder).map_err(StoreError::file(&folder))?;
        let path = folder.join(name);
        if !path.exists() {
            super::device_log::replace(&path, bytes)?;
        }
        Ok(path)
    }
}

impl RegisterFolder {
    /// Keeps a bundle as it came, and beside it the giver's checkpoint with this device's
    /// cosignature. What was cosigned before is not signed again. Gives the cosigned checkpoint.
    ///
    /// # Errors
    /// Another bundle of that name, a log that is not the continuation of what this device saw of
    /// it before, or a folder that cannot be written.
    pub(crate) fn keep_bundle(&self, bundle: &Bundle, at: Moment) -> Result<PathBuf, StoreError> {
        let name = file_name_of(&bundle.name);
        let beside = self.path.join(format!("bundles/{name}.checkpoint"));
        let note = if beside.exists() {
            Note::parse(&read_text(&beside)?)?
        } else {
            cosign(bundle, at.whole_seconds())?.note
        };
        keep(&self.path, bundle, &note)?;
        Ok(beside)
    }
}

/// What a decision gives: an answer and entries, or reasons and entries that are written all the
/// same.
pub(crate) type Decided<T> = Result<(T, Vec<Answered>), (Vec<Reason>, Vec<Answered>)>;

/// Entries that answer nothing outside the register.
pub(crate) fn plain(events: Vec<RegisterEvent>) -> Vec<Answered> {
    events
        .into_iter()
        .map(|event| (event, Vec::new()))
        .collect()
}
