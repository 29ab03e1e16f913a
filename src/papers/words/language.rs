//! Languages of papers: only those whose table is whole.

use std::fmt;

use super::de::DE;
use super::en::EN;
use super::es::ES;
use super::form::Words;
use super::fr::FR;

/// Every table that is whole. A language is its file and a line here.
const TABLES: [&Words; 4] = [&EN, &DE, &ES, &FR];

/// A language that papers are printed in; English where none is named.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Language(usize);

impl Language {
    /// English, which data is in.
    pub const ENGLISH: Self = Self(0);

    /// Every language, by its code (ISO 639-1).
    pub fn all() -> impl Iterator<Item = (&'static str, Self)> {
        (0..TABLES.len()).map(|place| (Self(place).words().language, Self(place)))
    }

    /// The language of a code.
    #[must_use]
    pub fn of(code: &str) -> Option<Self> {
        Self::all().find_map(|(known, language)| (known == code).then_some(language))
    }

    /// Its name in English.
    #[must_use]
    pub fn english_name(self) -> &'static str {
        self.words().english_name
    }

    pub(crate) fn words(self) -> &'static Words {
        TABLES.get(self.0).copied().unwrap_or(&EN)
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
            ("fire", serde_json::to_value(words.fire)),
            ("hold", serde_json::to_value(words.hold)),
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
        for (_, language) in Language::all() {
            let other = sentences(language.words());
            let names = |of: &BTreeMap<String, String>| of.keys().cloned().collect::<Vec<_>>();
            assert_eq!(names(&english), names(&other), "{language}");
            for (name, text) in &english {
                let said = other.get(name).unwrap();
                assert_eq!(places(text), places(said), "{language} {name}");
                // What stays in English is said in every language but English.
                let empty = if name == "words.other_language" {
                    language == Language::ENGLISH
                } else {
                    text.is_empty()
                };
                assert_eq!(said.is_empty(), empty, "{language} {name}: {said}");
                assert_eq!(said.trim_end(), said, "{language} {name}");
            }
        }
    }

    /// Words that are the same in English and another language, beside signs and codes.
    const SAME: [(&str, &[&str]); 3] = [
        (
            "de",
            &[
                "Name",
                "Minute",
                "Modul",
                "Material",
                "Recycling",
                "Aluminium",
                "Ort",
                "Input",
            ],
        ),
        ("es", &["Total", "factor", "Material", "jerrican", "metal"]),
        (
            "fr",
            &[
                "page",
                "batteries",
                "Batteries",
                "{count} modules",
                "1 module",
                "modules",
                "module",
                "Module",
                "Total",
                "points",
                "face",
                "face \u{b0}C",
                "air",
                "Air",
                "air \u{b0}C",
                "net",
                "minute",
                "Distances",
                "suspect",
                "rail",
                "palette",
                "aluminium",
                "graphite",
                "volume",
                "intact",
            ],
        ),
    ];

    fn same(code: &str) -> &'static [&'static str] {
        let of = SAME.iter().find(|(of, _)| *of == code);
        of.map_or(&[], |(_, same)| same)
    }

    const SIGNS: [&str; 4] = ["V", "A", "100 mm", "\u{b0}C"];

    #[test]
    fn no_word_was_left_in_english() {
        let english = sentences(&EN);
        for (code, language) in Language::all().skip(1) {
            let same = same(code);
            for (name, text) in sentences(language.words()) {
                let letter = name.starts_with("packages.materials.") && name.ends_with(".0");
                let is_same = SIGNS.contains(&text.as_str()) || same.contains(&text.as_str());
                // Documents that are named in their own language.
                let named = name.starts_with("fire.warnings.") || name == "discharge.hours";
                if !is_same && !letter && !named && !text.is_empty() {
                    assert_ne!(english.get(&name), Some(&text), "{code} {name}");
                }
            }
        }
    }

    /// Every word of an enumeration, from its schema, so that a new one is not forgotten.
    fn variants<T: schemars::JsonSchema + serde::de::DeserializeOwned>() -> Vec<T> {
        fn names(value: &serde_json::Value, found: &mut Vec<serde_json::Value>) {
            match value {
                serde_json::Value::Object(fields) => {
                    found.extend(fields.get("const").cloned());
                    if let Some(serde_json::Value::Array(all)) = fields.get("enum") {
                        found.extend(all.iter().cloned());
                    }
                    fields.values().for_each(|value| names(value, found));
                }
                serde_json::Value::Array(all) => {
                    all.iter().for_each(|value| names(value, found));
                }
                _ => {}
            }
        }
        let mut found = Vec::new();
        names(
            &serde_json::to_value(schemars::schema_for!(T)).unwrap(),
            &mut found,
        );
        assert!(found.len() > 1);
        let read = found
            .into_iter()
            .map(|name| serde_json::from_value(name).unwrap());
        read.collect()
    }

    /// Names of a side's facts, as `custody` writes them: the literals before a comma in its calls.
    fn literals_behind(source: &str, call: &str) -> Vec<String> {
        source
            .split(call)
            .skip(1)
            .filter_map(|behind| {
                let text = behind.trim_start().strip_prefix('"')?;
                Some(text.split_once('"')?.0.to_owned())
            })
            .collect()
    }

    /// What other rooms say in fixed English words, taken from those rooms.
    fn fixed_words() -> Vec<String> {
        use crate::custody::SealState;
        use crate::inspection::InstrumentKind;
        use crate::physics::{Recycled, TabledCell, module_materials, recycling_targets};
        use crate::procedure::Role;
        use crate::transport::PackageKind;
        use crate::units::{Grams, MilliwattHours};
        let mut words: Vec<String> = Vec::new();
        words.extend(
            variants::<Role>()
                .iter()
                .map(|role| role.words().to_owned()),
        );
        let plain = |name: &str| name.replace('_', " ");
        words.extend(
            variants::<InstrumentKind>()
                .iter()
                .map(|kind| plain(kind.name())),
        );
        words.extend(
            variants::<PackageKind>()
                .iter()
                .map(|kind| plain(kind.name()).replace("un packaging", "UN packaging")),
        );
        words.extend(
            variants::<SealState>()
                .iter()
                .map(|state| state.word().to_owned()),
        );
        words.extend(variants::<crate::battery::Chemistry>().iter().map(|one| {
            serde_json::to_value(one)
                .unwrap()
                .as_str()
                .unwrap()
                .replace('_', "-")
        }));
        let cells = [TabledCell::Lfp, TabledCell::Nmc811, TabledCell::Nca];
        for kinds in [&cells[..2], &cells[2..]] {
            let found = module_materials(
                kinds,
                Some(MilliwattHours::thousandths(5_120_000)),
                Some(Grams::thousandths(44_000)),
            );
            let names = found.unwrap().into_iter().map(|one| one.material);
            // Symbols of elements are the same everywhere.
            words.extend(names.filter(|name| name.len() > 2));
        }
        for kind in [Recycled::Lithium, Recycled::Other] {
            for target in recycling_targets(kind) {
                words.extend([target.what, target.how_known]);
            }
        }
        let compare = include_str!("../../custody/compare.rs");
        words.extend(literals_behind(compare, "self.blank("));
        for source in [
            compare,
            include_str!("../../custody/line_words.rs"),
            include_str!("../../custody/found.rs"),
        ] {
            for call in ["put(", "sent.insert(", "found.insert("] {
                for name in literals_behind(source, call) {
                    let unit = ["_kg", "_c", "_wh", "_m3"];
                    let name = unit.iter().fold(name.as_str(), |name, unit| {
                        name.strip_suffix(unit).unwrap_or(name)
                    });
                    words.push(plain(name));
                }
            }
        }
        let answers = include_str!("../../custody/receipt.rs");
        let (_, answers) = answers.split_once("impl Answer").unwrap();
        let (answers, _) = answers.split_once("fn name").unwrap_or((answers, ""));
        let (answers, _) = answers.split_once("snake_case").unwrap_or((answers, ""));
        words.extend(
            literals_behind(answers, "=> ")
                .into_iter()
                .filter(|word| !word.contains('_')),
        );
        words.extend(literals_behind(
            include_str!("../../battery/lifting.rs"),
            "=> ",
        ));
        let waits = include_str!("../../procedure/acts/wait.rs");
        words.extend(literals_behind(waits, "from: "));
        words.extend(
            literals_behind(waits, "from: format!(")
                .iter()
                .map(|pattern| pattern.replace("{label}", "300")),
        );
        words
    }

    #[test]
    fn fixed_words_of_other_rooms_are_said_in_every_language() {
        let words = fixed_words();
        assert!(words.len() > 90, "{}", words.len());
        for (code, language) in Language::all().skip(1) {
            let same = same(code);
            let lacking: Vec<&String> = words
                .iter()
                .filter(|word| !same.contains(&word.as_str()))
                .filter(|word| language.words().term(word) == **word)
                .collect();
            assert!(lacking.is_empty(), "{code} has no word for {lacking:?}");
            for finding in crate::inspection::catalogue() {
                let said = language.words().finding(&finding.code);
                let code_first = format!("{} ", finding.code);
                assert!(said.starts_with(&code_first), "{code} {said}");
                assert!(!said.ends_with(&finding.words), "{code} {said}");
            }
        }
    }

    /// String literals of a source before its tests that are sentences or begin one, each format's
    /// places as `{}`.
    fn sentences_in(source: &str) -> Vec<String> {
        let code = source.split("#[cfg(test)]").next().unwrap();
        let lines = code
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"));
        let code = lines.collect::<Vec<_>>().join("\n");
        let mut found = Vec::new();
        for (n, part) in code.split('"').enumerate() {
            if n % 2 == 0 {
                continue;
            }
            let words: Vec<&str> = part.split_whitespace().filter(|one| *one != "\\").collect();
            let mut text = String::new();
            for (k, piece) in words.join(" ").split('{').enumerate() {
                let behind = piece.split_once('}').map_or(piece, |(_, behind)| behind);
                text.push_str(if k == 0 { "" } else { "{}" });
                text.push_str(behind);
            }
            let lower = |word: &&str| {
                word.len() > 2 && word.bytes().all(|b| b.is_ascii_lowercase() || b == b',')
            };
            if text.split(' ').filter(lower).count() > 1 {
                found.push(text);
            }
        }
        found
    }

    /// What these sources say and no paper shows, or shows as a clause that stands as it is.
    const NO_REFUSALS: [&str; 2] = ["DOE-HDBK-1092 on instrument recall", "29 CFR 1910.137"];

    /// Every sentence of the rooms whose refusals, duties and remarks stand on papers.
    fn refusals_of_other_rooms() -> Vec<String> {
        let sources = [
            include_str!("../../job/discharge.rs"),
            include_str!("../../inspection/triage.rs"),
            include_str!("../../physics/charge_reasons.rs"),
            include_str!("../../physics/module_charge.rs"),
            include_str!("../../physics/site_fault.rs"),
            include_str!("../../transport/package.rs"),
            include_str!("../../transport/contents.rs"),
            include_str!("../../transport/shown.rs"),
            include_str!("../../transport/contradiction.rs"),
        ];
        let mut all: Vec<String> = sources.iter().flat_map(|one| sentences_in(one)).collect();
        let between = |source: &str, from: &str, to: &str| {
            let (_, behind) = source.split_once(from).unwrap();
            sentences_in(behind.split_once(to).map_or(behind, |(part, _)| part))
        };
        let charge = include_str!("../../physics/state_of_charge.rs");
        all.extend(between(charge, "reasons", "#[cfg(test)]"));
        let job = include_str!("../../job/charge.rs");
        all.extend(between(job, "fn state_of_charge", "fn judged("));
        let instrument = include_str!("../../inspection/instrument.rs");
        all.extend(between(instrument, "fn out_of_date", "#[cfg(test)]"));
        let fact = include_str!("../../transport/fact.rs");
        all.extend(between(fact, "fn question", "fn value"));
        let needs = include_str!("../../transport/instruction.rs");
        all.extend(between(needs, "impl Need", "fn fact"));
        let decide = include_str!("../../transport/decide.rs");
        all.extend(between(decide, "fn shelf(", "fn take("));
        all.extend(between(decide, "fn finish(", "fn write_entry"));
        all
    }

    #[test]
    fn refusals_on_papers_are_said_in_every_language() {
        let sentences = refusals_of_other_rooms();
        assert!(sentences.len() > 150, "{}", sentences.len());
        for (code, language) in Language::all().skip(1) {
            let words = language.words();
            // A part of a longer one that is written piece by piece counts.
            let known = |text: &str| {
                let part = text.strip_prefix("{}").unwrap_or(text);
                let mut lists = words.reasons.iter().chain(words.terms);
                lists.any(|(known, _)| known.contains(part))
                    || words.refusal(text) != text
                    || words.clause(text) != text
            };
            let lacking: Vec<&String> = sentences
                .iter()
                .filter(|text| !NO_REFUSALS.iter().any(|no| text.contains(no)))
                .filter(|text| !known(text))
                .collect();
            assert!(lacking.is_empty(), "{code} has no words for {lacking:#?}");
        }
    }

    /// What a rule asks of a battery only because it is not sound stands on the manifest.
    #[test]
    fn duties_of_what_is_not_sound_are_said_in_every_language() {
        use crate::battery::Chemistry;
        use crate::transport::{Configuration, Facts, Regime, decide};
        let mut duties: Vec<String> = Vec::new();
        for regime in variants::<Regime>() {
            for mode in variants::<Mode>() {
                for purpose in [
                    Purpose::Recycling,
                    Purpose::Disposal,
                    Purpose::WarrantyReturn,
                ] {
                    for soundness in variants::<Soundness>() {
                        for leaking in [false, true] {
                            let mut facts = Facts::new(regime);
                            facts.mode = Some(mode);
                            facts.on = Some("2026-11-20".parse().unwrap());
                            facts.item.chemistry = Some(Chemistry::LithiumIon);
                            facts.item.configuration = Some(Configuration::Alone);
                            facts.item.purpose = Some(purpose);
                            facts.item.leaking = Some(leaking);
                            facts.item.soundness = Some(Soundness::Sound);
                            facts.item.recalled_for_safety = Some(false);
                            facts.item.still_a_battery = Some(true);
                            let mut sound = facts.clone();
                            sound.item.leaking = Some(false);
                            let sound = decide(&sound).requirements;
                            facts.item.soundness = Some(soundness);
                            let new = decide(&facts).requirements.into_iter();
                            let new = new.filter(|one| !sound.iter().any(|s| s.rule == one.rule));
                            duties.extend(new.map(|one| one.says.to_string()));
                        }
                    }
                }
            }
        }
        duties.sort_unstable();
        duties.dedup();
        assert!(duties.len() > 10, "{duties:#?}");
        for (code, language) in Language::all().skip(1) {
            for duty in &duties {
                assert_ne!(language.words().refusal(duty), *duty, "{code}");
            }
        }
    }

    /// The name of an instrument before its serial, in a refusal.
    #[test]
    fn instruments_that_are_out_of_date_are_named() {
        for (code, language) in Language::all().skip(1) {
            for kind in variants::<crate::inspection::InstrumentKind>() {
                let name = format!("{} X-1", kind.name().replace('_', " "));
                let said = language.words().refusal(&format!("calibration of {name}"));
                assert!(said.ends_with(" X-1"), "{code} {said}");
                assert!(!said.ends_with(&format!(": {name}")), "{code} {said}");
            }
        }
    }

    /// Each entry of a list is for a word that is said; places are as many on both sides.
    #[test]
    fn lists_of_terms_have_their_places_and_no_twins() {
        for (code, language) in Language::all() {
            let words = language.words();
            let terms: Vec<_> = words.terms.iter().chain(words.reasons).collect();
            let places = |text: &str| text.matches("{}").count();
            for (n, (known, said)) in terms.iter().enumerate() {
                assert_eq!(places(known), places(said), "{code} {known}");
                assert!(!known.is_empty() && !said.is_empty(), "{code} {known}");
                let twin = terms.iter().skip(n + 1).any(|(other, _)| other == known);
                assert!(!twin, "{code} {known}");
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
