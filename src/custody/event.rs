//! What happens at a site, as the bodies of the entries of its register.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::handover::{Handover, LeafRef, LogState};
use super::receipt::{Discrepancy, DockPhoto, Line, Scan};
use super::site::Site;
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::physics::CellKind;
use crate::units::Decimal;

/// The register was opened, or its `site.json` was changed since.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Opened {
    /// The site as it is from here on.
    pub site: Site,
    /// SHA-256 over the settings in force.
    pub settings_sha256: String,
    /// Program and version.
    pub program: String,
}

/// A load stands at the dock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReceiptOpened {
    /// `R1` and so on.
    pub receipt: String,
    /// What the sender stated; without packages where the load came unannounced.
    pub handover: Handover,
    /// File or folder it was read from; empty where it came unannounced.
    pub source: String,
    /// How the statement is proved, in words.
    pub proof: String,
    /// The sender's `released` entry, where there is a log.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub released: Option<LeafRef>,
    /// The state of the sender's log that came with the load.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checkpoint: Option<LogState>,
    /// Who brings it.
    pub delivered_by: String,
    /// Vehicle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vehicle: Option<String>,
}

/// One scan of an open receipt.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scanned {
    /// The receipt.
    pub receipt: String,
    /// From 1 in the receipt.
    pub number: u32,
    /// The scan.
    pub scan: Scan,
}

/// A module as it is taken in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Arrived {
    /// Serial, or the identity it was given.
    pub identity: String,
    /// Whether the identity was given here.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub temporary: bool,
    /// Package it came in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub package: Option<String>,
    /// Chemistry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chemistry: Option<String>,
    /// Electrodes, as the sender stated them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cell_kind: Option<CellKind>,
    /// Rated energy.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_energy_wh: Option<Decimal>,
    /// Net mass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net_mass_kg: Option<Decimal>,
    /// Its share of the container's volume.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume_m3: Option<Decimal>,
    /// UN number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub un: Option<String>,
    /// Condition on arrival.
    pub soundness: Soundness,
    /// Finding codes seen on arrival.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub findings: Vec<String>,
    /// Bay it was put in; absent while it stands at the dock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bay: Option<String>,
}

/// A receipt is closed: both names, every line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReceiptClosed {
    /// The receipt.
    pub receipt: String,
    /// Who received.
    pub received_by: String,
    /// Who brought it.
    pub delivered_by: String,
    /// Every line with its answer.
    pub lines: Vec<Line>,
    /// What nobody looked at.
    pub not_looked_at: Vec<String>,
    /// What was taken in.
    pub arrived: Vec<Arrived>,
    /// Tolerances in force, by setting.
    pub tolerances: BTreeMap<String, String>,
}

/// A load was refused, which is lawful.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LoadRefused {
    /// The receipt.
    pub receipt: String,
    /// Who refused.
    pub refused_by: String,
    /// Who brought it, and keeps it.
    pub delivered_by: String,
    /// Why.
    pub reason: String,
    /// The lines as far as they were looked at.
    pub lines: Vec<Line>,
}

/// A discrepancy is settled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settled {
    /// Which.
    pub id: String,
    /// Who settled it.
    pub by: String,
    /// With whom and how.
    pub reason: String,
}

/// A module is held.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Held {
    /// Which.
    pub identity: String,
    /// Why.
    pub reason: String,
    /// Finding codes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub findings: Vec<String>,
    /// Condition as judged.
    pub soundness: Soundness,
    /// Who holds it.
    pub by: String,
}

/// A module in the hold was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reread {
    /// Which.
    pub identity: String,
    /// Who read.
    pub by: String,
    /// Instrument serial.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// Warmest marked spot.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surface_temperature_c: Option<Decimal>,
    /// Air beside it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ambient_temperature_c: Option<Decimal>,
    /// The same spot of a twin module that is quiet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub twin_temperature_c: Option<Decimal>,
    /// Pole to pole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub terminal_voltage_v: Option<Decimal>,
    /// Lowest cell; two a day apart say what is lost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lowest_cell_v: Option<Decimal>,
    /// Kind of cell, from plate or papers, for the curve of the lowest cell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cell_kind: Option<CellKind>,
    /// Gas on the meter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gas: Option<bool>,
    /// Smell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub smell: Option<bool>,
    /// Smoke, vapour, hissing or popping.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub smoke: Option<bool>,
    /// Findings seen now.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub findings: Vec<String>,
}

/// A module leaves the hold: two people, a reason, the readings behind it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cleared {
    /// Which.
    pub identity: String,
    /// The first person.
    pub by: String,
    /// The second person.
    pub with: String,
    /// Why.
    pub reason: String,
    /// Condition from here on.
    pub soundness: Soundness,
    /// Readings it rests on.
    pub readings: u32,
    /// What the rules said.
    pub verdict: Vec<Reason>,
}

/// Modules were moved to a bay.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Moved {
    /// Which.
    pub identities: Vec<String>,
    /// Bay.
    pub to: String,
    /// Who.
    pub by: String,
}

/// Modules were put together into one unit, like with like.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Consolidated {
    /// Name of the unit.
    pub unit: String,
    /// Every serial in it.
    pub identities: Vec<String>,
    /// Seal of the unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seal: Option<String>,
    /// Who.
    pub by: String,
}

/// Modules left the site.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dispatched {
    /// Which.
    pub identities: Vec<String>,
    /// To whom.
    pub to: String,
    /// Address.
    pub address: String,
    /// Who gave.
    pub released_by: String,
    /// Who took.
    pub taken_by: String,
    /// What for.
    pub purpose: String,
}

/// A treater's certificate came in, serial by serial.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CertificateTaken {
    /// Its number.
    pub number: String,
    /// Who treated.
    pub treater: String,
    /// The day on the certificate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub issued_on: Option<NaiveDate>,
    /// What was done, in the treater's words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub treatment: Option<String>,
    /// Serials that it names, as it writes them.
    pub serials: Vec<String>,
    /// Of these, those that never left this site.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub never_sent: Vec<String>,
    /// Of these, those that another certificate named before.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub named_before: Vec<String>,
    /// The files as they came.
    pub files: Vec<DockPhoto>,
    /// Who took it.
    pub by: String,
}

/// A temporary identity turned out to be a serial.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct IdentityMerged {
    /// The identity that was given.
    pub temporary: String,
    /// The serial.
    pub serial: String,
    /// Who.
    pub by: String,
    /// How that is known.
    pub reason: String,
}

/// A fact about a module, read later from its plate or a scale.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FactsStated {
    /// Which.
    pub identity: String,
    /// Who.
    pub by: String,
    /// Where it was read.
    pub reason: String,
    /// Chemistry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chemistry: Option<String>,
    /// Rated energy.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_energy_wh: Option<Decimal>,
    /// Net mass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net_mass_kg: Option<Decimal>,
    /// Volume of its container.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume_m3: Option<Decimal>,
}

/// Which column of a foreign table is which fact.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ColumnsConfirmed {
    /// The heads of the table as they stand, in order.
    pub heads: Vec<String>,
    /// Fact for each head; empty where it is passed over.
    pub facts: Vec<String>,
    /// Who confirmed.
    pub by: String,
}

macro_rules! events {
    ($($(#[$doc:meta])* $name:ident($body:ty), $kind:literal;)*) => {
        /// An entry of a register.
        #[derive(Debug, Clone, PartialEq)]
        pub enum RegisterEvent {
            $($(#[$doc])* $name(Box<$body>),)*
        }

        impl RegisterEvent {
            /// Every kind, in the order above.
            pub const KINDS: &'static [&'static str] = &[$($kind),*];

            /// The kind of the log entry.
            #[must_use]
            pub const fn kind(&self) -> &'static str {
                match self {
                    $(Self::$name(_) => $kind,)*
                }
            }

            /// The photographs and other files that belong to it.
            #[must_use]
            pub fn photos(&self) -> &[DockPhoto] {
                match self {
                    Self::Scanned(scanned) => &scanned.scan.photos,
                    Self::CertificateTaken(taken) => &taken.files,
                    _ => &[],
                }
            }

            /// The body of the log entry.
            ///
            /// # Errors
            /// None in a form of ours.
            pub fn body(&self) -> Result<Value, serde_json::Error> {
                match self {
                    $(Self::$name(body) => serde_json::to_value(body),)*
                }
            }

            /// The event of a log entry; `None` for a kind that is not a register's.
            ///
            /// # Errors
            /// A body of another form.
            pub fn read(kind: &str, body: &Value) -> Result<Option<Self>, serde_json::Error> {
                match kind {
                    $($kind => <$body>::deserialize(body)
                        .map(|body| Some(Self::$name(Box::new(body)))),)*
                    _ => Ok(None),
                }
            }
        }

        $(impl From<$body> for RegisterEvent {
            fn from(body: $body) -> Self {
                Self::$name(Box::new(body))
            }
        })*
    };
}

events! {
    /// Opened, or the site changed.
    Opened(Opened), "register_opened";
    /// A load at the dock.
    ReceiptOpened(ReceiptOpened), "receipt_opened";
    /// A scan.
    Scanned(Scanned), "scanned";
    /// A receipt closed.
    ReceiptClosed(ReceiptClosed), "receipt_closed";
    /// A load refused.
    LoadRefused(LoadRefused), "load_refused";
    /// A discrepancy opened.
    Discrepancy(Discrepancy), "discrepancy";
    /// A discrepancy settled.
    Settled(Settled), "discrepancy_settled";
    /// A module held.
    Held(Held), "held";
    /// A module in the hold read.
    Reread(Reread), "reread";
    /// A module let out of the hold.
    Cleared(Cleared), "cleared";
    /// Modules moved.
    Moved(Moved), "moved";
    /// Modules put together.
    Consolidated(Consolidated), "consolidated";
    /// Modules gone.
    Dispatched(Dispatched), "dispatched";
    /// A treater's certificate.
    CertificateTaken(CertificateTaken), "certificate_taken";
    /// A temporary identity merged.
    IdentityMerged(IdentityMerged), "identity_merged";
    /// A fact stated later.
    FactsStated(FactsStated), "facts_stated";
    /// Columns of a foreign table.
    ColumnsConfirmed(ColumnsConfirmed), "columns_confirmed";
}
