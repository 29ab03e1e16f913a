//! Where the files of a bag are read from: a zip file, or a folder that somebody unpacked.

use std::fs;
use std::path::{Path, PathBuf};

use super::limits::{LARGEST_FILE, LARGEST_TOTAL, MOST_FILES};
use super::names::{Seen, fault_of_path, shown};
use super::zip_read::ZipFile;
use crate::store::StoreError;

/// The files of one bag, by their paths inside it.
#[derive(Debug)]
pub(super) struct Source {
    path: PathBuf,
    /// Name of the bag's own folder.
    base: String,
    names: Vec<String>,
    kind: Kind,
}

#[derive(Debug)]
enum Kind {
    Zip(ZipFile),
    Folder,
}

impl Source {
    /// Opens a zip file, or a folder with `bagit.txt`.
    pub(super) fn open(path: &Path) -> Result<Self, StoreError> {
        if path.is_dir() {
            Self::folder(path)
        } else {
            Self::zip(path)
        }
    }

    /// A zip holds one folder, which is the bag (RFC 8493, section 4).
    fn zip(path: &Path) -> Result<Self, StoreError> {
        let zip = ZipFile::open(path)?;
        let mut base: Option<&str> = None;
        let mut names = Vec::new();
        for name in zip.names() {
            let one_folder = || StoreError::bundle(path, "more than one folder at its top");
            let (top, rest) = name.split_once('/').ok_or_else(|| {
                StoreError::bundle(
                    path,
                    format!("a file outside its folder: `{}`", shown(name)),
                )
            })?;
            if *base.get_or_insert(top) != top {
                return Err(one_folder());
            }
            names.push(rest.to_owned());
        }
        let base = base
            .ok_or_else(|| StoreError::bundle(path, "a zip file without a file"))?
            .to_owned();
        names.sort_unstable();
        Ok(Self {
            path: path.into(),
            base,
            names,
            kind: Kind::Zip(zip),
        })
    }

    fn folder(path: &Path) -> Result<Self, StoreError> {
        let mut names = Vec::new();
        let mut total = 0;
        walk(path, path, &mut names, &mut total, 0)?;
        let mut seen = Seen::default();
        for name in &names {
            let fault = fault_of_path(name).or_else(|| seen.take(name).err());
            if let Some(fault) = fault {
                return Err(StoreError::bundle(path, fault));
            }
        }
        names.sort_unstable();
        let base = path
            .file_name()
            .map(|name| name.to_string_lossy().into_owned());
        Ok(Self {
            path: path.into(),
            base: base.unwrap_or_default(),
            names,
            kind: Kind::Folder,
        })
    }

    /// What was opened.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Name of the bag's own folder.
    pub(super) fn base(&self) -> &str {
        &self.base
    }

    /// Paths of all files, sorted.
    pub(super) fn names(&self) -> &[String] {
        &self.names
    }

    pub(super) fn has(&self, name: &str) -> bool {
        self.names
            .binary_search_by(|one| one.as_str().cmp(name))
            .is_ok()
    }

    /// The bytes of a file; `None` where there is none of that name.
    pub(super) fn bytes(&mut self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        if !self.has(name) {
            return Ok(None);
        }
        match &mut self.kind {
            Kind::Zip(zip) => zip.bytes(&format!("{}/{name}", self.base)),
            Kind::Folder => {
                let path = self.path.join(name);
                fs::read(&path).map(Some).map_err(StoreError::file(&path))
            }
        }
    }

    /// The text of a file; `None` where there is none of that name or it is not UTF-8.
    pub(super) fn text(&mut self, name: &str) -> Result<Option<String>, StoreError> {
        Ok(self
            .bytes(name)?
            .and_then(|bytes| String::from_utf8(bytes).ok()))
    }
}

/// Plain files below `folder`; anything else is refused, above all links.
fn walk(
    root: &Path,
    folder: &Path,
    names: &mut Vec<String>,
    total: &mut u64,
    depth: u8,
) -> Result<(), StoreError> {
    let refuse = |what: String| StoreError::bundle(root, what);
    if depth > 32 {
        return Err(refuse("folders in folders beyond 32".into()));
    }
    for item in fs::read_dir(folder).map_err(StoreError::file(folder))? {
        let item = item.map_err(StoreError::file(folder))?;
        let path = item.path();
        let about = fs::symlink_metadata(&path).map_err(StoreError::file(&path))?;
        let name = path
            .strip_prefix(root)
            .ok()
            .and_then(Path::to_str)
            .ok_or_else(|| refuse("a name that is not UTF-8".into()))?
            .replace(std::path::MAIN_SEPARATOR, "/");
        if about.is_dir() {
            walk(root, &path, names, total, depth + 1)?;
        } else if about.is_file() {
            *total += about.len();
            if about.len() > LARGEST_FILE || *total > LARGEST_TOTAL || names.len() == MOST_FILES {
                return Err(refuse(format!(
                    "too much in it, from `{}` on",
                    shown(&name)
                )));
            }
            names.push(name);
        } else if about.is_symlink() {
            return Err(refuse(format!("a link: `{}`", shown(&name))));
        } else {
            return Err(refuse(format!(
                "something that is no plain file: `{}`",
                shown(&name)
            )));
        }
    }
    Ok(())
}
