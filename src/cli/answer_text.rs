//! An answer in JSON as lines for people: in the order of its form, figures with their units.

use std::borrow::Cow;
use std::fmt;
use std::iter;

use serde::Deserialize;
use serde::de::{Deserializer, MapAccess, Visitor};
use serde_json::Number;

/// How the name of a field says its unit; the longest comes first.
const UNITS: [(&str, &str); 21] = [
    ("_mv_per_percent", "mV a per cent"),
    ("_cal_cm2", "cal/cm²"),
    ("_k_per_min", "K/min"),
    ("_j_cm2", "J/cm²"),
    ("_percent", "%"),
    ("_mohm", "MΩ"),
    ("_ohm", "Ω"),
    ("_min", "min"),
    ("_wh", "Wh"),
    ("_ah", "Ah"),
    ("_mv", "mV"),
    ("_kg", "kg"),
    ("_lb", "lb"),
    ("_cm", "cm"),
    ("_v", "V"),
    ("_a", "A"),
    ("_w", "W"),
    ("_j", "J"),
    ("_k", "K"),
    ("_s", "s"),
    // Answers have charges in coulombs and no temperature but as a difference, in kelvins.
    ("_c", "C"),
];

/// An answer or a part of it.
#[derive(Deserialize)]
#[serde(untagged)]
pub(super) enum Shown {
    NotKnown(()),
    Whether(bool),
    Figure(Number),
    Words(String),
    Items(Vec<Shown>),
    Fields(Fields),
}

/// Fields in the order in which they stand.
pub(super) struct Fields(Vec<(String, Shown)>);

impl Shown {
    /// One fact a line, parts indented below what they belong to.
    pub(super) fn lines(&self) -> Vec<String> {
        match self {
            Self::Fields(Fields(fields)) => fields
                .iter()
                .flat_map(|(name, value)| value.lines_of_field(name))
                .collect(),
            Self::Items(items) => items
                .iter()
                .flat_map(|item| indented(item.lines(), "- "))
                .collect(),
            word => word.words().into_iter().map(Cow::into_owned).collect(),
        }
    }

    fn lines_of_field(&self, field: &str) -> Vec<String> {
        let (name, unit) = match self {
            Self::Items(_) | Self::Fields(_) => (field, ""),
            _ => named(field),
        };
        let name = name.replace('_', " ");
        match self.words() {
            Some(words) if matches!(self, Self::Figure(_)) && !unit.is_empty() => {
                vec![format!("{name}: {words} {unit}")]
            }
            Some(words) => vec![format!("{name}: {words}")],
            None if matches!(self, Self::Items(items) if items.is_empty()) => {
                vec![format!("{name}: none")]
            }
            None => {
                let mut lines = vec![format!("{name}:")];
                lines.extend(indented(self.lines(), "  "));
                lines
            }
        }
    }

    /// What stands on one line; nothing for what has parts.
    fn words(&self) -> Option<Cow<'_, str>> {
        Some(match self {
            // Not "none": an energy that nobody could work out is not an energy of nothing.
            Self::NotKnown(()) => "no answer".into(),
            Self::Whether(true) => "yes".into(),
            Self::Whether(false) => "no".into(),
            Self::Figure(figure) => figure.to_string().into(),
            Self::Words(words) => words.into(),
            Self::Items(_) | Self::Fields(_) => return None,
        })
    }
}

/// Lines behind a sign as wide as two blanks.
fn indented(lines: Vec<String>, sign: &'static str) -> impl Iterator<Item = String> {
    let signs = iter::once(sign).chain(iter::repeat("  "));
    signs.zip(lines).map(|(sign, line)| format!("{sign}{line}"))
}

/// The name without its unit, and the unit.
fn named(field: &str) -> (&str, &'static str) {
    let part = |(suffix, unit): &(&str, &'static str)| {
        let name = field.strip_suffix(suffix)?;
        // A rate without a name of its own, such as ohms per volt, has nothing before its unit.
        let is_rate = name.ends_with("_per");
        (!is_rate && !name.is_empty()).then_some((name, *unit))
    };
    UNITS.iter().find_map(part).unwrap_or((field, ""))
}

impl<'de> Deserialize<'de> for Fields {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(InOrder)
    }
}

struct InOrder;

impl<'de> Visitor<'de> for InOrder {
    type Value = Fields;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut fields: A) -> Result<Fields, A::Error> {
        let mut all = Vec::new();
        while let Some(field) = fields.next_entry()? {
            all.push(field);
        }
        Ok(Fields(all))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_stand_below_what_they_belong_to() {
        let answer = r#"{"b_kg": 1.50, "a": null, "none": [], "parts": [{"x": true, "y": ["z"]}, "w"],
            "last": {"of_v": 2, "id": "_v"}}"#;
        let shown: Shown = serde_json::from_str(answer).unwrap();
        let lines = [
            "b: 1.5 kg",
            "a: no answer",
            "none: none",
            "parts:",
            "  - x: yes",
            "    y:",
            "      - z",
            "  - w",
            "last:",
            "  of: 2 V",
            "  id: _v",
        ];
        assert_eq!(shown.lines(), lines);
    }

    #[test]
    fn a_unit_is_what_stands_behind_the_last_of_its_name() {
        for (field, name, unit) in [
            ("error_mv", "error", "mV"),
            ("slope_mv_per_percent", "slope", "mV a per cent"),
            ("slope_k_per_min", "slope", "K/min"),
            ("incident_energy_cal_cm2", "incident_energy", "cal/cm²"),
            ("charge_c", "charge", "C"),
            ("resistor_to_choose_ohm", "resistor_to_choose", "Ω"),
            // Names without a unit, some of which look like one.
            ("cm", "cm", ""),
            ("percent", "percent", ""),
            ("lifting_index", "lifting_index", ""),
            ("ohm_per_v", "ohm_per_v", ""),
            ("mv_per_day", "mv_per_day", ""),
        ] {
            assert_eq!(named(field), (name, unit), "{field}");
        }
    }
}
