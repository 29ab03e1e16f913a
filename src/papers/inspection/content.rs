//! What an inspection sheet says: finished texts, and the charts as drawings.

use serde::Serialize;

use crate::papers::manifest_pdf::shape;
use crate::papers::pdf::{Drawing, svg};
use crate::papers::stamp::{Across, Stamp};
use crate::papers::words::Words;
use crate::papers::{PaperError, template};

const TEMPLATE: &str = include_str!("../../../templates/papers/inspection.html");

/// The sheet of one module.
#[derive(Debug, Clone)]
pub(crate) struct InspectionSheet {
    pub(crate) module: String,
    pub(crate) serial: String,
    pub(crate) serial_proved: bool,
    pub(crate) facts: Vec<(String, String)>,
    pub(crate) readings: Vec<(String, String)>,
    pub(crate) soundness: &'static str,
    pub(crate) soundness_shape: &'static str,
    pub(crate) findings: Vec<String>,
    pub(crate) trend: Drawing,
    pub(crate) charge: Drawing,
}

#[derive(Serialize)]
struct View<'a> {
    w: Words,
    size: &'static str,
    job: &'a str,
    across: Option<Across>,
    foot: String,
    sheets: Vec<Shown<'a>>,
}

#[derive(Serialize)]
struct Shown<'a> {
    module: &'a str,
    serial: &'a str,
    serial_proved: bool,
    facts: &'a [(String, String)],
    readings: &'a [(String, String)],
    soundness: &'a str,
    shape: String,
    findings: &'a [String],
    trend: String,
    charge: String,
}

/// The sheets as one page in a browser; `own` is the user's own template.
pub(crate) fn html(
    sheets: &[InspectionSheet],
    stamp: &Stamp,
    own: Option<&str>,
) -> Result<String, PaperError> {
    let w = stamp.words;
    let view = View {
        w: *w,
        size: stamp.stock.css(),
        job: &stamp.job,
        across: stamp.across(),
        foot: stamp.foot(),
        sheets: sheets
            .iter()
            .map(|sheet| Shown {
                module: &sheet.module,
                serial: &sheet.serial,
                serial_proved: sheet.serial_proved,
                facts: &sheet.facts,
                readings: &sheet.readings,
                soundness: sheet.soundness,
                shape: svg(&shape(sheet.soundness_shape).alone(), sheet.soundness),
                findings: &sheet.findings,
                trend: svg(&sheet.trend, w.temperature_trend),
                charge: svg(&sheet.charge, w.charge_curve),
            })
            .collect(),
    };
    template::html(
        "inspection sheets",
        "inspection.html",
        own.unwrap_or(TEMPLATE),
        view,
    )
}
