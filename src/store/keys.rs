//! The key of this device: made on first use, kept where only its user can read it.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use serde::Serialize;

use super::StoreError;
use crate::ledger::{DEMO_ORIGIN, DeviceKey, Verifier, from_hex, sha256, to_hex};

/// What `packdown key show` says.
#[derive(Debug, Clone, Serialize)]
pub struct KeyShown {
    /// Name of the key and origin of the device's log.
    pub name: String,
    /// The public half, in the form that others add to their list of trusted keys.
    pub verifier: String,
    /// Where the secret half is kept.
    pub kept_in: PathBuf,
    /// Whether it was made just now.
    pub made_now: bool,
    /// The public half of the demo key, which proves nothing.
    pub demo_verifier: String,
}

/// The folder for this user's data: `PACKDOWN_HOME`, else what the system uses.
pub(super) fn data_folder() -> Result<PathBuf, StoreError> {
    let from = |name: &str| {
        std::env::var_os(name)
            .filter(|v| !v.is_empty())
            .map(PathBuf::from)
    };
    from("PACKDOWN_HOME")
        .or_else(|| from("XDG_DATA_HOME").map(|dir| dir.join("packdown")))
        .or_else(|| from("APPDATA").map(|dir| dir.join("packdown")))
        .or_else(|| from("HOME").map(|dir| dir.join(".local/share/packdown")))
        .ok_or_else(|| {
            StoreError::Key("no folder for this user's data; set PACKDOWN_HOME to one".into())
        })
}

fn key_file() -> Result<PathBuf, StoreError> {
    Ok(data_folder()?.join("device.key"))
}

/// The key of this device, made where there is none.
pub(crate) fn device_key() -> Result<DeviceKey, StoreError> {
    Ok(load_or_make()?.0)
}

/// The key of this device, if it has one already.
pub(crate) fn existing_device_key() -> Result<Option<DeviceKey>, StoreError> {
    let path = key_file()?;
    if path.exists() {
        read(&path).map(Some)
    } else {
        Ok(None)
    }
}

fn load_or_make() -> Result<(DeviceKey, PathBuf, bool), StoreError> {
    let path = key_file()?;
    if path.exists() {
        return Ok((read(&path)?, path, false));
    }
    let mut seed = [0_u8; 32];
    getrandom::fill(&mut seed)
        .map_err(|error| StoreError::Key(format!("no random numbers to be had: {error}")))?;
    // The name says nothing about the user: it is a hash of the seed's hash.
    let tag: String = to_hex(&sha256(&sha256(&seed))).chars().take(12).collect();
    let name = format!("device.packdown.invalid/job-log/{tag}");
    let folder = data_folder()?;
    fs::create_dir_all(&folder).map_err(StoreError::file(&folder))?;
    write_secret(&path, &format!("{name}\n{}\n", to_hex(&seed)))?;
    Ok((DeviceKey::from_seed(&name, &seed)?, path, true))
}

fn read(path: &Path) -> Result<DeviceKey, StoreError> {
    let text = super::record::read_text(path)?;
    let mut lines = text.lines();
    let (name, seed) = (lines.next().unwrap_or(""), lines.next().unwrap_or(""));
    let seed: [u8; 32] = from_hex(seed)
        .and_then(|bytes| bytes.try_into().ok())
        .ok_or_else(|| StoreError::Key(format!("`{}` is not a key file", path.display())))?;
    Ok(DeviceKey::from_seed(name, &seed)?)
}

/// Writes a file that only its owner may read. Never over another one.
fn write_secret(path: &Path, text: &str) -> Result<(), StoreError> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    let mut file = options.open(path).map_err(StoreError::file(path))?;
    file.write_all(text.as_bytes())
        .map_err(StoreError::file(path))?;
    file.sync_all().map_err(StoreError::file(path))
}

/// The key of this device for people to see; made where there is none.
///
/// # Errors
/// No folder for this user's data, or a key file that is not one.
pub fn show_key() -> Result<KeyShown, StoreError> {
    let (key, kept_in, made_now) = load_or_make()?;
    Ok(KeyShown {
        name: key.name().to_owned(),
        verifier: key.verifier().to_string(),
        kept_in,
        made_now,
        demo_verifier: DeviceKey::demo().verifier().to_string(),
    })
}

/// The key that signs a job: the demo key for an invented one, else this device's.
pub(crate) fn signing_key(demo: bool) -> Result<DeviceKey, StoreError> {
    if demo {
        Ok(DeviceKey::demo())
    } else {
        device_key()
    }
}

/// Keys trusted here: this device's, the demo key for logs of its own name, and `more`.
pub(crate) fn trusted(more: &[Verifier]) -> Result<Vec<Verifier>, StoreError> {
    let mut keys = vec![DeviceKey::demo().verifier()];
    if let Some(key) = existing_device_key()? {
        keys.push(key.verifier());
    }
    keys.extend(more.iter().cloned());
    Ok(keys)
}

/// Whether a log of that origin is signed with the demo key, which proves nothing.
pub(crate) fn is_demo_origin(origin: &str) -> bool {
    origin == DEMO_ORIGIN
}
