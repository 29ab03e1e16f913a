//! Cautions for the driver and the receiver, in plain words of this project; law, maker and local
//! code come first.

use serde::Serialize;

use super::manifest::Manifest;
use super::pdf::{self, Drawing, Flow, bold, mm, plain, pt};
use super::stamp::{Across, Stamp};
use super::words::Words;
use super::{PaperError, plain_text, template};
use crate::battery::Soundness;

const TEMPLATE: &str = include_str!("../../templates/papers/cautions.html");

/// The sheet.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Cautions {
    w: Words,
    job: String,
    across: Option<Across>,
    /// What is on board, in words.
    on_board: Vec<String>,
    /// Title and lines.
    parts: Vec<Part>,
    foot: String,
}

#[derive(Debug, Clone, Serialize)]
struct Part {
    title: String,
    lines: Vec<String>,
}

/// What goes for everybody who carries. Common practice, no source, where nothing else is said.
const DRIVER: [&str; 7] = [
    "Count the packages against the manifest before you take them, and compare the seals.",
    "Look at each one: dry, closed, upright, marks and label readable. Put your hand near it: not \
     warm. Leave behind what is dented, wet, warm, or smells, and tell the consignor.",
    "Strap the packages so that none can slide, tip or fall, and nothing heavy stands on them. \
     Keep them upright.",
    "Do not open a package. The batteries in it cannot be switched off: their terminals stay live \
     for as long as they exist.",
    "No smoking, no naked flame, no heater near the load. Do not leave it standing in strong sun.",
    "Keep the papers in the cab where you and a fire officer can reach them.",
    "If you must stop for long, park in the open, away from houses and from other vehicles.",
];

const RECEIVER: [&str; 7] = [
    "Before you unload: count against the manifest, compare the seals, look for dents, wet places, \
     warmth and smell. Write every difference on the carrier's copy before you sign.",
    "Two people, or a lifting aid: the mass is on each package.",
    "Put the packages on a dry floor, upright, apart from other goods and from anything that burns, \
     never in a way out.",
    "What is marked as damaged, suspect or critical goes to its own place at once, away from the \
     sound ones, and is watched. Nobody releases it alone.",
    "Do not connect, charge, drop, stack or open anything. Opening is work for a named competent \
     person with the inspection sheet in hand.",
    "The state of charge on the label is what was known when the package was closed; it is no \
     promise.",
    "Sign with name, date and time, and keep the papers.",
];

const WRONG: [&str; 7] = [
    "Signs: smoke or white mist, hissing, popping, a sweet or sharp smell, bulging, heat you can \
     feel without touching.",
    "Stop where nobody lives and nothing burns, engine off, keys with you. Get everybody away, \
     against the wind, out of closed rooms.",
    "Call the fire service and say: lithium-ion batteries, how many, and the UN number from the \
     label. Then call the emergency contact on the papers.",
    "Do not go back, do not touch it, do not put your head into the load space. The smoke is \
     poisonous and can explode.",
    "A small fire that is not the batteries, a tyre or a cable, may be put out with the \
     extinguisher. Batteries that burn are for the fire service.",
    "It can begin again hours or days later. Whoever takes it over must be told that.",
    "A package that was dropped or crushed but shows no sign: keep it apart, in the open if you \
     can, watch it, and call the consignor before it goes anywhere.",
];

/// The sheet of a job.
pub(super) fn cautions(manifest: &Manifest, emergency: Option<&str>, stamp: &Stamp) -> Cautions {
    let w = stamp.words;
    let mut on_board = Vec::new();
    for package in &manifest.packages {
        let worst = package.modules.iter().map(|module| module.soundness).max();
        let state = match worst {
            Some(Soundness::Sound) | None => Soundness::Sound.word().to_owned(),
            Some(worst) => worst.word().to_uppercase(),
        };
        on_board.push(format!(
            "{}: {} {}, {}, {}",
            plain_text(&package.package_id),
            package.modules.len(),
            if package.modules.len() == 1 {
                w.one_module
            } else {
                w.modules
            },
            stamp.mass_or_not(package.gross_mass_kg),
            state
        ));
    }
    let lines = |lines: &[&str]| lines.iter().map(|line| (*line).to_owned()).collect();
    let mut wrong: Vec<String> = lines(&WRONG);
    if let Some(number) = emergency {
        wrong.push(format!("{}: {}", w.emergency_contact, plain_text(number)));
    }
    Cautions {
        w: *w,
        job: stamp.job.clone(),
        across: stamp.across(),
        on_board,
        parts: vec![
            Part {
                title: w.if_it_goes_wrong.to_owned(),
                lines: wrong,
            },
            Part {
                title: w.for_driver.to_owned(),
                lines: lines(&DRIVER),
            },
            Part {
                title: w.for_receiver.to_owned(),
                lines: lines(&RECEIVER),
            },
        ],
        foot: stamp.foot(),
    }
}

/// The sheet as a page in a browser; `own` is the user's own template.
///
/// # Errors
/// A template that does not read.
pub(super) fn html(cautions: &Cautions, own: Option<&str>) -> Result<String, PaperError> {
    template::html(
        "cautions",
        "cautions.html",
        own.unwrap_or(TEMPLATE),
        cautions,
    )
}

/// The file.
///
/// # Errors
/// A font that cannot be read: a bug.
pub(super) fn file(cautions: &Cautions, stamp: &Stamp) -> Result<Vec<u8>, PaperError> {
    let title = format!("{} {}", stamp.words.cautions_sheet, stamp.job);
    pdf::pdf(&title, &pages(cautions, stamp))
}

fn pages(cautions: &Cautions, stamp: &Stamp) -> Vec<Drawing> {
    let w = stamp.words;
    let mut flow = Flow::new(stamp.stock, stamp.head(w.cautions_sheet));
    flow.runs(
        &[
            bold(format!("{}  ", w.on_board)),
            plain(cautions.on_board.join("  \u{b7}  ")),
        ],
        pt(105),
    );
    flow.space(mm(10));
    for part in &cautions.parts {
        flow.heading(&part.title);
        flow.list(&part.lines, pt(115));
    }
    flow.space(mm(20));
    flow.runs(&[plain(w.cautions_limits)], pt(90));
    flow.finish()
}
