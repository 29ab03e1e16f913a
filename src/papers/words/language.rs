//! Languages of papers: only those whose table is whole.

use std::fmt;

use super::de::DE;
use super::en::EN;
use super::form::Words;

/// A language that papers are printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Language {
    /// English.
    #[default]
    En,
    /// German.
    De,
}

impl Language {
    /// Every language, by its code (ISO 639-1).
    pub const ALL: [(&'static str, Self); 2] = [("en", Self::En), ("de", Self::De)];

    pub(crate) const fn words(self) -> &'static Words {
        match self {
            Self::En => &EN,
            Self::De => &DE,
        }
    }
}

impl fmt::Display for Language {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words().language)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::battery::{Purpose, Soundness};
    use crate::transport::Mode;

    /// Every sentence of a table by its path.
    fn sentences(words: &Words) -> BTreeMap<String, String> {
        fn walk(path: &str, value: &serde_json::Value, found: &mut BTreeMap<String, String>) {
            match value {
                serde_json::Value::Object(fields) => fields
                    .iter()
                    .for_each(|(name, value)| walk(&format!("{path}.{name}"), value, found)),
                serde_json::Value::Array(items) => items
                    .iter()
                    .enumerate()
                    .for_each(|(n, value)| walk(&format!("{path}.{n}"), value, found)),
                serde_json::Value::String(text) => {
                    found.insert(path.to_owned(), text.clone());
                }
                _ => panic!("{path}: no text"),
            }
        }
        let mut found = BTreeMap::new();
        let parts = [
            ("words", serde_json::to_value(words)),
            ("cautions", serde_json::to_value(words.cautions)),
            ("method", serde_json::to_value(words.wording_of_method)),
            (
                "discharge",
                serde_json::to_value(words.wording_of_discharge),
            ),
            (
                "materials",
                serde_json::to_value(words.wording_of_materials),
            ),
            ("packages", serde_json::to_value(words.kinds_of_packages)),
            ("states", serde_json::to_value(words.states)),
            ("receipt", serde_json::to_value(words.receipt)),
        ];
        for (name, value) in parts {
            walk(name, &value.unwrap(), &mut found);
        }
        found
    }

    fn places(sentence: &str) -> Vec<&str> {
        let mut places: Vec<&str> = sentence
            .split('{')
            .skip(1)
            .map(|behind| behind.split_once('}').expect("a place ends").0)
            .collect();
        places.sort_unstable();
        places
    }

    #[test]
    fn every_language_fills_the_same_places() {
        let english = sentences(&EN);
        assert!(english.len() > 300, "{}", english.len());
        for (_, language) in Language::ALL {
            let other = sentences(language.words());
            let names = |of: &BTreeMap<String, String>| of.keys().cloned().collect::<Vec<_>>();
            assert_eq!(names(&english), names(&other), "{language}");
            for (name, text) in &english {
                let said = other.get(name).unwrap();
                assert_eq!(places(text), places(said), "{language} {name}");
                // What stays in English is said in every language but English.
                let empty = if name == "words.other_language" {
                    language == Language::En
                } else {
                    text.is_empty()
                };
                assert_eq!(said.is_empty(), empty, "{language} {name}: {said}");
                assert_eq!(said.trim_end(), said, "{language} {name}");
            }
        }
    }

    /// Words that are the same in both: signs, codes, and these.
    #[test]
    fn no_word_was_left_in_english() {
        const SAME: [&str; 12] = [
            "V",
            "A",
            "100 mm",
            "\u{b0}C",
            "Name",
            "Minute",
            "Modul",
            "Material",
            "Recycling",
            "Aluminium",
            "Ort",
            "Input",
        ];
        let english = sentences(&EN);
        for (name, text) in sentences(&DE) {
            let letter = name.starts_with("packages.materials.") && name.ends_with(".0");
            let same = SAME.contains(&text.as_str()) || letter || text.is_empty();
            if !same && name != "discharge.hours" {
                assert_ne!(english.get(&name), Some(&text), "{name}");
            }
        }
    }

    /// What data and other rooms say in English is what the table says.
    #[test]
    fn english_states_are_those_of_the_data() {
        for soundness in [
            Soundness::Sound,
            Soundness::Suspect,
            Soundness::Undiagnosed,
            Soundness::Damaged,
            Soundness::Critical,
        ] {
            assert_eq!(EN.states.soundness(soundness), soundness.word());
        }
        for purpose in [
            Purpose::Disposal,
            Purpose::PrototypeTest,
            Purpose::Recycling,
            Purpose::Reuse,
            Purpose::SafetyReturn,
            Purpose::Sorting,
            Purpose::Use,
            Purpose::WarrantyReturn,
        ] {
            assert_eq!(EN.states.purpose(purpose), purpose.words());
        }
        for mode in [
            Mode::CargoAircraft,
            Mode::PassengerAircraft,
            Mode::Rail,
            Mode::Road,
            Mode::Sea,
        ] {
            assert_eq!(EN.states.mode(mode), mode.name().replace('_', " "));
        }
    }
}
