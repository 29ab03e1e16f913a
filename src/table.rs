//! Reading a compiled-in CSV table: a head row, then rows whose fields are asked for by name.

/// Why a compiled-in table cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("table `{table}`: {what}")]
pub struct TableError {
    /// The table's name.
    pub table: &'static str,
    /// What is wrong with it.
    pub what: String,
}

/// Rows of `text` as `T`, which names the columns it reads.
///
/// Lines that begin with `#` are remarks on the table's source.
///
/// # Errors
/// A row that does not fit `T`, with its line.
pub fn rows<T: serde::de::DeserializeOwned>(
    table: &'static str,
    text: &str,
) -> Result<Vec<T>, TableError> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .map_err(|error| TableError {
            table,
            what: error.to_string(),
        })
}
