//! Reads a zip file as if somebody meant harm with it: one clear word for each trick, before any
//! byte of content is unpacked.
//!
//! Only the plain form is taken: one disk, no encryption, no streaming, no 64-bit sizes, files
//! one behind the other from the first byte to the last. Another tool's zip that is refused here
//! can be unpacked and given as a folder.

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

use super::crc::crc32;
use super::limits::{LARGEST_FILE, LARGEST_TOTAL, LARGEST_ZIP, MOST_FILES, MOST_RATIO, RATIO_FROM};
use super::names::{Seen, fault_of_path, shown};
use crate::store::StoreError;

const END: usize = 22;
const CENTRAL: usize = 46;
const LOCAL: usize = 30;

/// A file in the zip.
#[derive(Debug, Clone)]
struct Member {
    name: String,
    packed: bool,
    crc: u32,
    packed_size: u64,
    size: u64,
    header_at: u64,
    data_at: u64,
    is_folder: bool,
}

/// A zip file whose directory was found in order.
#[derive(Debug)]
pub(super) struct ZipFile {
    path: PathBuf,
    file: Packed,
    members: Vec<Member>,
}

/// A file up to this length is read once and held: a bundle has some hundred parts, and a turn to
/// the system for each costs more than the reading.
const HELD: u64 = 16 << 20;

/// The bytes of the zip file.
#[derive(Debug)]
enum Packed {
    Held(Vec<u8>),
    File(File),
}

impl Packed {
    fn of(mut file: File) -> io::Result<Self> {
        let length = file.metadata()?.len();
        if length > HELD {
            return Ok(Self::File(file));
        }
        let mut bytes = Vec::with_capacity(usize::try_from(length).unwrap_or_default());
        // One that grows while it is read is cut where it was said to end.
        file.by_ref().take(length).read_to_end(&mut bytes)?;
        Ok(Self::Held(bytes))
    }

    fn len(&self) -> io::Result<u64> {
        match self {
            Self::Held(bytes) => Ok(bytes.len() as u64),
            Self::File(file) => Ok(file.metadata()?.len()),
        }
    }

    /// `length` bytes from `at` on.
    fn read_at(&mut self, at: u64, length: usize) -> io::Result<Vec<u8>> {
        match self {
            Self::Held(held) => {
                let from = usize::try_from(at).unwrap_or(usize::MAX);
                let bytes = held
                    .get(from..)
                    .and_then(|rest| rest.get(..length))
                    .ok_or(io::ErrorKind::UnexpectedEof)?;
                Ok(bytes.to_vec())
            }
            Self::File(file) => {
                let mut bytes = vec![0; length];
                file.seek(SeekFrom::Start(at))?;
                file.read_exact(&mut bytes)?;
                Ok(bytes)
            }
        }
    }
}

/// Little-endian numbers from a header.
struct Header<'b>(&'b [u8]);

impl Header<'_> {
    fn u16(&self, at: usize) -> u16 {
        let bytes = self.0.get(at..).and_then(<[u8]>::first_chunk::<2>);
        bytes.map_or(0, |bytes| u16::from_le_bytes(*bytes))
    }

    fn u32(&self, at: usize) -> u32 {
        let bytes = self.0.get(at..).and_then(<[u8]>::first_chunk::<4>);
        bytes.map_or(0, |bytes| u32::from_le_bytes(*bytes))
    }
}

impl ZipFile {
    /// Opens the file and reads its directory.
    pub(super) fn open(path: &Path) -> Result<Self, StoreError> {
        let mut file = File::open(path)
            .and_then(Packed::of)
            .map_err(StoreError::file(path))?;
        let members = Directory {
            path,
            file: &mut file,
        }
        .read()?;
        Ok(Self {
            path: path.into(),
            file,
            members,
        })
    }

    /// Paths of the files, folders left out.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        let files = self.members.iter().filter(|member| !member.is_folder);
        files.map(|member| member.name.as_str())
    }

    /// The bytes of a file; `None` where there is none of that name.
    pub(super) fn bytes(&mut self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        let found = self.members.iter().find(|member| member.name == name);
        let Some(member) = found.cloned() else {
            return Ok(None);
        };
        let broken =
            |what: &str| StoreError::bundle(&self.path, format!("{what}: `{}`", shown(name)));
        let to_len = |size: u64| usize::try_from(size).map_err(|_| broken("a file too large"));
        let mut data = self
            .file
            .read_at(member.data_at, to_len(member.packed_size)?)
            .map_err(StoreError::file(&self.path))?;
        if member.packed {
            let size = to_len(member.size)?;
            data = miniz_oxide::inflate::decompress_to_vec_with_limit(&data, size)
                .map_err(|_| broken("a file that does not unpack to the size it declares"))?;
        }
        if data.len() as u64 != member.size {
            return Err(broken(
                "a file that does not unpack to the size it declares",
            ));
        }
        if crc32(&data) != member.crc {
            return Err(broken("a file whose checksum does not fit"));
        }
        Ok(Some(data))
    }
}

/// The directory while it is read.
struct Directory<'f> {
    path: &'f Path,
    file: &'f mut Packed,
}

impl Directory<'_> {
    fn refuse(&self, what: impl Into<String>) -> StoreError {
        StoreError::bundle(self.path, what)
    }

    fn at(&mut self, at: u64, length: usize) -> Result<Vec<u8>, StoreError> {
        self.file
            .read_at(at, length)
            .map_err(|_| self.refuse("a zip file that ends too soon"))
    }

    fn read(mut self) -> Result<Vec<Member>, StoreError> {
        let length = self.file.len().map_err(StoreError::file(self.path))?;
        if length > LARGEST_ZIP {
            return Err(self.refuse(format!(
                "a file of {length} bytes; at most {LARGEST_ZIP} are taken"
            )));
        }
        let end_at = length.checked_sub(END as u64);
        let end_at = end_at.ok_or_else(|| self.refuse("not a zip file: too short"))?;
        let end = self.at(end_at, END)?;
        let header = Header(&end);
        if !end.starts_with(b"PK\x05\x06") || header.u16(20) != 0 {
            return Err(self.no_end(length)?);
        }
        let (files, directory_size, directory_at) =
            (header.u16(10), header.u32(12), header.u32(16));
        if files == u16::MAX || directory_size == u32::MAX || directory_at == u32::MAX {
            return Err(self.refuse("a zip file with 64-bit sizes"));
        }
        if header.u16(4) != 0 || header.u16(6) != 0 || header.u16(8) != files {
            return Err(self.refuse("a zip file on several disks"));
        }
        if usize::from(files) > MOST_FILES {
            return Err(self.refuse(format!("{files} files; at most {MOST_FILES} are taken")));
        }
        let (directory_at, directory_size) = (u64::from(directory_at), u64::from(directory_size));
        if directory_at + directory_size != end_at {
            return Err(self.refuse("bytes before its first file or between its parts"));
        }
        let length = usize::try_from(directory_size).unwrap_or(usize::MAX);
        let directory = self.at(directory_at, length)?;
        let mut members = self.members(&directory, files)?;
        self.compare(&mut members, directory_at)?;
        Ok(members)
    }

    /// Why there is no end where it should be.
    fn no_end(&mut self, length: u64) -> Result<StoreError, StoreError> {
        let tail = length.min(END as u64 + u64::from(u16::MAX));
        let tail_at = length - tail;
        let tail = self.at(tail_at, usize::try_from(tail).unwrap_or(0))?;
        let found = tail.windows(4).any(|four| four == b"PK\x05\x06");
        Ok(self.refuse(if found {
            "a zip file with bytes or a comment after its end"
        } else {
            "not a zip file: no directory at its end"
        }))
    }

    fn members(&self, directory: &[u8], files: u16) -> Result<Vec<Member>, StoreError> {
        let mut members = Vec::with_capacity(usize::from(files));
        let (mut seen, mut plain) = (Seen::default(), Seen::default());
        let mut total = 0;
        let mut rest = directory;
        for _ in 0..files {
            let (head, after) = rest
                .split_at_checked(CENTRAL)
                .filter(|(head, _)| head.starts_with(b"PK\x01\x02"))
                .ok_or_else(|| self.refuse("a directory that ends too soon"))?;
            let header = Header(head);
            let lengths = [28, 30, 32].map(|at| usize::from(header.u16(at)));
            let [name, extra, comment] = lengths;
            let (name, after) = self.cut(after, name)?;
            let (extra, after) = self.cut(after, extra)?;
            let (_, after) = self.cut(after, comment)?;
            rest = after;
            let member = self.member(&header, name, extra)?;
            seen.take(member.name.trim_end_matches('/'))
                .and_then(|()| {
                    if member.is_folder {
                        Ok(())
                    } else {
                        plain.take(&member.name)
                    }
                })
                .map_err(|what| self.refuse(what))?;
            total += member.size;
            if total > LARGEST_TOTAL {
                return Err(self.refuse(format!("more than {LARGEST_TOTAL} bytes when unpacked")));
            }
            members.push(member);
        }
        if let Some(fault) = plain.file_and_folder() {
            return Err(self.refuse(fault));
        }
        if !rest.is_empty() {
            return Err(self.refuse("a directory with more than it counts"));
        }
        Ok(members)
    }

    fn cut<'b>(&self, bytes: &'b [u8], length: usize) -> Result<(&'b [u8], &'b [u8]), StoreError> {
        bytes
            .split_at_checked(length)
            .ok_or_else(|| self.refuse("a directory that ends too soon"))
    }

    fn member(&self, header: &Header<'_>, name: &[u8], extra: &[u8]) -> Result<Member, StoreError> {
        let name = std::str::from_utf8(name)
            .map_err(|_| self.refuse("a name that is not UTF-8"))?
            .to_owned();
        let of = |what: &str| self.refuse(format!("{what}: `{}`", shown(&name)));
        let is_folder = name.ends_with('/');
        if let Some(fault) = fault_of_path(name.strip_suffix('/').unwrap_or(&name)) {
            return Err(self.refuse(fault));
        }
        let flags = header.u16(8);
        if flags & (1 | 1 << 6 | 1 << 13) != 0 {
            return Err(of("an encrypted file"));
        }
        if flags & (1 << 3) != 0 {
            return Err(of("a file that was streamed, its size behind it"));
        }
        if !name.is_ascii() && flags & (1 << 11) == 0 {
            return Err(of("a name in an unnamed alphabet"));
        }
        let packed = match header.u16(10) {
            0 => false,
            8 => true,
            _ => return Err(of("a way of packing that is not known here")),
        };
        // Made on a system with file modes: the upper half of the attributes is the mode.
        let kind = header.u32(38) >> 16 & 0o170_000;
        if !matches!(
            (kind, is_folder),
            (0, _) | (0o100_000, false) | (0o040_000, true)
        ) {
            return Err(of(if kind == 0o120_000 {
                "a link"
            } else {
                "something that is no plain file"
            }));
        }
        let mut fields = extra;
        while let Some((head, after)) = fields.split_at_checked(4) {
            let field = Header(head);
            match field.u16(0) {
                0x0001 => return Err(of("a file with 64-bit sizes")),
                0x7075 => return Err(of("a second name for a file")),
                _ => {}
            }
            fields = after.get(usize::from(field.u16(2))..).unwrap_or_default();
        }
        let (packed_size, size) = (u64::from(header.u32(20)), u64::from(header.u32(24)));
        if size > LARGEST_FILE {
            return Err(of(&format!("a file of more than {LARGEST_FILE} bytes")));
        }
        if !packed && packed_size != size || is_folder && size != 0 {
            return Err(of("sizes that contradict each other"));
        }
        if size > RATIO_FROM && size / packed_size.max(1) > MOST_RATIO {
            return Err(of(&format!(
                "a file that grows more than {MOST_RATIO} times when unpacked"
            )));
        }
        Ok(Member {
            packed,
            crc: header.u32(16),
            packed_size,
            size,
            header_at: u64::from(header.u32(42)),
            data_at: 0,
            is_folder,
            name,
        })
    }

    /// Compares the directory with what stands before each file. Files must follow one another
    /// without a gap, so none can be hidden and no bytes can be used twice.
    fn compare(&mut self, members: &mut [Member], directory_at: u64) -> Result<(), StoreError> {
        let mut order: Vec<&mut Member> = members.iter_mut().collect();
        order.sort_by_key(|member| member.header_at);
        let mut expected = 0;
        for member in order {
            let of =
                |this: &Self, what: &str| this.refuse(format!("{what}: `{}`", shown(&member.name)));
            if member.header_at != expected {
                return Err(of(self, "files that overlap, or bytes between them"));
            }
            let head = self.at(member.header_at, LOCAL)?;
            let header = Header(&head);
            let name = self.at(member.header_at + LOCAL as u64, usize::from(header.u16(26)))?;
            let alike = head.starts_with(b"PK\x03\x04")
                && name == member.name.as_bytes()
                && header.u16(6) & 0b1001 == 0
                && (header.u16(8) == 8) == member.packed
                && header.u32(14) == member.crc
                && u64::from(header.u32(18)) == member.packed_size
                && u64::from(header.u32(22)) == member.size;
            if !alike {
                return Err(of(self, "a file that its directory describes otherwise"));
            }
            let names = u64::from(header.u16(26)) + u64::from(header.u16(28));
            member.data_at = member.header_at + LOCAL as u64 + names;
            expected = member.data_at + member.packed_size;
        }
        if expected != directory_at {
            return Err(self.refuse("bytes between its last file and its directory"));
        }
        Ok(())
    }
}
