//! A file that a person writes, such as `job.json` or `site.json`: read whole, of a known form, and
//! without a contradiction, or said why not.

use serde::de::DeserializeOwned;

use crate::citation::Reason;

/// A file that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WrittenError {
    /// Not the JSON of such a file.
    #[error("{0}")]
    Unreadable(String),
    /// Of another form.
    #[error("the {what} has format `{format}`; this program reads 1.x")]
    OtherFormat {
        /// What the file is: `plan`, `site`.
        what: &'static str,
        /// The form that it names.
        format: String,
    },
    /// Contradicts itself.
    #[error("the {what} contradicts itself")]
    Contradicts {
        /// What the file is.
        what: &'static str,
        /// Every contradiction.
        faults: Vec<Reason>,
    },
}

/// What a person writes as JSON.
pub(crate) trait Written: DeserializeOwned {
    /// What it is, in messages.
    const WHAT: &'static str;

    /// Its form, `MAJOR.MINOR`.
    fn format(&self) -> &str;

    /// Places where it contradicts itself.
    fn faults(&self) -> Vec<Reason>;

    /// Reads it. Repeated and unknown fields are refused by name.
    fn read_written(text: &str) -> Result<Self, WrittenError> {
        let read: Self = serde_json::from_str(text)
            .map_err(|error| WrittenError::Unreadable(error.to_string()))?;
        if read.format().split('.').next() != Some("1") {
            return Err(WrittenError::OtherFormat {
                what: Self::WHAT,
                format: read.format().to_owned(),
            });
        }
        read.without_fault()
    }

    /// Itself, or every contradiction in it.
    fn without_fault(self) -> Result<Self, WrittenError> {
        let faults = self.faults();
        if faults.is_empty() {
            Ok(self)
        } else {
            Err(WrittenError::Contradicts {
                what: Self::WHAT,
                faults,
            })
        }
    }
}
