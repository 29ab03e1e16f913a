//! How large a bundle may be. Limits of this project: far above any load of one van, far below
//! what would fill a small device.

/// Bytes of the zip file.
pub(super) const LARGEST_ZIP: u64 = 1 << 30;
/// Files in it.
pub(super) const MOST_FILES: usize = 20_000;
/// Bytes of one file when unpacked.
pub(super) const LARGEST_FILE: u64 = 256 << 20;
/// Bytes of all files when unpacked.
pub(super) const LARGEST_TOTAL: u64 = 2 << 30;
/// How many times a file may grow when unpacked; the text of a log grows about eight times.
pub(super) const MOST_RATIO: u64 = 200;
/// Files below this size may grow as they like.
pub(super) const RATIO_FROM: u64 = 1 << 20;
