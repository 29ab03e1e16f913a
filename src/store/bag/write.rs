//! Writes a bag as one zip file: staged beside, flushed, then renamed, so it appears whole or not
//! at all.

use std::fs::{self, File};
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

use super::names::fault_of_path;
use super::tag_files::encoded;
use super::zip_write::ZipWriter;
use crate::ledger::{sha256, sha512, to_hex};
use crate::store::StoreError;

/// A file of the payload to write.
#[derive(Debug, Clone)]
pub(crate) enum Content {
    /// These bytes.
    Bytes(Vec<u8>),
    /// The bytes of this file, a photograph mostly.
    File(PathBuf),
}

/// A bag to write.
#[derive(Debug, Clone, Default)]
pub(crate) struct BagToWrite {
    /// Name of its own folder.
    pub(crate) base: String,
    /// Lines of `bag-info.txt`; the sum of the payload is added.
    pub(crate) info: Vec<(&'static str, String)>,
    /// Tag files beside the usual ones.
    pub(crate) tags: Vec<(&'static str, Vec<u8>)>,
    /// Path after `data/`, and content.
    pub(crate) payload: Vec<(String, Content)>,
}

impl Content {
    fn bytes(&self) -> Result<Vec<u8>, StoreError> {
        match self {
            Self::Bytes(bytes) => Ok(bytes.clone()),
            Self::File(path) => fs::read(path).map_err(StoreError::file(path)),
        }
    }
}

/// Lines of the manifests of one kind.
#[derive(Default)]
struct Manifests {
    sha256: String,
    sha512: String,
}

impl Manifests {
    fn add(&mut self, path: &str, bytes: &[u8]) {
        let path = encoded(path);
        self.sha256
            .push_str(&format!("{}  {path}\n", to_hex(&sha256(bytes))));
        self.sha512
            .push_str(&format!("{}  {path}\n", to_hex(&sha512(bytes))));
    }
}

/// Writes the bag to `path`, over an earlier writing of it.
pub(crate) fn write_bag(path: &Path, mut bag: BagToWrite) -> Result<(), StoreError> {
    bag.payload.sort_by(|(one, _), (other, _)| one.cmp(other));
    bag.tags.sort_by_key(|(name, _)| *name);
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned());
    let beside = path.with_file_name(format!(".{}.partial", name.unwrap_or_default()));
    let file = File::create(&beside).map_err(StoreError::file(&beside))?;
    let mut zip = ZipWriter::new(BufWriter::new(file));
    let io = |why| StoreError::File {
        path: beside.clone(),
        why,
    };
    let mut add = |name: &str, bytes: &[u8]| -> Result<(), StoreError> {
        if let Some(fault) = fault_of_path(name) {
            return Err(StoreError::bundle(path, fault));
        }
        zip.add(&format!("{}/{name}", bag.base), bytes).map_err(io)
    };

    let mut payload = Manifests::default();
    let mut sum = 0;
    for (name, content) in &bag.payload {
        let name = format!("data/{name}");
        let bytes = content.bytes()?;
        payload.add(&name, &bytes);
        sum += bytes.len();
        add(&name, &bytes)?;
    }
    let mut info = String::new();
    for (label, value) in &bag.info {
        // A value is one line; what a person typed may hold more.
        let value = value.split_whitespace().collect::<Vec<_>>().join(" ");
        info.push_str(&format!("{label}: {value}\n"));
    }
    info.push_str(&format!("Payload-Oxum: {sum}.{}\n", bag.payload.len()));
    let declaration = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";
    let mut tags = Manifests::default();
    let usual: [(&str, &[u8]); 4] = [
        ("bag-info.txt", info.as_bytes()),
        ("bagit.txt", declaration.as_bytes()),
        ("manifest-sha256.txt", payload.sha256.as_bytes()),
        ("manifest-sha512.txt", payload.sha512.as_bytes()),
    ];
    let own = bag
        .tags
        .iter()
        .map(|(name, bytes)| (*name, bytes.as_slice()));
    for (name, bytes) in usual.into_iter().chain(own) {
        tags.add(name, bytes);
        add(name, bytes)?;
    }
    add("tagmanifest-sha256.txt", tags.sha256.as_bytes())?;
    add("tagmanifest-sha512.txt", tags.sha512.as_bytes())?;

    let mut out = zip.end().map_err(io)?;
    out.flush().map_err(io)?;
    out.get_ref().sync_all().map_err(io)?;
    fs::rename(&beside, path).map_err(StoreError::file(path))
}
