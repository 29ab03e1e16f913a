//! A file of facts, or standard input, as text, and which form it has.

use std::fs::File;
use std::io::{self, BufRead, BufReader, Read};
use std::path::Path;

use super::Form;
use crate::store::StoreError;

/// Longest line of JSON, in bytes. One battery is one or two thousand.
const LONGEST_LINE: u64 = 1024 * 1024;
/// Largest object or array read whole, in bytes.
const LARGEST_WHOLE: u64 = 64 * 1024 * 1024;
const BUFFER: usize = 256 * 1024;

/// An input, with its name for messages.
pub(crate) struct Source {
    pub(crate) name: String,
    pub(crate) size: Option<u64>,
    /// Blank lines that [`Self::form`] passed over.
    pub(crate) blank_lines: usize,
    pub(super) reader: BufReader<Box<dyn Read>>,
}

impl Source {
    /// The file, or standard input for `-`.
    pub(crate) fn open(path: &Path) -> Result<Self, StoreError> {
        let (name, size, reader): (_, _, Box<dyn Read>) = if path == Path::new("-") {
            ("standard input".to_owned(), None, Box::new(io::stdin()))
        } else {
            let file = File::open(path).map_err(StoreError::file(path))?;
            let found = file.metadata().map_err(StoreError::file(path))?;
            if found.is_dir() {
                return Err(StoreError::input(
                    path.display(),
                    "",
                    "is a folder, not a file",
                ));
            }
            (
                path.display().to_string(),
                Some(found.len()),
                Box::new(file),
            )
        };
        Ok(Self {
            name,
            size,
            blank_lines: 0,
            reader: BufReader::with_capacity(BUFFER, reader),
        })
    }

    /// What is left of it.
    pub(crate) fn into_reader(self) -> Box<dyn Read> {
        Box::new(self.reader)
    }

    /// The whole text; `instead` says what to do where it is too large for that.
    pub(crate) fn whole(&mut self, instead: &str) -> Result<String, StoreError> {
        let mut bytes = Vec::new();
        (&mut self.reader)
            .take(LARGEST_WHOLE + 1)
            .read_to_end(&mut bytes)
            .map_err(|why| self.broken(&why))?;
        if bytes.len() as u64 > LARGEST_WHOLE {
            return Err(self.wrong(
                "",
                format!(
                    "is larger than {} MiB as one piece; {instead}",
                    LARGEST_WHOLE / 1024 / 1024
                ),
            ));
        }
        if bytes.starts_with(b"\xef\xbb\xbf") {
            bytes.drain(..3);
        }
        String::from_utf8(bytes).map_err(|error| {
            let at = error.utf8_error().valid_up_to();
            self.wrong("", format!("is not UTF-8 text (byte {at})"))
        })
    }

    fn wrong(&self, place: &str, why: impl Into<String>) -> StoreError {
        StoreError::input(&self.name, place, why)
    }

    fn broken(&self, why: &io::Error) -> StoreError {
        self.wrong("", why.to_string())
    }

    /// Which form it has; white space before the first sign and a byte order mark are passed over.
    pub(crate) fn form(&mut self) -> Result<Form, StoreError> {
        let mut first_read = true;
        loop {
            let (skip, form) = {
                let seen = match self.reader.fill_buf() {
                    Ok(seen) => seen,
                    Err(why) => return Err(StoreError::input(&self.name, "", why.to_string())),
                };
                if seen.is_empty() {
                    return Err(self.wrong("", "is empty"));
                }
                let mark = usize::from(first_read && seen.starts_with(b"\xef\xbb\xbf")) * 3;
                let blanks = seen
                    .iter()
                    .skip(mark)
                    .take_while(|byte| byte.is_ascii_whitespace())
                    .count();
                let form = match seen.get(mark + blanks) {
                    None => None,
                    Some(b'[') => Some(Form::Array),
                    Some(b'{') => Some(Form::Object),
                    Some(_) => Some(Form::Csv),
                };
                // Lines of CSV are counted from the first, so only the mark goes.
                let skip = if form == Some(Form::Csv) {
                    mark
                } else {
                    let passed = seen.iter().take(mark + blanks);
                    self.blank_lines += passed.filter(|byte| **byte == b'\n').count();
                    mark + blanks
                };
                (skip, form)
            };
            first_read = false;
            self.reader.consume(skip);
            if let Some(form) = form {
                return Ok(form);
            }
        }
    }

    /// The next line without its end, or `None` at the end of the text.
    pub(super) fn line(&mut self, number: u64) -> Result<Option<String>, StoreError> {
        let mut bytes = Vec::new();
        (&mut self.reader)
            .take(LONGEST_LINE + 1)
            .read_until(b'\n', &mut bytes)
            .map_err(|why| self.broken(&why))?;
        if bytes.len() as u64 > LONGEST_LINE {
            let place = format!("line {number}");
            return Err(self.wrong(&place, format!("is longer than {LONGEST_LINE} bytes")));
        }
        if bytes.is_empty() {
            return Ok(None);
        }
        match String::from_utf8(bytes) {
            Ok(line) => Ok(Some(line)),
            Err(_) => Err(self.wrong(&format!("line {number}"), "is not UTF-8 text")),
        }
    }
}
