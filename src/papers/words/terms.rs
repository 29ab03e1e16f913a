//! Fixed words that other rooms say in English, such as a role, an instrument, the answer to a line
//! of a receipt: each language but English lists them beside its own. A text that no list knows
//! stands as it is: it is a record's, a rule's or a procedure's.

use super::en::EN;
use super::form::Words;
use crate::inspection::finding;

/// English beside the language. A place `{}` in both stands for a part that is looked up in turn.
pub(crate) type Terms = &'static [(&'static str, &'static str)];

impl Words {
    /// What another room says in English, in this language.
    pub(crate) fn term(&self, english: &str) -> String {
        if self.terms.is_empty() {
            return english.to_owned();
        }
        let states = EN.states.soundness.iter().zip(&self.states.soundness);
        let purposes = EN.states.purposes.iter().zip(&self.states.purposes);
        let terms = self.terms.iter().map(|(known, said)| (known, said));
        if let Some((_, said)) = terms
            .chain(states)
            .chain(purposes)
            .find(|(known, _)| **known == english)
        {
            return (*said).to_owned();
        }
        self.terms
            .iter()
            .filter(|(known, _)| known.contains("{}"))
            .find_map(|(known, said)| {
                let found = parts(known, english)?;
                let filled = found.iter().fold((*said).to_owned(), |said, part| {
                    said.replacen("{}", &self.term(part), 1)
                });
                Some(filled)
            })
            .unwrap_or_else(|| english.to_owned())
    }

    /// The same of each part of a text that another room joined.
    pub(crate) fn listed(&self, english: &str) -> String {
        let parts: Vec<&str> = english.split("; ").collect();
        self.terms_of(&parts, "; ")
    }

    /// The same of each, joined.
    pub(crate) fn terms_of<T: AsRef<str>>(&self, all: &[T], between: &str) -> String {
        let said: Vec<String> = all.iter().map(|one| self.term(one.as_ref())).collect();
        said.join(between)
    }

    /// A finding of the catalogue with its code; a code that nobody knows stands alone.
    pub(crate) fn finding(&self, code: &str) -> String {
        let said = self.finding_words.iter().find(|(known, _)| *known == code);
        match (said, finding(code)) {
            (Some((_, said)), _) => format!("{code} {said}"),
            (None, Ok(known)) => format!("{code} {}", known.words),
            (None, Err(_)) => code.to_owned(),
        }
    }
}

/// What stands in the places of a pattern; `None` where the text has another form. A place that
/// begins the pattern takes one word, so that no free text is taken for it.
fn parts<'t>(pattern: &str, text: &'t str) -> Option<Vec<&'t str>> {
    let mut pieces = pattern.split("{}");
    let first = pieces.next()?;
    let mut rest = text.strip_prefix(first)?;
    let mut found = Vec::new();
    let mut pieces = pieces.peekable();
    while let Some(piece) = pieces.next() {
        let at = if pieces.peek().is_none() {
            rest.strip_suffix(piece)?.len()
        } else {
            rest.find(piece)?
        };
        let (part, behind) = rest.split_at(at);
        found.push(part);
        rest = behind.get(piece.len()..)?;
    }
    let is_free = first.is_empty() && found.first().is_some_and(|part| part.contains(' '));
    (!is_free).then_some(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_of_a_pattern_are_found_from_left_to_right() {
        assert_eq!(
            parts("seal {} of {}", "seal S1 of P1"),
            Some(vec!["S1", "P1"])
        );
        assert_eq!(parts("sender: {}", "sender: hot"), Some(vec!["hot"]));
        assert_eq!(parts("sender: {}", "seen"), None);
        assert_eq!(parts("{} persons", "2 persons"), Some(vec!["2"]));
        assert_eq!(parts("{} persons", "told to two persons"), None);
        assert_eq!(parts("label says {} s", "label says 300 m"), None);
    }

    /// What no list knows stands as it is, in every language.
    #[test]
    fn an_unknown_text_stays() {
        for (_, language) in super::super::Language::all() {
            assert_eq!(
                language.words().term("lid bent by hail"),
                "lid bent by hail"
            );
            assert_eq!(language.words().finding("F99"), "F99");
        }
    }
}
