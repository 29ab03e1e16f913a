//! Checkpoints (C2SP tlog-checkpoint): origin, size and root of a log, as the text of a note.

use super::base64::{from_base64, to_base64};
use super::error::LedgerError;
use super::hash::Hash;
use super::key::{DeviceKey, known_name};
use super::note::Note;

/// What a log was at one moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checkpoint {
    /// The log.
    pub origin: String,
    /// The number of entries.
    pub size: u64,
    /// The root of the tree over them.
    pub root: Hash,
    /// Lines of later versions or other programs, kept as they stand; not empty.
    pub extensions: Vec<String>,
}

impl Checkpoint {
    /// The text that is signed.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = format!(
            "{}\n{}\n{}\n",
            self.origin,
            self.size,
            to_base64(&self.root)
        );
        for line in &self.extensions {
            text.push_str(line);
            text.push('\n');
        }
        text
    }

    /// Reads the text of a checkpoint.
    ///
    /// # Errors
    /// Which of its lines is not in the form.
    pub fn parse(text: &str) -> Result<Self, LedgerError> {
        let wrong = LedgerError::Checkpoint;
        let body = text
            .strip_suffix('\n')
            .ok_or(wrong("its text does not end in a line feed"))?;
        let mut lines = body.split('\n');
        let origin = lines.next().unwrap_or_default();
        let origin = known_name(origin).map_err(|_| wrong("its first line is not an origin"))?;
        let size = lines.next().unwrap_or_default();
        let size = size
            .parse::<u64>()
            .ok()
            .filter(|number| number.to_string() == size)
            .ok_or(wrong("its second line is not a size"))?;
        let root = lines
            .next()
            .and_then(from_base64)
            .and_then(|root| root.try_into().ok())
            .ok_or(wrong("its third line is not a root"))?;
        let extensions: Vec<String> = lines.map(str::to_owned).collect();
        if extensions.iter().any(String::is_empty) {
            return Err(wrong("a line is empty"));
        }
        Ok(Self {
            origin: origin.to_owned(),
            size,
            root,
            extensions,
        })
    }

    /// The note signed with `key`.
    ///
    /// # Errors
    /// An extension line that is empty or holds a control character.
    pub fn sign(&self, key: &DeviceKey) -> Result<Note, LedgerError> {
        let text = self.text();
        // Refuses to sign what would not be read back the same.
        if Self::parse(&text)? != *self {
            return Err(LedgerError::Checkpoint("a line holds a line feed"));
        }
        let mut note = Note::new(text)?;
        note.sign(key);
        Ok(note)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_checkpoint_returns_from_its_text_with_its_extensions() {
        let mut checkpoint = Checkpoint {
            origin: "works.invalid/job-log/tablet-7".into(),
            size: 0,
            root: [9; 32],
            extensions: vec![],
        };
        for extensions in [vec![], vec!["later 1".to_owned(), "x".to_owned()]] {
            checkpoint.extensions = extensions;
            assert_eq!(
                Checkpoint::parse(&checkpoint.text()),
                Ok(checkpoint.clone())
            );
        }
        checkpoint.extensions = vec!["two\nlines".to_owned()];
        assert!(checkpoint.sign(&DeviceKey::demo()).is_err());
        checkpoint.extensions = vec![String::new()];
        assert!(checkpoint.sign(&DeviceKey::demo()).is_err());
    }

    #[test]
    fn a_line_out_of_form_is_refused() {
        let root = to_base64(&[9; 32]);
        for text in [
            format!("\n1\n{root}\n"),
            format!("a b\n1\n{root}\n"),
            format!("a\n01\n{root}\n"),
            format!("a\n+1\n{root}\n"),
            format!("a\n\n{root}\n"),
            "a\n1\nAAAA\n".to_owned(),
            "a\n1\n".to_owned(),
            format!("a\n1\n{root}\n\n"),
            format!("a\n1\n{root}"),
        ] {
            assert!(Checkpoint::parse(&text).is_err(), "{text:?}");
        }
    }
}
