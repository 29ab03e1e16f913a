//! Reads the tables that people keep by hand (packagings, carriers, measured modules), and says of a
//! cell that does not read its line, its column and what is wanted there.

use serde::de::DeserializeOwned;

/// The rows of a table with a head. Lines that begin with `#` are remarks.
///
/// # Errors
/// The first thing that does not read, in words.
pub(super) fn read_rows<T: DeserializeOwned>(text: &str) -> Result<Vec<T>, String> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .flexible(true)
        .from_reader(text.as_bytes());
    let heads = reader
        .headers()
        .map_err(|_| "it is not text in UTF-8; save it as CSV UTF-8".to_owned())?
        .clone();
    if let Some(other) = [';', '\t']
        .into_iter()
        .find(|sign| heads.len() == 1 && heads.iter().any(|head| head.contains(*sign)))
    {
        let sign = if other == '\t' { "tabs" } else { "`;`" };
        return Err(format!(
            "its columns are parted by {sign}; save it with commas, and numbers with a point"
        ));
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        let record =
            record.map_err(|_| "it is not text in UTF-8; save it as CSV UTF-8".to_owned())?;
        let line = record.position().map_or(0, csv::Position::line);
        if record.len() != heads.len() {
            return Err(format!(
                "line {line} has {} cells, the head has {} columns; a comma inside a cell needs quotes \
                 around the cell",
                record.len(),
                heads.len()
            ));
        }
        let row = record
            .deserialize(Some(&heads))
            .map_err(|why| in_words(&why, line, &heads, &record))?;
        rows.push(row);
    }
    Ok(rows)
}

fn in_words(
    why: &csv::Error,
    line: u64,
    heads: &csv::StringRecord,
    record: &csv::StringRecord,
) -> String {
    let csv::ErrorKind::Deserialize { err, .. } = why.kind() else {
        return format!("line {line}: {why}");
    };
    let said = match err.kind() {
        csv::DeserializeErrorKind::Message(said) => said.clone(),
        other => other.to_string(),
    };
    let word = said.split('`').nth(1);
    if said.starts_with("missing field") {
        return format!(
            "the column `{}` is not there, and the plan needs it",
            word.unwrap_or_default()
        );
    }
    if said.starts_with("unknown field") {
        let word = word.unwrap_or_default();
        let known = said.split('`').skip(3).step_by(2);
        let near = known
            .map(|known| (strsim::jaro_winkler(word, known), known))
            .filter(|(likeness, _)| *likeness > 0.8)
            .reduce(|best, next| if next.0 > best.0 { next } else { best });
        let near = near.map_or(String::new(), |(_, near)| {
            format!("; did you mean `{near}`?")
        });
        return format!("the column `{word}` is not known{near}");
    }
    // Where the reader does not say which cell it was, the word that it quotes does.
    let at = match err.field() {
        Some(at) => usize::try_from(at).ok(),
        None => word.and_then(|word| record.iter().position(|cell| cell == word)),
    };
    let (column, cell) = at
        .and_then(|at| Some((heads.get(at)?, record.get(at)?)))
        .unwrap_or_default();
    let wanted = match err.kind() {
        csv::DeserializeErrorKind::ParseInt(_) if cell.is_empty() => {
            return format!("line {line}, column `{column}`: it is empty, and the plan needs it");
        }
        csv::DeserializeErrorKind::ParseInt(_) => {
            "not a whole number in the unit of the column's name".into()
        }
        _ => match said.split_once(", expected one of ") {
            Some((_, known)) => format!("none of {known}"),
            None => return format!("line {line}, column `{column}`: {said}"),
        },
    };
    format!("line {line}, column `{column}`: `{cell}` is {wanted}")
}
