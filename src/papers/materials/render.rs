//! The materials paper as JSON, as a table, and as headed parts for pages and HTML.

use super::content::{MaterialLine, Materials, ModuleContent};
use crate::papers::column::{Column, Kind, column, known, required, table, yes_no};
use crate::papers::indented::indented;
use crate::papers::sections::{Grid, Part, Sections, of_numbers, of_words};
use crate::papers::stamp::Stamp;
use crate::papers::tabular::Tabular;
use crate::papers::{PaperError, plain_text};
use crate::units::{Grams, MilliwattHours};

/// `materials.json`.
///
/// # Errors
/// None that a user can cause.
pub(crate) fn json(content: &Materials) -> Result<String, PaperError> {
    indented("materials", content)
}

const COLUMNS: [Column; 11] = [
    required(
        "module",
        Kind::Text,
        "Name in the plan; `total` for all together.",
    ),
    column(
        "serial",
        Kind::Text,
        "Serial, or job serial where the plate cannot be read.",
    ),
    column("model", Kind::Text, "Type designation on the plate."),
    column(
        "net_mass_kg",
        Kind::AMOUNT,
        "Mass without packaging, kilograms.",
    ),
    column(
        "weighed",
        Kind::YES_NO,
        "Whether it was weighed in this job; else the mass is planned.",
    ),
    column("rated_energy_wh", Kind::AMOUNT, "Rated energy, watt-hours."),
    column("soundness", Kind::Text, "Condition in transport terms."),
    required("material", Kind::Text, "Element or material."),
    column("low_kg", Kind::AMOUNT, "Least, kilograms, rounded down."),
    column("high_kg", Kind::AMOUNT, "Most, kilograms, rounded up."),
    column(
        "from",
        Kind::Text,
        "What the range was found from: energy, mass, or both.",
    ),
];

const TABULAR: Tabular = Tabular {
    name: "materials",
    title: "Materials of battery modules for recycling, one row for each module and material",
    about: "Ranges, not measurements; a maker's declared composition goes before them. A module \
            without a known composition has one row whose material is `not known`.",
    format: "1.0",
    key: &["module", "material"],
    columns: &COLUMNS,
};

/// `materials.csv`.
///
/// # Errors
/// Content outside its column's grammar.
pub(crate) fn csv(content: &Materials) -> Result<String, PaperError> {
    let unknown = [MaterialLine {
        material: "not known".into(),
        low_kg: crate::units::Decimal::whole(0),
        high_kg: crate::units::Decimal::whole(0),
        from: "",
    }];
    let mut rows: Vec<[String; 11]> = Vec::new();
    for module in &content.modules {
        let lines = if module.materials.is_empty() {
            unknown.as_slice()
        } else {
            &module.materials
        };
        rows.extend(lines.iter().map(|line| cells(module, line)));
    }
    let total = &content.total;
    rows.extend(total.materials.iter().map(|line| {
        let mass = total.net_mass_kg;
        let [material, low, high, from] = range(line);
        [
            "total".into(),
            String::new(),
            String::new(),
            mass.decimal().to_string(),
            String::new(),
            String::new(),
            String::new(),
            material,
            low,
            high,
            from,
        ]
    }));
    table(&COLUMNS, &rows)
}

/// Empty figures where nothing is known.
fn range(line: &MaterialLine) -> [String; 4] {
    let figure = |value: crate::units::Decimal| {
        if line.from.is_empty() {
            String::new()
        } else {
            value.to_string()
        }
    };
    [
        line.material.clone(),
        figure(line.low_kg),
        figure(line.high_kg),
        line.from.to_owned(),
    ]
}

fn cells(module: &ModuleContent, line: &MaterialLine) -> [String; 11] {
    let [material, low, high, from] = range(line);
    [
        module.module.clone(),
        module.serial.clone(),
        known(module.model.as_ref()),
        known(module.net_mass_kg.map(Grams::decimal)),
        module
            .net_mass_kg
            .map_or(String::new(), |_| yes_no(module.weighed)),
        known(module.rated_energy_wh.map(MilliwattHours::decimal)),
        module.soundness.to_owned(),
        material,
        low,
        high,
        from,
    ]
}

/// `materials.datapackage.json`.
///
/// # Errors
/// A hash outside its grammar.
pub(crate) fn datapackage(csv: &str, sha256: Option<&str>) -> Result<String, PaperError> {
    TABULAR.datapackage(csv, sha256)
}

/// `materials.csv-metadata.json`: what W3C readers of CSV look for beside the table.
///
/// # Errors
/// None that a user can cause.
pub(crate) fn csvw() -> Result<String, PaperError> {
    TABULAR.csvw()
}

/// Modules beside each other in one table.
const BESIDE: usize = 4;

/// The paper for people.
pub(crate) fn sections(content: &Materials, stamp: &Stamp) -> Sections {
    let w = stamp.words;
    let mut parts = vec![modules(content, stamp)];
    let total = &content.total;
    if !total.materials.is_empty() {
        parts.push(Part {
            title: w.materials_total.to_owned(),
            lines: content.how.clone(),
            table: Some(Grid {
                columns: vec![
                    of_words(w.material, 40),
                    of_numbers(w.least_kg, 18),
                    of_numbers(w.most_kg, 18),
                    of_words(w.found_from, 24),
                ],
                rows: total
                    .materials
                    .iter()
                    .map(|line| {
                        let [material, low, high, from] = range(line);
                        vec![w.term(&material), low, high, w.term(&from)]
                    })
                    .collect(),
                ..Grid::default()
            }),
            ..Part::default()
        });
    }
    parts.extend(each(content, stamp));
    parts.push(Part {
        title: w.materials_not_known.to_owned(),
        lines: content
            .not_known
            .iter()
            .map(|line| plain_text(line))
            .collect(),
        ..Part::default()
    });
    parts.push(Part {
        title: w.recycling_duties.to_owned(),
        lines: content.duties.clone(),
        table: Some(Grid {
            columns: vec![
                of_words(w.target, 44),
                of_numbers(w.least_percent, 14),
                of_words(w.to_be_met_by, 16),
                of_words(w.how_known, 26),
            ],
            rows: content
                .targets
                .iter()
                .map(|target| {
                    vec![
                        w.term(&target.of),
                        target.percent.clone(),
                        target.by.to_string(),
                        w.term(&target.how_known),
                    ]
                })
                .collect(),
            ..Grid::default()
        }),
        ..Part::default()
    });
    Sections {
        title: w.materials_paper,
        heading: plain_text(&format!(
            "{}; {}: {}; {}: {}",
            content.chemistry, w.consignor, content.from, w.consignee, content.to
        )),
        parts,
        sign: vec![w.person_in_charge.to_owned()],
    }
}

fn modules(content: &Materials, stamp: &Stamp) -> Part {
    let w = stamp.words;
    let total = &content.total;
    let rows = content.modules.iter().map(|one| {
        let mass = stamp.mass_or_not(one.net_mass_kg);
        vec![
            plain_text(&one.module),
            plain_text(&format!(
                "{}{}",
                one.serial,
                one.model
                    .as_ref()
                    .map_or(String::new(), |model| format!(", {model}"))
            )),
            match (one.net_mass_kg, one.weighed) {
                (Some(_), false) => format!("{mass}, {}", w.planned_mass),
                _ => mass,
            },
            one.rated_energy_wh
                .map_or_else(|| w.not_known.to_owned(), |energy| energy.to_string()),
            w.term(one.soundness),
            one.package.as_deref().map_or_else(String::new, plain_text),
        ]
    });
    Part {
        title: w.modules_handed_on.to_owned(),
        lines: vec![format!(
            "{} {}; {} ({} {} {})",
            total.modules,
            w.modules,
            stamp.mass(total.net_mass_kg),
            w.mass_of,
            total.with_mass,
            w.modules
        )],
        table: Some(Grid {
            columns: vec![
                of_words(w.module, 9),
                of_words(w.serials, 27),
                of_words(w.net_mass, 20),
                of_words(w.energy, 13),
                of_words(w.soundness, 15),
                of_words(w.package, 16),
            ],
            rows: rows.collect(),
            ..Grid::default()
        }),
        ..Part::default()
    }
}

/// Tables of the modules, those of equal content together.
fn each(content: &Materials, stamp: &Stamp) -> Vec<Part> {
    let w = stamp.words;
    let mut alike: Vec<(Vec<&str>, &[MaterialLine])> = Vec::new();
    for one in content
        .modules
        .iter()
        .filter(|one| !one.materials.is_empty())
    {
        match alike.iter_mut().find(|(_, lines)| *lines == one.materials) {
            Some((names, _)) => names.push(&one.module),
            None => alike.push((vec![&one.module], &one.materials)),
        }
    }
    alike
        .chunks(BESIDE)
        .map(|some| {
            let mut columns = vec![of_words(w.material, 24)];
            columns.extend(
                some.iter()
                    .map(|(names, _)| of_words(plain_text(&names.join(", ")), 19)),
            );
            let (_, materials) = some.first().map_or((&[][..], &[][..]), |(n, m)| (n, m));
            let rows = materials.iter().map(|material| {
                let mut row = vec![w.term(&material.material)];
                row.extend(some.iter().map(|(_, lines)| {
                    lines
                        .iter()
                        .find(|line| line.material == material.material)
                        .map_or_else(
                            || w.not_known.to_owned(),
                            |line| w.range(&line.low_kg, &line.high_kg),
                        )
                }));
                row
            });
            Part {
                title: w.materials_each.to_owned(),
                table: Some(Grid {
                    columns,
                    rows: rows.collect(),
                    ..Grid::default()
                }),
                ..Part::default()
            }
        })
        .collect()
}
