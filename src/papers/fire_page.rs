//! One sheet for the fire service: what burns where in this building now. A page to print, a PDF,
//! and text. Signs and words first, figures large; it decides nothing.

use serde::Serialize;

use crate::papers::pdf::{
    self, Cell, Column, Drawing, Flow, Head, Shape, Stock, bold, mm, plain, pt,
};
use crate::papers::words::{FireWords, Words, fill};
use crate::papers::{Language, PaperError, plain_text, template};

const TEMPLATE: &str = include_str!("../../templates/papers/fire-page.html");

/// The content of the sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FirePage {
    /// The language of its words.
    #[serde(skip)]
    pub language: Language,
    /// What it is printed on.
    #[serde(skip)]
    pub stock: Stock,
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

impl FirePage {
    fn w(&self) -> &'static FireWords {
        &self.language.words().fire
    }

    /// The page to print.
    ///
    /// # Errors
    /// A template that does not parse or asks for a name the page does not have.
    pub fn html(&self, template: Option<&str>) -> Result<String, PaperError> {
        #[derive(Serialize)]
        struct View<'p> {
            page: &'p FirePage,
            language: &'static str,
            size: &'static str,
            f: &'static FireWords,
            other_language: &'static str,
        }
        template::html(
            "fire page",
            "fire-page.html",
            template.unwrap_or(TEMPLATE),
            View {
                page: self,
                language: self.language.words().language,
                size: self.stock.css(),
                f: self.w(),
                other_language: self.language.words().other_language,
            },
        )
    }

    /// The same as a PDF.
    ///
    /// # Errors
    /// A font that cannot be read: a bug.
    pub fn pdf(&self) -> Result<Vec<u8>, PaperError> {
        let title = format!("{} {}", self.w().title, self.site);
        pdf::pdf(&title, &self.pages())
    }

    fn pages(&self) -> Vec<Drawing> {
        let f = self.w();
        let w: &Words = self.language.words();
        let head = Head {
            title: f.title.to_owned(),
            of: plain_text(&self.site),
            across: None,
            foot: format!(
                "{} {}{}",
                f.keep_it,
                f.officer_decides,
                w.said_of_other_language()
            ),
            page: (w.page, w.of),
        };
        let mut flow = Flow::new(self.stock, head);
        flow.runs(
            &[
                plain(format!(
                    "{}, {}. {} ",
                    f.from_register,
                    plain_text(&self.address),
                    f.as_of
                )),
                bold(&self.made_at),
            ],
            pt(105),
        );
        if self.demo {
            flow.runs(&[bold(f.invented)], pt(105));
        }
        flow.space(mm(15));
        flow.runs(
            &[bold(format!(
                "{} kWh, {}, {} kg",
                self.energy_kwh, self.modules, self.mass_kg
            ))],
            pt(260),
        );
        flow.runs(
            &[plain(format!(
                "{}{}",
                self.chemistry_or_not(&self.chemistries),
                behind(", ", &self.left_out)
            ))],
            pt(130),
        );
        flow.runs(&[bold(self.call())], pt(170));
        flow.space(mm(15));
        if self.places.is_empty() {
            flow.runs(&[bold(f.no_battery)], pt(160));
        } else {
            self.table(&mut flow);
        }
        if !self.empty.is_empty() {
            flow.space(mm(15));
            let empty = plain_text(&self.empty.join(", "));
            flow.runs(&[bold(format!("{}: ", f.empty)), plain(empty)], pt(110));
        }
        if !self.unknown.is_empty() {
            flow.space(mm(15));
            let unknown = plain_text(&self.unknown.join("; "));
            flow.runs(&[bold(format!("{}: {unknown}", f.not_known))], pt(110));
        }
        flow.space(mm(20));
        for [text, source] in f.warnings {
            // A warning and where it is known from stay together.
            flow.need(mm(130));
            flow.indented(&[bold(text)], pt(115), 0);
            flow.indented(&[plain(source)], pt(75), 0);
            flow.space(mm(8));
        }
        flow.finish()
    }

    fn table(&self, flow: &mut Flow) {
        let f = self.w();
        let columns = [
            Column::words(f.place, 30),
            Column::words(f.what, 46),
            Column::words(f.how_much, 24),
        ];
        let mut table = flow.table(&columns, pt(125), true);
        for place in &self.places {
            let shape = if place.danger {
                Shape::SolidWarning
            } else {
                Shape::Ring
            };
            let name = format!("{} ({})", plain_text(&place.name), place.kind);
            let mut what = vec![bold(place.conditions.join(", "))];
            let mut add = |text: String| what.push(plain(format!("\n{}", plain_text(&text))));
            add(self.chemistry_or_not(&place.chemistries));
            for held in &place.held {
                add(format!("{} {held}", f.held));
            }
            add(self.distances(place));
            table.row(&[
                Cell::states(vec![(
                    shape,
                    vec![bold(name), plain(behind("\n", &plain_text(&place.place)))],
                )]),
                Cell::runs(what),
                Cell::runs(vec![
                    bold(format!("{} kWh", place.energy_kwh)),
                    plain(format!(
                        "\n{}\n{} kg{}",
                        place.modules,
                        place.mass_kg,
                        behind("\n", &place.left_out)
                    )),
                ]),
            ]);
        }
        table.end();
    }

    fn call(&self) -> String {
        let f = self.w();
        if self.telephone.is_empty() {
            f.no_telephone.to_owned()
        } else {
            format!("{}: {}", f.call, plain_text(&self.telephone))
        }
    }

    fn chemistry_or_not(&self, words: &[String]) -> String {
        if words.is_empty() {
            self.w().chemistry_not_known.to_owned()
        } else {
            words.join(", ")
        }
    }

    fn distances(&self, place: &FirePlace) -> String {
        let f = self.w();
        if place.distances.is_empty() {
            format!("{}: {}", f.distances, f.distances_not_stated)
        } else {
            format!("{}: {}", f.distances, place.distances.join("; "))
        }
    }

    /// The same as text, for a terminal or a radio.
    #[must_use]
    pub fn text(&self) -> String {
        let f = self.w();
        let mut lines = vec![
            format!(
                "{}: {}, {}",
                f.fire_service,
                f.title.to_uppercase(),
                self.made_at
            ),
            format!("{}, {}", self.site, self.address),
        ];
        if self.demo {
            lines.push(f.invented.into());
        }
        lines.push(self.call());
        lines.push(format!(
            "{}: {} kWh, {}, {} kg{}; {}",
            f.in_all,
            self.energy_kwh,
            self.modules,
            self.mass_kg,
            behind(" ", &self.left_out),
            self.chemistry_or_not(&self.chemistries)
        ));
        for place in &self.places {
            lines.push(String::new());
            lines.push(format!(
                "{}{} ({}){}: {} kWh, {}, {} kg{}",
                if place.danger { "!! " } else { "   " },
                place.name,
                place.kind,
                behind(", ", &place.place),
                place.energy_kwh,
                place.modules,
                place.mass_kg,
                behind(" ", &place.left_out)
            ));
            lines.push(format!(
                "   {}; {}",
                self.chemistry_or_not(&place.chemistries),
                place.conditions.join(", ")
            ));
            let held = place.held.iter();
            lines.extend(held.map(|held| format!("   {} {held}", f.held)));
            lines.push(format!("   {}", self.distances(place)));
        }
        if !self.empty.is_empty() {
            lines.push(String::new());
            lines.push(format!("{}: {}", f.empty, self.empty.join(", ")));
        }
        if !self.unknown.is_empty() {
            lines.push(String::new());
            lines.push(format!("{}:", f.not_known));
            lines.extend(self.unknown.iter().map(|what| format!("   {what}")));
        }
        lines.push(String::new());
        let warnings = f.warnings.iter();
        lines.extend(warnings.map(|[text, source]| format!("- {text} [{source}]")));
        lines.push(f.officer_decides.into());
        let mut text: String = lines
            .iter()
            .map(|line| format!("{}\n", plain_text(line)))
            .collect();
        text.shrink_to_fit();
        text
    }
}

/// `1 module`, `4 modules`.
pub(super) fn modules(count: u32, f: &FireWords) -> String {
    match count {
        1 => f.one_module.to_owned(),
        more => fill(f.modules, &[("count", &more)]),
    }
}

/// Words with what parts them from those before; nothing where there are none.
fn behind(part: &str, words: &str) -> String {
    if words.is_empty() {
        String::new()
    } else {
        format!("{part}{words}")
    }
}
