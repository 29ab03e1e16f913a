//! The code on a package: an SSCC where the user has a GS1 company prefix, else a UUID.
//!
//! A prefix is never invented: the number would be somebody else's.

use serde::Serialize;

use super::check_digit::check_digit;
use super::code_fault::CodeFault;
use super::digital_link::{GS1_DOMAIN, digital_link};
use super::element_string::{Element, bracketed, joined};
use super::urn::PREFIX_DIGITS;

/// Digits of an SSCC without its check digit.
const SSCC_DIGITS: usize = 17;

/// The company prefix that GS1 gave to the user, who says so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CompanyPrefix(String);

impl CompanyPrefix {
    /// Reads a prefix: 6 to 12 digits.
    ///
    /// # Errors
    /// Anything else.
    pub fn read(text: &str) -> Result<Self, CodeFault> {
        let digits = text.trim();
        if PREFIX_DIGITS.contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit()) {
            return Ok(Self(digits.to_owned()));
        }
        Err(CodeFault::new(
            "GS1 company prefix",
            text,
            "6 to 12 digits",
            "GS1 General Specifications (from memory)",
        )
        .way_out(
            "copy it from the licence that GS1 gave you, or leave it out: packages then get a UUID",
        ))
    }

    /// Whether GS1 keeps it for examples: it begins with 952 (from memory).
    #[must_use]
    pub fn is_for_examples(&self) -> bool {
        self.0.starts_with("952")
    }

    /// The SSCC of serial reference `serial`, with extension digit `extension` (0 to 9).
    ///
    /// The user must not give one number to two units within a year (from memory).
    ///
    /// # Errors
    /// A serial reference with more digits than the prefix leaves.
    pub fn sscc(&self, extension: u8, serial: u64) -> Result<String, CodeFault> {
        let room = SSCC_DIGITS - 1 - self.0.len();
        let serial = format!("{serial:0>room$}");
        let digits = format!("{}{}{serial}", extension % 10, self.0);
        match check_digit(&digits) {
            Some(check) if digits.len() == SSCC_DIGITS => Ok(format!("{digits}{check}")),
            _ => Err(CodeFault::new(
                "serial reference of the package",
                serial,
                format!("at most {room} digits behind this prefix"),
                "GS1 General Specifications (from memory)",
            )
            .way_out("begin the numbers again, once no package with the old ones is on its way")),
        }
    }
}

/// The code on a package.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PackageCode {
    /// Number of a logistic unit, 18 digits, out of the user's own prefix.
    Sscc(String),
    /// `urn:uuid:` and a UUID.
    Uuid(String),
}

impl PackageCode {
    /// The 18 digits, where it is an SSCC.
    #[must_use]
    pub fn sscc(&self) -> Option<&str> {
        match self {
            Self::Sscc(sscc) => Some(sscc),
            Self::Uuid(_) => None,
        }
    }

    /// What a person reads under the bar code.
    #[must_use]
    pub fn shown(&self) -> String {
        match self {
            Self::Sscc(sscc) => bracketed(&[Element::new("00", sscc.as_str())]),
            Self::Uuid(urn) => urn.clone(),
        }
    }

    /// What the linear symbol carries behind its first FNC1; `None` where there is no prefix, and
    /// so no linear symbol.
    #[must_use]
    pub fn gs1_128(&self) -> Option<String> {
        match self {
            Self::Sscc(sscc) => Some(joined(&[Element::new("00", sscc.as_str())])),
            Self::Uuid(_) => None,
        }
    }

    /// What the square symbol carries: the address of the SSCC, or the UUID.
    #[must_use]
    pub fn square(&self) -> String {
        match self {
            Self::Sscc(sscc) => digital_link(&[Element::new("00", sscc.as_str())], GS1_DOMAIN)
                .unwrap_or_else(|_| sscc.clone()),
            Self::Uuid(urn) => urn.clone(),
        }
    }
}
