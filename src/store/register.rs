//! A site's register on disk: `site.json`, the ledger under `ledger/`, bundles as received.
//!
//! The ledger is the register: everything else can be made again from it. It is written in the
//! manner of a job's ledger. `site.json` may be edited; the next entry then records the change.

use std::cell::RefCell;
use std::fs;
use std::path::{Path, PathBuf};
use std::rc::Rc;

use super::StoreError;
use super::bag::{Bundle, file_name_of, keep};
use super::device_log::DeviceLog;
use super::folder::settings_sha256;
use super::keys::signing_key;
use super::record::read_text;
use super::register_reading::{Seen, read_again};
use super::seen::cosign;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{DockPhoto, Opened, Register, RegisterEvent, Site, Tolerances};
use crate::ledger::{Draft, Log, Note, Photo, Verification, Verifier, sha256, to_hex};
use crate::procedure::Settings;

/// A register's folder, with what was read of it last.
#[derive(Debug, Clone)]
pub struct RegisterFolder {
    path: PathBuf,
    seen: Rc<RefCell<Option<Seen>>>,
}

/// A register read back from its ledger.
#[derive(Debug, Clone)]
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

/// What was decided, or why not, and the register after it.
pub(crate) type Given<T> = (Result<T, Vec<Reason>>, Rc<OpenRegister>);

/// Entries with the leaf hashes or ids that they answer.
pub(crate) type Answered = (RegisterEvent, Vec<String>);

impl OpenRegister {
    /// SHA-256 over the settings in force.
    pub(crate) fn settings_sha256(&self) -> &str {
        &self.settings_sha256
    }

    /// Appends events, after one that states the site where it was changed. Gives the lines.
    fn append(
        &mut self,
        at: Moment,
        actor: &str,
        events: Vec<Answered>,
    ) -> Result<String, StoreError> {
        let stated = self.register.site.as_ref() == Some(&self.site);
        let first = events
            .first()
            .is_some_and(|(event, _)| event.kind() == "register_opened");
        let opened = (!stated && !first).then(|| {
            let opened = Opened {
                site: self.site.clone(),
                settings_sha256: self.settings_sha256.clone(),
                program: format!("packdown {}", env!("CARGO_PKG_VERSION")),
            };
            (RegisterEvent::from(opened), Vec::new())
        });
        let mut lines = String::new();
        for (event, refs) in opened.into_iter().chain(events) {
            let appended = self.log.append(Draft {
                time: at,
                actor: actor.to_owned(),
                kind: event.kind().to_owned(),
                body: event.body()?,
                refs,
                photos: event.photos().iter().map(Photo::from).collect(),
            })?;
            lines.push_str(&appended.line);
            if let Some(entry) = self.log.entries().last() {
                self.register.take(entry);
            }
        }
        Ok(lines)
    }
}

impl RegisterFolder {
    /// The folder at `path`; it need not exist.
    #[must_use]
    pub fn at(path: impl Into<PathBuf>) -> Self {
        Self {
            path: path.into(),
            seen: Rc::default(),
        }
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

    /// Reads the register back; one without a ledger yet is empty. What this value read before and
    /// finds unchanged, byte by byte, is not read again.
    ///
    /// # Errors
    /// A site or settings that cannot be used, a ledger that is broken, or one that is no
    /// register's.
    pub fn open(&self) -> Result<Rc<OpenRegister>, StoreError> {
        let read = self.read()?;
        let open = Rc::clone(&read.open);
        *self.seen.borrow_mut() = Some(read);
        Ok(open)
    }

    fn read(&self) -> Result<Seen, StoreError> {
        let site = self.site()?;
        let settings = self.settings()?;
        let device = DeviceLog::in_folder(&self.path);
        // Taken out: a reading that fails leaves nothing to be trusted.
        let seen = self.seen.take();
        let (log, register, bytes, checkpoint) = if self.has_ledger() {
            let read = read_again(&device, seen, &self.path)?;
            (read.log, read.register, read.bytes, read.checkpoint)
        } else {
            let key = signing_key(site.demo)?;
            let log = Log::open(key.name())?;
            (log, Register::default(), Vec::new(), None)
        };
        Ok(Seen {
            bytes,
            checkpoint,
            open: Rc::new(OpenRegister {
                register,
                tolerances: Tolerances::from(&settings),
                settings_sha256: settings_sha256(&settings),
                site,
                log,
            }),
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
    ) -> Result<Given<T>, StoreError> {
        if !self.path.join("site.json").exists() {
            // Without a site there is nothing to lock, and no folder to leave behind.
            self.site()?;
        }
        let device = DeviceLog::in_folder(&self.path);
        let _lock = device.lock()?;
        let mut read = self.read()?;
        let (given, events) = match decide(&read.open) {
            Ok((given, events)) => (Ok(given), events),
            Err((reasons, events)) => (Err(reasons), events),
        };
        if !events.is_empty() {
            // Nobody else holds it but a caller that kept an earlier answer.
            let mut open = Rc::unwrap_or_clone(read.open);
            let lines = open.append(at, actor, events)?;
            let key = signing_key(open.site.demo)?;
            let good_bytes = read.bytes.len() as u64;
            let checkpoint = device.append(&open.log, good_bytes, &lines, &key)?;
            read.bytes.extend_from_slice(lines.as_bytes());
            read.checkpoint = Some(checkpoint);
            read.open = Rc::new(open);
        }
        let open = Rc::clone(&read.open);
        *self.seen.borrow_mut() = Some(read);
        Ok((given, open))
    }

    /// Keeps a photograph under `photos/`, named after its hash and its own name; on disk before
    /// this returns, since an entry that names it must never stand without it.
    ///
    /// # Errors
    /// A file that cannot be read or written.
    pub(crate) fn keep_photo(&self, from: &Path) -> Result<DockPhoto, StoreError> {
        let bytes = fs::read(from).map_err(StoreError::file(from))?;
        let hash = to_hex(&sha256(&bytes));
        let tag: String = hash.chars().take(12).collect();
        let own = from.file_name().unwrap_or_default().to_string_lossy();
        let file = format!("{tag}-{}", file_name_of(&own));
        let folder = self.path.join("photos");
        fs::create_dir_all(&folder).map_err(StoreError::file(&folder))?;
        let path = folder.join(&file);
        if !path.exists() {
            super::device_log::keep(&path, &bytes)?;
        }
        Ok(DockPhoto { file, sha256: hash })
    }

    /// Photographs and certificates that entries of `log` name and that are missing or changed, in
    /// words.
    #[must_use]
    pub fn photo_faults(&self, log: &Log) -> Vec<String> {
        let photos = log.entries().iter().flat_map(|entry| {
            let what = match entry.kind.as_str() {
                "certificate_taken" => "certificate",
                _ => "photograph",
            };
            let of = entry.photos.iter();
            of.map(move |photo| (entry.seq, what, photo))
        });
        photos
            .filter_map(|(seq, of_what, photo)| {
                let path = self.path.join("photos").join(&photo.file);
                let what = match fs::read(&path) {
                    Ok(bytes) if to_hex(&sha256(&bytes)) == photo.sha256 => return None,
                    Ok(_) => "is not the one that was kept",
                    Err(_) => "is not there",
                };
                Some(format!("entry {seq}: {of_what} `{}` {what}", photo.file))
            })
            .collect()
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
            super::device_log::keep(&path, bytes)?;
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
