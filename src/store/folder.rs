//! A job on disk: `job.json`, the ledger under `ledger/`, photographs, papers.
//!
//! The ledger is the job: everything else can be made again from it. Lines are only ever added.
//! A writer holds `ledger/.lock` for as long as it writes, so two people cannot overwrite each
//! other.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::path::{Path, PathBuf};

use serde::Deserialize as _;
use serde_json::Value;

use super::StoreError;
use super::device_log::{DeviceLog, replace};
use super::kept_rules::{KeptRules, Shipped, rules_of};
use super::keys::signing_key;
use super::photographs::{copy_photograph, hash_photos};
use super::procedures::{load_procedure, load_settings};
use super::record::read_record;
use super::record::read_text;
use crate::clock::Moment;
use crate::job::{
    EntryBody, Job, OPENED, OpenedBody, PAPERS_ISSUED, Plan, Taken, is_of_the_record,
};
use crate::ledger::{Break, DeviceKey, Draft, Log, Verification, sha256, to_hex};
use crate::procedure::Settings;

/// A job's folder.
#[derive(Debug, Clone)]
pub struct JobFolder {
    path: PathBuf,
}

/// A job read back from its ledger.
#[derive(Debug)]
pub struct OpenJob {
    /// The job as its entries make it.
    pub job: Job,
    /// The log, as read.
    pub log: Log,
    /// Entries whose recorded outcome this program does not come to.
    pub differences: Vec<String>,
    /// Number of the last issue of papers; 0 where there was none.
    pub last_issue: u32,
}

impl JobFolder {
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

    /// A file in it.
    #[must_use]
    pub fn file(&self, name: &str) -> PathBuf {
        self.path.join(name)
    }

    /// The device log.
    #[must_use]
    pub fn log_file(&self) -> PathBuf {
        self.path.join("ledger/device.jsonl")
    }

    /// The signed checkpoint over the device log.
    #[must_use]
    pub fn checkpoint_file(&self) -> PathBuf {
        self.path.join("ledger/device.checkpoint")
    }

    /// The user's own templates of papers by file name, where the job has any in `templates/`.
    ///
    /// # Errors
    /// A template that cannot be read.
    pub fn templates(&self) -> Result<BTreeMap<String, String>, StoreError> {
        let mut own = BTreeMap::new();
        let Ok(files) = fs::read_dir(self.file("templates")) else {
            return Ok(own);
        };
        for file in files.flatten() {
            let name = file.file_name().to_string_lossy().into_owned();
            if name.ends_with(".html") {
                own.insert(name, read_text(&file.path())?);
            }
        }
        Ok(own)
    }

    /// Whether it has a ledger.
    #[must_use]
    pub fn has_ledger(&self) -> bool {
        self.log_file().exists()
    }

    /// Whether it has a field record to play.
    #[must_use]
    pub fn has_record(&self) -> bool {
        self.file("record.jsonl").exists()
    }

    /// Reads the plan, and the text it stood in.
    ///
    /// # Errors
    /// No plan, or one that cannot be used.
    pub fn plan(&self) -> Result<(Plan, String), StoreError> {
        let path = self.file("job.json");
        let text = read_text(&path)?;
        let plan = Plan::read(&text).map_err(|why| StoreError::Plan { path, why })?;
        Ok((plan, text))
    }

    /// Writes the plan of a job that has none yet.
    ///
    /// # Errors
    /// A folder that holds a job; nothing is written then.
    pub fn write_plan(&self, text: &str) -> Result<(), StoreError> {
        use std::io::Write;
        let path = self.file("job.json");
        if path.exists() || self.has_ledger() {
            return Err(StoreError::OtherRecord {
                path: self.path.clone(),
                what: "a job was begun there; name another folder".into(),
            });
        }
        fs::create_dir_all(&self.path).map_err(StoreError::file(&self.path))?;
        // Made, not opened: of two who begin at once, one is told.
        let mut file = fs::File::create_new(&path).map_err(StoreError::file(&path))?;
        file.write_all(text.as_bytes())
            .and_then(|()| file.sync_data())
            .map_err(StoreError::file(&path))
    }

    /// A new job from the plan in the folder, with the procedure and settings it asks for.
    ///
    /// # Errors
    /// A plan, procedure or settings that cannot be used.
    pub fn new_job(
        &self,
        procedure: Option<&Path>,
        settings: Option<&Path>,
    ) -> Result<(Job, String), StoreError> {
        let (plan, text) = self.plan()?;
        let own_procedure = self.file("procedure.toml");
        let own_settings = self.file("settings.toml");
        let procedure =
            procedure.or_else(|| own_procedure.exists().then_some(own_procedure.as_path()));
        let settings = settings.or_else(|| own_settings.exists().then_some(own_settings.as_path()));
        let procedure = load_procedure(plan.procedure_name(), procedure)?;
        let settings = load_settings(settings)?;
        Ok((Job::open(plan, procedure, settings), text))
    }

    /// Reads the job back from its ledger. A torn last line is passed over and reported.
    ///
    /// # Errors
    /// No ledger, one that is broken (`verify` tells how), or one whose procedure is not at hand.
    pub fn open(&self) -> Result<OpenJob, StoreError> {
        let verification = self.verification(&[])?;
        if let Some(fault) = verification.breaks.iter().find(|fault| !fault.is_lawful()) {
            return Err(StoreError::LedgerBroken {
                path: self.path.clone(),
                what: fault.to_string(),
            });
        }
        self.replay(verification)
    }

    /// What a verifier says of the ledger, with `more` keys trusted.
    ///
    /// # Errors
    /// No ledger, or one that cannot be read at all.
    pub fn verification(
        &self,
        more: &[crate::ledger::Verifier],
    ) -> Result<Verification, StoreError> {
        DeviceLog::in_folder(&self.path).verification(more)
    }

    /// Plays the entries of a ledger again and compares each outcome with the recorded one.
    pub(crate) fn replay(&self, verification: Verification) -> Result<OpenJob, StoreError> {
        replay(&self.path, verification, &mut |name| self.text(name))
    }

    /// The text of a file in the folder; `None` where it is not there.
    pub(crate) fn text(&self, name: &str) -> Result<Option<String>, StoreError> {
        let path = self.file(name);
        path.exists().then(|| read_text(&path)).transpose()
    }

    /// What `job`, opened now by these files or else by those in the folder, is played by: kept
    /// beside its ledger from the first entry on.
    pub(crate) fn rules_to_keep(
        &self,
        job: &Job,
        procedure: Option<&Path>,
        settings: Option<&Path>,
    ) -> Result<Vec<u8>, StoreError> {
        let own = |given: Option<&Path>, name: &str| match given {
            Some(path) => read_text(path).map(Some),
            None => self.text(name),
        };
        KeptRules::of(
            &job.frame().procedure,
            own(procedure, "procedure.toml")?,
            own(settings, "settings.toml")?,
        )
        .bytes()
    }

    /// Writes a played job: `files`, and `photos` by name and where they lie, beside the ledger
    /// `lines` and its checkpoint.
    ///
    /// # Errors
    /// A folder that holds something else; nothing is written then.
    pub(crate) fn write_whole(
        &self,
        files: &[(PathBuf, Vec<u8>)],
        photos: &[(String, PathBuf)],
        lines: &str,
        checkpoint: &str,
    ) -> Result<(), StoreError> {
        write_out(self, files, photos, lines, checkpoint)
    }

    /// Takes the writer's lock; held until the file is dropped.
    pub(crate) fn lock(&self) -> Result<File, StoreError> {
        DeviceLog::in_folder(&self.path).lock()
    }

    /// Adds lines to the log, on disk before this returns, then signs the new end.
    pub(crate) fn append(
        &self,
        log: &Log,
        good_bytes: u64,
        lines: &str,
        key: &DeviceKey,
    ) -> Result<(), StoreError> {
        DeviceLog::in_folder(&self.path)
            .append(log, good_bytes, lines, key)
            .map(drop)
    }
}

/// Plays the entries of a ledger again and compares each outcome with the recorded one; `text` reads
/// what lies beside it.
pub(crate) fn replay(
    path: &Path,
    verification: Verification,
    text: &mut dyn FnMut(&str) -> Result<Option<String>, StoreError>,
) -> Result<OpenJob, StoreError> {
    let broken = |what: String| StoreError::LedgerBroken {
        path: path.to_path_buf(),
        what,
    };
    let entries = verification.log.entries();
    let opened: OpenedBody = entries
        .first()
        .filter(|entry| entry.kind == OPENED)
        .ok_or_else(|| broken("its first entry does not open a job".into()))
        .and_then(|entry| {
            OpenedBody::deserialize(&entry.body)
                .map_err(|error| broken(format!("entry 0: {error}")))
        })?;
    let rules = rules_of(&opened, &Shipped, text)?;
    let mut differences = Vec::new();
    if rules.procedure.fingerprint != opened.procedure_sha256 {
        differences.push(format!(
            "the procedure `{}` is not the one the job was opened with",
            opened.procedure
        ));
    }
    if rules.settings_sha256 != opened.settings_sha256 {
        differences.push("the settings are not those the job was opened with".into());
    }
    let mut job = Job::open(opened.plan, rules.procedure, rules.settings);
    let mut last_issue = 0;
    for entry in entries.iter().skip(1) {
        if entry.kind == PAPERS_ISSUED {
            last_issue = entry
                .body
                .get("issue")
                .and_then(Value::as_u64)
                .map_or(0, |n| u32::try_from(n).unwrap_or(u32::MAX));
            continue;
        }
        if !is_of_the_record(entry) {
            continue;
        }
        let body = EntryBody::read(&entry.body)
            .map_err(|error| broken(format!("entry {}: {error}", entry.seq)))?;
        let taken = job.take(body.entry);
        if taken.judgement.outcome != body.outcome {
            differences.push(format!(
                "entry {}: recorded as {:?}, now {:?}",
                entry.seq, body.outcome, taken.judgement.outcome
            ));
        }
    }
    Ok(OpenJob {
        job,
        log: verification.log,
        differences,
        last_issue,
    })
}

/// The first entry of a job's log.
pub(crate) fn opening(job: &Job, at: Moment, entries_from: &str) -> Result<Draft, StoreError> {
    let frame = job.frame();
    let body = OpenedBody {
        plan: job.plan().clone(),
        procedure: frame.procedure.id.clone(),
        procedure_sha256: frame.procedure.fingerprint.clone(),
        settings_sha256: settings_sha256(&frame.settings),
        program: format!("packdown {}", env!("CARGO_PKG_VERSION")),
        entries_from: entries_from.to_owned(),
    };
    Ok(Draft {
        time: at,
        actor: "packdown".into(),
        kind: OPENED.into(),
        body: serde_json::to_value(body)?,
        refs: Vec::new(),
        photos: Vec::new(),
    })
}

/// An entry of the record as it goes into the log.
pub(crate) fn draft_of(taken: &Taken) -> Result<Draft, StoreError> {
    Ok(Draft {
        time: taken.entry.at,
        actor: taken.entry.by.clone(),
        kind: taken.entry.kind.name().to_owned(),
        body: EntryBody::value_of(taken)?,
        refs: Vec::new(),
        photos: taken
            .entry
            .photos
            .iter()
            .filter_map(|photo| {
                Some(crate::ledger::Photo {
                    file: photo.file.clone(),
                    sha256: photo.sha256.clone()?,
                })
            })
            .collect(),
    })
}

/// SHA-256 over every setting's name and value.
pub(crate) fn settings_sha256(settings: &Settings) -> String {
    let text: String = settings
        .iter()
        .map(|setting| format!("{}={}\n", setting.name, setting.value))
        .collect();
    to_hex(&sha256(text.as_bytes()))
}

/// Opens the log of a job that has none yet, and takes its first entry.
pub(crate) fn start_log(
    job: &Job,
    at: Moment,
    entries_from: &str,
) -> Result<(Log, String, DeviceKey), StoreError> {
    let key = signing_key(job.plan().demo)?;
    let mut log = Log::open(key.name())?;
    let line = log.append(opening(job, at, entries_from)?)?.line;
    Ok((log, line, key))
}

/// The entries of the record beside the plan.
pub(crate) fn record_of(folder: &JobFolder) -> Result<Vec<crate::procedure::Entry>, StoreError> {
    let mut entries = read_record(&folder.file("record.jsonl"))?;
    for entry in &mut entries {
        hash_photos(folder, entry)?;
    }
    Ok(entries)
}

/// Breaks that a person must see although the ledger holds.
pub(crate) fn lawful_breaks(verification: &Verification) -> Vec<&Break> {
    verification
        .breaks
        .iter()
        .filter(|fault| fault.is_lawful())
        .collect()
}

/// Writes the folder. A new one is made beside and renamed, so it appears whole; one that already
/// holds the beginning of the same log is brought up to date, the ledger last.
fn write_out(
    folder: &JobFolder,
    files: &[(PathBuf, Vec<u8>)],
    photos: &[(String, PathBuf)],
    lines: &str,
    checkpoint: &str,
) -> Result<(), StoreError> {
    let out = folder.path();
    if folder.has_ledger() {
        let _lock = folder.lock()?;
        let old = fs::read(folder.log_file()).map_err(StoreError::file(folder.log_file()))?;
        if !lines.as_bytes().starts_with(&old) {
            return Err(StoreError::OtherRecord {
                path: out.into(),
                what: "its ledger does not begin like this one".into(),
            });
        }
        for (name, bytes) in files {
            let path = out.join(name);
            make_folder_of(&path)?;
            replace(&path, bytes)?;
        }
        for (name, from) in photos {
            copy_photograph(from, &out.join("photos").join(name))?;
        }
        return write_ledger(folder, lines, checkpoint);
    }
    if out.exists()
        && fs::read_dir(out)
            .map_err(StoreError::file(out))?
            .next()
            .is_some()
    {
        return Err(StoreError::OtherRecord {
            path: out.into(),
            what: "it is not empty and has no ledger".into(),
        });
    }
    let name = out
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    let beside = out.with_file_name(format!(".{name}.partial"));
    if beside.exists() {
        // Left by a run that was cut off before it reported anything.
        fs::remove_dir_all(&beside).map_err(StoreError::file(&beside))?;
    }
    let staged = JobFolder::at(&beside);
    fs::create_dir_all(beside.join("ledger")).map_err(StoreError::file(&beside))?;
    for (name, bytes) in files {
        let path = beside.join(name);
        make_folder_of(&path)?;
        fs::write(&path, bytes).map_err(StoreError::file(&path))?;
    }
    for (name, from) in photos {
        copy_photograph(from, &beside.join("photos").join(name))?;
    }
    write_ledger(&staged, lines, checkpoint)?;
    if out.exists() {
        fs::remove_dir(out).map_err(StoreError::file(out))?;
    }
    fs::rename(&beside, out).map_err(StoreError::file(out))
}

fn make_folder_of(file: &Path) -> Result<(), StoreError> {
    match file.parent() {
        Some(folder) => fs::create_dir_all(folder).map_err(StoreError::file(folder)),
        None => Ok(()),
    }
}

/// The ledger, on disk before this returns.
fn write_ledger(folder: &JobFolder, lines: &str, checkpoint: &str) -> Result<(), StoreError> {
    use std::io::Write;
    replace(&folder.checkpoint_file(), checkpoint.as_bytes())?;
    let path = folder.log_file();
    let beside = path.with_extension("partial");
    let mut file = fs::File::create(&beside).map_err(StoreError::file(&beside))?;
    file.write_all(lines.as_bytes())
        .map_err(StoreError::file(&beside))?;
    file.sync_data().map_err(StoreError::file(&beside))?;
    fs::rename(&beside, &path).map_err(StoreError::file(&path))
}
