//! A hand-over bundle: what must be in it, and whether its parts say the same.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use super::bagit::{BagCheck, BagFile, check};
use super::names::file_name_of;
use super::source::Source;
use crate::custody::{CONSIGNMENT_OPENED, Handover, LeafRef, RELEASED};
use crate::job::{OpenedBody, Plan};
use crate::ledger::{
    Checkpoint, Fault, Hash, Log, LogEntry, Note, Signed, Standing, TlogProof, Verification,
    Verifier, to_hex, verify,
};
use crate::store::kept_rules::{KeptRules, RULES_FILE};
use crate::store::keys::trusted;
use crate::store::{StoreError, replace};

/// The signed checkpoint, a tag file.
pub(crate) const CHECKPOINT: &str = "checkpoint.note";
/// The hand-over, as its log entry has it.
const HANDOVER: &str = "data/handover.json";
/// The plan of the job.
const PLAN: &str = "data/job.json";
/// In its place, where a site sends on what it received: the first entry of the consignment.
pub(crate) const CONSIGNMENT: &str = "data/consignment.json";

/// A bundle that holds.
#[derive(Debug, Clone)]
pub struct Bundle {
    /// Where it lies.
    pub path: PathBuf,
    /// Name of its folder, `<job>-<number>`.
    pub name: String,
    /// What was handed over.
    pub handover: Handover,
    /// The giver's log up to the hand-over.
    pub job_log: Log,
    /// Its lines as they stand in the bundle.
    pub log_bytes: Vec<u8>,
    /// The giver's checkpoint with its signatures.
    pub note: Note,
    /// What it says.
    pub checkpoint: Checkpoint,
    /// What a verifier says of the log.
    pub verification: Verification,
    /// The key that the bundle itself names as the giver's; it proves nothing until the giver has
    /// said it some other way.
    pub own_key: Option<Verifier>,
    /// The entry of the hand-over: what a receipt answers.
    pub released: LeafRef,
    /// Its leaf.
    pub released_leaf: Hash,
    /// Every file of the payload.
    pub files: Vec<BagFile>,
}

/// What was found in a bundle.
#[derive(Debug, Clone)]
pub struct BundleFound {
    /// The bag around it.
    pub bag: BagCheck,
    /// What is wrong, the bag's faults among it.
    pub faults: Vec<String>,
    /// What a person should know.
    pub notes: Vec<String>,
    /// The bundle, where its main parts can be read.
    pub bundle: Option<Bundle>,
    /// What its entries are played by and what is made from them, by path after `data/`.
    pub(crate) texts: BTreeMap<&'static str, String>,
}

/// The texts that [`BundleFound`] brings along.
const TEXTS: [&str; 7] = [
    RULES_FILE,
    "procedure.toml",
    "settings.toml",
    "custody.csv",
    "datapackage.json",
    "epcis.jsonld",
    "papers/decisions.json",
];

/// Opens a bundle that holds: a zip file, or the folder that somebody unpacked. An unknown key is
/// no fault here; `verification` says what the signature is worth.
///
/// # Errors
/// A zip file that plays tricks, or a bundle with a fault; nothing is written anywhere.
pub fn open_bundle(path: &Path) -> Result<Bundle, StoreError> {
    let found = inspect_bundle(path, &[])?;
    let broken = |what: String| StoreError::BundleBroken {
        path: path.into(),
        what,
    };
    if let Some(fault) = found.faults.into_iter().next() {
        return Err(broken(fault));
    }
    found
        .bundle
        .ok_or_else(|| broken("it has no hand-over".into()))
}

/// Looks at everything in a bundle, trusting `more` keys beside this device's own.
///
/// # Errors
/// A file or folder that is not taken at all. Faults inside are an answer.
pub fn inspect_bundle(path: &Path, more: &[Verifier]) -> Result<BundleFound, StoreError> {
    let mut source = Source::open(path)?;
    let bag = check(&mut source)?;
    let mut found = BundleFound {
        faults: bag.faults.clone(),
        notes: bag.notes.clone(),
        bag,
        bundle: None,
        texts: BTreeMap::new(),
    };
    found.unvouched(&source);
    for name in TEXTS {
        if let Some(text) = source.text(&format!("data/{name}"))? {
            found.texts.insert(name, text);
        }
    }
    if let Some(bundle) = found.read(&mut source, &trusted(more)?)? {
        found.compare(&bundle, &mut source)?;
        found.bundle = Some(bundle);
    }
    Ok(found)
}

/// Where a bundle keeps the proofs of a module.
pub(crate) fn proof_file(identity: &str) -> String {
    format!("data/proofs/{}.tlog-proof", file_name_of(identity))
}

/// Keeps a received bundle in the folder of a register: the file as it came, and beside it the
/// giver's checkpoint with the receiver's cosignature. A second bundle of the same name that is
/// not the same file is refused.
///
/// # Errors
/// A folder that cannot be written, or another bundle of that name.
pub fn keep(register: &Path, bundle: &Bundle, cosigned: &Note) -> Result<PathBuf, StoreError> {
    let folder = register.join("bundles");
    fs::create_dir_all(&folder).map_err(StoreError::file(&folder))?;
    let name = format!("{}.zip", file_name_of(&bundle.name));
    let path = folder.join(&name);
    if bundle.path.is_file() {
        let bytes = fs::read(&bundle.path).map_err(StoreError::file(&bundle.path))?;
        match fs::read(&path) {
            Ok(old) if old != bytes => {
                return Err(StoreError::OtherRecord {
                    path,
                    what: "another bundle of that name was received before".into(),
                });
            }
            Ok(_) => {}
            Err(_) => replace(&path, &bytes)?,
        }
    }
    replace(
        &path.with_extension("checkpoint"),
        cosigned.to_string().as_bytes(),
    )?;
    Ok(path)
}

impl BundleFound {
    /// In a bundle every file outside the payload is named by a tag manifest.
    fn unvouched(&mut self, source: &Source) {
        let own = |name: &str| name.starts_with("data/") || name.starts_with("tagmanifest-");
        for name in source.names().iter().filter(|name| !own(name)) {
            if !self.bag.vouched.contains(name) {
                self.faults
                    .push(format!("`{name}`: no tag manifest names it"));
            }
        }
    }

    /// Reads the main parts; `None`, with the reason among the faults, where one is missing.
    fn read(
        &mut self,
        source: &mut Source,
        trusted: &[Verifier],
    ) -> Result<Option<Bundle>, StoreError> {
        let note = self.parsed(source, CHECKPOINT, |text| {
            let note = Note::parse(text).map_err(|error| error.to_string())?;
            let checkpoint = Checkpoint::parse(note.text()).map_err(|error| error.to_string())?;
            Ok((note, checkpoint))
        })?;
        let handover = self.parsed(source, HANDOVER, |text| {
            serde_json::from_str::<Handover>(text).map_err(|error| error.to_string())
        })?;
        let (Some((note, checkpoint)), Some(handover)) = (note, handover) else {
            return Ok(None);
        };
        let log = format!("data/log/{}", file_name_of(&checkpoint.origin));
        let own_key = source
            .text(&format!("{log}.vkey"))?
            .and_then(|text| text.trim_end().parse().ok());
        let Some(bytes) = source.bytes(&format!("{log}.jsonl"))? else {
            self.faults.push(format!("`{log}.jsonl` is not there"));
            return Ok(None);
        };
        let verification = verify(&bytes, Some(&note.to_string()), trusted);
        let entry = verification.log.entries().last();
        let released = entry
            .filter(|entry| entry.kind == RELEASED)
            .map(|entry| entry.seq);
        let leaf = released.and_then(|seq| verification.log.leaf(seq));
        let (Some(seq), Some(leaf)) = (released, leaf) else {
            self.faults
                .push("the log does not end with the hand-over".into());
            return Ok(None);
        };
        Ok(Some(Bundle {
            path: source.path().into(),
            name: source.base().to_owned(),
            handover,
            job_log: verification.log.clone(),
            log_bytes: bytes,
            note,
            released: LeafRef {
                log: checkpoint.origin.clone(),
                seq,
                leaf_hash: to_hex(&leaf),
            },
            released_leaf: leaf,
            checkpoint,
            verification,
            own_key,
            files: self.bag.files.clone(),
        }))
    }

    fn parsed<T>(
        &mut self,
        source: &mut Source,
        name: &str,
        parse: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Option<T>, StoreError> {
        let Some(text) = source.text(name)? else {
            self.faults
                .push(format!("`{name}` is not there or not text"));
            return Ok(None);
        };
        Ok(parse(&text)
            .map_err(|why| self.faults.push(format!("`{name}`: {why}")))
            .ok())
    }

    /// Whether log, hand-over, plan, papers, photographs and proofs say the same.
    fn compare(&mut self, bundle: &Bundle, source: &mut Source) -> Result<(), StoreError> {
        let entries = bundle.job_log.entries();
        let verification = &bundle.verification;
        for fault in &verification.breaks {
            match fault.fault {
                // Whom to trust is for the reader to say.
                Fault::UnknownKey { .. } => {}
                Fault::UnsignedTail { .. } | Fault::TornLastLine { .. } => {}
                _ if fault.is_lawful() => self.notes.push(format!("log: {fault}")),
                _ => self.faults.push(format!("log: {fault}")),
            }
        }
        if verification.size != bundle.checkpoint.size {
            self.faults.push(format!(
                "the log has {} entries, its checkpoint covers {}",
                verification.size, bundle.checkpoint.size
            ));
        }
        self.signature(bundle);

        let body = entries.last().map(|entry| &entry.body);
        let said = serde_json::to_value(&bundle.handover)?;
        if body != Some(&said) {
            self.faults.push(format!(
                "`{HANDOVER}` is not what the log says was handed over"
            ));
        }
        self.opening(entries.first(), source)?;
        let number = format!("{}-{}", bundle.handover.job, bundle.handover.number);
        if bundle.name != number {
            self.notes.push(format!(
                "the bundle is called `{}`, it is {number}",
                bundle.name
            ));
        }
        self.papers(bundle);
        self.photos(bundle, entries);
        self.proofs(bundle, source)?;
        self.earlier(bundle, source)
    }

    /// The first entry must be what the plan, or the consignment, says.
    fn opening(&mut self, first: Option<&LogEntry>, source: &mut Source) -> Result<(), StoreError> {
        if let Some(first) = first.filter(|first| first.kind == CONSIGNMENT_OPENED) {
            let said = source.text(CONSIGNMENT)?;
            let said = said.and_then(|text| serde_json::from_str::<serde_json::Value>(&text).ok());
            if said.as_ref() != Some(&first.body) {
                self.faults.push(format!(
                    "`{CONSIGNMENT}` is not what the log was opened with"
                ));
            }
            return Ok(());
        }
        let opened =
            first.and_then(|entry| serde_json::from_value::<OpenedBody>(entry.body.clone()).ok());
        let plan = source.text(PLAN)?.and_then(|text| Plan::read(&text).ok());
        match (opened, plan) {
            (Some(opened), Some(plan)) if opened.plan == plan => self.rules(&opened),
            _ => self.faults.push(format!(
                "`{PLAN}` is not the plan that the job was opened with"
            )),
        }
        Ok(())
    }

    /// What the entries are played by must be what the job was opened with. The user's own files
    /// are there to be read; what counts is kept word for word.
    fn rules(&mut self, opened: &OpenedBody) {
        let Some(text) = self.texts.get(RULES_FILE) else {
            return;
        };
        let mut wrong = Vec::new();
        match KeptRules::read(text).filter(|kept| kept.are_of(opened)) {
            None => wrong.push(RULES_FILE),
            Some(kept) => {
                let files = [
                    ("procedure.toml", &kept.procedure),
                    ("settings.toml", &kept.settings),
                ];
                wrong.extend(files.into_iter().filter_map(|(name, kept)| {
                    let own = self.texts.get(name)?;
                    (own != kept).then_some(name)
                }));
            }
        }
        self.faults.extend(
            wrong
                .into_iter()
                .map(|name| format!("`data/{name}` is not what the job was opened with")),
        );
    }

    /// The key that the bundle brings must be the one that signed; whether it is trusted is said.
    fn signature(&mut self, bundle: &Bundle) {
        let Some(own) = &bundle.own_key else {
            self.faults
                .push("it does not bring the key that signed its checkpoint".into());
            return;
        };
        let by_own = bundle.note.standing(std::slice::from_ref(own));
        if by_own != Standing::Signed(vec![bundle.checkpoint.origin.clone()]) {
            self.faults
                .push("the checkpoint is not signed by the key that the bundle brings".into());
        } else if bundle.verification.signed == Signed::UnknownKey {
            self.notes.push(format!(
                "signed by the key that the bundle brings, which is not trusted here: compare it \
                 with what the sender says, then add --trust {own}"
            ));
        }
    }

    fn papers(&mut self, bundle: &Bundle) {
        for paper in &bundle.handover.papers {
            let path = format!("data/papers/{}", paper.name);
            match bundle.files.iter().find(|file| file.path == path) {
                None => self
                    .faults
                    .push(format!("paper `{}` is not there", paper.name)),
                Some(file) if file.sha256 != paper.sha256 => self
                    .faults
                    .push(format!("paper `{}` is not the one handed over", paper.name)),
                Some(_) => {}
            }
        }
    }

    fn photos(&mut self, bundle: &Bundle, entries: &[LogEntry]) {
        let photos = entries.iter().flat_map(|entry| &entry.photos);
        let mut missing = 0_u32;
        for photo in photos {
            let path = format!("data/photos/{}", photo.file);
            match bundle.files.iter().find(|file| file.path == path) {
                None => missing += 1,
                Some(file) if file.sha256 != photo.sha256 => self.faults.push(format!(
                    "photograph `{}` is not the one in the log",
                    photo.file
                )),
                Some(_) => {}
            }
        }
        if missing > 0 {
            self.notes.push(format!(
                "{missing} photographs of the log are not in the bundle"
            ));
        }
    }

    fn proofs(&mut self, bundle: &Bundle, source: &mut Source) -> Result<(), StoreError> {
        let is_proof = |file: &&BagFile| file.path.starts_with("data/proofs/");
        for file in bundle.files.iter().filter(is_proof) {
            let proofs = source
                .text(&file.path)?
                .and_then(|text| TlogProof::parse_all(&text).ok());
            let hold = proofs.is_some_and(|proofs| {
                proofs
                    .iter()
                    .all(|proof| proof.holds() && proof.note == bundle.note)
            });
            if !hold {
                self.faults
                    .push(format!("proof `{}` does not hold", file.path));
            }
        }
        Ok(())
    }
}

/// The bytes of one file of a bundle, such as `data/procedure.toml`; `None` where it has none.
///
/// # Errors
/// A file or folder that is not taken at all.
pub fn file_in(path: &Path, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
    Source::open(path)?.bytes(name)
}
