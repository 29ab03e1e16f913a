//! The packing manifest as a printable page, through a template that a user may replace.
//!
//! The template gets finished texts only, made plain and escaped; sums and groups are made here.
//! `templates/papers/manifest.html` names everything it may use.

use serde::Serialize;

use crate::battery::Soundness;
use crate::papers::manifest::{Manifest, ModuleLine, PackageLine, Party, Sum, TravelState};
use crate::papers::pdf::{Stock, mm, qr, svg};
use crate::papers::stamp::{both, scanned};
use crate::papers::words::{Words, fill};
use crate::papers::{ChargeRange, PaperError, plain_text, template};
use crate::units::{Decimal, Grams, MilliwattHours};

const TEMPLATE: &str = include_str!("../../templates/papers/manifest.html");

/// `manifest.html`: one page for a home job, black on white, on what is usual where people weigh so.
///
/// `template` is the user's own text instead of the compiled-in one.
///
/// # Errors
/// Counts that do not add up (unless it is a draft), a gross mass below the net mass, or a
/// template that does not parse or asks for a name the paper does not have.
pub fn html(manifest: &Manifest, template: Option<&str>) -> Result<String, PaperError> {
    html_on(manifest, Stock::usual(manifest.pounds), template)
}

/// The same on a stock.
///
/// # Errors
/// As for [`html`].
pub fn html_on(
    manifest: &Manifest,
    stock: Stock,
    template: Option<&str>,
) -> Result<String, PaperError> {
    manifest.printable()?;
    let code = qr(&scanned(manifest), mm(5));
    let w = manifest.language.words();
    let page = Page {
        view: view(manifest)?,
        w: *w,
        size: stock.css(),
        is_signed: manifest.draft.as_deref() != Some(w.states.void),
        code: code.map_or_else(String::new, |code| svg(&code, w.square_code)),
    };
    template::html(
        "packing manifest",
        "manifest.html",
        template.unwrap_or(TEMPLATE),
        page,
    )
}

/// What the template gets: the finished texts, and the square code as a drawing.
#[derive(Serialize)]
struct Page {
    #[serde(flatten)]
    view: View,
    w: Words,
    size: &'static str,
    /// Whether people sign it: nobody signs what is void.
    is_signed: bool,
    code: String,
}

#[derive(Serialize)]
pub(super) struct View {
    pub(super) job: String,
    pub(super) title: String,
    pub(super) draft: Option<Draft>,
    /// Number of the issue; empty where it was not issued.
    pub(super) issue: String,
    pub(super) site: String,
    pub(super) consignor: Shown,
    pub(super) consignee: Shown,
    pub(super) carrier: Shown,
    pub(super) planned_on: String,
    pub(super) issued: String,
    pub(super) purpose: String,
    pub(super) regimes: String,
    pub(super) rule_set: String,
    pub(super) ledger: String,
    pub(super) technician: String,
    pub(super) person_in_charge: String,
    pub(super) packages: Vec<ShownPackage>,
    pub(super) handling: Vec<Handling>,
    pub(super) left_behind: Vec<ShownLeft>,
    pub(super) count: String,
    pub(super) differences: Vec<String>,
    pub(super) totals: ShownTotals,
    pub(super) cautions: Vec<String>,
    pub(super) open_points: Vec<String>,
    pub(super) unverified: Vec<String>,
}

/// The word across a paper that may not be used, and the size at which it fits the diagonal.
#[derive(Serialize)]
pub(super) struct Draft {
    pub(super) word: String,
    pub(super) size_mm: usize,
}

#[derive(Serialize)]
pub(super) struct Shown {
    pub(super) name: String,
    pub(super) address: String,
}

#[derive(Serialize)]
pub(super) struct ShownPackage {
    pub(super) id: String,
    pub(super) packaging: String,
    pub(super) seal: String,
    /// Number of the logistic unit as it is read out; empty where there is none.
    pub(super) sscc: String,
    pub(super) net: String,
    pub(super) gross: String,
    pub(super) energy: String,
    pub(super) modules: Vec<ShownModule>,
}

#[derive(Serialize)]
pub(super) struct ShownModule {
    pub(super) serial: String,
    pub(super) serial_proved: bool,
    /// `layer 2`; empty where none was said.
    pub(super) layer: String,
    pub(super) model: String,
    pub(super) energy: String,
    pub(super) net: String,
    pub(super) soundness: &'static str,
    pub(super) soundness_shape: &'static str,
    pub(super) charge: String,
    pub(super) basis: String,
}

#[derive(Serialize, PartialEq)]
pub(super) struct ShownAnswer {
    pub(super) regime: String,
    pub(super) words: &'static str,
    pub(super) shape: &'static str,
    pub(super) text: String,
}

/// What holds alike for several packages, printed once.
#[derive(Serialize)]
pub(super) struct Handling {
    pub(super) packages: Vec<String>,
    pub(super) marks: Vec<String>,
    pub(super) labels: Vec<String>,
    pub(super) document_lines: Vec<String>,
    pub(super) answers: Vec<ShownAnswer>,
}

#[derive(Serialize)]
pub(super) struct ShownLeft {
    pub(super) serial: String,
    pub(super) reason: String,
}

#[derive(Serialize)]
pub(super) struct ShownTotals {
    pub(super) packages: usize,
    pub(super) modules: usize,
    pub(super) net: String,
    pub(super) gross: String,
    pub(super) energy: String,
}

pub(super) fn view(manifest: &Manifest) -> Result<View, PaperError> {
    let w = manifest.language.words();
    let totals = manifest.totals()?;
    let packages = manifest
        .packages
        .iter()
        .map(|one| package(one, manifest.pounds, w));
    Ok(View {
        job: plain_text(&manifest.job),
        title: known(manifest.title.as_deref(), ""),
        draft: manifest.draft.as_deref().map(draft),
        issue: manifest.issue.map_or_else(String::new, |n| n.to_string()),
        site: plain_text(&manifest.site),
        consignor: party(&manifest.consignor),
        consignee: party(&manifest.consignee),
        carrier: manifest.carrier.as_ref().map_or_else(
            || Shown {
                name: w.not_named.to_owned(),
                address: String::new(),
            },
            party,
        ),
        planned_on: manifest
            .planned_on
            .map_or_else(|| w.not_planned.to_owned(), |day| day.to_string()),
        issued: manifest
            .issued_at
            .map_or_else(|| w.not_issued.to_owned(), |at| at.to_string()),
        purpose: plain_text(&manifest.purpose),
        regimes: plain(&manifest.regimes).join(", "),
        rule_set: plain_text(&manifest.rule_set),
        ledger: manifest.ledger.as_ref().map_or_else(
            || w.none.to_owned(),
            |mark| {
                format!(
                    "{}, {} {}, {} {}",
                    plain_text(&mark.origin),
                    mark.size,
                    w.entries,
                    w.root,
                    plain_text(&mark.root)
                )
            },
        ),
        technician: plain_text(&manifest.technician),
        person_in_charge: plain_text(&manifest.person_in_charge),
        packages: packages.collect::<Result<_, _>>()?,
        handling: handling(&manifest.packages, w),
        left_behind: manifest
            .left_behind
            .iter()
            .map(|left| ShownLeft {
                serial: plain_text(&left.serial),
                reason: plain_text(&left.reason),
            })
            .collect(),
        count: count_line(manifest),
        differences: manifest.differences(),
        totals: ShownTotals {
            packages: totals.packages,
            modules: totals.modules,
            net: mass_in(totals.net_mass_kg, manifest.pounds, w),
            gross: mass_in(totals.gross_mass_kg, manifest.pounds, w),
            energy: energy(totals.energy_wh, w),
        },
        cautions: plain(&manifest.cautions),
        open_points: plain(&manifest.open_points),
        unverified: plain(&manifest.unverified),
    })
}

/// `planned 4 = removed 3 + left behind 1`, with the unequal sign where it is so.
pub(crate) fn count_line(manifest: &Manifest) -> String {
    let (count, w) = (manifest.count, manifest.language.words());
    let sum = u64::from(count.removed) + u64::from(count.left_behind);
    let sign = if u64::from(count.planned) == sum {
        "="
    } else {
        "\u{2260}"
    };
    format!(
        "{} {} {sign} {} {} + {} {}",
        w.count_planned,
        count.planned,
        w.count_removed,
        count.removed,
        w.count_left,
        count.left_behind
    )
}

/// A letter takes about two thirds of its height; the diagonal has about 300 mm to spare.
fn draft(word: &str) -> Draft {
    let word = plain_text(word);
    let size_mm = (450 / word.chars().count().max(1)).clamp(4, 40);
    Draft { word, size_mm }
}

fn party(party: &Party) -> Shown {
    Shown {
        name: plain_text(&party.name),
        address: plain_text(&party.address),
    }
}

fn package(package: &PackageLine, pounds: bool, w: &Words) -> Result<ShownPackage, PaperError> {
    Ok(ShownPackage {
        id: plain_text(&package.package_id),
        packaging: plain_text(&package.packaging),
        seal: known(package.seal.as_deref(), w.not_sealed),
        sscc: package
            .code
            .sscc()
            .map_or_else(String::new, |_| package.code.shown()),
        net: mass_in(package.net_mass_kg()?, pounds, w),
        gross: one_mass_in(package.gross_mass_kg, pounds, w),
        energy: energy(package.energy_wh()?, w),
        modules: package
            .modules
            .iter()
            .map(|one| module(one, pounds, w))
            .collect(),
    })
}

fn module(module: &ModuleLine, pounds: bool, w: &Words) -> ShownModule {
    let (charge, basis) = match &module.state_of_charge {
        Some(range) => (
            said(range, w),
            unbroken(&w.listed(&plain_text(&range.basis))),
        ),
        None => (w.not_known.to_owned(), w.full.to_owned()),
    };
    ShownModule {
        serial: plain_text(&module.serial),
        serial_proved: module.serial_proved,
        layer: layer(module.layer, w),
        model: known(module.model.as_deref(), w.model_not_known),
        energy: module
            .energy_wh
            .map_or_else(|| w.not_known.to_owned(), |energy| energy.to_string()),
        net: one_mass_in(module.net_mass_kg, pounds, w),
        soundness: w.states.soundness(module.soundness),
        soundness_shape: soundness_shape(module.soundness),
        charge,
        basis,
    }
}

/// Where a module stands in its package; nothing where nobody said.
pub(super) fn layer(layer: Option<u32>, w: &Words) -> String {
    // The word stays with its number.
    let said = |layer| fill(w.layer, &[("layer", &layer)]).replace(' ', "\u{a0}");
    layer.map_or_else(String::new, said)
}

/// A figure stays with its sign and its error: `37 % ± 4`, `± 56.8 mV`.
pub(super) fn unbroken(basis: &str) -> String {
    basis
        .replace("% \u{b1} ", "%\u{a0}\u{b1}\u{a0}")
        .replace("\u{b1} ", "\u{b1}\u{a0}")
        .replace(" %", "\u{a0}%")
        .replace(" mV", "\u{a0}mV")
}

/// `33 to 41 % of present capacity`, or one figure.
pub(super) fn said(range: &ChargeRange, w: &Words) -> String {
    let (low, high) = (range.low_percent.decimal(), range.high_percent.decimal());
    if low == high {
        return format!("{low} % {}", w.of_present_capacity);
    }
    format!("{} % {}", w.range(&low, &high), w.of_present_capacity)
}

fn answers(module: &ModuleLine, w: &Words) -> Vec<ShownAnswer> {
    let answers = module.answers.iter().map(|answer| ShownAnswer {
        regime: plain_text(&answer.regime),
        words: w.states.travel(answer.state),
        shape: travel_shape(answer.state),
        text: plain_text(&answer.text),
    });
    answers.collect()
}

/// Shapes by name, drawn in the template: outlined, striped, solid. No two alike in one column.
const fn travel_shape(state: TravelState) -> &'static str {
    match state {
        TravelState::Allowed => "tick",
        TravelState::AllowedWith => "tick-bar",
        TravelState::Forbidden => "solid-cross",
        TravelState::NotDetermined => "stripes",
    }
}

pub(super) const fn soundness_shape(soundness: Soundness) -> &'static str {
    match soundness {
        Soundness::Sound => "ring",
        Soundness::Suspect => "half",
        Soundness::Undiagnosed => "stripes",
        Soundness::Damaged => "solid-cross",
        Soundness::Critical => "solid-warning",
    }
}

fn handling(packages: &[PackageLine], w: &Words) -> Vec<Handling> {
    let mut groups: Vec<Handling> = Vec::new();
    for package in packages {
        for (answers, serials) in alike(package, w) {
            let mut name = plain_text(&package.package_id);
            if serials.len() < package.modules.len() {
                name = format!("{name} ({})", serials.join(", "));
            }
            let group = Handling {
                packages: vec![name],
                marks: plain(&package.marks),
                labels: plain(&package.labels),
                document_lines: plain(&package.document_lines),
                answers,
            };
            match groups.iter_mut().find(|known| known.holds_alike(&group)) {
                Some(known) => known.packages.extend(group.packages),
                None => groups.push(group),
            }
        }
    }
    groups
}

impl Handling {
    fn holds_alike(&self, other: &Self) -> bool {
        self.marks == other.marks
            && self.labels == other.labels
            && self.document_lines == other.document_lines
            && self.answers == other.answers
    }
}

/// The modules of a package by equal answers; one empty group where it has none.
fn alike(package: &PackageLine, w: &Words) -> Vec<(Vec<ShownAnswer>, Vec<String>)> {
    let mut groups: Vec<(Vec<ShownAnswer>, Vec<String>)> = Vec::new();
    for module in &package.modules {
        let answers = answers(module, w);
        let serial = plain_text(&module.serial);
        match groups.iter_mut().find(|(known, _)| *known == answers) {
            Some((_, serials)) => serials.push(serial),
            None => groups.push((answers, vec![serial])),
        }
    }
    if groups.is_empty() {
        groups.push((Vec::new(), Vec::new()));
    }
    groups
}

fn plain(texts: &[String]) -> Vec<String> {
    texts.iter().map(|text| plain_text(text)).collect()
}

pub(crate) fn known(value: Option<&str>, otherwise: &str) -> String {
    value.map_or_else(|| otherwise.to_owned(), plain_text)
}

pub(crate) fn one_mass(mass: Option<Grams>, w: &Words) -> String {
    mass.map_or_else(|| w.not_weighed.to_owned(), |mass| mass.to_string())
}

fn one_mass_in(mass: Option<Grams>, in_pounds: bool, w: &Words) -> String {
    match mass.filter(|_| in_pounds) {
        Some(mass) => both(mass),
        None => one_mass(mass, w),
    }
}

fn mass_in(sum: Sum<Grams>, in_pounds: bool, w: &Words) -> String {
    let nothing = sum.known == Grams::default();
    if !in_pounds || nothing {
        return mass(sum, w);
    }
    let known = both(sum.known);
    match sum.unknown {
        0 => known,
        n => format!("{known} + {n} {}", w.not_weighed),
    }
}

pub(crate) fn mass(sum: Sum<Grams>, w: &Words) -> String {
    partial(sum.known.decimal(), "kg", sum.unknown, w.not_weighed)
}

pub(crate) fn energy(sum: Sum<MilliwattHours>, w: &Words) -> String {
    partial(sum.known.decimal(), "Wh", sum.unknown, w.not_known)
}

/// A sum with what it lacks: `96.2 kg + 1 not weighed`.
fn partial(known: Decimal, unit: &str, unknown: usize, word: &str) -> String {
    match (known == Decimal::whole(0), unknown) {
        (_, 0) => format!("{known} {unit}"),
        (true, _) => word.to_owned(),
        (false, _) => format!("{known} {unit} + {unknown} {word}"),
    }
}
