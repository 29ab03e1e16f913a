//! What a scanned text is: a GS1 key, an element string, a web address, a name, or plain text.

use super::check_digit::has_check_digit;
use super::code_fault::{CodeFault, SYNTAX};
use super::digital_link::{digital_link, read_link};
use super::element_string::{
    Element, SEPARATOR, bracketed, check_digit_wanted, faults, read_bracketed, read_joined,
};
use super::urn::{read_urn, vocabulary_link};

/// More signs than any symbol holds: a QR code takes 7,089 digits (ISO/IEC 18004; from memory).
const LONGEST: usize = 7_089;

/// What a text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CodeKind {
    /// Number of a logistic unit: a package or a pallet.
    Sscc,
    /// Number of a kind of article.
    Gtin,
    /// Number of a returnable box or drum.
    Grai,
    /// Number of an asset.
    Giai,
    /// A web address.
    DigitalLink,
    /// Several identifiers with their values.
    ElementString,
    /// A name that begins with `urn:`.
    Urn,
    /// Anything else, such as a serial number.
    Plain,
}

impl CodeKind {
    /// The word in answers.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sscc => "sscc",
            Self::Gtin => "gtin",
            Self::Grai => "grai",
            Self::Giai => "giai",
            Self::DigitalLink => "digital_link",
            Self::ElementString => "element_string",
            Self::Urn => "urn",
            Self::Plain => "plain",
        }
    }
}

/// A text as it was understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scanned {
    /// What it is.
    pub kind: CodeKind,
    /// Identifiers with their values, in the order of the text.
    pub parts: Vec<Element>,
    /// What is wrong with it; a text without is valid.
    pub faults: Vec<CodeFault>,
    /// The text itself, without blanks and line ends around it.
    pub text: String,
}

impl Scanned {
    /// Whether the text is in order.
    #[must_use]
    pub const fn is_valid(&self) -> bool {
        self.faults.is_empty()
    }

    /// The value of an identifier, such as `21` for the serial number.
    #[must_use]
    pub fn part(&self, ai: &str) -> Option<&str> {
        let found = self.parts.iter().find(|part| part.ai == ai)?;
        Some(&found.value)
    }

    /// The serial number of a code in order: what a scanner types is the whole code.
    #[must_use]
    pub fn serial(&self) -> Option<&str> {
        self.part("21").filter(|_| self.is_valid())
    }

    /// What the text names, in one way of writing: the same for a bar code, a tag and an address
    /// of one thing. Keys in brackets with what tells one thing from the next, a UUID as
    /// `urn:uuid:`, everything else, and what is not in order, as it was scanned.
    #[must_use]
    pub fn identity_text(&self) -> String {
        if !self.is_valid() {
            return self.text.clone();
        }
        if let Some(uuid) = self.part("uuid") {
            return format!("urn:uuid:{uuid}");
        }
        const NAMING: [&str; 9] = [
            "00", "01", "21", "8003", "8004", "8006", "414", "254", "417",
        ];
        let naming: Vec<Element> = NAMING
            .iter()
            .filter_map(|ai| self.parts.iter().find(|part| part.ai == *ai))
            .cloned()
            .collect();
        if naming.is_empty() {
            return self.text.clone();
        }
        bracketed(&naming)
    }

    /// The web address of the same identity below `stem`.
    ///
    /// # Errors
    /// A text that is not in order, or has no key.
    pub fn link(&self, stem: &str) -> Result<String, Vec<CodeFault>> {
        if !self.is_valid() {
            return Err(self.faults.clone());
        }
        match vocabulary_link(&self.text) {
            Some(link) => Ok(link),
            None => digital_link(&self.parts, stem),
        }
    }
}

/// Reads a text as a scanner sends it or a person types it. Whatever it is, there is an answer.
///
/// A marked element string begins with a bracket, with `^` or a group separator for FNC1, or with
/// the symbology identifier of a GS1 symbol (`]C1`, `]e0`, `]d2`, `]Q3`, `]J1`). Without any mark
/// only `00` with 18 digits and `01` with a right GTIN are read as one: a serial number may begin
/// with anything.
#[must_use]
pub fn read_scanned(text: &str) -> Scanned {
    let text = text.trim_matches(|sign: char| sign.is_whitespace() && sign != SEPARATOR);
    let plain = |faults: Vec<CodeFault>| answer(CodeKind::Plain, text, Ok(Vec::new()), faults);
    if text.is_empty() {
        return plain(vec![CodeFault::new("text", "", "not empty", "")]);
    }
    if text.chars().nth(LONGEST).is_some() {
        let start = text.chars().take(20).collect::<String>();
        return plain(vec![CodeFault::new(
            "text",
            format!("{start}..."),
            format!("at most {LONGEST} characters, which is what a symbol holds"),
            "",
        )]);
    }
    let start: String = text.chars().take(8).collect();
    let lower = start.to_ascii_lowercase();
    if lower.starts_with("http://") || lower.starts_with("https://") {
        return checked(CodeKind::DigitalLink, text, read_link(text));
    }
    if lower.starts_with("urn:") {
        return answer(CodeKind::Urn, text, read_urn(text), Vec::new());
    }
    if let Some(elements) = element_string(text) {
        let kind = elements.as_ref().map_or(CodeKind::ElementString, kind_of);
        return checked(kind, text, elements);
    }
    let bare = text.strip_prefix("]E0").unwrap_or(text);
    if bare.bytes().all(|b| b.is_ascii_digit()) {
        let key = match bare.len() {
            8 | 12 | 13 | 14 => Some((CodeKind::Gtin, "01", format!("{bare:0>14}"))),
            18 => Some((CodeKind::Sscc, "00", bare.to_owned())),
            _ => None,
        };
        if let Some((kind, ai, value)) = key {
            let faults = if has_check_digit(bare) {
                Vec::new()
            } else {
                vec![CodeFault::new(
                    format!("{} of {} digits", kind.word().to_uppercase(), bare.len()),
                    bare,
                    check_digit_wanted(bare),
                    SYNTAX,
                )]
            };
            return answer(kind, text, Ok(vec![Element::new(ai, value)]), faults);
        }
    }
    match text.chars().find(|sign| sign.is_control()) {
        None => plain(Vec::new()),
        Some(sign) => plain(vec![CodeFault::new(
            "text",
            format!("control sign {:#04x}", u32::from(sign)),
            "signs that can be printed",
            "",
        )]),
    }
}

/// The elements of a text that is marked as an element string.
fn element_string(text: &str) -> Option<Result<Vec<Element>, CodeFault>> {
    const GS1_SYMBOLS: [&str; 5] = ["]C1", "]e0", "]d2", "]Q3", "]J1"];
    let behind = GS1_SYMBOLS
        .iter()
        .find_map(|symbol| text.strip_prefix(symbol));
    let marked = behind.or_else(|| text.strip_prefix('^'));
    if let Some(marked) = marked {
        return Some(read_joined(&marked.replace('^', &SEPARATOR.to_string())));
    }
    if text.contains(SEPARATOR) {
        return Some(read_joined(text.trim_start_matches(SEPARATOR)));
    }
    if text.starts_with('(') {
        let digits = |b: u8| b.is_ascii_digit();
        let meant = text
            .get(1..)
            .and_then(|inside| inside.split_once(')'))
            .is_some_and(|(ai, _)| !ai.is_empty() && ai.bytes().all(digits));
        return meant.then(|| read_bracketed(text));
    }
    let is_sscc =
        text.len() == 20 && text.starts_with("00") && text.bytes().all(|b| b.is_ascii_digit());
    let is_gtin = text.starts_with("01")
        && text
            .get(2..16)
            .is_some_and(|gtin| gtin.bytes().all(|b| b.is_ascii_digit()) && has_check_digit(gtin));
    (is_sscc || is_gtin)
        .then(|| read_joined(text))
        .filter(|read| {
            is_sscc
                || read
                    .as_ref()
                    .is_ok_and(|elements| faults(elements).is_empty())
        })
}

/// A string of one key is that key.
fn kind_of(elements: &Vec<Element>) -> CodeKind {
    match elements.as_slice() {
        [only] => match only.ai.as_str() {
            "00" => CodeKind::Sscc,
            "01" => CodeKind::Gtin,
            "8003" => CodeKind::Grai,
            "8004" => CodeKind::Giai,
            _ => CodeKind::ElementString,
        },
        _ => CodeKind::ElementString,
    }
}

fn checked(kind: CodeKind, text: &str, read: Result<Vec<Element>, CodeFault>) -> Scanned {
    let wrong = read
        .as_ref()
        .map_or_else(|_| Vec::new(), |elements| faults(elements));
    answer(kind, text, read, wrong)
}

fn answer(
    kind: CodeKind,
    text: &str,
    read: Result<Vec<Element>, CodeFault>,
    mut faults: Vec<CodeFault>,
) -> Scanned {
    let parts = match read {
        Ok(mut parts) => {
            let mut seen: Vec<Element> = Vec::new();
            parts.retain(|part| {
                let first = !seen.iter().any(|earlier| earlier.ai == part.ai);
                if first {
                    seen.push(part.clone());
                }
                first
            });
            parts
        }
        Err(fault) => {
            faults.push(fault);
            Vec::new()
        }
    };
    Scanned {
        kind,
        parts,
        faults,
        text: text.to_owned(),
    }
}
