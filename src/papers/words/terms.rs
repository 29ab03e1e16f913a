//! Fixed words that other rooms say in English, such as a role, an instrument, the answer to a line
//! of a receipt: each language but English lists them beside its own. A text that no list knows
//! stands as it is: it is a record's, a rule's or a procedure's.

use std::fmt::Display;

use super::en::EN;
use super::fill;
use super::form::Words;
use crate::citation::Reason;
use crate::inspection::finding;

/// English beside the language. A place `{}` in both stands for a part that is looked up in turn.
pub(crate) type Terms = &'static [(&'static str, &'static str)];

impl Words {
    /// `33 to 41`.
    pub(crate) fn range(&self, low: &dyn Display, high: &dyn Display) -> String {
        fill(
            self.wording_of_materials.range,
            &[("low", low), ("high", high)],
        )
    }

    /// What another room says in English, in this language.
    pub(crate) fn term(&self, english: &str) -> String {
        self.found(&[self.terms], english)
    }

    /// A part of a refusal, a duty or a remark on a charge: a longer list, whose patterns would take
    /// free texts for theirs elsewhere.
    pub(crate) fn refusal(&self, english: &str) -> String {
        let code = english.split_once(": ").map_or("", |(code, _)| code);
        if finding(code).is_ok() && !self.finding_words.is_empty() {
            return self.finding(code);
        }
        self.found(&[self.reasons, self.terms], english)
    }

    fn found(&self, lists: &[Terms], english: &str) -> String {
        if self.terms.is_empty() {
            return english.to_owned();
        }
        let states = EN.states.soundness.iter().zip(&self.states.soundness);
        let purposes = EN.states.purposes.iter().zip(&self.states.purposes);
        let listed = || lists.iter().copied().flatten();
        let terms = listed().map(|(known, said)| (known, said));
        if let Some((_, said)) = terms
            .chain(states)
            .chain(purposes)
            .find(|(known, _)| **known == english)
        {
            return (*said).to_owned();
        }
        listed()
            .filter(|(known, _)| known.contains("{}"))
            .find_map(|(known, said)| {
                let found = parts(known, english)?;
                let filled = found.iter().fold((*said).to_owned(), |said, part| {
                    said.replacen("{}", &self.found(lists, part), 1)
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

    /// Which words of a paper stay in the language they are kept in, as a sentence behind others; empty
    /// in English.
    pub(crate) fn said_of_other_language(&self) -> String {
        match self.other_language {
            "" => String::new(),
            said => format!(" {said}."),
        }
    }

    /// Why not, part by part; what no list knows stays.
    pub(crate) fn reason(&self, reason: &Reason) -> String {
        let term = |part: &str| self.refusal(part);
        let mut said = term(&reason.what);
        let mut add = |before: &str, part: String, behind: &str| {
            if !part.is_empty() {
                said.push_str(before);
                said.push_str(&part);
                said.push_str(behind);
            }
        };
        add(": ", term(&reason.value), "");
        let limit = format!("; {}: ", self.states.limit);
        add(&limit, term(&reason.limit), "");
        add(" [", self.clause(&reason.clause), "]");
        add(" -> ", term(&reason.way_out), "");
        said
    }

    /// `49 CFR 173.185 (second-hand)`: how it is known is said in this language.
    pub(super) fn clause(&self, clause: &str) -> String {
        let parts = clause
            .strip_suffix(')')
            .and_then(|one| one.rsplit_once(" ("));
        match parts {
            Some((place, known)) => format!("{} ({})", self.refusal(place), self.refusal(known)),
            None => self.refusal(clause),
        }
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
/// begins the pattern takes one word or a figure, so that no free text is taken for it.
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
    let words = |part: &&str| part.contains(' ') && !part.starts_with(|c: char| c.is_ascii_digit());
    let is_free = first.is_empty() && found.first().is_some_and(words);
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
        assert_eq!(
            parts("{} in the mark", "65 kg in the mark"),
            Some(vec!["65 kg"])
        );
        assert_eq!(parts("label says {} s", "label says 300 m"), None);
    }

    /// A reason in English is what every answer says; in another language its parts are that
    /// language's, the clause stays, and how it is known is said.
    #[test]
    fn a_reason_is_said_part_by_part() {
        let reason = Reason::new("rated capacity", "not known")
            .limit("known before a discharge is planned")
            .clause("list of this project (project default, not law)")
            .way_out("read the plate, or ask the maker, and put it into the plan");
        for (code, language) in super::super::Language::all() {
            let said = language.words().reason(&reason);
            assert_eq!(said == reason.to_string(), code == "en", "{said}");
        }
        let german = super::super::Language::of("de").unwrap().words();
        assert_eq!(
            german.reason(&reason),
            "Nennkapazität: nicht bekannt; Grenze: bekannt, bevor eine Entladung geplant wird [Liste \
             dieses Projekts (Vorgabe dieses Projekts, kein Recht)] -> das Schild ablesen oder den \
             Hersteller fragen und es in den Plan eintragen"
        );
        let free = Reason::new("lid", "bent by hail").clause("ADR 2025, 6.1.4 (second-hand)");
        assert_eq!(
            german.reason(&free),
            "lid: bent by hail [ADR 2025, 6.1.4 (aus zweiter Hand)]"
        );
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
