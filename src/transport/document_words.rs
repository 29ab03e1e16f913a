//! Finds words, numbers, groups and provisions in a line of a transport document.

/// The words of a line in capitals, without the commas behind them; `UN` and its number are one.
pub(super) fn words(line: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for word in line.split(|sign: char| sign.is_whitespace() || sign == ',' || sign == ';') {
        if word.is_empty() {
            continue;
        }
        let word = word.to_uppercase();
        match found.last_mut() {
            Some(last) if last == "UN" && word.bytes().all(|b| b.is_ascii_digit()) => {
                last.push_str(&word);
            }
            _ => found.push(word),
        }
    }
    found
}

pub(super) fn contains(line: &[String], part: &[String]) -> bool {
    !part.is_empty() && line.windows(part.len()).any(|window| window == part)
}

/// The word behind `part` in `line`.
pub(super) fn behind<'a>(line: &'a [String], part: &[String]) -> Option<&'a String> {
    let at = line.windows(part.len()).position(|window| window == part)?;
    line.get(at + part.len())
}

pub(super) fn number_in(word: &str) -> Option<&str> {
    let digits = word.strip_prefix("UN")?;
    (digits.len() == 4 && digits.bytes().all(|b| b.is_ascii_digit())).then_some(digits)
}

/// The digits of a UN number, however it is written.
pub(super) fn digits_of(text: &str) -> String {
    text.chars().filter(char::is_ascii_digit).collect()
}

pub(super) fn is_group(word: &str) -> bool {
    matches!(word, "I" | "II" | "III" | "PGI" | "PGII" | "PGIII" | "PG")
}

/// Whether a word has the form of a tunnel restriction code: (E), (C/D), (B1000C).
pub(super) fn is_tunnel_code(word: &str) -> bool {
    let inside = word
        .strip_prefix('(')
        .and_then(|word| word.strip_suffix(')'))
        .unwrap_or("");
    inside.starts_with(|first: char| ('A'..='E').contains(&first))
        && inside
            .chars()
            .all(|sign| matches!(sign, 'A'..='E' | '/') || sign.is_ascii_digit())
}

pub(super) fn is_class_or_group(word: &str) -> bool {
    is_group(word) || word == "9A" || word == "(9A)"
}

/// The number behind `special provision`.
pub(super) fn provision_in(line: &[String]) -> Option<String> {
    let at = line
        .windows(2)
        .position(|pair| matches!(pair, [a, b] if a == "SPECIAL" && b == "PROVISION"))?;
    let number = line.get(at + 2)?;
    let digits = digits_of(number);
    (!digits.is_empty()).then_some(digits)
}
