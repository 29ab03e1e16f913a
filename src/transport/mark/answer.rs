//! What a UN mark says: the answer for a person, and the parts that the check of a package needs.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize, Serializer, ser};

use crate::citation::Reason;
use crate::transport::instruction::Group;
use crate::transport::mark::parts::is_large;
use crate::transport::mark::reading::Reading;
use crate::units::Grams;

/// Whether a text is a UN mark.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum MarkStanding {
    /// Whole and in order.
    Valid,
    /// Meant as one, but something is missing or wrong.
    Invalid,
    /// Something else.
    NotAUnMark,
}

/// What a text says, read as a UN mark.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct MarkAnswer {
    /// Whether it is one.
    pub answer: MarkStanding,
    /// Code of the kind, without a letter T, V or W behind it.
    pub code: Option<String>,
    /// Packing groups it was tested for.
    pub group: Option<Group>,
    /// Greatest gross mass; absent for liquids. A number in JSON.
    #[serde(serialize_with = "as_number")]
    pub gross_limit_kg: Option<Grams>,
    /// `S` for solids and inner packagings, the test pressure in kPa for liquids, absent for a
    /// large packaging.
    pub kind: Option<String>,
    /// Year of manufacture; where the mark was put on again, of the first maker.
    pub year: Option<i32>,
    /// Month of manufacture, where the mark says it.
    pub month: Option<u8>,
    /// Vehicle sign of the state that approved it.
    pub state: Option<String>,
    /// Maker, with the number of the approval, as marked.
    pub maker: Option<String>,
    /// A large packaging: codes 50 and 51.
    pub large: bool,
    /// A salvage packaging: letter T.
    pub salvage: bool,
    /// What to doubt, in words.
    pub warnings: Vec<String>,
    /// What is missing or wrong.
    pub reasons: Vec<Reason>,
}

/// The digits of a mass as a number, not as a text.
fn as_number<S: Serializer>(mass: &Option<Grams>, out: S) -> Result<S::Ok, S::Error> {
    mass.map(|mass| mass.decimal().to_string().parse::<serde_json::Number>())
        .transpose()
        .map_err(ser::Error::custom)?
        .serialize(out)
}

/// The parts of a whole UN mark that decide whether the packaging may be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PackagingMark {
    /// Code of the kind, without a letter T, V or W behind it.
    pub code: String,
    /// Letter T, V or W behind the code, if any.
    pub variant: Option<char>,
    /// Packing groups it was tested for.
    pub group: Group,
    /// Greatest gross mass; `None` for a packaging tested for liquids only.
    pub gross_limit: Option<Grams>,
    /// Load that may stand on a large packaging in stacking; zero means none.
    pub stacking_load: Option<Grams>,
    /// Year of manufacture.
    pub year: i32,
    /// Month of manufacture, where the mark says it.
    pub month: Option<u8>,
}

impl PackagingMark {
    /// Reads a whole mark; `None` where it is not clearly one.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        Reading::of(text).mark
    }

    /// Whether the packaging is of metal.
    #[must_use]
    pub fn is_metal(&self) -> bool {
        let material = self.code.trim_start_matches(|c: char| c.is_ascii_digit());
        matches!(material.chars().next(), Some('A' | 'B' | 'N'))
    }

    /// Whether it is a large packaging.
    #[must_use]
    pub fn is_large(&self) -> bool {
        is_large(&self.code)
    }
}
