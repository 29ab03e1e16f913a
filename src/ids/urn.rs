//! Names that begin with `urn:`: UUIDs (RFC 9562), EPC identities of tags, and others (RFC 8141).

use super::check_digit::check_digit;
use super::code_fault::CodeFault;
use super::digital_link::from_percent;
use super::element_string::{Element, faults};

const EPC: &str = "GS1 EPC Tag Data Standard (from memory, examples read)";
const UUID: &str = "RFC 9562, section 4";
const URN: &str = "RFC 8141, section 2";

/// Longest GS1 company prefix, in digits, and shortest; from memory.
pub(super) const PREFIX_DIGITS: std::ops::RangeInclusive<usize> = 6..=12;

/// What a name says: identifier and value for a GS1 key, `uuid` for a UUID, nothing for others.
pub(super) fn read_urn(text: &str) -> Result<Vec<Element>, CodeFault> {
    let mut parts = text.splitn(3, ':').skip(1);
    let (Some(space), Some(name)) = (parts.next(), parts.next()) else {
        return Err(not_a_urn(text));
    };
    let space = space.to_ascii_lowercase();
    match (space.as_str(), name.strip_prefix("id:")) {
        ("uuid", _) => uuid(name),
        ("epc", Some(name)) => epc(name),
        _ => {
            let is_space = |b: u8| b.is_ascii_alphanumeric() || b == b'-';
            let is_name = |sign: char| sign.is_ascii_graphic() && !"<>\"\\^`{|}".contains(sign);
            let whole = (2..=32).contains(&space.len())
                && space.bytes().all(is_space)
                && !name.is_empty()
                && name.chars().all(is_name);
            if whole {
                Ok(Vec::new())
            } else {
                Err(not_a_urn(text))
            }
        }
    }
}

fn not_a_urn(text: &str) -> CodeFault {
    CodeFault::new("name", text, "urn:<space>:<name>", URN)
}

fn uuid(name: &str) -> Result<Vec<Element>, CodeFault> {
    let groups: Vec<&str> = name.split('-').collect();
    let whole = groups.iter().map(|group| group.len()).eq([8, 4, 4, 4, 12])
        && name.bytes().all(|b| b.is_ascii_hexdigit() || b == b'-');
    if !whole {
        return Err(CodeFault::new(
            "UUID",
            name,
            "32 hexadecimal digits in groups of 8, 4, 4, 4 and 12",
            UUID,
        ));
    }
    Ok(vec![Element::new("uuid", name.to_ascii_lowercase())])
}

/// An identity of a tag as the key that it stands for.
fn epc(name: &str) -> Result<Vec<Element>, CodeFault> {
    let wrong = |limit: &str| CodeFault::new("EPC identity", name, limit, EPC);
    let (scheme, fields) = name
        .split_once(':')
        .ok_or_else(|| wrong("a scheme and its fields"))?;
    let fields: Vec<&str> = fields.splitn(3, '.').collect();
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let prefix = fields.first().copied().unwrap_or("");
    if !digits(prefix) || !PREFIX_DIGITS.contains(&prefix.len()) {
        return Err(wrong(
            "a company prefix of 6 to 12 digits in the first field",
        ));
    }
    let plain = |text: &str| from_percent(text).ok_or_else(|| wrong("whole percent codes"));
    let key = |digits: String, wanted: usize| match check_digit(&digits) {
        Some(check) if digits.len() == wanted => Ok(format!("{digits}{check}")),
        _ => Err(wrong(&format!("{wanted} digits in prefix and number"))),
    };
    // The first digit of the number stands before the prefix in the key.
    let turned = |number: &str| {
        let mut signs = number.chars();
        let first = signs.next().map_or(String::new(), String::from);
        format!("{first}{prefix}{}", signs.as_str())
    };
    let elements = match (scheme, fields.get(1..).unwrap_or(&[])) {
        ("sscc", [number]) => vec![Element::new("00", key(turned(number), 17)?)],
        ("sgtin", [number, serial]) => vec![
            Element::new("01", key(turned(number), 13)?),
            Element::new("21", plain(serial)?),
        ],
        ("sgln", [place, extension]) => {
            let mut elements = vec![Element::new("414", key(format!("{prefix}{place}"), 12)?)];
            if *extension != "0" {
                elements.push(Element::new("254", plain(extension)?));
            }
            elements
        }
        ("pgln", [party]) => vec![Element::new("417", key(format!("{prefix}{party}"), 12)?)],
        ("grai", [kind, serial]) => {
            let number = key(format!("{prefix}{kind}"), 12)?;
            vec![Element::new("8003", format!("0{number}{}", plain(serial)?))]
        }
        ("giai", [first, more @ ..]) => {
            let asset = std::iter::once(first)
                .chain(more)
                .copied()
                .collect::<Vec<_>>()
                .join(".");
            vec![Element::new("8004", format!("{prefix}{}", plain(&asset)?))]
        }
        _ => {
            return Err(wrong(
                "sscc, sgtin, sgln, pgln, grai or giai with all its fields",
            ));
        }
    };
    match faults(&elements).into_iter().next() {
        None => Ok(elements),
        Some(fault) => Err(fault),
    }
}

/// The web address of a word of the Core Business Vocabulary that is written as a URN.
pub(super) fn vocabulary_link(text: &str) -> Option<String> {
    let (class, word) = text.strip_prefix("urn:epcglobal:cbv:")?.split_once(':')?;
    let class = match class {
        "bizstep" => "BizStep",
        "disp" => "Disp",
        _ => return None,
    };
    let is_word = |b: u8| b.is_ascii_lowercase() || b == b'_';
    (!word.is_empty() && word.bytes().all(is_word))
        .then(|| format!("https://ref.gs1.org/cbv/{class}-{word}"))
}
