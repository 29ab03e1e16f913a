//! What a line means that a person or a scanner types at the dock.

use crate::custody::{DockPhoto, Expected, Scan, SealFound, SealState, Subject};
use crate::inspection::finding;
use crate::units::Decimal;

/// What may be typed beside a code.
pub const DOCK_HELP: &str = "\
Scan or type a code. Then, of the last one scanned or of the one named first:
  seal NUMBER | seal broken [NUMBER] | seal missing
  mass KG (gross)   net KG   temp C   air C   count N   volume M3
  clean (looked at, no damage)   damage WORDS   finding F10, or a word alone:
  swollen leaking smoke hissing smell cracked scorched wet corroded dropped
  energy WH   chemistry WORDS   photo FILE (kept with its hash beside the register)
unreadable [WORDS]   a module without a readable serial: it gets a temporary identity
in PACKAGE           what is scanned next stands in that package; `in -` ends it
count load N         packages of the whole load
undo [NUMBER]        takes back the last scan, or that one
list                 says how the receipt stands
findings             every finding code
done [BAY]           closes the receipt; sound modules go to BAY
refuse WORDS         refuses the load, which is lawful
stop                 ends here; everything answered is kept, the receipt stays open";

/// What a line means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Typed {
    /// A scan.
    Scan(Box<Scan>),
    /// Takes back the last scan.
    UndoLast,
    /// What follows stands in that package.
    In(Option<String>),
    /// How it stands.
    List,
    /// Every finding code.
    Findings,
    /// Close it; sound modules go to that bay.
    Done(Option<String>),
    /// Refuse the load.
    Refuse(String),
    /// End here.
    Stop,
    /// Help.
    Help,
    /// Nothing.
    Nothing,
    /// Not understood: why.
    NotUnderstood(String),
}

/// What was typed before, as far as it matters.
#[derive(Debug, Clone, Default)]
pub struct Context {
    /// The last thing scanned.
    pub last: Option<Subject>,
    /// The package that things stand in.
    pub package: Option<String>,
}

/// What `line` means.
#[must_use]
pub fn read_typed(line: &str, expected: &Expected<'_>, context: &Context) -> Typed {
    let line = line.trim();
    if line.is_empty() {
        return Typed::Nothing;
    }
    let (word, rest) = match line.split_once(char::is_whitespace) {
        Some((word, rest)) => (word, rest.trim()),
        None => (line, ""),
    };
    match word.to_ascii_lowercase().as_str() {
        "done" | "close" => Typed::Done((!rest.is_empty()).then(|| rest.to_owned())),
        "stop" => Typed::Stop,
        "list" => Typed::List,
        "help" | "?" => Typed::Help,
        "refuse" => Typed::Refuse(rest.to_owned()),
        "in" => Typed::In((rest != "-" && !rest.is_empty()).then(|| rest.to_owned())),
        "undo" if rest.is_empty() => Typed::UndoLast,
        "undo" => match rest.parse() {
            Ok(number) => {
                let mut scan = Scan::of(Subject::Load);
                scan.sight = false;
                scan.withdraws = Some(number);
                Typed::Scan(Box::new(scan))
            }
            Err(_) => Typed::NotUnderstood(format!("`{rest}` is no number of a scan")),
        },
        "unreadable" => {
            let mut scan = Scan::of(Subject::Module(String::new()));
            scan.temporary = true;
            scan.package.clone_from(&context.package);
            scan.remark = (!rest.is_empty()).then(|| rest.to_owned());
            Typed::Scan(Box::new(scan))
        }
        fact @ ("seal" | "mass" | "net" | "temp" | "air" | "count" | "volume" | "clean"
        | "damage" | "finding" | "energy" | "chemistry" | "photo") => {
            of_fact(fact, rest, expected, context)
        }
        "findings" | "codes" => Typed::Findings,
        "scan" if !rest.is_empty() => code(rest, expected, context),
        word => match seen(word) {
            Some(finding) => seen_on(finding, line, rest, expected, context),
            None => code(line, expected, context),
        },
    }
}

/// The finding that a word of the trade says.
fn seen(word: &str) -> Option<&'static str> {
    Some(match word {
        "smoke" | "smoking" | "fire" | "burning" => "F01",
        "hissing" | "hiss" | "popping" => "F02",
        "smell" | "smells" => "F07",
        "leaking" | "leak" | "leaks" => "F08",
        "swollen" | "bulged" | "bulging" => "F10",
        "cracked" | "crushed" | "dented" | "bent" => "F11",
        "dropped" | "fell" => "F13",
        "scorched" | "burnt" | "sooty" => "F14",
        "wet" | "flooded" => "F16",
        "corroded" => "F17",
        _ => return None,
    })
}

/// A word alone is of the last one scanned, with a name behind it of that. More words are damage
/// in words; a serial that is such a word is scanned with `scan` before it.
fn seen_on(
    code: &str,
    line: &str,
    rest: &str,
    expected: &Expected<'_>,
    context: &Context,
) -> Typed {
    let identity = super::receiving::identity_of(rest, expected);
    let is_named = expected.module(&identity).is_some() || expected.package(&identity).is_some();
    if rest.is_empty() || is_named {
        return of_fact(
            "finding",
            format!("{rest} {code}").trim(),
            expected,
            context,
        );
    }
    of_fact("damage", line, expected, context)
}

fn code(text: &str, expected: &Expected<'_>, context: &Context) -> Typed {
    let identity = super::receiving::identity_of(text, expected);
    let subject = expected.subject(&identity);
    let mut scan = Scan::of(subject.clone());
    scan.code = super::receiving::code_kept(text, &subject);
    if matches!(subject, Subject::Module(_)) {
        scan.package.clone_from(&context.package);
    }
    Typed::Scan(Box::new(scan))
}

/// A fact: of the thing named first, else of the last one scanned.
fn of_fact(fact: &str, rest: &str, expected: &Expected<'_>, context: &Context) -> Typed {
    let (first, others) = match rest.split_once(char::is_whitespace) {
        Some((first, others)) => (first, others.trim()),
        None => (rest, ""),
    };
    let named = if first.eq_ignore_ascii_case("load") {
        Some(Subject::Load)
    } else {
        let identity = super::receiving::identity_of(first, expected);
        let known = expected.module(&identity).is_some() || expected.package(&identity).is_some();
        let is_last = matches!(
            &context.last,
            Some(Subject::Module(last) | Subject::Package(last)) if *last == identity
        );
        // A bare name with more behind it that nobody listed is a thing as well.
        (known || is_last).then(|| expected.subject(&identity))
    };
    let (subject, value) = match (named, &context.last) {
        (Some(subject), _) => (subject, others),
        (None, _) if fact == "air" => (Subject::Load, rest),
        (None, Some(last)) => (last.clone(), rest),
        (None, None) => {
            return Typed::NotUnderstood(format!("{fact} of what? scan it, or name it first"));
        }
    };
    let mut scan = Scan::of(subject);
    scan.sight = false;
    let number = |text: &str| -> Result<Decimal, String> {
        text.replace(',', ".")
            .parse::<Decimal>()
            .map_err(|why| format!("{fact}: {why}"))
    };
    let set = match fact {
        "mass" => number(value).map(|v| scan.gross_mass_kg = Some(v)),
        "net" => number(value).map(|v| scan.net_mass_kg = Some(v)),
        "temp" => number(value).map(|v| scan.temperature_c = Some(v)),
        "air" => number(value).map(|v| scan.air_c = Some(v)),
        "volume" => number(value).map(|v| scan.volume_m3 = Some(v)),
        "energy" => number(value).map(|v| scan.rated_energy_wh = Some(v)),
        "count" => value
            .parse()
            .map(|v| scan.count = Some(v))
            .map_err(|_| format!("count: `{value}` is no whole number")),
        "clean" => {
            scan.damage = Some(Vec::new());
            Ok(())
        }
        "damage" if value.is_empty() => Err("damage: say what is seen; `clean` says none".into()),
        "damage" => {
            scan.damage = Some(vec![value.to_owned()]);
            Ok(())
        }
        "photo" if value.is_empty() => Err("photo: which file?".into()),
        "photo" => {
            scan.photos = vec![not_kept_yet(value)];
            Ok(())
        }
        "chemistry" if value.is_empty() => Err("chemistry: which?".into()),
        "chemistry" => {
            scan.chemistry = Some(value.to_owned());
            Ok(())
        }
        "finding" => {
            let codes: Vec<String> = value
                .split([' ', ';', ','])
                .filter(|code| !code.is_empty())
                .map(str::to_uppercase)
                .collect();
            match codes.iter().find_map(|code| finding(code).err()) {
                Some(why) => Err(why.to_string()),
                None if codes.is_empty() => Err("finding: which code?".into()),
                None => {
                    scan.findings = codes;
                    Ok(())
                }
            }
        }
        _ => {
            scan.seal = Some(seal(value));
            if value.is_empty() {
                Err("seal: its number, `broken` or `missing`".into())
            } else {
                Ok(())
            }
        }
    };
    match set {
        Ok(()) => Typed::Scan(Box::new(scan)),
        Err(why) => Typed::NotUnderstood(why),
    }
}

/// A photograph where it lies; it is read, hashed and kept when the scan is taken.
pub(super) fn not_kept_yet(place: &str) -> DockPhoto {
    DockPhoto {
        file: place.to_owned(),
        sha256: String::new(),
    }
}

/// A seal as it is typed: its number, its state, or both in either order.
fn seal(value: &str) -> SealFound {
    let is_state = |word: &str| {
        let word = word.to_ascii_lowercase();
        matches!(&*word, "broken" | "missing" | "none" | "intact" | "ok")
    };
    let (first, others) = match value.rsplit_once(char::is_whitespace) {
        Some((number, state)) if is_state(state) => (state, number.trim()),
        _ => match value.split_once(char::is_whitespace) {
            Some((first, others)) => (first, others.trim()),
            None => (value, ""),
        },
    };
    let number = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    match first.to_ascii_lowercase().as_str() {
        "broken" => SealFound {
            state: SealState::Broken,
            number: number(others),
        },
        "missing" | "none" => SealFound {
            state: SealState::Missing,
            number: None,
        },
        "intact" | "ok" => SealFound {
            state: SealState::Intact,
            number: number(others),
        },
        _ => SealFound {
            state: SealState::Intact,
            number: number(value),
        },
    }
}
