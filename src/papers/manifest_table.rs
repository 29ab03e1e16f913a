//! `manifest.csv` and what goes with it: a row for each module, with its package's columns.

use super::charge;
use super::column::{Column, Kind, column, known, required, table, yes_no};
use super::manifest::{LeftBehind, Manifest, ModuleLine, PackageLine};
use super::sheets::SOUNDNESS;
use super::tabular::Tabular;
use super::{Issued, PaperError};
use crate::units::{Grams, MilliwattHours};

/// The table as a whole.
const TABULAR: Tabular = Tabular {
    name: "manifest",
    title: "Packing manifest, one row for each battery module",
    about: "Columns that begin with `package` stand in the row of each module of the package; add \
            them up once.",
    format: "1.2",
    key: &["job", "serial"],
    columns: &COLUMNS,
};

const COLUMNS: [Column; 24] = [
    required("job", Kind::Text, "Id of the job."),
    column(
        "draft",
        Kind::Text,
        "Why the paper may not be used; empty where it was issued.",
    ),
    required(
        "module_is",
        Kind::Code(&["removed", "left_behind"]),
        "What became of the module.",
    ),
    column("package_id", Kind::Text, "Package it lies in."),
    column(
        "packaging",
        Kind::Text,
        "UN mark of the packaging, or what it is.",
    ),
    column(
        "package_gross_mass_kg",
        Kind::AMOUNT,
        "Mass of the package, kilograms.",
    ),
    column("seal", Kind::Text, "Seal of the package."),
    column("marks", Kind::Text, "Marks on the package, `; ` between."),
    column("labels", Kind::Text, "Labels on the package, `; ` between."),
    column(
        "document_lines",
        Kind::Text,
        "Lines and statements for the transport document, `; ` between.",
    ),
    required(
        "serial",
        Kind::Text,
        "Serial, or job serial where the plate cannot be read.",
    ),
    column(
        "serial_proved",
        Kind::YES_NO,
        "Whether the serial was read from the module.",
    ),
    column("model", Kind::Text, "Type designation on the plate."),
    column("energy_wh", Kind::AMOUNT, "Rated energy, watt hours."),
    column(
        "net_mass_kg",
        Kind::AMOUNT,
        "Mass of the module, kilograms.",
    ),
    column(
        "soundness",
        Kind::Code(SOUNDNESS),
        "Condition in transport terms.",
    ),
    charge::LOW,
    charge::HIGH,
    charge::BASIS,
    column(
        "may_travel",
        Kind::Text,
        "How it may travel, one answer a regime, `; ` between.",
    ),
    column("left_behind_reason", Kind::Text, "Why it stays on site."),
    required("rule_set", Kind::Text, "Name or hash of the rule set."),
    column(
        "package_uri",
        Kind::Text,
        "Name of the package for machines: web address of its GS1 key, else a UUID within the job.",
    ),
    column(
        "layer",
        Kind::Whole,
        "Layer of the package that the module stands in, from the floor, where there are several.",
    ),
];

/// `manifest.csv`: the head row, a row for each module with its package's columns, then a row
/// for each module left behind; no totals; CRLF after every line.
///
/// # Errors
/// Counts that do not add up (unless it is a draft), a gross mass below the net mass, a required
/// cell without a value, or a number outside its column's range.
pub fn csv(manifest: &Manifest) -> Result<String, PaperError> {
    manifest.printable()?;
    table(&COLUMNS, &rows(manifest))
}

/// `manifest.datapackage.json`: see [`custody::datapackage`](super::custody::datapackage).
///
/// # Errors
/// A hash outside its grammar.
pub fn datapackage(csv: &str, sha256: Option<&str>) -> Result<String, PaperError> {
    TABULAR.datapackage(csv, sha256)
}

/// `manifest.csv-metadata.json`: what W3C readers of CSV look for beside the table.
///
/// # Errors
/// None that a user can cause.
pub fn csvw() -> Result<String, PaperError> {
    TABULAR.csvw()
}

/// `manifest.xlsx`, for people who live in spreadsheets.
///
/// # Errors
/// As [`csv()`], and more rows than a sheet holds.
pub fn workbook(issued: &Issued) -> Result<Vec<u8>, PaperError> {
    issued.manifest.printable()?;
    TABULAR.workbook(&rows(&issued.manifest), issued)
}

fn rows(manifest: &Manifest) -> Vec<[String; 24]> {
    let packed = manifest.packages.iter().flat_map(|package| {
        let modules = package.modules.iter();
        modules.map(|module| packed(manifest, package, module))
    });
    let left = manifest.left_behind.iter();
    packed
        .chain(left.map(|left| left_on_site(manifest, left)))
        .collect()
}

fn packed(manifest: &Manifest, package: &PackageLine, module: &ModuleLine) -> [String; 24] {
    let charge = module.state_of_charge.as_ref();
    let answers: Vec<String> = module
        .answers
        .iter()
        .map(|answer| {
            format!(
                "{}: {}, {}",
                answer.regime,
                answer.state.words(),
                answer.text
            )
        })
        .collect();
    [
        manifest.job.clone(),
        known(manifest.draft.as_ref()),
        "removed".to_owned(),
        package.package_id.clone(),
        package.packaging.clone(),
        known(package.gross_mass_kg.map(Grams::decimal)),
        known(package.seal.as_ref()),
        package.marks.join("; "),
        package.labels.join("; "),
        package.document_lines.join("; "),
        module.serial.clone(),
        yes_no(module.serial_proved),
        known(module.model.as_ref()),
        known(module.energy_wh.map(MilliwattHours::decimal)),
        known(module.net_mass_kg.map(Grams::decimal)),
        module.soundness.word().to_owned(),
        known(charge.map(|range| range.low_percent.decimal())),
        known(charge.map(|range| range.high_percent.decimal())),
        known(charge.map(|range| &range.basis)),
        answers.join("; "),
        String::new(),
        manifest.rule_set.clone(),
        package.code.square(),
        known(module.layer),
    ]
}

fn left_on_site(manifest: &Manifest, left: &LeftBehind) -> [String; 24] {
    let mut row: [String; 24] = Default::default();
    let [job, draft, module_is, ..] = &mut row;
    *job = manifest.job.clone();
    *draft = known(manifest.draft.as_ref());
    *module_is = "left_behind".to_owned();
    let [.., reason, rule_set, _, _] = &mut row;
    *reason = left.reason.clone();
    *rule_set = manifest.rule_set.clone();
    let [_, _, _, _, _, _, _, _, _, _, serial, ..] = &mut row;
    *serial = left.serial.clone();
    row
}
