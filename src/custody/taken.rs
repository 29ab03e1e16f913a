//! Who takes a load, as the receiver's device signs it beside its cosignature: a cosignature has no
//! room for a name, and a device is not a person.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::clock::Moment;
use crate::ledger::{Checkpoint, DeviceKey, LedgerError, Note, Standing, Verifier, to_hex};

/// The first line of what is signed. A checkpoint has the size of a log in its second line, so neither
/// can be passed off as the other.
const HEAD: &str = "packdown.invalid/taken@v1";

/// The person who takes a load, and the state of the giver's log that this is said of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Taken {
    /// Origin of the giver's log.
    pub log: String,
    /// Entries of it.
    pub size: u64,
    /// Root over them, lower-case hexadecimal.
    pub root: String,
    /// Name of the person.
    pub person: String,
    /// The site, where its `site.json` was at hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// The competence that was in date there; absent where nobody could look.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub competence: Option<String>,
    /// When, by the receiver's clock.
    pub at: Moment,
}

impl Taken {
    /// The statement signed with the receiver's key.
    ///
    /// # Errors
    /// A name that holds a control character.
    pub fn sign(&self, key: &DeviceKey) -> Result<Note, LedgerError> {
        let body = serde_json::to_string(self).map_err(|_| LedgerError::Note("no statement"))?;
        let mut note = Note::new(format!("{HEAD}\n{body}\n"))?;
        note.sign(key);
        Ok(note)
    }

    /// Cuts a file into the cosigned checkpoint and the statement behind it, where there is one.
    #[must_use]
    pub fn cut(text: &str) -> (&str, Option<&str>) {
        let behind = format!("\n{HEAD}\n");
        match text
            .find(&behind)
            .and_then(|at| text.split_at_checked(at + 1))
        {
            Some((note, statement)) => (note, Some(statement)),
            None => (text, None),
        }
    }

    /// What a statement says, where the key called `by` signed it of this checkpoint.
    ///
    /// # Errors
    /// A statement of another form, by another key or of another state of the log, in words.
    pub fn read(
        statement: &str,
        by: &str,
        checkpoint: &Checkpoint,
        trusted: &[Verifier],
    ) -> Result<Self, String> {
        let note = Note::parse(statement).map_err(|error| error.to_string())?;
        let own: Vec<Verifier> = trusted
            .iter()
            .filter(|key| key.name() == by)
            .cloned()
            .collect();
        if !matches!(note.standing(&own), Standing::Signed(names) if names == [by]) {
            return Err(format!("not signed by {by}"));
        }
        let body = note.text().strip_prefix(HEAD).unwrap_or_default();
        let taken: Self = serde_json::from_str(body).map_err(|error| error.to_string())?;
        let is_of = taken.log == checkpoint.origin
            && taken.size == checkpoint.size
            && taken.root == to_hex(&checkpoint.root);
        is_of
            .then_some(taken)
            .ok_or_else(|| "it is of another state of the log".to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_statement_holds_for_its_key_its_log_and_its_words_only() {
        let key = DeviceKey::from_seed("store.invalid/receiving/desk-1", &[5; 32]).unwrap();
        let checkpoint = Checkpoint {
            origin: "works.invalid/job-log/tablet-7".into(),
            size: 12,
            root: [9; 32],
            extensions: Vec::new(),
        };
        let said = Taken {
            log: checkpoint.origin.clone(),
            size: 12,
            root: to_hex(&checkpoint.root),
            person: "Ada Fenn".into(),
            site: None,
            competence: Some("warehouse receiver until 2027-01-31".into()),
            at: "2026-11-25T08:50:00+01:00".parse().unwrap(),
        };
        let mut note = checkpoint.sign(&DeviceKey::demo()).unwrap();
        note.cosign(&key, said.at).unwrap();
        let file = format!("{note}{}", said.sign(&key).unwrap());
        let (cosigned, statement) = Taken::cut(&file);
        assert_eq!(Note::parse(cosigned).unwrap(), note);
        let statement = statement.unwrap();
        let keys = [key.verifier(), DeviceKey::demo().verifier()];
        let by = key.name();
        assert_eq!(
            Taken::read(statement, by, &checkpoint, &keys).unwrap(),
            said
        );
        assert_eq!(
            Taken::cut(&note.to_string()),
            (note.to_string().as_str(), None)
        );
        // Other words, another key, another state of the log.
        let other = statement.replace("Ada Fenn", "Ida Fenn");
        assert!(Taken::read(&other, by, &checkpoint, &keys).is_err());
        let demo = DeviceKey::demo();
        assert!(Taken::read(statement, demo.name(), &checkpoint, &keys).is_err());
        assert!(Taken::read(statement, by, &checkpoint, &[demo.verifier()]).is_err());
        let later = Checkpoint {
            size: 13,
            ..checkpoint
        };
        assert!(Taken::read(statement, by, &later, &keys).is_err());
    }
}
