//! Reads a UN mark part by part, in the order of ADR/RID 6.1.3.1 and 6.6.3.1; the first part that is
//! missing or wrong is named.

use crate::citation::Reason;
use crate::transport::instruction::Group;
use crate::transport::mark::answer::{MarkAnswer, MarkStanding, PackagingMark};
use crate::transport::mark::parts::{
    VEHICLE_SIGNS, code, density, group, is_large, pressure, take_symbol, two_digits, whole_year,
};
use crate::units::Grams;

const SMALL: &str = "ADR/RID 2025, 6.1.3.1";
const LARGE: &str = "ADR/RID 2025, 6.6.3.1";

/// What `text` says, read as a UN mark: parts divided by slash, space or line, with or without the
/// letters `UN` for the symbol.
#[must_use]
pub fn check_mark(text: &str) -> MarkAnswer {
    Reading::of(text).answer
}

/// A mark while it is read.
pub(super) struct Reading {
    answer: MarkAnswer,
    pub(super) mark: Option<PackagingMark>,
}

impl Reading {
    pub(super) fn of(text: &str) -> Self {
        let mut reading = Self {
            answer: MarkAnswer {
                answer: MarkStanding::NotAUnMark,
                code: None,
                group: None,
                gross_limit_kg: None,
                kind: None,
                year: None,
                month: None,
                state: None,
                maker: None,
                large: false,
                salvage: false,
                warnings: Vec::new(),
                reasons: Vec::new(),
            },
            mark: None,
        };
        reading.read(text);
        reading
    }

    fn refuse(&mut self, reason: Reason) {
        self.answer.reasons.push(reason);
    }

    fn read(&mut self, text: &str) {
        let mut parts: Vec<&str> = text
            .split(|c: char| c == '/' || c.is_whitespace())
            .filter(|part| !part.is_empty())
            .collect();
        if parts.starts_with(&["RID", "ADR"]) {
            self.refuse(
                Reason::new("symbol", "RID/ADR")
                    .limit("the UN symbol")
                    .clause(SMALL)
                    .way_out(
                        "the packer uses it only where relaxed rules name it, never for batteries",
                    ),
            );
            return;
        }
        let symbol = take_symbol(&mut parts);
        let Some(first) = parts.first().copied() else {
            self.refuse(
                Reason::new("mark", text.trim())
                    .limit("such as UN 4D/X90/S/25/GB/1234")
                    .clause(SMALL)
                    .way_out("copy the whole mark from the packaging"),
            );
            return;
        };
        if !symbol && !first.starts_with(|c: char| c.is_ascii_digit()) {
            self.refuse(
                Reason::new("mark", text.trim())
                    .limit("begins with the UN symbol and a code such as 4D")
                    .clause(SMALL)
                    .way_out("copy the whole mark from the packaging"),
            );
            return;
        }
        self.answer.answer = MarkStanding::Invalid;
        if parts.iter().skip(1).any(|part| *part == "UN") {
            self.refuse(
                Reason::new("mark", "more than one")
                    .limit("each mark is whole by itself")
                    .clause("ADR/RID 2025, 6.1.3.14; 6.6.3.4")
                    .way_out("say which of them applies"),
            );
            return;
        }
        if let Some(at) = parts.iter().position(|part| *part == "REC") {
            parts.remove(at);
        }
        let code = match code(first) {
            Ok(code) => code,
            Err(reason) => return self.refuse(reason),
        };
        self.answer.large = is_large(&code.0);
        self.answer.salvage = code.1 == Some('T');
        self.answer.code = Some(code.0.clone());
        let rest = parts.get(1..).unwrap_or_default();
        let group = rest.first().and_then(|part| group(part));
        let Some((group, mass)) = group else {
            return self.refuse(
                Reason::new(
                    "packing group letter",
                    rest.first().copied().unwrap_or("none"),
                )
                .limit("X, Y or Z, straight after the code")
                .clause(SMALL)
                .way_out("copy the whole mark from the packaging"),
            );
        };
        self.answer.group = Some(group);
        let rest = rest.get(1..).unwrap_or_default();
        if self.answer.large {
            self.large(code, group, mass, rest);
        } else {
            self.small(code, group, mass, rest);
        }
        if self.answer.reasons.is_empty() {
            self.answer.answer = MarkStanding::Valid;
            self.doubts();
        } else {
            self.mark = None;
        }
    }

    /// `[mass] S year state maker` or `[density] pressure year state maker`.
    fn small(&mut self, code: (String, Option<char>), group: Group, attached: &str, rest: &[&str]) {
        let solids = rest.iter().take(2).position(|part| *part == "S");
        let (gross_limit, after) = match solids {
            Some(at) => {
                self.answer.kind = Some("S".to_owned());
                let text = match (at, rest.first()) {
                    (1, Some(number)) if attached.is_empty() => number,
                    (0, _) => attached,
                    _ => "",
                };
                let mass: Option<Grams> = text.parse().ok();
                let mass = mass.filter(|mass| mass.as_thousandths() > 0);
                if mass.is_none() {
                    self.refuse(
                        Reason::new("gross mass", if text.is_empty() { "none" } else { text })
                            .limit("greatest gross mass in kg behind the letter of the group")
                            .clause(SMALL)
                            .way_out("copy the whole mark from the packaging"),
                    );
                }
                self.answer.gross_limit_kg = mass;
                (mass, rest.get(at + 1..).unwrap_or_default())
            }
            None => {
                let separate = attached.is_empty() && rest.first().is_some_and(|d| density(d));
                let well = attached.is_empty() || density(attached);
                let at = usize::from(separate);
                let pressure = rest.get(at).copied().filter(|part| pressure(part));
                if !well || pressure.is_none() {
                    self.refuse(
                        Reason::new("kind", rest.first().copied().unwrap_or("none"))
                            .limit("S for solids, or a density and a test pressure for liquids")
                            .clause(SMALL)
                            .way_out("copy the whole mark from the packaging"),
                    );
                    return;
                }
                self.answer.kind = pressure.map(str::to_owned);
                (None, rest.get(at + 1..).unwrap_or_default())
            }
        };
        let plastics = code.0.starts_with("1H") || code.0.starts_with("3H");
        let Some((year, month, after)) = self.date(after, plastics) else {
            return;
        };
        self.origin(after);
        self.mark = Some(PackagingMark {
            code: code.0,
            variant: code.1,
            group,
            gross_limit,
            stacking_load: None,
            year,
            month,
        });
    }

    /// `month year state maker stacking-load gross-mass`.
    fn large(&mut self, code: (String, Option<char>), group: Group, attached: &str, rest: &[&str]) {
        if !attached.is_empty() {
            self.refuse(
                Reason::new("packing group letter", attached)
                    .limit("a large packaging has its masses at the end")
                    .clause(LARGE)
                    .way_out("copy the whole mark from the packaging"),
            );
            return;
        }
        let month = rest.first().and_then(|part| two_digits(part));
        let year = rest.get(1).and_then(|part| two_digits(part));
        let (Some(month), Some(year)) = (month.filter(|m| (1..=12).contains(m)), year) else {
            return self.refuse(
                Reason::new(
                    "month and year",
                    rest.iter().take(2).copied().collect::<Vec<_>>().join(" "),
                )
                .limit("month 01 to 12, then two digits of the year")
                .clause(LARGE)
                .way_out("copy the whole mark from the packaging"),
            );
        };
        let year = whole_year(year);
        self.answer.month = Some(month);
        self.answer.year = Some(year);
        let after = rest.get(2..).unwrap_or_default();
        let numbers = after.len().checked_sub(2).filter(|n| *n >= 1);
        let masses = numbers.map(|n| after.split_at(n));
        let loads = masses.and_then(|(_, masses)| {
            let mut masses = masses.iter().map(|part| part.parse::<Grams>().ok());
            let stacking = masses.next().flatten()?;
            let gross = masses.next().flatten()?;
            (stacking.as_thousandths() >= 0 && gross.as_thousandths() > 0)
                .then_some((stacking, gross))
        });
        let (Some((names, _)), Some((stacking, gross))) = (masses, loads) else {
            return self.refuse(
                Reason::new("masses", after.join(" "))
                    .limit("stacking load and greatest gross mass in kg, behind state and maker")
                    .clause(LARGE)
                    .way_out("copy the whole mark from the packaging"),
            );
        };
        self.answer.gross_limit_kg = Some(gross);
        self.origin(names);
        if stacking.as_thousandths() == 0 {
            self.answer
                .warnings
                .push("nothing may stand on it: stacking load 0".to_owned());
        }
        self.mark = Some(PackagingMark {
            code: code.0,
            variant: code.1,
            group,
            gross_limit: Some(gross),
            stacking_load: Some(stacking),
            year,
            month: Some(month),
        });
    }

    /// Two digits of the year; plastics drums and jerricans may show the month beside it.
    fn date<'a>(
        &mut self,
        rest: &'a [&'a str],
        plastics: bool,
    ) -> Option<(i32, Option<u8>, &'a [&'a str])> {
        let first = rest.first().and_then(|part| two_digits(part));
        let Some(first) = first else {
            self.refuse(
                Reason::new("year", rest.first().copied().unwrap_or("none"))
                    .limit("two digits")
                    .clause(SMALL)
                    .way_out("copy the whole mark from the packaging"),
            );
            return None;
        };
        let second = rest
            .get(1)
            .and_then(|part| two_digits(part))
            .filter(|_| plastics);
        let (year, month, used) = match second {
            None => (first, None, 1),
            Some(second) if (1..=12).contains(&first) => {
                if (1..=12).contains(&second) {
                    self.answer.warnings.push(format!(
                        "{first:02} {second:02}: read as month and year; look at the clock on the \
                         packaging"
                    ));
                }
                (second, Some(first), 2)
            }
            Some(second) if (1..=12).contains(&second) => (first, Some(second), 2),
            Some(_) => {
                self.refuse(
                    Reason::new("month", rest.iter().take(2).copied().collect::<String>())
                        .limit("01 to 12")
                        .clause(SMALL)
                        .way_out("copy the whole mark from the packaging"),
                );
                return None;
            }
        };
        if plastics && month.is_none() {
            self.answer.warnings.push(
                "plastics drums and jerricans also show the month; look at the clock on the \
                 packaging: five years of use count from it"
                    .to_owned(),
            );
        }
        let year = whole_year(year);
        self.answer.year = Some(year);
        self.answer.month = month;
        Some((year, month, rest.get(used..).unwrap_or_default()))
    }

    /// State and maker; behind them a second mark of whoever reconditioned it.
    fn origin(&mut self, rest: &[&str]) {
        let mut names = rest;
        let letters = names
            .iter()
            .rposition(|part| !matches!(*part, "R" | "L" | "RL"))
            .map_or(0, |last| last + 1);
        if letters < names.len() && letters >= 1 {
            let made_again = names.get(letters - 1).and_then(|part| two_digits(part));
            if let Some(year) = made_again {
                self.answer
                    .warnings
                    .push(format!("reconditioned in {}", whole_year(year)));
                names = names.get(..letters - 1).unwrap_or_default();
            }
        }
        let state = names.first().copied();
        let well_formed = state.is_some_and(|state| {
            (1..=3).contains(&state.len()) && state.bytes().all(|b| b.is_ascii_uppercase())
        });
        if !well_formed {
            return self.refuse(
                Reason::new("state", state.unwrap_or("none"))
                    .limit("vehicle sign of the state that approved it, such as GB")
                    .clause(SMALL)
                    .way_out("copy the whole mark from the packaging"),
            );
        }
        self.answer.state = state.map(str::to_owned);
        let maker = names.get(1..).unwrap_or_default().join(" ");
        if maker.is_empty() {
            return self.refuse(
                Reason::new("maker", "none")
                    .limit("name or symbol of the maker, or the number of the approval")
                    .clause(SMALL)
                    .way_out("copy the whole mark from the packaging"),
            );
        }
        self.answer.maker = Some(maker);
    }

    /// What a whole mark still leaves open.
    fn doubts(&mut self) {
        let answer = &mut self.answer;
        if let Some(state) = &answer.state
            && !VEHICLE_SIGNS.contains(&state.as_str())
        {
            answer
                .warnings
                .push(format!("{state} is no vehicle sign in our list"));
        }
        if !answer.large && answer.kind.as_deref() != Some("S") {
            answer
                .warnings
                .push("tested for liquids, not for batteries".to_owned());
        }
        if answer.salvage {
            answer
                .warnings
                .push("salvage packaging: only for packages found damaged on the way".to_owned());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_example_of_the_contract_is_answered_in_its_form() {
        // Contract of the project's issue 3.
        assert_eq!(
            serde_json::to_value(check_mark("UN 4D/X90/S/25/GB/1234")).unwrap(),
            serde_json::json!({"answer":"valid","code":"4D","group":"X","gross_limit_kg":90,
                "kind":"S","year":2025,"month":null,"state":"GB","maker":"1234","large":false,
                "salvage":false,"warnings":[],"reasons":[]})
        );
    }

    #[test]
    fn lines_spaces_and_a_missing_symbol_do_not_matter() {
        let whole = check_mark("UN 4D/X90/S/25/GB/1234");
        for text in [
            "4D/X90/S/25/GB/1234",
            "UN4D/X90/S/25/GB/1234",
            "UN\n4D/X90/S\n25/GB/1234",
            " 4D / X90 / S / 25 GB / 1234 ",
            "4D/X90/S/25/GB/1234 REC",
        ] {
            assert_eq!(check_mark(text), whole, "{text}");
        }
    }

    #[test]
    fn each_part_left_out_or_wrong_is_named() {
        // Derived by us from ADR/RID 2025, 6.1.3.1 and 6.6.3.1 (read in translation).
        for (text, what) in [
            ("UN 7A/Y145/S/02 NL/VL823", "packaging code"),
            ("UN 4D1X/Y145/S/02 NL/VL823", "packaging code"),
            ("UN 50AV/X/05 01/N/PQRS 2500/1000", "packaging code"),
            ("UN 4D/W145/S/02 NL/VL823", "packing group letter"),
            ("UN 4D", "packing group letter"),
            ("UN 4D/Y/S/02 NL/VL823", "gross mass"),
            ("UN 4D/Y0/S/02 NL/VL823", "gross mass"),
            ("UN 4D/Y145/S/2 NL/VL823", "year"),
            ("UN 4D/Y145/S/02 nl/VL823", "state"),
            ("UN 4D/Y145/S/02 NL", "maker"),
            ("UN 1A1/Y14/150/97 NL/RB", "kind"),
            ("UN 1A1/Y1.4/155/97 NL/RB", "kind"),
            ("UN 50A/X/00 01/N/PQRS 2500/1000", "month and year"),
            ("UN 50A/X90/05 01/N/PQRS 2500/1000", "packing group letter"),
            ("UN 50A/X/05 01/N/PQRS 2500/0", "masses"),
            ("UN 50A/X/05 01/N 2500/1000", "maker"),
            ("UN 1H2/Y200/S/13 14/D/M1", "month"),
            ("UN 4D/Y145/S/02 NL/V UN 4D/Y145/S/02 NL/V", "mark"),
        ] {
            let answer = check_mark(text);
            assert_eq!(answer.answer, MarkStanding::Invalid, "{text}");
            assert_eq!(answer.reasons[0].what, what, "{text}");
            assert_eq!(PackagingMark::read(text), None, "{text}");
        }
    }

    #[test]
    fn what_is_no_mark_at_all_is_said_so() {
        for text in [
            "",
            "UN",
            "a cardboard box",
            "S/25/GB",
            "RID/ADR/0A2/Y20/S/04 NL/VL124",
        ] {
            let answer = check_mark(text);
            assert_eq!(answer.answer, MarkStanding::NotAUnMark, "{text}");
            assert!(!answer.reasons.is_empty(), "{text}");
        }
    }

    #[test]
    fn plastics_show_their_month_or_are_asked_for_it() {
        // ADR/RID 2025, 6.1.3.1(e), read in translation.
        let of = |text| {
            let answer = check_mark(text);
            (answer.year, answer.month, answer.warnings.len())
        };
        assert_eq!(of("1H2/Y200/S/25/GB/1234"), (Some(2025), None, 1));
        assert_eq!(of("1H2/Y200/S/25 11/GB/1234"), (Some(2025), Some(11), 0));
        assert_eq!(of("3H2/Y60/S/11 25/GB/1234"), (Some(2025), Some(11), 0));
        assert_eq!(of("3H2/Y60/S/03 11/GB/1234"), (Some(2011), Some(3), 1));
        // Any other packaging does not.
        assert_eq!(of("4H2/Y60/S/25/GB/1234"), (Some(2025), None, 0));
    }

    #[test]
    fn what_to_doubt_is_said() {
        for (text, words) in [
            ("UN 4DT/X90/S/25/GB/1234", "salvage"),
            ("UN 4G/Y25.5/S/19/US/LM825", "US is no vehicle sign"),
            ("UN 50H/Y/04 02/D/ABCD 987 0/800", "nothing may stand on it"),
            ("UN 1A1/Y1.4/150/97 NL/RB/01 RL", "reconditioned in 2001"),
            ("UN 1A1/Y1.4/150/97 NL/RB/01 RL", "tested for liquids"),
        ] {
            let answer = check_mark(text);
            assert_eq!(answer.answer, MarkStanding::Valid, "{text}");
            assert!(
                answer.warnings.iter().any(|one| one.contains(words)),
                "{text}: {:?}",
                answer.warnings
            );
        }
        // A mark with a decimal, read on a carrier's page (second-hand).
        assert_eq!(
            check_mark("UN 4G/Y25.5/S/19/US/LM825").gross_limit_kg,
            Some(Grams::thousandths(25_500))
        );
    }

    #[test]
    fn metal_is_told_from_the_code() {
        for (text, metal) in [
            ("4A/Y60/S/24/D/X1", true),
            ("1B2/Y60/S/24/D/X1", true),
            ("50N/Y/05 24/D/X1 0/900", true),
            ("4D/Y60/S/24/D/X1", false),
            ("4H2/Y60/S/24/D/X1", false),
        ] {
            assert_eq!(
                PackagingMark::read(text).unwrap().is_metal(),
                metal,
                "{text}"
            );
        }
    }
}
