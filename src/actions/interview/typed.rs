//! What a typed or scanned line means as an answer, and what to say where it means none.
//!
//! Only the form is looked at here. Whether a reading passes is the gate's to say, once it is
//! written down: a reading that fails must stay on record, so nobody is told before.

use super::question::{Choice, Question};
use crate::clock::Moment;
use crate::ids::read_scanned;
use crate::inspection;
use crate::procedure::{EvidenceKind, LONGEST_TEXT, Value, nearest};
use crate::units::Decimal;

/// Codes shown for a word.
const MOST_SHOWN: usize = 8;

impl Question {
    /// What the line `typed` says. An empty line and `unknown` are not known, whatever is asked.
    ///
    /// # Errors
    /// What is wanted instead, in words for who typed it.
    pub fn read(&self, typed: &str, present: Moment) -> Result<Value, String> {
        let typed = typed.trim();
        if Value::typed(typed) == Value::Unknown {
            return Ok(Value::Unknown);
        }
        match self.kind {
            EvidenceKind::Time => time(typed, present),
            EvidenceKind::Number => self.number(typed).map(text),
            EvidenceKind::Whole => {
                let number = self.number(typed).ok();
                let whole = number.filter(|n| n.as_whole().is_some_and(|whole| whole >= 0));
                whole
                    .map(text)
                    .ok_or_else(|| format!("`{typed}`: a whole number is wanted, such as 4"))
            }
            EvidenceKind::YesNo => match typed.to_ascii_lowercase().as_str() {
                "y" | "yes" | "1" => Ok(Value::YesNo(true)),
                "n" | "no" | "2" => Ok(Value::YesNo(false)),
                _ => Err(format!("`{typed}`: 1 or yes, 2 or no")),
            },
            EvidenceKind::Choice | EvidenceKind::Person | EvidenceKind::Instrument => {
                chosen(typed, &self.choices).map(|value| Value::Text(value.to_owned()))
            }
            EvidenceKind::Findings => findings(typed),
            EvidenceKind::List => {
                let parts = typed.split(';').map(str::trim);
                let parts = parts.filter(|part| !part.is_empty());
                Ok(Value::List(parts.map(Value::typed).collect()))
            }
            EvidenceKind::Text | EvidenceKind::Table => match chosen(typed, &self.choices) {
                Ok(offered) => Ok(Value::Text(offered.to_owned())),
                Err(_) => self.free(typed),
            },
        }
    }

    fn number(&self, typed: &str) -> Result<Decimal, String> {
        let bare = if self.unit.is_empty() {
            typed
        } else {
            typed.strip_suffix(self.unit).unwrap_or(typed).trim_end()
        };
        // A comma is how half of Europe writes the decimal point.
        bare.replace(',', ".").parse().map_err(|_| {
            let unit = if self.unit.is_empty() {
                String::new()
            } else {
                format!(" in {}", self.unit)
            };
            format!("`{typed}`: a number{unit} is wanted, such as 12.5")
        })
    }

    fn free(&self, typed: &str) -> Result<Value, String> {
        let length = typed.chars().count();
        if length > LONGEST_TEXT {
            return Err(format!(
                "{length} characters; at most {LONGEST_TEXT}: write it shorter"
            ));
        }
        if self.name == "serial" {
            return Ok(Value::typed(read_scanned(typed).serial().unwrap_or(typed)));
        }
        Ok(Value::typed(typed))
    }
}

fn text(number: Decimal) -> Value {
    Value::Text(number.to_string())
}

/// The choice of that name, of that number, or the only one that begins so.
pub(super) fn chosen<'a>(typed: &str, choices: &'a [Choice]) -> Result<&'a str, String> {
    let folded = typed.to_lowercase().replace(' ', "_");
    let same = |choice: &&Choice| choice.value.to_lowercase() == folded;
    if let Some(choice) = choices.iter().find(same) {
        return Ok(&choice.value);
    }
    let by_number = typed.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
    if let Some(choice) = by_number.and_then(|n| choices.get(n)) {
        return Ok(&choice.value);
    }
    let mut begin = choices
        .iter()
        .filter(|choice| choice.value.to_lowercase().starts_with(&folded));
    if let (Some(only), None) = (begin.next(), begin.next()) {
        return Ok(&only.value);
    }
    let known = choices.iter().map(|choice| choice.value.as_str());
    Err(match nearest(typed, known) {
        Some(near) => format!("`{typed}` is not among them; did you mean `{near}`?"),
        None => format!("`{typed}` is not among them; `?` shows what may be said"),
    })
}

/// Codes of the catalogue, `F10` or plain `10`; a word finds the codes that speak of it.
pub(super) fn findings(typed: &str) -> Result<Value, String> {
    let mut codes = Vec::new();
    for part in typed.split([',', ' ', ';']).filter(|part| !part.is_empty()) {
        if part.eq_ignore_ascii_case("none") {
            codes.push(Value::Text("none".into()));
            continue;
        }
        let digits = part.strip_prefix(['F', 'f']).unwrap_or(part);
        let code = digits.parse::<u8>().map(|number| format!("F{number:02}"));
        match code.ok().filter(|code| inspection::finding(code).is_ok()) {
            Some(code) => codes.push(Value::Text(code)),
            None => return Err(codes_about(typed)),
        }
    }
    if codes.is_empty() {
        return Err(codes_about(typed));
    }
    Ok(Value::List(codes))
}

fn codes_about(typed: &str) -> String {
    let word = typed.to_lowercase();
    let about: Vec<String> = inspection::catalogue()
        .iter()
        .filter(|finding| finding.words.to_lowercase().contains(&word))
        .take(MOST_SHOWN)
        .map(|finding| format!("{} {}", finding.code, finding.words))
        .collect();
    if !about.is_empty() {
        return format!("`{typed}`: type the code that fits; {}", about.join("; "));
    }
    let last = inspection::catalogue().last();
    let last = last.map_or("", |finding| finding.code.as_str());
    format!("`{typed}`: a code F01 to {last}, a word of one, or none; in doubt the worse one")
}

/// `now`, or a wall-clock time of today in the device's own offset, or a whole time; none ahead.
fn time(typed: &str, present: Moment) -> Result<Value, String> {
    if typed.eq_ignore_ascii_case("now") {
        return Ok(Value::Text(present.local()));
    }
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let on_the_wall = typed.split_once(':').is_some_and(|(hours, minutes)| {
        hours.len() <= 2 && minutes.len() == 2 && digits(hours) && digits(minutes)
    });
    let whole = if on_the_wall {
        format!("{}T{typed:0>5}:00{}", present.local_day(), present.offset())
    } else {
        typed.to_owned()
    };
    if whole.parse::<Moment>().is_err() {
        return Err(format!(
            "`{typed}`: now, a time of today such as 9:05, or one with its day such as {}",
            present.local()
        ));
    }
    Ok(Value::Text(whole))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn question(name: &str, kind: EvidenceKind) -> Question {
        Question {
            name: name.into(),
            ask: "?".into(),
            kind,
            unit: "",
            choices: Vec::new(),
            unknown: String::new(),
            optional: false,
            limits: Vec::new(),
            columns: Vec::new(),
            rows: Vec::new(),
            only_these: false,
        }
    }

    fn read(question: &Question, typed: &str) -> Result<String, String> {
        let present: Moment = "2026-11-25T09:41:00+01:00".parse().unwrap();
        question.read(typed, present).map(|value| value.to_string())
    }

    #[test]
    fn a_time_is_typed_as_it_stands_on_the_wall() {
        let asked = question("opened_at", EvidenceKind::Time);
        assert_eq!(read(&asked, "now").unwrap(), "2026-11-25T09:41:00+01:00");
        assert_eq!(read(&asked, "9:05").unwrap(), "2026-11-25T09:05:00+01:00");
        assert_eq!(
            read(&asked, "2026-11-24T23:10:00+01:00").unwrap(),
            "2026-11-24T23:10:00+01:00"
        );
        for wrong in ["25:10", "9.05", "five past", "9:5"] {
            assert!(read(&asked, wrong).is_err(), "{wrong}");
        }
        assert_eq!(read(&asked, ""), Ok(Value::Unknown.to_string()));
    }

    #[test]
    fn a_number_may_have_a_comma_and_its_unit_but_no_words() {
        let mut volts = question("voltage_v", EvidenceKind::Number);
        volts.unit = "V";
        assert_eq!(read(&volts, "51,92").unwrap(), "51.92");
        assert_eq!(read(&volts, "51.920 V").unwrap(), "51.920");
        assert!(read(&volts, "about 50").unwrap_err().contains("in V"));
        let count = question("modules", EvidenceKind::Whole);
        assert_eq!(read(&count, "4").unwrap(), "4");
        for wrong in ["4.5", "-1", "grey"] {
            assert!(read(&count, wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_choice_goes_by_number_name_or_beginning() {
        let mut kind = question("kind", EvidenceKind::Choice);
        kind.choices = ["grid", "generator", "pv_string"]
            .map(|word| Choice::new(word, ""))
            .into();
        assert_eq!(read(&kind, "3").unwrap(), "pv_string");
        assert_eq!(read(&kind, "PV string").unwrap(), "pv_string");
        assert_eq!(read(&kind, "gri").unwrap(), "grid");
        assert!(read(&kind, "g").is_err(), "two begin so");
        assert!(read(&kind, "0").is_err());
        assert!(read(&kind, "4").is_err());
        assert!(read(&kind, "grids").unwrap_err().contains("`grid`"));
    }

    /// A serial of digits is itself before it is a place in the list.
    #[test]
    fn a_name_comes_before_a_number() {
        let mut tester = question("tester", EvidenceKind::Instrument);
        tester.choices = ["2", "7"].map(|serial| Choice::new(serial, "")).into();
        assert_eq!(read(&tester, "2").unwrap(), "2");
        assert_eq!(read(&tester, "1").unwrap(), "2");
    }

    #[test]
    fn findings_go_by_code_number_or_word() {
        assert_eq!(
            findings("f10, 18").unwrap(),
            Value::List(vec![Value::Text("F10".into()), Value::Text("F18".into())])
        );
        assert!(findings("none").is_ok());
        assert!(findings("F99").is_err());
        assert!(findings("swell").unwrap_err().contains('F'));
    }

    /// An element string as a scanner types it (GS1 General Specifications: 01 article, 21 serial).
    #[test]
    fn a_scanned_code_gives_its_serial() {
        let serial = question("serial", EvidenceKind::Text);
        assert_eq!(
            read(&serial, "(01)09521234543213(21)LK51-24-008817").unwrap(),
            "LK51-24-008817"
        );
        assert_eq!(read(&serial, "LK51-24-008817").unwrap(), "LK51-24-008817");
    }
}
