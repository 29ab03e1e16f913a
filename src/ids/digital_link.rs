//! GS1 Digital Link: the same identity as a web address.
//!
//! `https://domain[/stem]/<key>/<value>[/<qualifier>/<value>...][?<identifier>=<value>&...]`

use super::application_identifier::Identifier;
use super::code_fault::{CodeFault, LINK};
use super::element_string::{Element, faults};

/// The domain of the address that is the same for everybody. A number in it must be one that GS1
/// gave to somebody.
pub const GS1_DOMAIN: &str = "https://id.gs1.org";

/// The address of `elements` below `stem`, such as `https://id.gs1.org`: the first key, its
/// qualifiers in their order, everything else behind the question mark.
///
/// # Errors
/// Elements that are not in order, without a key that an address can begin with, or a stem that
/// is no web address.
pub fn digital_link(elements: &[Element], stem: &str) -> Result<String, Vec<CodeFault>> {
    let wrong = faults(elements);
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let stem = stem.trim_end_matches('/');
    domain_and_path(stem).map_err(|fault| vec![fault])?;
    let key = elements
        .iter()
        .find_map(|element| {
            let row = Identifier::find(&element.ai)?;
            Some((element, row.qualifiers?))
        })
        .ok_or_else(|| {
            vec![
                CodeFault::new(
                    "key of the link",
                    "none",
                    "a key such as (00), (01), (8003) or (8004)",
                    LINK,
                )
                .way_out("give the bar code that names the thing as well"),
            ]
        })?;
    let (key, orders) = key;
    let find = |ai: &str| elements.iter().find(|element| element.ai == ai);
    let order = orders
        .split('/')
        .find(|order| order.split(',').any(|ai| find(ai).is_some()))
        .unwrap_or("");
    let mut path = vec![key];
    path.extend(order.split(',').filter_map(find));
    let mut link = stem.to_owned();
    for element in &path {
        link.push_str(&format!("/{}/{}", element.ai, to_percent(&element.value)));
    }
    let mut sign = '?';
    let mut written: Vec<&str> = path.iter().map(|element| element.ai.as_str()).collect();
    for element in elements {
        if written.contains(&element.ai.as_str()) {
            continue;
        }
        written.push(&element.ai);
        link.push_str(&format!(
            "{sign}{}={}",
            element.ai,
            to_percent(&element.value)
        ));
        sign = '&';
    }
    Ok(link)
}

/// Reads a web address; the key furthest to the right counts.
pub(super) fn read_link(text: &str) -> Result<Vec<Element>, CodeFault> {
    let text = text.split('#').next().unwrap_or("");
    let (address, query) = text.split_once('?').unwrap_or((text, ""));
    let path = domain_and_path(address)?;
    if path.ends_with('/') {
        return Err(CodeFault::new("path", path, "no slash at the end", LINK));
    }
    let segments: Vec<&str> = path.split('/').filter(|part| !part.is_empty()).collect();
    let mut pairs = Vec::new();
    let mut end = segments.len();
    let qualifiers = loop {
        let Some([ai, value]) = end.checked_sub(2).and_then(|from| segments.get(from..end)) else {
            return Err(CodeFault::new(
                "path",
                path,
                "a GS1 key and its value, such as /00/106141411234567897",
                LINK,
            )
            .way_out("it is a web address like any other; look for the bar code of the thing"));
        };
        end -= 2;
        let Some(row) = Identifier::find(ai) else {
            pairs.clear();
            return Err(CodeFault::new(
                "path",
                format!("/{ai}/{value}"),
                "a GS1 key and its qualifiers at the end of the path",
                LINK,
            ));
        };
        pairs.push(Element::new(*ai, value_of(value)?));
        if let Some(qualifiers) = row.qualifiers {
            break qualifiers;
        }
    };
    pairs.reverse();
    let given: Vec<&str> = pairs.iter().skip(1).map(|pair| pair.ai.as_str()).collect();
    let in_order = qualifiers.split('/').any(|order| {
        let mut allowed = order.split(',');
        given.iter().all(|ai| allowed.any(|next| next == *ai))
    });
    if !in_order {
        return Err(CodeFault::new(
            "qualifiers behind the key",
            given.join(", "),
            format!("in the order {}", qualifiers.replace('/', " or ")),
            LINK,
        ));
    }
    for attribute in query.split(['&', ';']).filter(|part| !part.is_empty()) {
        let (name, value) = attribute.split_once('=').unwrap_or((attribute, ""));
        if !name.bytes().all(|b| b.is_ascii_digit()) {
            continue;
        }
        if Identifier::find(name).is_none() {
            return Err(CodeFault::new(
                "attribute behind the question mark",
                name,
                "an application identifier, or a name that is not all digits",
                LINK,
            ));
        }
        pairs.push(Element::new(name, value_of(value)?));
    }
    Ok(pairs)
}

/// The path behind the domain of an address that has one.
fn domain_and_path(address: &str) -> Result<&str, CodeFault> {
    let rest = ["https://", "http://", "HTTPS://", "HTTP://"]
        .iter()
        .find_map(|scheme| address.strip_prefix(scheme))
        .ok_or_else(|| {
            CodeFault::new(
                "scheme",
                address.chars().take(8).collect::<String>(),
                "https:// or http://, all small or all capital letters",
                LINK,
            )
        })?;
    let domain = rest.split('/').next().unwrap_or("");
    let is_host = |sign: char| sign.is_ascii_alphanumeric() || "-.:[]".contains(sign);
    if domain.is_empty() || !domain.chars().all(is_host) {
        return Err(CodeFault::new(
            "domain",
            domain,
            "a host of letters, digits, points and hyphens",
            LINK,
        ));
    }
    Ok(rest.get(domain.len()..).unwrap_or(""))
}

fn value_of(text: &str) -> Result<String, CodeFault> {
    from_percent(text).ok_or_else(|| {
        CodeFault::new(
            "value",
            text,
            "percent signs with two hexadecimal digits behind",
            LINK,
        )
    })
}

/// The text behind percent codes; `None` where one is cut short or gives no text.
pub(super) fn from_percent(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let mut digit = || char::from(rest.next()?).to_digit(16);
            let (high, low) = (digit()?, digit()?);
            bytes.push(u8::try_from(high * 16 + low).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    String::from_utf8(bytes).ok()
}

/// The text with percent codes for everything that is not unreserved in RFC 3986.
fn to_percent(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}
