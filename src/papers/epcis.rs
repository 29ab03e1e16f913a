//! The chain of custody as EPCIS 2.0 events in JSON-LD, for whoever loads events into a system of
//! their own.
//!
//! The form is a strict part of the standard: `docs/epcis-events.schema.json` says which. Numbers
//! are numbers, units are codes of UN/ECE Recommendation 20, times stand in UTC with the offset
//! beside. Things without a GS1 number are named by a UUID; what people call them stands in
//! fields of our own, whose prefix is in the context. The context is named, never fetched.

use serde::Serialize;
use serde_json::{Number, Value, json};

use crate::clock::Moment;
use crate::papers::PaperError;
use crate::papers::indented::indented;
use crate::units::Decimal;

/// Names of our own words; an identifier, not a page.
pub const NAMESPACE: &str = "https://packdown.example/epcis/";

/// A step of ours that the Core Business Vocabulary has no word for: power taken off and the dead
/// state proved. Its `decommissioning` means something else, taking the number off a thing.
pub const DE_ENERGISING: &str = "https://packdown.example/epcis/steps/de-energising";

/// A step of ours: a module stays where it is.
pub const LEAVING_ON_SITE: &str = "https://packdown.example/epcis/steps/leaving-on-site";

/// One reading of a sensor, or an interval.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct SensorReport {
    /// Measurement type of the vocabulary.
    pub r#type: &'static str,
    /// The value.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<Number>,
    /// Lowest value that fits.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub min_value: Option<Number>,
    /// Highest value that fits.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_value: Option<Number>,
    /// Unit: code of Recommendation 20.
    pub uom: &'static str,
    /// What was measured, where the type does not say it.
    #[serde(rename = "packdown:quantity", skip_serializing_if = "Option::is_none")]
    pub quantity: Option<&'static str>,
}

impl SensorReport {
    /// A reading with the digits shown.
    #[must_use]
    pub fn reading(r#type: &'static str, value: Decimal, uom: &'static str) -> Option<Self> {
        Some(Self {
            r#type,
            value: Some(number(value)?),
            min_value: None,
            max_value: None,
            uom,
            quantity: None,
        })
    }

    /// An interval.
    #[must_use]
    pub fn interval(
        r#type: &'static str,
        low: Decimal,
        high: Decimal,
        uom: &'static str,
    ) -> Option<Self> {
        Some(Self {
            r#type,
            value: None,
            min_value: Some(number(low)?),
            max_value: Some(number(high)?),
            uom,
            quantity: None,
        })
    }

    /// With what was measured.
    #[must_use]
    pub const fn of(mut self, quantity: &'static str) -> Self {
        self.quantity = Some(quantity);
        self
    }
}

fn number(value: Decimal) -> Option<Number> {
    value.to_string().parse().ok()
}

/// What is said of an event that was wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wrong {
    /// It never happened.
    DidNotOccur,
    /// It happened otherwise; ids of the events that say how.
    IncorrectData(Vec<String>),
}

/// What an event did to which things.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// Things were seen.
    Observed {
        /// Names of the things.
        things: Vec<String>,
    },
    /// A part came off the whole that it was built into.
    PartRemoved {
        /// The whole.
        whole: String,
        /// The parts.
        parts: Vec<String>,
    },
    /// Things went into a container.
    PutInto {
        /// The container.
        container: String,
        /// The things.
        things: Vec<String>,
    },
}

/// One event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// UUID, without `urn:uuid:`.
    pub id: String,
    /// When it happened.
    pub at: Moment,
    /// What it did.
    pub what: What,
    /// Word of the vocabulary, or a web address of our own.
    pub step: &'static str,
    /// State of the things after it, as a word of the vocabulary.
    pub disposition: Option<&'static str>,
    /// Name of the place.
    pub read_point: String,
    /// Name of the job.
    pub transaction: String,
    /// Who handed over and who took over.
    pub hand_over: Option<(String, String)>,
    /// Readings, all taken by the time of the event.
    pub readings: Vec<SensorReport>,
    /// Fields of our own, without prefix.
    pub own: Vec<(&'static str, Value)>,
    /// Since when it is known to be wrong, and how.
    pub wrong: Option<(Moment, Wrong)>,
}

impl Event {
    fn value(&self) -> Value {
        let mut event = serde_json::Map::new();
        let mut put = |name: &str, value: Value| {
            event.insert(name.to_owned(), value);
        };
        put("eventID", format!("urn:uuid:{}", self.id).into());
        put("eventTime", self.at.utc().into());
        put("eventTimeZoneOffset", self.at.offset().into());
        let (kind, action) = match &self.what {
            What::Observed { things } => {
                put("epcList", json!(things));
                ("ObjectEvent", "OBSERVE")
            }
            What::PartRemoved { whole, parts } => {
                put("parentID", json!(whole));
                put("childEPCs", json!(parts));
                ("AssociationEvent", "DELETE")
            }
            What::PutInto { container, things } => {
                put("parentID", json!(container));
                put("childEPCs", json!(things));
                ("AggregationEvent", "ADD")
            }
        };
        put("type", kind.into());
        put("action", action.into());
        put("bizStep", self.step.into());
        if let Some(disposition) = self.disposition {
            put("disposition", disposition.into());
        }
        put("readPoint", json!({ "id": self.read_point }));
        put(
            "bizTransactionList",
            json!([{ "bizTransaction": self.transaction }]),
        );
        if let Some((from, to)) = &self.hand_over {
            put(
                "sourceList",
                json!([{ "type": "possessing_party", "source": from }]),
            );
            put(
                "destinationList",
                json!([{ "type": "possessing_party", "destination": to }]),
            );
        }
        if !self.readings.is_empty() {
            put(
                "sensorElementList",
                json!([{
                    "sensorMetadata": { "time": self.at.utc() },
                    "sensorReport": self.readings,
                }]),
            );
        }
        for (name, value) in &self.own {
            put(&format!("packdown:{name}"), value.clone());
        }
        if let Some((since, wrong)) = &self.wrong {
            let mut declaration = json!({ "declarationTime": since.utc() });
            if let Value::Object(fields) = &mut declaration {
                match wrong {
                    Wrong::DidNotOccur => {
                        fields.insert("reason".into(), "did_not_occur".into());
                    }
                    Wrong::IncorrectData(ids) => {
                        fields.insert("reason".into(), "incorrect_data".into());
                        let ids: Vec<String> =
                            ids.iter().map(|id| format!("urn:uuid:{id}")).collect();
                        fields.insert("correctiveEventIDs".into(), json!(ids));
                    }
                }
            }
            put("errorDeclaration", declaration);
        }
        Value::Object(event)
    }
}

/// `epcis.jsonld`: a document with `events` in the order given.
///
/// # Errors
/// None that a user can cause.
pub fn document(created: Moment, events: &[Event]) -> Result<String, PaperError> {
    let list: Vec<Value> = events.iter().map(Event::value).collect();
    let document = json!({
        "@context": [
            "https://ref.gs1.org/standards/epcis/2.0.0/epcis-context.jsonld",
            { "packdown": NAMESPACE },
        ],
        "type": "EPCISDocument",
        "schemaVersion": "2.0",
        "creationDate": created.utc(),
        "epcisBody": { "eventList": list },
    });
    indented("EPCIS document", &document)
}
