//! What the command line says of a file of facts, and which forms such a file may have.

use std::str::FromStr;

use chrono::NaiveDate;
use serde::de::DeserializeOwned;

use crate::transport::{Facts, Mode, Reader, Regime};

/// One leg to judge each battery for, instead of the one in its facts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Leg {
    /// The regime.
    pub regime: Regime,
    /// The mode, where the facts do not say it.
    pub mode: Option<Mode>,
}

impl FromStr for Leg {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (regime, mode) = match text.split_once(':') {
            Some((regime, mode)) => (regime, Some(mode)),
            None => (text, None),
        };
        let wrong =
            |what: &str| format!("`{text}` names no {what}; write such as adr or cfr49:road");
        Ok(Self {
            regime: word(regime).ok_or_else(|| wrong("regime"))?,
            mode: mode
                .map(|mode| word(mode).ok_or_else(|| wrong("mode")))
                .transpose()?,
        })
    }
}

fn word<T: DeserializeOwned>(text: &str) -> Option<T> {
    serde_json::from_value(serde_json::Value::from(text)).ok()
}

/// What is said on the command line, which goes before what the facts say.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Said {
    /// Day of carriage.
    pub on: Option<NaiveDate>,
    /// The legs; empty: the one in the facts.
    pub legs: Vec<Leg>,
    /// Heads of CSV columns that are passed over.
    pub ignored: Vec<String>,
    /// The region in whose words cures are said; those of the regime where none is named.
    pub reader: Option<Reader>,
}

impl Said {
    /// The facts for each leg.
    pub(crate) fn legs_of(&self, mut facts: Facts) -> Vec<Facts> {
        facts.on = self.on.or(facts.on);
        if self.legs.is_empty() {
            return vec![facts];
        }
        self.legs
            .iter()
            .map(|leg| {
                let mut facts = facts.clone();
                facts.regime = leg.regime;
                // A regime with one mode only brings it along, whatever the file says of another leg.
                facts.mode = leg.mode.or(leg.regime.only_mode()).or(facts.mode);
                facts
            })
            .collect()
    }
}

/// The form that an input has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// One object, or several one after the other.
    Object,
    /// A JSON array.
    Array,
    /// One JSON object a line.
    Lines,
    /// CSV with dotted names as heads.
    Csv,
}
