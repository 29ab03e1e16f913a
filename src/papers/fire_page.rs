//! One sheet for the fire service: what burns where in this building now. A page to print, and
//! text. Signs and words first, figures large; it decides nothing.

use serde::Serialize;

use crate::papers::{PaperError, plain_text, template};

const TEMPLATE: &str = include_str!("../../templates/papers/fire-page.html");

/// The content of the sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FirePage {
    /// Name of the site.
    pub site: String,
    /// Address.
    pub address: String,
    /// Who answers at any hour; empty where nobody is named.
    pub telephone: String,
    /// When it was made, local time with offset.
    pub made_at: String,
    /// Whether the site is invented.
    pub demo: bool,
    /// Energy of everything that is known, kWh, rounded up.
    pub energy_kwh: String,
    /// Mass of everything that is known, kg, rounded up.
    pub mass_kg: String,
    /// What the two leave out; empty where nothing.
    pub left_out: String,
    /// `4 modules`.
    pub modules: String,
    /// Chemistries on site, in words.
    pub chemistries: Vec<String>,
    /// Facts that are not known, in words.
    pub unknown: Vec<String>,
    /// Places, those with held goods first.
    pub places: Vec<FirePlace>,
    /// Places that stand empty.
    pub empty: Vec<String>,
}

/// One place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FirePlace {
    /// Name as on the floor.
    pub name: String,
    /// Where it is.
    pub place: String,
    /// `normal`, `hold`, `outdoor` or `dock`.
    pub kind: String,
    /// Whether damaged, suspect or hot goods stand there.
    pub danger: bool,
    /// Energy that is known, kWh, rounded up.
    pub energy_kwh: String,
    /// Mass that is known, kg, rounded up.
    pub mass_kg: String,
    /// What the two leave out; empty where nothing.
    pub left_out: String,
    /// `4 modules`.
    pub modules: String,
    /// Chemistries, in words.
    pub chemistries: Vec<String>,
    /// Conditions with counts: `2 damaged`.
    pub conditions: Vec<String>,
    /// The last reading of each held module, in words.
    pub held: Vec<String>,
    /// Distances to what else can burn.
    pub distances: Vec<String>,
}

/// A caution with where it is known from.
#[derive(Debug, Clone, Copy, Serialize)]
struct Warning {
    text: &'static str,
    source: &'static str,
}

/// What a fire crew is told beside the figures. Each is a reminder: the officer in charge decides.
const WARNINGS: [Warning; 5] = [
    Warning {
        text: "Cells stay live and charged: no switch makes a battery dead. Full charge is assumed.",
        source: "NFPA 70E Article 320, 2021 (second-hand); full charge: this project's careful side",
    },
    Warning {
        text: "Toxic, flammable gas (hydrogen fluoride, carbon monoxide, hydrogen): breathing \
               apparatus, upwind, no entry into vapour.",
        source: "hydrogen fluoride: Scientific Reports 7:10018 (2017), 20 to 200 mg per Wh (read in an extract); \
                 what to wear: common practice, no source",
    },
    Warning {
        text: "Much water, early and for long; fire services report cooling as what works. Keep \
               held goods 15 m from everything else.",
        source: "water: German fire chiefs in WD 8-010/21 (second-hand); 15 m: Washington Senate bill \
                 report 5909, for damaged vehicles (read)",
    },
    Warning {
        text: "It may flare up again after hours, days or weeks: watch with a camera, do not rely \
               on it alone.",
        source: "NTSB SR-20/01 and the crash tests of 2011 (second-hand); camera: WD 8-010/21 \
                 (second-hand)",
    },
    Warning {
        text: "Run-off may be acid and carry metals: keep it out of drains.",
        source: "common practice, no source",
    },
];

impl FirePage {
    /// The page to print.
    ///
    /// # Errors
    /// A template that does not parse or asks for a name the page does not have.
    pub fn html(&self, template: Option<&str>) -> Result<String, PaperError> {
        #[derive(Serialize)]
        struct View<'p> {
            page: &'p FirePage,
            warnings: [Warning; 5],
        }
        template::html(
            "fire page",
            "fire-page.html",
            template.unwrap_or(TEMPLATE),
            View {
                page: self,
                warnings: WARNINGS,
            },
        )
    }

    /// The same as text, for a terminal or a radio.
    #[must_use]
    pub fn text(&self) -> String {
        let mut lines = vec![
            format!("FIRE SERVICE: WHAT BURNS WHERE, {}", self.made_at),
            format!("{}, {}", self.site, self.address),
        ];
        if self.demo {
            lines.push("INVENTED SITE: for demonstration only".into());
        }
        if !self.telephone.is_empty() {
            lines.push(format!("Call at any hour: {}", self.telephone));
        }
        lines.push(format!(
            "IN ALL: {} kWh, {}, {} kg{}; {}",
            self.energy_kwh,
            self.modules,
            self.mass_kg,
            behind(&self.left_out),
            or_none(&self.chemistries)
        ));
        for place in &self.places {
            lines.push(String::new());
            lines.push(format!(
                "{}{} ({}){}: {} kWh, {}, {} kg{}",
                if place.danger { "!! " } else { "   " },
                place.name,
                place.kind,
                if place.place.is_empty() {
                    String::new()
                } else {
                    format!(", {}", place.place)
                },
                place.energy_kwh,
                place.modules,
                place.mass_kg,
                behind(&place.left_out)
            ));
            lines.push(format!(
                "   {}; {}",
                or_none(&place.chemistries),
                place.conditions.join(", ")
            ));
            lines.extend(place.held.iter().map(|held| format!("   HELD {held}")));
            if place.distances.is_empty() {
                lines.push("   distances: not stated".into());
            } else {
                lines.push(format!("   distances: {}", place.distances.join("; ")));
            }
        }
        if !self.empty.is_empty() {
            lines.push(String::new());
            lines.push(format!("Empty: {}", self.empty.join(", ")));
        }
        if !self.unknown.is_empty() {
            lines.push(String::new());
            lines.push("NOT KNOWN:".into());
            lines.extend(self.unknown.iter().map(|what| format!("   {what}")));
        }
        lines.push(String::new());
        lines.extend(
            WARNINGS
                .iter()
                .map(|one| format!("- {} [{}]", one.text, one.source)),
        );
        lines.push("The officer in charge decides.".into());
        let mut text: String = lines
            .iter()
            .map(|line| format!("{}\n", plain_text(line)))
            .collect();
        text.shrink_to_fit();
        text
    }
}

fn behind(words: &str) -> String {
    if words.is_empty() {
        String::new()
    } else {
        format!(" {words}")
    }
}

fn or_none(words: &[String]) -> String {
    if words.is_empty() {
        "chemistry not known".into()
    } else {
        words.join(", ")
    }
}
