//! Checks a bag (RFC 8493): the declaration, what the manifests list, every hash.
//!
//! Stricter than the RFC where that costs an honest sender nothing: tag files are UTF-8, there is
//! no `fetch.txt`, a file is listed once, and only SHA-256 and SHA-512 count as hashes.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::names::{Seen, fault_of_path, shown};
use super::source::Source;
use super::tag_files::{declared_version, info_of, manifest_lines};
use crate::ledger::{sha256, sha512, to_hex};
use crate::store::StoreError;

/// A file of the payload.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BagFile {
    /// Path in the bag, from `data/`.
    pub path: String,
    /// Length.
    pub bytes: u64,
    /// SHA-256, lower-case hexadecimal.
    pub sha256: String,
}

/// What was found in a bag.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BagCheck {
    /// The version that the bag declares.
    pub version: String,
    /// What `bag-info.txt` says.
    pub info: Vec<(String, String)>,
    /// Every file of the payload.
    pub files: Vec<BagFile>,
    /// Tag files with a hash in a tag manifest.
    pub vouched: BTreeSet<String>,
    /// What is wrong.
    pub faults: Vec<String>,
    /// What a person should know although the bag is valid.
    pub notes: Vec<String>,
}

/// Hashes that are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Algorithm {
    Sha256,
    Sha512,
}

impl Algorithm {
    fn named(name: &str) -> Option<Self> {
        match name {
            "sha256" => Some(Self::Sha256),
            "sha512" => Some(Self::Sha512),
            _ => None,
        }
    }
}

/// A manifest: its file, its algorithm where that is looked at, and what it lists.
struct Manifest {
    file: String,
    algorithm: Option<Algorithm>,
    lists: BTreeMap<String, String>,
}

/// Checks everything; the faults come in the order of the files.
pub(super) fn check(source: &mut Source) -> Result<BagCheck, StoreError> {
    let mut found = BagCheck::default();
    if let Some(text) = found.tag_text(source, "bagit.txt")? {
        match declared_version(&text) {
            Ok(version) => found.version = version,
            Err(fault) => found.faults.push(format!("bagit.txt: {fault}")),
        }
    } else {
        found.faults.push("there is no bagit.txt".into());
    }
    if source.has("fetch.txt") {
        found
            .faults
            .push("fetch.txt: a bundle brings everything with it and fetches nothing".into());
    }
    let payload = found.manifests(source, "manifest-")?;
    if payload.is_empty() {
        found
            .faults
            .push("there is no manifest of the payload".into());
    } else if payload.iter().all(|manifest| manifest.algorithm.is_none()) {
        found
            .faults
            .push("no manifest by SHA-256 or SHA-512".into());
    }
    let tags = found.manifests(source, "tagmanifest-")?;
    for manifest in &tags {
        found.vouched.extend(manifest.lists.keys().cloned());
    }
    found.listed(source, &payload, &tags);
    found.hashes(source, &payload, &tags)?;
    if let Some(text) = found.tag_text(source, "bag-info.txt")? {
        found.info(&text);
    }
    Ok(found)
}

impl BagCheck {
    /// The value of a field of `bag-info.txt`, where it is there once.
    #[must_use]
    pub fn value(&self, label: &str) -> Option<&str> {
        let mut of = self.info.iter().filter(|(one, _)| one == label);
        let (_, value) = of.next()?;
        of.next().is_none().then_some(value)
    }

    /// The text of a tag file; a fault where it is not UTF-8 or begins with a byte-order mark.
    fn tag_text(&mut self, source: &mut Source, name: &str) -> Result<Option<String>, StoreError> {
        let Some(bytes) = source.bytes(name)? else {
            return Ok(None);
        };
        match String::from_utf8(bytes) {
            Ok(text) if text.starts_with('\u{feff}') => {
                self.faults
                    .push(format!("{name}: begins with a byte-order mark"));
                Ok(Some(text.trim_start_matches('\u{feff}').to_owned()))
            }
            Ok(text) => Ok(Some(text)),
            Err(_) => {
                self.faults.push(format!("{name}: is not UTF-8 text"));
                Ok(Some(String::new()))
            }
        }
    }

    fn manifests(&mut self, source: &mut Source, lead: &str) -> Result<Vec<Manifest>, StoreError> {
        let files: Vec<String> = source
            .names()
            .iter()
            .filter(|name| name.starts_with(lead) && name.ends_with(".txt") && !name.contains('/'))
            .cloned()
            .collect();
        let mut manifests = Vec::new();
        for file in files {
            let name = file
                .strip_prefix(lead)
                .and_then(|rest| rest.strip_suffix(".txt"));
            let algorithm = name.and_then(Algorithm::named);
            if algorithm.is_none() {
                self.notes
                    .push(format!("{file}: its hashes are not looked at"));
            }
            let text = self.tag_text(source, &file)?.unwrap_or_default();
            let lists = self.lines(&file, &text, lead == "tagmanifest-");
            manifests.push(Manifest {
                file,
                algorithm,
                lists,
            });
        }
        Ok(manifests)
    }

    fn lines(&mut self, file: &str, text: &str, of_tags: bool) -> BTreeMap<String, String> {
        let mut lists = BTreeMap::new();
        let mut seen = Seen::default();
        for (n, line) in manifest_lines(text, &self.version) {
            let fault = line.and_then(|(hash, path, dotted)| {
                if dotted {
                    self.notes
                        .push(format!("{file} line {n}: a path that begins with ./"));
                }
                if let Some(fault) = fault_of_path(&path) {
                    return Err(fault);
                }
                if of_tags && (path.starts_with("data/") || path.starts_with("tagmanifest-")) {
                    return Err(format!("a path that is no tag file: `{}`", shown(&path)));
                }
                if !of_tags && !path.starts_with("data/") {
                    return Err(format!("a path outside data/: `{}`", shown(&path)));
                }
                seen.take(&path)?;
                lists.insert(path, hash);
                Ok(())
            });
            if let Err(fault) = fault {
                self.faults.push(format!("{file} line {n}: {fault}"));
            }
        }
        lists
    }

    /// Every file of the payload is in every manifest, and everything that is listed is there.
    fn listed(&mut self, source: &Source, payload: &[Manifest], tags: &[Manifest]) {
        for manifest in payload.iter().chain(tags) {
            for path in manifest.lists.keys().filter(|path| !source.has(path)) {
                self.faults
                    .push(format!("{}: `{}` is not there", manifest.file, shown(path)));
            }
        }
        let in_payload = source
            .names()
            .iter()
            .filter(|name| name.starts_with("data/"));
        for name in in_payload {
            for manifest in payload.iter().filter(|one| !one.lists.contains_key(name)) {
                let what = format!("{}: does not list `{}`", manifest.file, shown(name));
                self.faults.push(what);
            }
        }
    }

    fn hashes(
        &mut self,
        source: &mut Source,
        payload: &[Manifest],
        tags: &[Manifest],
    ) -> Result<(), StoreError> {
        let names: Vec<String> = source.names().to_vec();
        for name in names {
            let of_payload = name.starts_with("data/");
            let listing: Vec<(&Manifest, Algorithm, &String)> =
                if of_payload { payload } else { tags }
                    .iter()
                    .filter_map(|manifest| {
                        Some((manifest, manifest.algorithm?, manifest.lists.get(&name)?))
                    })
                    .collect();
            if !of_payload && listing.is_empty() {
                continue;
            }
            let Some(bytes) = source.bytes(&name)? else {
                continue;
            };
            let short = to_hex(&sha256(&bytes));
            for (manifest, algorithm, expected) in listing {
                let holds = match algorithm {
                    Algorithm::Sha256 => *expected == short,
                    Algorithm::Sha512 => *expected == to_hex(&sha512(&bytes)),
                };
                if !holds {
                    let what = format!(
                        "`{}` is not the file that {} names",
                        shown(&name),
                        manifest.file
                    );
                    self.faults.push(what);
                }
            }
            if of_payload {
                self.files.push(BagFile {
                    path: name,
                    bytes: bytes.len() as u64,
                    sha256: short,
                });
            }
        }
        Ok(())
    }

    fn info(&mut self, text: &str) {
        match info_of(text, &self.version) {
            Ok(info) => self.info = info,
            Err(fault) => self.faults.push(format!("bag-info.txt: {fault}")),
        }
        let bytes: u64 = self.files.iter().map(|file| file.bytes).sum();
        let found = format!("{bytes}.{}", self.files.len());
        for (_, said) in self
            .info
            .iter()
            .filter(|(label, _)| label == "Payload-Oxum")
        {
            if *said != found {
                self.faults.push(format!(
                    "bag-info.txt: Payload-Oxum says {}, the payload is {found}",
                    shown(said)
                ));
            }
        }
    }
}
