//! One entry of a log: its members, its one line of canonical JSON, and the id that its own
//! content gives it.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, SecondsFormat};
use serde_json::{Map, Value};

use super::canonical::{write_canonical, write_checked, write_text};
use super::error::LedgerError;
use super::hash::{from_hex, sha256};
use super::key::known_name;
use super::stamp::Stamp;
use crate::clock::Moment;
use crate::ids::event_id;

/// The format of the entries that this program writes, `MAJOR.MINOR`.
///
/// A reader takes every entry of its own MAJOR. It may meet members it does not know in a newer
/// MINOR: it keeps them, but does not write to such a log. Another MAJOR is not read.
///
/// Changelog:
/// - `1.0`: first format.
pub const FORMAT: &str = "1.0";

/// The longest line that is read or written, in bytes.
pub const MAX_LINE: usize = 10 * 1024 * 1024;

/// What this program may do with an entry of some format.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// Read it and write behind it.
    ReadWrite,
    /// Read it only: a newer minor.
    ReadOnly,
    /// Neither: another major, or no format at all.
    Neither,
}

/// What this program may do with entries of `format`.
#[must_use]
pub fn reach(format: &str) -> Reach {
    let (Some((ours, our_minor)), Some((theirs, minor))) = (version(FORMAT), version(format))
    else {
        return Reach::Neither;
    };
    match (theirs == ours, minor.cmp(&our_minor)) {
        (false, _) => Reach::Neither,
        (true, Ordering::Greater) => Reach::ReadOnly,
        (true, _) => Reach::ReadWrite,
    }
}

fn version(format: &str) -> Option<(u32, u32)> {
    let (major, minor) = format.split_once('.')?;
    let version = (major.parse().ok()?, minor.parse().ok()?);
    (format!("{}.{}", version.0, version.1) == format).then_some(version)
}

/// A file that belongs to an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// Its name beside the log.
    pub file: String,
    /// SHA-256 of its bytes, lower-case hexadecimal.
    pub sha256: String,
}

impl Photo {
    fn members(&self) -> BTreeMap<&str, &str> {
        BTreeMap::from([("file", &*self.file), ("sha256", &*self.sha256)])
    }
}

/// One entry as it stands in a log.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LogEntry {
    /// [`FORMAT`] at the time of writing.
    pub format: String,
    /// Version 7 UUID made from the time and the content of all other members.
    pub id: String,
    /// The origin of the log.
    pub log: String,
    /// The place in the log, from 0; the index of the leaf.
    pub seq: u64,
    /// The [`Stamp`] as text.
    pub hlc: String,
    /// RFC 3339 in UTC with milliseconds.
    pub time: String,
    /// The offset of local time, `+01:00`.
    pub tz: String,
    /// Who.
    pub actor: String,
    /// What kind of event; the member is called `type`.
    pub kind: String,
    /// The event itself. Measured values are text.
    pub body: Value,
    /// Entries that this one answers or corrects: ids, or leaf hashes of other logs.
    pub refs: Vec<String>,
    /// Files that belong to it.
    pub photos: Vec<Photo>,
    /// Members of a newer minor format, kept so that the content still gives the id.
    pub more: Map<String, Value>,
    pub(super) moment: Moment,
    pub(super) stamp: Stamp,
}

impl LogEntry {
    /// Time and offset as one.
    #[must_use]
    pub const fn moment(&self) -> Moment {
        self.moment
    }

    /// The stamp that orders entries of several devices for people.
    #[must_use]
    pub const fn stamp(&self) -> Stamp {
        self.stamp
    }

    /// The line as it stands in the file, without its line feed.
    ///
    /// # Errors
    /// A member that has been changed to something that cannot be written.
    pub fn line(&self) -> Result<String, LedgerError> {
        Ok(self.rest()?.line(&self.id))
    }

    /// The id that the content gives; differs from `id` where the entry was edited.
    ///
    /// # Errors
    /// A member that has been changed to something that cannot be written.
    pub fn content_id(&self) -> Result<String, LedgerError> {
        Ok(self.rest()?.id(self.moment.unix_ms()))
    }

    /// Reads the members of a line; whether bytes and id are right is asked of [`Self::rest`].
    pub(super) fn from_members(mut members: Map<String, Value>) -> Result<Self, LedgerError> {
        let format = text(&mut members, "format")?;
        let time = text(&mut members, "time")?;
        let tz = text(&mut members, "tz")?;
        let hlc = text(&mut members, "hlc")?;
        let moment = moment_of(&time, &tz)?;
        let stamp = hlc
            .parse::<Stamp>()
            .map_err(|()| wrong("hlc", "padded milliseconds, a point and a counter"))?;
        let log = text(&mut members, "log")?;
        known_name(&log).map_err(|_| wrong("log", "the origin of a log"))?;
        let entry = Self {
            id: text(&mut members, "id")?,
            seq: members
                .remove("seq")
                .and_then(|seq| seq.as_u64())
                .ok_or(wrong("seq", "a whole number from 0"))?,
            actor: text(&mut members, "actor")?,
            kind: text(&mut members, "type")?,
            body: members
                .remove("body")
                .ok_or(wrong("body", "it is missing"))?,
            refs: items(&mut members, "refs", |item| match item {
                Value::String(text) => Some(text),
                _ => None,
            })?,
            photos: items(&mut members, "photos", photo)?,
            format,
            log,
            hlc,
            time,
            tz,
            more: members,
            moment,
            stamp,
        };
        entry.check_members()?;
        Ok(entry)
    }

    /// What must hold of the members whether read or about to be written.
    pub(super) fn check_members(&self) -> Result<(), LedgerError> {
        if self.moment.unix_ms() < 0 {
            return Err(LedgerError::Early(self.time.clone()));
        }
        if self.kind.is_empty() {
            return Err(wrong("type", "it is empty"));
        }
        for photo in &self.photos {
            if from_hex(&photo.sha256).is_none_or(|hash| hash.len() != 32) {
                return Err(wrong("photos", "64 hexadecimal digits for each file"));
            }
        }
        match self.more.keys().next() {
            Some(member) if reach(&self.format) == Reach::ReadWrite => {
                Err(wrong(member, "this format has no such member"))
            }
            _ => Ok(()),
        }
    }

    /// The canonical bytes of all members but the id.
    pub(super) fn rest(&self) -> Result<Rest, LedgerError> {
        let mut members = vec![
            ("actor", Member::Text(&self.actor)),
            ("body", Member::Json(&self.body)),
            ("format", Member::Text(&self.format)),
            ("hlc", Member::Text(&self.hlc)),
            ("log", Member::Text(&self.log)),
            ("photos", Member::Photos(&self.photos)),
            ("refs", Member::Texts(&self.refs)),
            ("seq", Member::Whole(self.seq)),
            ("time", Member::Text(&self.time)),
            ("type", Member::Text(&self.kind)),
            ("tz", Member::Text(&self.tz)),
        ];
        if !self.more.is_empty() {
            let more = self.more.iter();
            members.extend(more.map(|(name, value)| (name.as_str(), Member::Json(value))));
            // RFC 8785 section 3.2.3 sorts by UTF-16 code units.
            members.sort_by(|(one, _), (other, _)| one.encode_utf16().cmp(other.encode_utf16()));
        }
        let mut bytes = Vec::with_capacity(1024);
        let mut id_at = 0;
        for (name, member) in members {
            bytes.push(if bytes.is_empty() { b'{' } else { b',' });
            if id_at == 0 && name > "id" {
                id_at = bytes.len();
            }
            write_text(name, &mut bytes)?;
            bytes.push(b':');
            member.write(&mut bytes)?;
        }
        bytes.push(b'}');
        String::from_utf8(bytes)
            .map(|text| Rest { text, id_at })
            .map_err(|_| wrong("body", "it is not UTF-8"))
    }
}

/// The value of a member while it is written.
enum Member<'e> {
    Text(&'e str),
    Texts(&'e [String]),
    Whole(u64),
    Photos(&'e [Photo]),
    Json(&'e Value),
}

impl Member<'_> {
    fn write(self, bytes: &mut Vec<u8>) -> Result<(), LedgerError> {
        match self {
            Self::Text(text) => write_text(text, bytes),
            Self::Texts(texts) => write_canonical(texts, bytes),
            Self::Whole(whole) => write_canonical(&whole, bytes),
            Self::Json(value) => write_checked(value, bytes),
            Self::Photos(photos) => {
                let photos: Vec<_> = photos.iter().map(Photo::members).collect();
                write_canonical(&photos, bytes)
            }
        }
    }
}

/// An entry without its id, and where the id goes.
pub(super) struct Rest {
    text: String,
    id_at: usize,
}

impl Rest {
    /// The id that this content gives at `unix_ms`.
    pub(super) fn id(&self, unix_ms: i64) -> String {
        event_id(unix_ms, &sha256(self.text.as_bytes()))
    }

    /// The whole line with `id` in its place, without a line feed.
    pub(super) fn line(&self, id: &str) -> String {
        let (before, after) = self.text.split_at_checked(self.id_at).unwrap_or_default();
        // `log` always follows, so the comma is always right.
        let id = Value::from(id);
        format!("{before}\"id\":{id},{after}")
    }
}

/// The moment that a UTC time and an offset give, if both are in the one form that is written.
pub(super) fn moment_of(time: &str, tz: &str) -> Result<Moment, LedgerError> {
    let zone = |text: &str| text.parse::<FixedOffset>().ok();
    let utc = time
        .parse::<Moment>()
        .ok()
        .filter(|moment| moment.utc() == time)
        .ok_or(wrong("time", "UTC with milliseconds and Z"))?;
    DateTime::from_timestamp_millis(utc.unix_ms())
        .zip(zone(tz))
        .map(|(instant, zone)| instant.with_timezone(&zone))
        .and_then(|local| {
            let text = local.to_rfc3339_opts(SecondsFormat::Millis, false);
            text.parse::<Moment>().ok()
        })
        .filter(|moment| moment.offset() == tz)
        .ok_or(wrong("tz", "an offset such as +01:00"))
}

fn wrong(member: &str, why: &'static str) -> LedgerError {
    LedgerError::Member {
        member: member.to_owned(),
        why,
    }
}

fn text(members: &mut Map<String, Value>, name: &str) -> Result<String, LedgerError> {
    match members.remove(name) {
        Some(Value::String(text)) => Ok(text),
        Some(_) => Err(wrong(name, "text")),
        None => Err(wrong(name, "it is missing")),
    }
}

fn items<T>(
    members: &mut Map<String, Value>,
    name: &str,
    item: impl Fn(Value) -> Option<T>,
) -> Result<Vec<T>, LedgerError> {
    match members.remove(name) {
        Some(Value::Array(values)) => values
            .into_iter()
            .map(item)
            .collect::<Option<_>>()
            .ok_or(wrong(name, "an item of another form")),
        _ => Err(wrong(name, "a list")),
    }
}

fn photo(value: Value) -> Option<Photo> {
    let Value::Object(mut members) = value else {
        return None;
    };
    let photo = Photo {
        file: text(&mut members, "file").ok()?,
        sha256: text(&mut members, "sha256").ok()?,
    };
    members.is_empty().then_some(photo)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn who_can_read_which_format() {
        for (format, expected) in [
            ("1.0", Reach::ReadWrite),
            ("1.1", Reach::ReadOnly),
            ("1.10", Reach::ReadOnly),
            ("0.9", Reach::Neither),
            ("2.0", Reach::Neither),
            ("1", Reach::Neither),
            ("1.00", Reach::Neither),
            ("+1.0", Reach::Neither),
            ("", Reach::Neither),
        ] {
            assert_eq!(reach(format), expected, "{format}");
        }
    }

    #[test]
    fn time_and_offset_have_one_form() {
        let moment = moment_of("2026-11-25T07:50:00.250Z", "+01:00").unwrap();
        assert_eq!(moment.local(), "2026-11-25T08:50:00.250+01:00");
        assert!(moment_of("2026-11-25T07:50:00.000Z", "-00:30").is_ok());
        for (time, tz) in [
            ("2026-11-25T07:50:00Z", "+01:00"),
            ("2026-11-25T07:50:00.000+00:00", "+01:00"),
            ("2026-11-25t07:50:00.000z", "+01:00"),
            ("2026-11-25T07:50:00.000Z", "+0100"),
            ("2026-11-25T07:50:00.000Z", "-00:00"),
            ("2026-11-25T07:50:00.000Z", "CET"),
            ("2026-11-25T07:50:00.000Z", ""),
        ] {
            assert!(moment_of(time, tz).is_err(), "{time} {tz}");
        }
    }
}
