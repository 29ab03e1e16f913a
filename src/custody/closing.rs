//! Closing a receipt: the answer for each line becomes entries, each module gets its place.

use std::collections::BTreeMap;

use super::compare::Compared;
use super::deadline::discrepancy_clock;
use super::event::{Arrived, ReceiptClosed, RegisterEvent};
use super::found::{Found, gather};
use super::receipt::{Discrepancy, Expected, Line, Subject};
use super::receiving::{RECEIVERS, open_receipt, standing};
use super::register::{HoldRecord, Item, Receipt, Register};
use super::same_form;
use super::site::{BayKind, Site};
use super::stock::{hold_bay, may_move};
use super::tolerance::Tolerances;
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::units::Decimal;

/// What closing gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Closing {
    /// Entries to write, in this order.
    pub events: Vec<RegisterEvent>,
    /// Every line.
    pub compared: Compared,
    /// Modules that found no bay, with the reasons; they stay at the dock.
    pub at_the_dock: Vec<(String, Vec<Reason>)>,
    /// What was taken in.
    pub arrived: Vec<Arrived>,
}

/// Closes a receipt: the answer for each line, a discrepancy for each difference, every held
/// module to a hold bay, the others to `bay` as far as its limits allow.
///
/// # Errors
/// The person may not receive, or the receipt is not open.
pub fn close(
    register: &Register,
    site: &Site,
    tolerances: &Tolerances,
    receipt: &str,
    by: &str,
    bay: Option<&str>,
    now: Moment,
) -> Result<Closing, Vec<Reason>> {
    let person = site
        .competent(by, &RECEIVERS, now.local_day(), "receive a load")
        .map_err(|no| vec![no])?;
    if let Some(bay) = bay
        && site.bay(bay).is_none()
    {
        return Err(vec![site.no_such_bay(bay)]);
    }
    let open = open_receipt(register, receipt).map_err(|no| vec![no])?;
    let compared = standing(register, tolerances, receipt).map_err(|no| vec![no])?;
    let mut events = discrepancies(site, tolerances, receipt, open, &compared, now);
    let found = gather(&open.scans);
    // What stands here, and nothing of what was written about it: a register is long.
    let here = register
        .items
        .iter()
        .filter(|(_, item)| item.gone.is_none());
    let mut placed = Register {
        items: here
            .map(|(form, item)| (form.clone(), item.clone()))
            .collect(),
        ..Register::default()
    };
    let (mut arrived, mut at_the_dock) = (Vec::new(), Vec::new());
    for line in compared.lines.iter().filter(|line| line.is_here()) {
        let Subject::Module(identity) = &line.subject else {
            continue;
        };
        let mut one = arrival(open, line, identity, &found);
        let item = item_of(&one, receipt, open, line, now);
        match place(site, &placed, &item, bay) {
            Ok(place) => one.bay = place,
            Err(reasons) => at_the_dock.push((identity.clone(), reasons)),
        }
        // Counted at once, so that the next one finds the room that is left.
        let mut item = item;
        item.bay.clone_from(&one.bay);
        placed
            .items
            .insert(same_form(&format!("{identity}#{receipt}")), item);
        arrived.push(one);
    }
    let closed = ReceiptClosed {
        receipt: receipt.to_owned(),
        received_by: person.name.clone(),
        delivered_by: open.opened.delivered_by.clone(),
        lines: compared.lines.clone(),
        not_looked_at: compared.not_looked_at.clone(),
        arrived: arrived.clone(),
        tolerances: in_force(tolerances),
    };
    events.push(closed.into());
    Ok(Closing {
        events,
        compared,
        at_the_dock,
        arrived,
    })
}

fn discrepancies(
    site: &Site,
    tolerances: &Tolerances,
    receipt: &str,
    open: &Receipt,
    compared: &Compared,
    now: Moment,
) -> Vec<RegisterEvent> {
    let mut events: Vec<RegisterEvent> = Vec::new();
    for line in compared.discrepancies() {
        // Modules of a package that is missing as a whole are told by the package's line and
        // their own: each serial is a case of its own, since each may turn up by itself.
        for (answer, reason) in line.answers.iter().zip(&line.reasons) {
            let subject = match &line.subject {
                Subject::Load => "load".to_owned(),
                Subject::Package(id) => format!("package-{id}"),
                Subject::Module(identity) => identity.clone(),
            };
            events.push(
                Discrepancy {
                    id: format!("{receipt}/{}/{subject}", answer.name()),
                    receipt: receipt.to_owned(),
                    subject: line.subject.clone(),
                    answer: *answer,
                    sent: line.sent.clone(),
                    found: line.found.clone(),
                    reason: reason.clone(),
                    opened_at: now,
                    clock: discrepancy_clock(
                        site,
                        tolerances,
                        &open.opened.handover.purpose,
                        answer.is_of_count(),
                        now.local_day(),
                    ),
                }
                .into(),
            );
        }
    }
    events
}

/// A module as it is taken in: what the sender stated, corrected by what was found.
fn arrival(
    open: &Receipt,
    line: &Line,
    identity: &str,
    found: &BTreeMap<Subject, Found>,
) -> Arrived {
    let expected = Expected::from(&open.opened.handover);
    let stated = expected.module(identity);
    let own = found.get(&line.subject);
    let package = line
        .package
        .as_ref()
        .and_then(|id| found.get(&Subject::Package(id.clone())));
    let in_package = stated.map_or(1, |(package, _)| package.modules.len().max(1));
    let share = |volume: Decimal| {
        let count = i64::try_from(in_package).unwrap_or(1);
        volume
            .thousandths()
            // Rounded up, for the careful side.
            .map(|whole| Decimal::from_thousandths((whole + count - 1) / count))
    };
    let mut findings: Vec<String> = own.map(|one| one.findings.clone()).unwrap_or_default();
    for code in package.iter().flat_map(|one| &one.findings) {
        if !findings.contains(code) {
            findings.push(code.clone());
        }
    }
    Arrived {
        identity: identity.to_owned(),
        temporary: own.is_some_and(|one| one.temporary),
        package: line.package.clone(),
        chemistry: own
            .and_then(|one| one.chemistry.clone())
            .or_else(|| stated.and_then(|(_, module)| module.chemistry.clone())),
        cell_kind: stated.and_then(|(_, module)| module.cell_kind),
        rated_energy_wh: own
            .and_then(|one| one.rated_energy_wh)
            .or_else(|| stated.and_then(|(_, module)| module.rated_energy_wh)),
        net_mass_kg: own
            .and_then(|one| one.net_mass_kg)
            .or_else(|| stated.and_then(|(_, module)| module.net_mass_kg)),
        volume_m3: own
            .and_then(|one| one.volume_m3)
            .or_else(|| package.and_then(|one| one.volume_m3).and_then(share)),
        un: stated.and_then(|(_, module)| module.un.clone()),
        soundness: line.soundness.unwrap_or(Soundness::Undiagnosed),
        findings,
        bay: None,
    }
}

/// The module as it will stand in the register.
fn item_of(arrived: &Arrived, receipt: &str, open: &Receipt, line: &Line, now: Moment) -> Item {
    Item {
        arrived: arrived.clone(),
        also: Vec::new(),
        receipt: receipt.to_owned(),
        from: open.opened.handover.from.name.clone(),
        purpose: open.opened.handover.purpose.clone(),
        received_at: now,
        bay: None,
        unit: None,
        soundness: arrived.soundness,
        hold: line.hold.as_ref().map(|reason| HoldRecord {
            since: now,
            reason: reason.clone(),
            findings: arrived.findings.clone(),
            readings: Vec::new(),
        }),
        cleared: Vec::new(),
        gone: None,
        certified: Vec::new(),
    }
}

/// The bay for a module: a hold bay where it is held, else the one asked for, else the dock.
fn place(
    site: &Site,
    register: &Register,
    item: &Item,
    bay: Option<&str>,
) -> Result<Option<String>, Vec<Reason>> {
    if item.hold.is_some() {
        // A hold bay that was asked for goes first.
        if let Some(bay) =
            bay.filter(|id| site.bay(id).is_some_and(|bay| bay.kind != BayKind::Normal))
            && may_move(site, register, &[item], bay).is_ok()
        {
            return Ok(Some(bay.to_owned()));
        }
        return hold_bay(site, register, item).map(Some);
    }
    match bay {
        None => Ok(None),
        Some(bay) => may_move(site, register, &[item], bay).map(|()| Some(bay.to_owned())),
    }
}

fn in_force(tolerances: &Tolerances) -> BTreeMap<String, String> {
    [
        ("mass_off_percent", &tolerances.mass_off_percent),
        ("mass_off_kg", &tolerances.mass_off_kg),
        ("hotter_k", &tolerances.hotter_k),
    ]
    .into_iter()
    .map(|(name, owned)| {
        (
            name.to_owned(),
            format!("{} ({})", owned.value, owned.basis),
        )
    })
    .collect()
}
