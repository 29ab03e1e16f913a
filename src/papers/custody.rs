//! Chain of custody: one row for each item of each event, for everyone who ever holds the battery.
//!
//! `custody.csv` is RFC 4180 with CRLF, UTF-8 without a byte-order mark, one head row with units
//! in the names, an empty cell for "not known" or "does not apply". Texts stand in the grammar of
//! [`marked`](super::marked): exact, and no formula in a spreadsheet. [`datapackage`] and [`csvw`]
//! describe it to other programs, [`for_spreadsheets`] is its twin for people; [`check`] reads it
//! back.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::clock::Moment;
use crate::papers::charge;
use crate::papers::column::{Column, Fault, Kind, column, known, lines, required, table};
use crate::papers::tabular::Tabular;
use crate::papers::{Issued, PaperError};
use crate::units::{Decimal, Grams, MilliPercent};

macro_rules! words {
    ($($(#[$doc:meta])* $name:ident { $($(#[$of:meta])* $variant:ident => $word:literal,)* })*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[serde(rename_all = "snake_case")]
        pub enum $name {
            $($(#[$of])* $variant,)*
        }

        impl $name {
            /// Every word the column may hold.
            pub const WORDS: &'static [&'static str] = &[$($word,)*];

            /// The word in the file.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$variant => $word,)*
                }
            }

            fn from_word(word: &str) -> Option<Self> {
                match word {
                    $($word => Some(Self::$variant),)*
                    _ => None,
                }
            }
        }
    )*};
}

words! {
    /// What an event happened to.
    ItemKind {
        /// A battery module.
        Module => "module",
        /// Packages bound to one handling unit.
        Overpack => "overpack",
        /// A packaging with its contents.
        Package => "package",
        /// A complete battery pack that was not opened.
        Pack => "pack",
    }

    /// What happened.
    Event {
        /// Corrected an earlier event, which `amends` names.
        Corrected => "corrected",
        /// Set apart for review.
        Held => "held",
        /// Findings and readings were taken.
        Inspected => "inspected",
        /// Stays on site.
        LeftBehind => "left_behind",
        /// Put into a package.
        Packed => "packed",
        /// Taken over.
        Received => "received",
        /// Not taken over.
        Refused => "refused",
        /// Handed over.
        Released => "released",
        /// Taken out of the installation.
        Removed => "removed",
        /// A seal was put on.
        Sealed => "sealed",
        /// Taken out of a package.
        Unpacked => "unpacked",
    }

    /// What the seal looked like.
    SealState {
        /// Broken, or its number differs.
        Broken => "broken",
        /// Whole, its number as written.
        Intact => "intact",
        /// Not there.
        Missing => "missing",
        /// Not looked at.
        NotChecked => "not_checked",
    }
}

/// One event of one item. `None` or an empty text prints as an empty cell: not known, or does
/// not apply.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CustodyRow {
    /// Id of the event: a lower-case UUID, the same on each row of one event.
    pub event_id: String,
    /// Serial or job serial of a module; id of a package.
    pub item_id: String,
    /// What the item is.
    pub item_kind: ItemKind,
    /// What happened.
    pub event: Event,
    /// When, with the local offset.
    pub at: Moment,
    /// Where.
    pub place: String,
    /// Who hands over.
    pub released_by: Option<String>,
    /// Who takes over.
    pub received_by: Option<String>,
    /// Why possession changes.
    pub purpose: String,
    /// Condition as seen.
    pub condition: String,
    /// Number on the seal.
    pub seal_number: Option<String>,
    /// What the seal looked like.
    pub seal_state: Option<SealState>,
    /// Lowest state of charge that fits the evidence; its basis stands in the inspection sheets.
    pub state_of_charge_low_percent: Option<MilliPercent>,
    /// Highest state of charge that fits the evidence.
    pub state_of_charge_high_percent: Option<MilliPercent>,
    /// Terminal voltage in volts, with the digits shown; negative is reversed.
    pub voltage_v: Option<Decimal>,
    /// Hottest face in degrees Celsius, with the digits shown.
    pub surface_temperature_c: Option<Decimal>,
    /// Mass without packaging.
    pub net_mass_kg: Option<Grams>,
    /// Why it happened, or why an earlier row is corrected.
    pub reason: String,
    /// Id of the event that this one corrects.
    pub amends: Option<String>,
    /// SHA-256 of each photograph or paper, lower-case hex.
    pub evidence_sha256: Vec<String>,
    /// Name of the log that holds the entry.
    pub ledger_log: String,
    /// Position in that log, from 0.
    pub ledger_seq: u64,
    /// Leaf hash of the entry, lower-case hex.
    pub leaf_hash: String,
    /// Name of the item for machines, as its code and the events have it; empty in a table of 1.0.
    pub item_uri: String,
}

/// Format of `custody.csv`. A reader takes any minor of its own major: what it does not know
/// stands in columns at the end. 1.1 added `item_uri`.
pub const FORMAT: &str = "1.1";

/// The table as a whole.
const TABULAR: Tabular = Tabular {
    name: "custody",
    title: "Chain of custody, one row for each item of each event",
    about: "Identity is preserved down to the battery module until the consignee opens the package.",
    format: FORMAT,
    key: &["event_id", "item_id", "event"],
    columns: &COLUMNS,
};

const COLUMNS: [Column; 25] = [
    required(
        "event_id",
        Kind::EventId,
        "Id of the entry behind it; the same on each row that the entry gives.",
    ),
    required(
        "item_id",
        Kind::Text,
        "Serial or job serial of a battery module; id of a package, overpack or battery pack.",
    ),
    required(
        "item_kind",
        Kind::Code(ItemKind::WORDS),
        "What the item is.",
    ),
    required("event", Kind::Code(Event::WORDS), "What happened."),
    required(
        "time_local",
        Kind::LocalTime,
        "When, as the clock at the place showed it, with the offset.",
    ),
    required("time_utc", Kind::UtcTime, "The same instant in UTC."),
    required("place", Kind::Text, "Where."),
    column("released_by", Kind::Text, "Who hands over."),
    column("received_by", Kind::Text, "Who takes over."),
    column("purpose", Kind::Text, "Why possession changes."),
    column("condition", Kind::Text, "Condition as seen."),
    column("seal_number", Kind::Text, "Number on the seal."),
    column(
        "seal_state",
        Kind::Code(SealState::WORDS),
        "What the seal looked like.",
    ),
    charge::LOW,
    charge::HIGH,
    column(
        "voltage_v",
        Kind::NUMBER,
        "Battery terminal voltage, volts; negative is reversed.",
    ),
    column(
        "surface_temperature_c",
        Kind::NUMBER,
        "Hottest face, degrees Celsius.",
    ),
    column(
        "net_mass_kg",
        Kind::AMOUNT,
        "Mass without packaging, kilograms.",
    ),
    column(
        "reason",
        Kind::Text,
        "Why it happened, or why an earlier event is corrected.",
    ),
    column(
        "amends",
        Kind::EventId,
        "Id of the event that this one corrects.",
    ),
    column(
        "evidence_sha256",
        Kind::Hashes,
        "SHA-256 of each photograph or paper, with one blank between.",
    ),
    required(
        "ledger_log",
        Kind::Text,
        "Name of the log that holds the entry.",
    ),
    required(
        "ledger_seq",
        Kind::Whole,
        "Position of the entry in that log, from 0.",
    ),
    required("leaf_hash", Kind::Hash, "Leaf hash of the entry."),
    column(
        "item_uri",
        Kind::Text,
        "Name of the item for machines: web address of its GS1 key, else a UUID within the job.",
    ),
];

/// `custody.csv`: the head row, then `rows` in the order given, CRLF after every line.
///
/// # Errors
/// A required cell without a value, or an id, hash or percentage outside its column's grammar.
pub fn csv(rows: &[CustodyRow]) -> Result<String, PaperError> {
    let rows: Vec<[String; 25]> = rows.iter().map(values).collect();
    table(&COLUMNS, &rows)
}

fn values(row: &CustodyRow) -> [String; 25] {
    [
        row.event_id.clone(),
        row.item_id.clone(),
        row.item_kind.word().to_owned(),
        row.event.word().to_owned(),
        row.at.local(),
        row.at.utc(),
        row.place.clone(),
        known(row.released_by.as_ref()),
        known(row.received_by.as_ref()),
        row.purpose.clone(),
        row.condition.clone(),
        known(row.seal_number.as_ref()),
        known(row.seal_state.map(SealState::word)),
        known(row.state_of_charge_low_percent.map(MilliPercent::decimal)),
        known(row.state_of_charge_high_percent.map(MilliPercent::decimal)),
        known(row.voltage_v),
        known(row.surface_temperature_c),
        known(row.net_mass_kg.map(Grams::decimal)),
        row.reason.clone(),
        known(row.amends.as_ref()),
        row.evidence_sha256.join(" "),
        row.ledger_log.clone(),
        row.ledger_seq.to_string(),
        row.leaf_hash.clone(),
        row.item_uri.clone(),
    ]
}

/// `custody.xlsx`: see [`for_spreadsheets`].
///
/// # Errors
/// More rows than a sheet holds.
pub fn workbook(rows: &[CustodyRow], issued: &Issued) -> Result<Vec<u8>, PaperError> {
    let rows: Vec<[String; 25]> = rows.iter().map(values).collect();
    TABULAR.workbook(&rows, issued)
}

/// Reads a custody file back, with the exact texts, and checks it.
///
/// Checked: CRLF, the head row, every cell against its grammar, `event_id` + `item_id` + `event`
/// unique (a damaged module is lifted straight into its container, in one entry of the record),
/// rows of one entry with one time and one place in the ledger, both times the same instant, an interval of charge the right way round, a hand-over with the
/// party that the event needs, no event that amends itself.
///
/// # Errors
/// Every fault found, in the order of the file.
pub fn check(text: &str) -> Result<Vec<CustodyRow>, Vec<Fault>> {
    let mut faults = Vec::new();
    let mut rows = Vec::new();
    let mut keys = BTreeSet::new();
    let mut entries = BTreeMap::new();
    for (line, cells) in lines(&COLUMNS, text, &mut faults) {
        let Some(row) = read_row(line, &cells, &mut faults) else {
            continue;
        };
        let mut fault = |column: &str, what: String| {
            faults.push(Fault {
                line,
                column: column.to_owned(),
                what,
            });
        };
        if !keys.insert((row.event_id.clone(), row.item_id.clone(), row.event)) {
            fault(
                "event_id",
                "this event stands for this item already".to_owned(),
            );
        }
        let stands = (row.at, row.ledger_seq, row.leaf_hash.clone());
        let first = entries
            .entry(row.event_id.clone())
            .or_insert_with(|| stands.clone());
        if *first != stands {
            fault(
                "event_id",
                "rows of one entry differ in time or place in the ledger".to_owned(),
            );
        }
        if row.state_of_charge_low_percent > row.state_of_charge_high_percent {
            fault(
                "state_of_charge_low_percent",
                "above state_of_charge_high_percent, or that is empty".to_owned(),
            );
        }
        if row.event == Event::Released && row.released_by.is_none() {
            fault("released_by", "empty in a release".to_owned());
        }
        if row.event == Event::Received && row.received_by.is_none() {
            fault("received_by", "empty in a receipt".to_owned());
        }
        if row.amends.as_ref() == Some(&row.event_id) {
            fault("amends", "an event cannot correct itself".to_owned());
        }
        rows.push(row);
    }
    faults.sort_by_key(|fault| fault.line);
    if faults.is_empty() {
        Ok(rows)
    } else {
        Err(faults)
    }
}

/// `custody.datapackage.json`: a Data Package 2.0 descriptor of `csv`, for the same folder.
///
/// `sha256` is the lower-case hex hash of `csv`, where the caller has it.
///
/// # Errors
/// A hash outside its grammar.
pub fn datapackage(csv: &str, sha256: Option<&str>) -> Result<String, PaperError> {
    TABULAR.datapackage(csv, sha256)
}

/// `custody.csv-metadata.json`: what W3C readers of CSV look for beside `custody.csv`.
///
/// # Errors
/// None that a user can cause.
pub fn csvw() -> Result<String, PaperError> {
    TABULAR.csvw()
}

/// `custody-for-spreadsheets.csv`: the same rows for people who open them in a spreadsheet.
#[must_use]
pub fn for_spreadsheets(rows: &[CustodyRow]) -> String {
    let rows: Vec<[String; 25]> = rows.iter().map(values).collect();
    TABULAR.for_spreadsheets(&rows)
}

fn read_row(line: usize, cells: &[String; 25], faults: &mut Vec<Fault>) -> Option<CustodyRow> {
    let [
        event_id,
        item_id,
        item_kind,
        event,
        time_local,
        time_utc,
        place,
        released_by,
        received_by,
        purpose,
        condition,
        seal_number,
        seal_state,
        low,
        high,
        voltage,
        temperature,
        mass,
        reason,
        amends,
        evidence,
        ledger_log,
        ledger_seq,
        leaf_hash,
        item_uri,
    ] = cells;
    let some = |cell: &String| (!cell.is_empty()).then(|| cell.clone());
    if !mass.is_empty() && mass.parse::<Grams>().is_err() {
        faults.push(Fault {
            line,
            column: "net_mass_kg".to_owned(),
            what: "finer than a gram".to_owned(),
        });
    }
    for (column, percent) in [
        ("state_of_charge_low_percent", low),
        ("state_of_charge_high_percent", high),
    ] {
        if !percent.is_empty() && percent.parse::<MilliPercent>().is_err() {
            faults.push(Fault {
                line,
                column: column.to_owned(),
                what: "finer than a thousandth of a per cent".to_owned(),
            });
        }
    }
    let at: Moment = time_local.parse().ok()?;
    if at.utc() != *time_utc {
        faults.push(Fault {
            line,
            column: "time_utc".to_owned(),
            what: format!("not the instant of time_local, which is {}", at.utc()),
        });
    }
    Some(CustodyRow {
        event_id: event_id.clone(),
        item_id: item_id.clone(),
        item_kind: ItemKind::from_word(item_kind)?,
        event: Event::from_word(event)?,
        at,
        place: place.clone(),
        released_by: some(released_by),
        received_by: some(received_by),
        purpose: purpose.clone(),
        condition: condition.clone(),
        seal_number: some(seal_number),
        seal_state: SealState::from_word(seal_state),
        state_of_charge_low_percent: low.parse().ok(),
        state_of_charge_high_percent: high.parse().ok(),
        voltage_v: voltage.parse().ok(),
        surface_temperature_c: temperature.parse().ok(),
        net_mass_kg: mass.parse().ok(),
        reason: reason.clone(),
        amends: some(amends),
        evidence_sha256: evidence.split_whitespace().map(str::to_owned).collect(),
        ledger_log: ledger_log.clone(),
        ledger_seq: ledger_seq.parse().ok()?,
        leaf_hash: leaf_hash.clone(),
        item_uri: item_uri.clone(),
    })
}
