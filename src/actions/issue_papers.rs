//! Issues the papers of a job from its entries: manifest, custody table, sheets, decisions.

use std::collections::BTreeSet;
use std::path::Path;

use super::ActionError;
use super::folder::{JobFolder, replace};
use super::keys::{is_demo_origin, signing_key};
use super::read_record::read_text;
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::job::{Contents, Job, PapersBody, Verdict};
use crate::ledger::{Draft, Log, sha256, to_hex};
use crate::papers::ChargeRange;
use crate::papers::custody::{self, CustodyRow, Event, ItemKind, SealState};
use crate::papers::decisions::{self, Decisions, ModuleDecisions};
use crate::papers::manifest::{
    self, Count, LedgerMark, LeftBehind, Manifest, ModuleLine, PackageLine, Party, TravelAnswer,
    TravelState,
};
use crate::papers::sheets::{self, SheetRow};
use crate::procedure::{Act, Entry, Kind, Outcome};
use crate::transport::{self, Answer, Decision, PackageAnswer, RequirementDue};
use crate::units::{Decimal, Grams, MilliPercent};

/// Printed across papers that are not issued.
const DRAFT: &str = "DRAFT - NOT FOR TRANSPORT";

/// Papers as issued.
#[derive(Debug, Clone)]
pub struct Issued {
    /// Number of the issue.
    pub issue: u32,
    /// Whether they are drafts.
    pub draft: bool,
    /// File name and text of each.
    pub files: Vec<(String, String)>,
    /// Content of the manifest.
    pub manifest: Manifest,
    /// Reasons behind every answer that is not a plain yes.
    pub verdicts: Vec<Verdict>,
    job: Job,
}

impl Issued {
    /// The log entry that names the papers and their hashes.
    pub(super) fn draft_entry(&self) -> Result<Draft, ActionError> {
        let body = PapersBody {
            issue: self.issue,
            draft: self.draft,
            rule_set: self.manifest.rule_set.clone(),
            papers: self
                .files
                .iter()
                .map(|(name, text)| (name.clone(), to_hex(&sha256(text.as_bytes()))))
                .collect(),
        };
        let last =
            self.job.progress().last_at().ok_or_else(|| {
                ActionError::NotEntitled(vec![Reason::new("papers", "no entry yet")])
            })?;
        Ok(Draft {
            time: last,
            actor: "packdown".into(),
            kind: "papers_issued".into(),
            body: serde_json::to_value(body)?,
            refs: Vec::new(),
            photos: Vec::new(),
        })
    }
}

/// Issues the papers of a job that has a ledger; a later issue supersedes the ones before it.
///
/// # Errors
/// A ledger that is broken, or a job that is not entitled to papers and no draft was asked for.
pub fn issue_papers(folder: &JobFolder, draft: bool) -> Result<Issued, ActionError> {
    let _lock = folder.lock()?;
    let mut open = folder.open()?;
    let not_entitled = open.job.not_entitled_to_papers();
    if !not_entitled.is_empty() && !draft {
        return Err(ActionError::NotEntitled(not_entitled));
    }
    let template = folder.file("templates/manifest.html");
    let issued = papers_for(
        &open.job,
        &open.log,
        open.last_issue.saturating_add(1),
        !not_entitled.is_empty(),
        &template,
    )?;
    let good_bytes = open.log.good_bytes();
    let line = open.log.append(issued.draft_entry()?)?.line;
    for (name, text) in &issued.files {
        replace(&folder.file(name), text.as_bytes())?;
    }
    folder.append(
        &open.log,
        good_bytes,
        &line,
        &signing_key(open.job.plan().demo)?,
    )?;
    Ok(issued)
}

/// Every paper of a job, from its entries and the log they stand in.
pub(super) fn papers_for(
    job: &Job,
    log: &Log,
    issue: u32,
    draft: bool,
    template: &Path,
) -> Result<Issued, ActionError> {
    let verdicts = job.verdicts();
    let manifest = manifest_of(job, &verdicts, log, draft);
    let own_template = if template.exists() {
        Some(read_text(template)?)
    } else {
        None
    };
    let rows = custody_rows(job, log);
    let custody = custody::csv(&rows)?;
    let datapackage = custody::datapackage(&custody, Some(&to_hex(&sha256(custody.as_bytes()))))?;
    let mut files = vec![
        ("manifest.csv".to_owned(), manifest::csv(&manifest)?),
        (
            "manifest.html".to_owned(),
            manifest::html(&manifest, own_template.as_deref())?,
        ),
        ("custody.csv".to_owned(), custody),
        ("custody.datapackage.json".to_owned(), datapackage),
        ("sheets.csv".to_owned(), sheets::csv(&sheet_rows(job))?),
    ];
    let decided = Decisions {
        job: job.plan().job.clone(),
        rule_set: manifest.rule_set.clone(),
        issued: job.progress().last_at(),
        modules: (0..job.frame().modules.len())
            .map(|module| ModuleDecisions {
                module: job
                    .frame()
                    .modules
                    .get(module)
                    .map_or(String::new(), |m| m.id.clone()),
                serial: job.identity(module).0,
                decisions: verdicts
                    .iter()
                    .filter(|verdict| verdict.module == module)
                    .map(|verdict| &verdict.decision)
                    .collect(),
            })
            .collect(),
    };
    files.push(("decisions.json".to_owned(), decisions::json(&decided)?));
    Ok(Issued {
        issue,
        draft,
        files,
        manifest,
        verdicts,
        job: job.clone(),
    })
}

/// Content of the packing manifest.
#[must_use]
pub fn manifest_of(job: &Job, verdicts: &[Verdict], log: &Log, draft: bool) -> Manifest {
    let plan = job.plan();
    let frame = job.frame();
    let party = |party: &crate::job::Party| Party {
        name: party.name.clone(),
        address: party.address.clone(),
    };
    let name_doing = |act: Act| {
        job.progress()
            .passed_doing(frame, act, None)
            .last()
            .map_or_else(
                || "not entered".to_owned(),
                |entry| frame.name_of(&entry.by).to_owned(),
            )
    };
    let planned = frame.modules.len();
    let left: Vec<usize> = (0..planned)
        .filter(|n| job.progress().left_behind(*n).is_some())
        .collect();
    let lifted = (0..planned)
        .filter(|n| job.progress().is_lifted(frame, *n))
        .count();
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let mut draft_word = draft.then(|| DRAFT.to_owned());
    if plan.demo && draft_word.is_none() {
        draft_word = None;
    }
    Manifest {
        job: plan.job.clone(),
        title: Some(plan.installation.name.clone()),
        draft: draft_word,
        site: format!(
            "{}, {}, {}",
            plan.site.name, plan.site.address, plan.site.country
        ),
        consignor: party(&plan.consignor),
        consignee: party(&plan.consignee),
        carrier: plan.carrier.as_ref().map(party),
        planned_on: Some(plan.planned_on),
        issued_at: job.progress().last_at(),
        purpose: plan.purpose.words().to_owned(),
        regimes: regimes(job, verdicts),
        rule_set: transport::rule_set().name().to_owned(),
        ledger: Some(LedgerMark {
            origin: if is_demo_origin(log.origin()) {
                format!("{} (demo key: proves nothing)", log.origin())
            } else {
                log.origin().to_owned()
            },
            size: log.len(),
            root: to_hex(&log.root()),
        }),
        technician: name_doing(Act::TestDead),
        person_in_charge: name_doing(Act::ReleaseWork),
        packages: job
            .contents()
            .iter()
            .map(|one| package_line(job, one, verdicts))
            .collect(),
        left_behind: left
            .iter()
            .map(|n| LeftBehind {
                serial: job.identity(*n).0,
                reason: job.progress().left_behind(*n).unwrap_or("").to_owned(),
            })
            .collect(),
        count: Count {
            planned: count(planned),
            removed: count(lifted),
            left_behind: count(left.len()),
        },
        cautions: cautions(),
        open_points: open_points(job, verdicts),
        unverified: unverified(verdicts),
    }
}

/// What every manifest warns of. Our own words; law and maker come first.
fn cautions() -> Vec<String> {
    [
        "Battery terminals stay live. Leave every cover on; do not open, stack or tilt a package.",
        "Heat, smoke, hiss or smell: get away, keep others away, call the fire service.",
        "This paper proposes; a named competent person decides. Local code and licensed practice govern.",
    ]
    .map(str::to_owned)
    .to_vec()
}

fn regimes(job: &Job, verdicts: &[Verdict]) -> Vec<String> {
    let mut regimes = Vec::new();
    for (n, leg) in job.plan().route.iter().enumerate() {
        let edition = verdicts
            .iter()
            .find(|verdict| verdict.leg == n)
            .map_or(leg.regime.name(), |verdict| {
                verdict.decision.edition.as_str()
            });
        let mode = leg.mode.map_or("", crate::transport::Mode::name);
        let on = leg.on.unwrap_or(job.plan().planned_on);
        let line = format!("{edition} {mode}, {on}")
            .replace("  ", " ")
            .replace(" ,", ",");
        if !regimes.contains(&line) {
            regimes.push(line);
        }
    }
    regimes
}

fn package_line(job: &Job, contents: &Contents, verdicts: &[Verdict]) -> PackageLine {
    let of_package = || {
        verdicts
            .iter()
            .filter(|verdict| contents.modules.contains(&verdict.module))
    };
    let mut marks = contents.marks.clone();
    let mut labels = contents.labels.clone();
    let mut document_lines: Vec<String> = Vec::new();
    let push = |list: &mut Vec<String>, text: &str| {
        if !text.is_empty() && !list.iter().any(|one| one == text) {
            list.push(text.to_owned());
        }
    };
    for verdict in of_package() {
        for mark in &verdict.decision.marks {
            let text = if mark.min_height_mm > 0 {
                format!("{} (letters {} mm or more)", mark.text, mark.min_height_mm)
            } else {
                mark.text.clone()
            };
            marks.retain(|on_it| *on_it != mark.text);
            push(&mut marks, &text);
        }
        for label in &verdict.decision.labels {
            push(&mut labels, label);
        }
        push(&mut document_lines, &verdict.decision.document.line);
        for statement in &verdict.decision.document.statements {
            push(&mut document_lines, statement);
        }
    }
    PackageLine {
        package_id: contents.package.clone(),
        packaging: contents
            .modules
            .first()
            .and_then(|module| job.packaging_words(*module))
            .unwrap_or_else(|| "not known".into()),
        modules: contents
            .modules
            .iter()
            .map(|n| module_line(job, *n, verdicts))
            .collect(),
        gross_mass_kg: contents.gross_mass_kg,
        marks,
        labels,
        document_lines,
        seal: contents.seal.clone(),
    }
}

fn module_line(job: &Job, module: usize, verdicts: &[Verdict]) -> ModuleLine {
    let (serial, serial_proved) = job.identity(module);
    let planned = job.frame().modules.get(module);
    ModuleLine {
        serial,
        serial_proved,
        model: job.sheet(module).model,
        energy_wh: planned.and_then(|module| module.rated_energy_wh),
        net_mass_kg: job.net_mass(module),
        soundness: job.soundness(module),
        state_of_charge: charge_range(job, module),
        answers: verdicts
            .iter()
            .filter(|verdict| verdict.module == module)
            .map(|verdict| travel_answer(&verdict.decision))
            .collect(),
    }
}

fn charge_range(job: &Job, module: usize) -> Option<ChargeRange> {
    let charge = job.state_of_charge(module);
    let unknown =
        charge.high_percent == Decimal::whole(100) && charge.low_percent == Decimal::whole(0);
    let percent = |value: Decimal| MilliPercent::try_from(value).ok();
    if unknown {
        return None;
    }
    Some(ChargeRange {
        low_percent: percent(charge.low_percent)?,
        high_percent: percent(charge.high_percent)?,
        basis: charge.basis,
    })
}

fn travel_answer(decision: &Decision) -> TravelAnswer {
    let state = match decision.answer {
        Answer::Allowed => TravelState::Allowed,
        Answer::AllowedWith => TravelState::AllowedWith,
        Answer::Forbidden => TravelState::Forbidden,
        Answer::NotDetermined => TravelState::NotDetermined,
    };
    let text = match state {
        TravelState::Allowed | TravelState::AllowedWith => {
            let mut parts: Vec<String> = Vec::new();
            parts.extend(decision.entry.as_ref().map(|entry| entry.un.clone()));
            parts.extend(decision.provisions.iter().cloned());
            if !decision.packing_instructions.is_empty() {
                parts.push(decision.packing_instructions.join(" or "));
            }
            match decision.package.answer {
                PackageAnswer::Accepted => parts.push("package accepted".into()),
                PackageAnswer::Refused => parts.push("PACKAGE REFUSED".into()),
                PackageAnswer::NotDetermined => parts.push("package not determined".into()),
            }
            parts.join(", ")
        }
        TravelState::Forbidden => decision
            .reasons
            .first()
            .map_or_else(|| "forbidden".to_owned(), |reason| reason.what.clone()),
        TravelState::NotDetermined => {
            if decision.missing.is_empty() {
                decision
                    .reasons
                    .first()
                    .map_or_else(String::new, |reason| reason.what.clone())
            } else {
                format!("missing: {}", decision.missing.join(", "))
            }
        }
    };
    TravelAnswer {
        regime: decision.edition.clone(),
        state,
        text,
    }
}

/// What is still open, once each: missing facts, refused packages, answers that were unknown.
fn open_points(job: &Job, verdicts: &[Verdict]) -> Vec<String> {
    let mut points: Vec<String> = Vec::new();
    let mut push = |text: String| {
        if !points.contains(&text) {
            points.push(text);
        }
    };
    for verdict in verdicts {
        let module = job.identity(verdict.module).0;
        let decision = &verdict.decision;
        for requirement in beyond_sound(job, verdict) {
            push(format!("{module}: {}", requirement.says));
        }
        let plain_yes = matches!(decision.answer, Answer::Allowed | Answer::AllowedWith);
        if !plain_yes {
            for reason in &decision.reasons {
                push(format!("{module}: {reason}"));
            }
        }
        if decision.package.answer != PackageAnswer::Accepted && plain_yes {
            for reason in &decision.package.reasons {
                push(format!("{module}, package: {reason}"));
            }
        }
    }
    for module in 0..job.frame().modules.len() {
        let (serial, proved) = job.identity(module);
        if !proved && job.progress().left_behind(module).is_none() {
            push(format!(
                "{serial}: identity unproved, no serial could be read"
            ));
        }
    }
    points
}

/// What is required of a module only because it is not sound: beyond what the same module would
/// need if it were.
fn beyond_sound<'a>(job: &Job, verdict: &'a Verdict) -> Vec<&'a RequirementDue> {
    if job.soundness(verdict.module) == Soundness::Sound {
        return Vec::new();
    }
    let Some(leg) = job.plan().route.get(verdict.leg) else {
        return Vec::new();
    };
    let mut facts = job.facts(verdict.module, leg);
    facts.item.soundness = Some(Soundness::Sound);
    let sound = transport::decide(&facts);
    verdict
        .decision
        .requirements
        .iter()
        .filter(|one| {
            !sound
                .requirements
                .iter()
                .any(|other| other.rule == one.rule)
        })
        .collect()
}

/// Rules that nobody has checked against the text, with their sentence.
fn unverified(verdicts: &[Verdict]) -> Vec<String> {
    let ids: BTreeSet<&str> = verdicts
        .iter()
        .flat_map(|v| &v.decision.unverified)
        .map(String::as_str)
        .collect();
    ids.into_iter()
        .map(|id| match transport::rule_set().find(id) {
            Some(rule) => format!("{} ({id})", rule.says),
            None => id.to_owned(),
        })
        .collect()
}

fn sheet_rows(job: &Job) -> Vec<SheetRow> {
    (0..job.frame().modules.len())
        .map(|module| {
            let sheet = job.sheet(module);
            let rise = match (sheet.surface_temperature_c, sheet.ambient_temperature_c) {
                (Some(surface), Some(ambient)) => surface
                    .thousandths()
                    .zip(ambient.thousandths())
                    .map(|(a, b)| Decimal::from_thousandths(a.saturating_sub(b))),
                _ => None,
            };
            SheetRow {
                module: sheet.module,
                serial: sheet.serial,
                serial_proved: sheet.serial_proved,
                model: sheet.model,
                position: Some(sheet.position),
                photos: sheet.photos,
                surface_temperature_c: sheet.surface_temperature_c,
                ambient_temperature_c: sheet.ambient_temperature_c,
                temperature_rise_k: rise,
                terminal_voltage_v: sheet.terminal_voltage_v,
                positive_to_case_v: sheet.positive_to_case_v,
                negative_to_case_v: sheet.negative_to_case_v,
                insulation_ohm_per_v: sheet.insulation_ohm_per_v,
                cell_voltage_lowest_v: sheet.cell_voltage_lowest_v,
                cell_voltage_highest_v: sheet.cell_voltage_highest_v,
                state_of_charge: charge_range(job, module),
                findings: sheet.findings,
                soundness: job.soundness(module),
                judged_by: sheet.judged_by,
                criteria_source: sheet.criteria_source,
                net_mass_kg: job.net_mass(module),
                lift_note: sheet.lift_note,
                terminal_covers: sheet.terminal_covers,
                package: sheet.package,
                packaging: sheet.packaging,
                seal: sheet.seal,
            }
        })
        .collect()
}

/// One row for each item of each event that moves, opens, closes or judges it.
fn custody_rows(job: &Job, log: &Log) -> Vec<CustodyRow> {
    let mut rows = Vec::new();
    for (n, taken) in job.taken().iter().enumerate() {
        let outcome = taken.judgement.outcome;
        let entry = &taken.entry;
        let counts = matches!(outcome, Outcome::Passed | Outcome::Recorded);
        if !counts {
            continue;
        }
        for (event, items) in events_of(job, entry) {
            for item in items {
                rows.extend(custody_row(job, log, n, entry, event, item));
            }
        }
    }
    rows
}

/// An item of an event.
#[derive(Debug, Clone, PartialEq, Eq)]
enum CustodyItem {
    Module(usize),
    Package(String),
}

/// What an entry did in terms of custody, and to which items.
fn events_of(job: &Job, entry: &Entry) -> Vec<(Event, Vec<CustodyItem>)> {
    let frame = job.frame();
    let module = entry
        .module
        .as_deref()
        .and_then(|id| frame.module_number(id));
    let one = |module: usize| vec![CustodyItem::Module(module)];
    match entry.kind {
        Kind::LeftBehind => module
            .map(|m| (Event::LeftBehind, one(m)))
            .into_iter()
            .collect(),
        Kind::Correction => {
            let number = entry.amends.map_or(0, |number| number as usize);
            let old = job.progress().entry(number);
            let module = old
                .and_then(|old| old.module.as_deref())
                .and_then(|id| frame.module_number(id));
            module
                .map(|m| (Event::Corrected, one(m)))
                .into_iter()
                .collect()
        }
        Kind::Step => {
            let Some(step) = entry.step.as_deref().and_then(|id| frame.step(id)) else {
                return Vec::new();
            };
            let everything = || {
                let contents = job.contents();
                contents
                    .iter()
                    .flat_map(|c| c.modules.iter().map(|m| CustodyItem::Module(*m)))
                    .chain(
                        contents
                            .iter()
                            .map(|c| CustodyItem::Package(c.package.clone())),
                    )
                    .collect::<Vec<_>>()
            };
            step.acts
                .iter()
                .filter_map(|act| match (act, module) {
                    (Act::LiftModule, Some(m)) => Some((Event::Removed, one(m))),
                    (Act::Judge, Some(m)) => Some((Event::Inspected, one(m))),
                    (Act::Pack, Some(m)) => Some((Event::Packed, one(m))),
                    (Act::EnterOnManifest, Some(m)) => {
                        let package = job.sheet(m).package.map(CustodyItem::Package);
                        Some((Event::Sealed, one(m).into_iter().chain(package).collect()))
                    }
                    (Act::Release, _) => Some((Event::Released, everything())),
                    (Act::Receive, _) => Some((Event::Received, everything())),
                    _ => None,
                })
                .collect()
        }
        _ => Vec::new(),
    }
}

/// The last reading of that name on a module in what had passed up to entry `n`, counted from 0.
fn reading_by(job: &Job, n: usize, module: usize, name: &str) -> Option<Decimal> {
    let id = job.frame().modules.get(module)?.id.as_str();
    (0..=n).rev().find_map(|at| {
        let passed = job.taken().get(at)?.judgement.outcome == Outcome::Passed;
        // As corrected since, where it was.
        let entry = job.progress().entry(at + 1)?;
        (passed && entry.module.as_deref() == Some(id)).then(|| entry.evidence.number(name))?
    })
}

fn custody_row(
    job: &Job,
    log: &Log,
    n: usize,
    entry: &Entry,
    event: Event,
    item: CustodyItem,
) -> Option<CustodyRow> {
    let plan = job.plan();
    let frame = job.frame();
    let seq = u64::try_from(n).ok()?.checked_add(1)?;
    let logged = log.entry(seq)?;
    let name = |id: &str| frame.name_of(id).to_owned();
    let handed = matches!(event, Event::Released | Event::Received);
    let (released_by, received_by) = match event {
        Event::Removed => (Some(plan.site.name.clone()), Some(name(&entry.by))),
        Event::Released | Event::Received => (
            entry
                .evidence
                .text("released_by_name")
                .map(str::to_owned)
                .or_else(|| Some(plan.consignor.name.clone())),
            entry.evidence.text("received_by_name").map(|who| {
                match entry.evidence.text("received_by_organisation") {
                    Some(firm) => format!("{who}, {firm}"),
                    None => who.to_owned(),
                }
            }),
        ),
        _ => (None, None),
    };
    let sheet = match &item {
        CustodyItem::Module(module) => Some(job.sheet(*module)),
        CustodyItem::Package(_) => None,
    };
    let contents = job.contents();
    let package = match &item {
        CustodyItem::Module(_) => None,
        CustodyItem::Package(id) => contents.iter().find(|one| one.package == *id),
    };
    let seal = match event {
        Event::Sealed | Event::Released | Event::Received => sheet
            .as_ref()
            .and_then(|sheet| sheet.seal.clone())
            .or_else(|| package.and_then(|package| package.seal.clone())),
        _ => None,
    };
    let intact = entry
        .evidence
        .yes_no("seals_intact")
        .or(entry.evidence.yes_no("seals_match"));
    let seal_state = seal.as_ref().map(|_| match (event, intact) {
        (Event::Sealed, _) | (_, Some(true)) => SealState::Intact,
        (_, Some(false)) => SealState::Broken,
        (_, None) => SealState::NotChecked,
    });
    let worst = package.map(|package| package.modules.iter().map(|m| job.soundness(*m)).max());
    let condition = match (&item, worst) {
        (CustodyItem::Module(module), _) => job.soundness(*module).word().to_owned(),
        (_, Some(Some(worst))) => format!("contents {worst}"),
        _ => String::new(),
    };
    let charge = match &item {
        CustodyItem::Module(module) => charge_range(job, *module),
        CustodyItem::Package(_) => None,
    };
    let net_mass_kg = match (&item, package) {
        (CustodyItem::Module(module), _) => job.net_mass(*module),
        (_, Some(package)) => package
            .modules
            .iter()
            .map(|module| job.net_mass(*module))
            .try_fold(Grams::default(), |sum, mass| sum.plus(mass?)),
        _ => None,
    };
    let who = match entry.with.as_deref() {
        Some(with) => format!("{} with {}", name(&entry.by), name(with)),
        None => name(&entry.by),
    };
    let what = entry
        .step
        .clone()
        .unwrap_or_else(|| entry.kind.name().replace('_', " "));
    let reason = match entry.reason.as_deref().filter(|reason| !reason.is_empty()) {
        Some(reason) => format!("{what} by {who}: {reason}"),
        None => format!("{what} by {who}"),
    };
    // A row shows what was known when it happened, not what was read later.
    let reading = |name: &str| match item {
        CustodyItem::Module(module) if !handed => reading_by(job, n, module, name),
        _ => None,
    };
    let voltage_v = reading("terminal_voltage_v");
    let surface_temperature_c = reading("face_temperature_c");
    Some(CustodyRow {
        event_id: logged.id.clone(),
        item_id: match &item {
            CustodyItem::Module(module) => job.identity(*module).0,
            CustodyItem::Package(id) => id.clone(),
        },
        item_kind: match item {
            CustodyItem::Module(_) => ItemKind::Module,
            CustodyItem::Package(_) => ItemKind::Package,
        },
        event,
        at: entry.at,
        place: entry.evidence.text("place").map_or_else(
            || format!("{}, {}", plan.site.name, plan.site.address),
            str::to_owned,
        ),
        released_by,
        received_by,
        purpose: plan.purpose.words().to_owned(),
        condition,
        seal_number: seal,
        seal_state,
        state_of_charge_low_percent: charge.as_ref().map(|charge| charge.low_percent),
        state_of_charge_high_percent: charge.as_ref().map(|charge| charge.high_percent),
        voltage_v,
        surface_temperature_c,
        net_mass_kg,
        reason,
        amends: entry
            .amends
            .and_then(|number| log.entry(u64::from(number)))
            .map(|old| old.id.clone()),
        evidence_sha256: entry
            .photos
            .iter()
            .filter_map(|photo| photo.sha256.clone())
            .collect(),
        ledger_log: log.origin().to_owned(),
        ledger_seq: seq,
        leaf_hash: to_hex(&log.leaf(seq)?),
    })
}
