//! What a technician reads at the end of a job: what left, what it is, how it may travel, what is
//! still open. Plain text, at most 80 columns, from the content of the packing manifest.

use tabled::builder::Builder;
use tabled::settings::peaker::Priority;
use tabled::settings::{Padding, Style, Width};

use crate::papers::manifest::{Manifest, ModuleLine};
use crate::papers::page::{count_line, energy, known, mass, one_mass};
use crate::papers::stamp::words;
use crate::papers::{PaperError, plain_text};

/// Widest line, in columns of a terminal.
pub const WIDTH: usize = 80;

/// The summary, LF line ends.
///
/// Counts that do not add up are said, not refused: the reader is the one who can put them right.
///
/// # Errors
/// A sum too large to print.
pub fn text(manifest: &Manifest) -> Result<String, PaperError> {
    let mut out = String::new();
    let title = manifest.title.as_deref().unwrap_or_default();
    let mut head = format!("Job {}", plain_text(&manifest.job));
    if !title.is_empty() {
        head = format!("{head}: {}", plain_text(title));
    }
    paragraph(&mut out, "", &head);
    if let Some(draft) = &manifest.draft {
        paragraph(&mut out, "", &format!("*** {} ***", plain_text(draft)));
    }
    paragraph(&mut out, "", &format!("Count: {}", count_line(manifest)));
    let totals = manifest.totals()?;
    paragraph(
        &mut out,
        "",
        &format!(
            "Packages: {}, net {}, gross {}, {}",
            totals.packages,
            mass(totals.net_mass_kg, words()),
            mass(totals.gross_mass_kg, words()),
            energy(totals.energy_wh, words())
        ),
    );

    if totals.modules > 0 {
        out.push_str("\nRemoved\n");
        let mut rows = Builder::default();
        rows.push_record(["package", "module", "is", "charge", "net mass"]);
        for package in &manifest.packages {
            for module in &package.modules {
                rows.push_record(row(&package.package_id, module));
            }
        }
        let mut table = rows.build();
        table
            .with(Style::blank())
            .with(Padding::new(0, 1, 0, 0))
            .with(Width::wrap(WIDTH - 2).priority(Priority::max(true)));
        for line in table.to_string().lines() {
            out.push_str("  ");
            out.push_str(line.trim_end());
            out.push('\n');
        }
        out.push_str("\nHow each may travel\n");
        for (names, answers) in travel(manifest) {
            paragraph(&mut out, "  ", &names);
            for answer in answers {
                paragraph(&mut out, "    ", &answer);
            }
        }
    }

    let left: Vec<String> = manifest
        .left_behind
        .iter()
        .map(|left| format!("{}: {}", left.serial, left.reason))
        .collect();
    list(&mut out, "Left behind on site", &left);
    list(
        &mut out,
        "The count does not add up",
        &manifest.differences(),
    );
    list(&mut out, "Still open", &manifest.open_points);
    list(&mut out, "Caution", &manifest.cautions);
    list(
        &mut out,
        "Rests on unverified figures",
        &manifest.unverified,
    );
    Ok(out)
}

fn row(package: &str, module: &ModuleLine) -> [String; 5] {
    let mut serial = plain_text(&module.serial);
    if !module.serial_proved {
        serial.push_str("\n(identity unproved)");
    }
    let charge = module.state_of_charge.as_ref();
    [
        plain_text(package),
        serial,
        module.soundness.word().to_owned(),
        known(charge.map(ToString::to_string).as_deref(), "taken as full"),
        one_mass(module.net_mass_kg, words()),
    ]
}

/// Modules with equal answers, named together, in the order of the packages.
fn travel(manifest: &Manifest) -> Vec<(String, Vec<String>)> {
    let mut groups: Vec<(Vec<String>, Vec<String>)> = Vec::new();
    for module in manifest
        .packages
        .iter()
        .flat_map(|package| &package.modules)
    {
        let answers: Vec<String> = module
            .answers
            .iter()
            .map(|answer| {
                format!(
                    "{}: {}, {}",
                    plain_text(&answer.regime),
                    answer.state.words(),
                    plain_text(&answer.text)
                )
            })
            .collect();
        let serial = plain_text(&module.serial);
        match groups.iter_mut().find(|(_, known)| *known == answers) {
            Some((serials, _)) => serials.push(serial),
            None => groups.push((vec![serial], answers)),
        }
    }
    groups
        .into_iter()
        .map(|(serials, answers)| (serials.join(", "), answers))
        .collect()
}

fn list(out: &mut String, title: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    out.push('\n');
    out.push_str(title);
    out.push('\n');
    for line in lines {
        paragraph(out, "  - ", &plain_text(line));
    }
}

/// One paragraph behind `lead`, its later lines under the first one's text, at most [`WIDTH`]
/// columns; a longer word is broken.
pub fn paragraph(out: &mut String, lead: &str, text: &str) {
    let indent = " ".repeat(lead.chars().count());
    let room = WIDTH - indent.len();
    let mut line = String::new();
    let mut lead = lead;
    let mut put = |line: &mut String| {
        out.push_str(lead);
        out.push_str(line.trim_end());
        out.push('\n');
        line.clear();
        lead = &indent;
    };
    for word in text.split(' ') {
        let mut word: Vec<char> = word.chars().collect();
        if !line.is_empty() && line.chars().count() + word.len() > room {
            put(&mut line);
        }
        while word.len() > room {
            line.extend(word.drain(..room));
            put(&mut line);
        }
        line.extend(word);
        if line.chars().count() < room {
            line.push(' ');
        } else {
            put(&mut line);
        }
    }
    if !line.trim_end().is_empty() {
        put(&mut line);
    }
}
