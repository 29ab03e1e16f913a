//! The catalogue of findings, and what several findings together make of a module.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use serde::Deserialize;

use crate::battery::Soundness;
use crate::table;

/// What a finding makes of a module.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// Nothing in transport terms.
    None,
    /// At least suspect.
    Suspect,
    /// At least damaged.
    Damaged,
    /// Damaged and likely to react.
    Critical,
}

/// A row of the catalogue.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Permanent code, `F01` to `F37`.
    pub code: String,
    /// What is seen.
    pub words: String,
    /// How it is observed.
    pub observed_by: String,
    /// The first thing to do.
    pub first_act: String,
    /// What it makes of the module.
    pub outcome: Outcome,
    /// Whether the module goes to quarantine.
    pub quarantine: bool,
    /// Where that comes from.
    pub basis: String,
    /// What in the row is chosen here.
    pub remark: String,
}

impl Finding {
    /// Whether it stops the whole job: stop, leave, call.
    #[must_use]
    pub fn is_red_flag(&self) -> bool {
        // A pierced cell (F12) and a past fire (F15) are critical but not acute by themselves.
        self.outcome == Outcome::Critical && !matches!(self.code.as_str(), "F12" | "F15")
    }
}

/// A code that the catalogue does not have.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a finding code; codes are F01 to F37")]
pub struct FindingError(pub String);

#[derive(Deserialize)]
struct Row {
    id: String,
    finding: String,
    how_observed: String,
    evidence_or_first_act: String,
    outcome: u8,
    quarantine: String,
    basis: String,
    remark: String,
}

const TABLE: &str = include_str!("../reference/findings.csv");

/// Every finding, in order of code.
#[must_use]
pub fn catalogue() -> &'static [Finding] {
    static CATALOGUE: OnceLock<Vec<Finding>> = OnceLock::new();
    CATALOGUE.get_or_init(|| {
        // A table that does not read is caught by the test below; an empty catalogue knows no
        // code, so every finding is then refused rather than taken lightly.
        let rows: Vec<Row> = table::rows("findings", TABLE).unwrap_or_default();
        rows.into_iter()
            .map(|row| Finding {
                code: row.id,
                words: row.finding,
                observed_by: row.how_observed,
                first_act: row.evidence_or_first_act,
                outcome: match row.outcome {
                    0 => Outcome::None,
                    1 => Outcome::Suspect,
                    2 => Outcome::Damaged,
                    _ => Outcome::Critical,
                },
                quarantine: row.quarantine == "yes",
                basis: row.basis,
                remark: row.remark,
            })
            .collect()
    })
}

/// The finding of `code`.
///
/// # Errors
/// A code that is not in the catalogue.
pub fn finding(code: &str) -> Result<&'static Finding, FindingError> {
    catalogue()
        .iter()
        .find(|finding| finding.code == code)
        .ok_or_else(|| FindingError(code.chars().take(20).collect()))
}

/// The least that the findings together allow: the worst of them, with these combinations.
///
/// - Three or more separate findings that are each suspect: damaged.
/// - F30 (bad history) with any other finding of the catalogue that counts: damaged.
/// - F16 (water) with heat (F03 to F06), gas or smell (F01, F02, F07) or falling voltage (F23,
///   F24): critical.
/// - F28 (no read-out) with F33 (no way to examine): damaged, as F21 would be.
///
/// The combinations are chosen here, for the careful side.
#[must_use]
pub fn soundness_of(codes: &[&str]) -> Soundness {
    let has = |code: &str| codes.contains(&code);
    let known: Vec<&Finding> = codes.iter().filter_map(|code| finding(code).ok()).collect();
    let mut worst = known
        .iter()
        .map(|finding| finding.outcome)
        .max()
        .unwrap_or(Outcome::None);
    // A code that nobody knows cannot make a module better than damaged.
    if known.len() < codes.len() {
        worst = worst.max(Outcome::Damaged);
    }
    let counting = known
        .iter()
        .filter(|f| f.outcome > Outcome::None && f.code != "F30")
        .count();
    if has("F30") && counting > 0 {
        worst = worst.max(Outcome::Damaged);
    }
    let suspect: BTreeSet<&str> = known
        .iter()
        .filter(|finding| finding.outcome == Outcome::Suspect)
        .map(|finding| finding.code.as_str())
        .collect();
    if suspect.len() >= 3 {
        worst = worst.max(Outcome::Damaged);
    }
    let lively = [
        "F01", "F02", "F03", "F04", "F05", "F06", "F07", "F23", "F24",
    ];
    if has("F16") && lively.iter().any(|code| has(code)) {
        worst = Outcome::Critical;
    }
    match worst {
        Outcome::None => Soundness::Sound,
        Outcome::Suspect => Soundness::Suspect,
        // Only "cannot be diagnosed" and nothing worse: the law's third case keeps its name.
        Outcome::Damaged
            if known
                .iter()
                .filter(|f| f.outcome == Outcome::Damaged)
                .all(|f| matches!(f.code.as_str(), "F21" | "F33"))
                && suspect.len() < 3
                && known.len() == codes.len()
                && !has("F30") =>
        {
            Soundness::Undiagnosed
        }
        Outcome::Damaged => Soundness::Damaged,
        Outcome::Critical => Soundness::Critical,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_catalogue_reads_whole_and_in_order() {
        let codes: Vec<_> = catalogue()
            .iter()
            .map(|finding| finding.code.clone())
            .collect();
        let expected: Vec<_> = (1..=37).map(|n| format!("F{n:02}")).collect();
        assert_eq!(codes, expected);
        assert!(table::rows::<Row>("findings", TABLE).is_ok());
        assert!(
            catalogue()
                .iter()
                .all(|f| !f.words.is_empty() && !f.observed_by.is_empty())
        );
    }

    #[test]
    fn one_finding_gives_its_own_soundness() {
        // ADR 2025, SP 376, list and note (read in an unofficial translation).
        assert_eq!(soundness_of(&[]), Soundness::Sound);
        assert_eq!(soundness_of(&["F36"]), Soundness::Sound);
        assert_eq!(soundness_of(&["F17"]), Soundness::Suspect);
        assert_eq!(soundness_of(&["F37"]), Soundness::Suspect);
        assert_eq!(soundness_of(&["F10"]), Soundness::Damaged);
        assert_eq!(soundness_of(&["F31"]), Soundness::Damaged);
        assert_eq!(soundness_of(&["F01"]), Soundness::Critical);
        assert_eq!(soundness_of(&["F33"]), Soundness::Undiagnosed);
    }

    #[test]
    fn findings_together_never_make_it_better() {
        let all = catalogue();
        for a in all {
            for b in all {
                let both = soundness_of(&[&a.code, &b.code]);
                assert!(
                    both >= soundness_of(&[&a.code]).max(soundness_of(&[&b.code])),
                    "{a:?} {b:?}"
                );
            }
        }
    }

    #[test]
    fn the_combinations_go_up() {
        assert_eq!(soundness_of(&["F30", "F17"]), Soundness::Damaged);
        assert_eq!(soundness_of(&["F30"]), Soundness::Suspect);
        assert_eq!(soundness_of(&["F16", "F04"]), Soundness::Critical);
        assert_eq!(soundness_of(&["F99"]), Soundness::Damaged);
        assert_eq!(soundness_of(&["F17", "F28"]), Soundness::Suspect);
        assert_eq!(soundness_of(&["F17", "F17", "F28"]), Soundness::Suspect);
        assert_eq!(soundness_of(&["F17", "F28", "F34"]), Soundness::Damaged);
    }
}
