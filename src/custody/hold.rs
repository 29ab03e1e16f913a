//! The hold of a site: which readings are due, and who may let a module out.
//!
//! The rules on time and readings are those of `inspection::judge_hold`. A clock alone never
//! releases: two different people of the site sign, one of them a compliance officer, with a
//! reason, and only where the readings are there and no rule was broken.

use chrono::NaiveDate;

use super::event::Cleared;
use super::register::{HoldRecord, Item, Register};
use super::site::Site;
use super::tolerance::Tolerances;
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::inspection::{Hold, HoldOutcome, HoldReading, HoldVerdict, VoltageTrend, judge_hold};
use crate::physics::{CellKind, SelfDischargeOutcome, TwoReadings, loss_of_charge};
use crate::procedure::Role;

/// Who may read a held module, and sign as the second person.
pub const HOLDERS: [Role; 6] = [
    Role::ComplianceOfficer,
    Role::Handler,
    Role::Packer,
    Role::PersonInCharge,
    Role::QualifiedElectricalWorker,
    Role::WarehouseReceiver,
];

/// Seconds in the hold after which a cell counts as rested (chosen here).
const RESTED_S: i64 = 3 * 3600;

/// What the rules say of a held module now; `None` where it is not held.
#[must_use]
pub fn verdict(item: &Item, tolerances: &Tolerances, now: Moment) -> Option<HoldVerdict> {
    let hold = item.hold.as_ref()?;
    let readings: Vec<HoldReading> = hold
        .readings
        .iter()
        .map(|(at, reading)| HoldReading {
            at: *at,
            surface_temperature_c: reading.surface_temperature_c,
            ambient_temperature_c: reading.ambient_temperature_c,
            twin_temperature_c: reading.twin_temperature_c,
            terminal_voltage_v: reading.terminal_voltage_v,
            gas: reading.gas,
            smell: reading.smell,
            smoke: reading.smoke,
        })
        .collect();
    let findings: Vec<&str> = hold.findings.iter().map(String::as_str).collect();
    let hours = if item.soundness.is_damaged_in_law() {
        &tolerances.hold_hours_damaged
    } else {
        &tolerances.hold_hours
    };
    Some(judge_hold(
        &Hold {
            since: hold.since,
            soundness: Some(item.soundness),
            findings: &findings,
            readings: &readings,
            voltage: voltage_trend(hold, item.arrived.cell_kind),
            hold_hours: hours.value,
            rise_k: tolerances.hold_rise_k.value,
        },
        now,
    ))
}

/// What the lowest cell says of lost charge, first reading against last, a day or more apart.
///
/// Nothing is connected in the hold, so a cell has come to rest some hours after it was put there;
/// where it was under load before is not known, so the hours count from the hold on.
///
/// What the reader says of the electrodes counts before what the sender `stated`.
fn voltage_trend(hold: &HoldRecord, stated: Option<CellKind>) -> VoltageTrend {
    let chemistry = hold
        .readings
        .iter()
        .rev()
        .find_map(|(_, one)| one.cell_kind)
        .or(stated);
    let mut read = hold
        .readings
        .iter()
        .filter(|(at, one)| {
            one.lowest_cell_v.is_some()
                && one.surface_temperature_c.is_some()
                && at.seconds_since(hold.since) >= RESTED_S
        })
        .map(|(at, one)| (*at, one));
    let (Some(first), Some(last), Some(chemistry)) = (read.next(), read.next_back(), chemistry)
    else {
        return VoltageTrend::NotAssessable;
    };
    let two = || {
        Some(TwoReadings {
            chemistry,
            cell_v: (first.1.lowest_cell_v?, last.1.lowest_cell_v?),
            minutes_apart: u32::try_from(last.0.seconds_since(first.0) / 60).ok()?,
            temperature_c: (
                first.1.surface_temperature_c?,
                last.1.surface_temperature_c?,
            ),
            rested: true,
        })
    };
    match two().and_then(|two| loss_of_charge(&two).ok()) {
        Some((SelfDischargeOutcome::NoRuleBroken, _)) => VoltageTrend::NoRuleBroken,
        Some((SelfDischargeOutcome::Suspect, _)) => VoltageTrend::Suspect,
        Some((SelfDischargeOutcome::Damaged, _)) => VoltageTrend::Damaged,
        Some((SelfDischargeOutcome::NotAssessable, _)) | None => VoltageTrend::NotAssessable,
    }
}

/// What somebody asks for who wants a module out of the hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClearanceAsked {
    /// Which.
    pub identity: String,
    /// The first person.
    pub by: String,
    /// The second person.
    pub with: String,
    /// Why.
    pub reason: String,
    /// Condition that the two decide; absent: as judged by the rules.
    pub soundness: Option<Soundness>,
}

/// Judges whether a module may leave the hold.
///
/// # Errors
/// Every reason why not.
pub fn clear(
    register: &Register,
    site: &Site,
    tolerances: &Tolerances,
    asked: &ClearanceAsked,
    now: Moment,
) -> Result<Cleared, Vec<Reason>> {
    let mut no = people(site, asked, now.local_day());
    if asked.reason.trim().chars().count() < 3 {
        no.push(
            Reason::new("reason", format!("`{}`", asked.reason))
                .limit("why it may leave, in words")
                .way_out("say what was looked at and found"),
        );
    }
    let item = match held(register, &asked.identity) {
        Ok(item) => item,
        Err(why) => {
            no.push(why);
            return Err(no);
        }
    };
    let Some(verdict) = verdict(item, tolerances, now) else {
        return Err(no);
    };
    if verdict.outcome != HoldOutcome::MayBeOffered {
        no.extend(verdict.reasons.iter().cloned());
    }
    let soundness = asked.soundness.unwrap_or(verdict.soundness);
    if soundness == Soundness::Critical {
        no.push(
            Reason::new("condition", "critical")
                .limit("what may react dangerously is not let out")
                .way_out("a specialist and the competent authority decide"),
        );
    }
    if !no.is_empty() {
        return Err(no);
    }
    let readings = item.hold.as_ref().map_or(0, |hold| hold.readings.len());
    Ok(Cleared {
        identity: item.arrived.identity.clone(),
        by: asked.by.clone(),
        with: asked.with.clone(),
        reason: asked.reason.clone(),
        soundness,
        readings: u32::try_from(readings).unwrap_or(u32::MAX),
        verdict: verdict.reasons,
    })
}

/// The held module of that identity.
///
/// # Errors
/// It never came, left, or is not held.
pub fn held<'r>(register: &'r Register, identity: &str) -> Result<&'r Item, Reason> {
    let item = on_site(register, identity)?;
    if item.hold.is_none() {
        return Err(Reason::new("module", identity)
            .limit("one that is held")
            .way_out("`packdown hold list` names them"));
    }
    Ok(item)
}

/// The module of that identity, on site.
///
/// # Errors
/// It never came, or left.
pub fn on_site<'r>(register: &'r Register, identity: &str) -> Result<&'r Item, Reason> {
    match register.item(identity) {
        Some(item) => match &item.gone {
            None => Ok(item),
            Some(gone) => Err(Reason::new(
                "module",
                format!("{identity} left on {} to {}", gone.at, gone.dispatched.to),
            )
            .limit("one that is on site")
            .way_out("look in the record of the place it went to")),
        },
        None => {
            let known = register.items.values().map(|i| i.arrived.identity.as_str());
            let alike = super::look_alikes(identity, known);
            Err(
                Reason::new("module", format!("`{identity}` never came here"))
                    .limit("one that was received")
                    .way_out(if alike.is_empty() {
                        "`packdown stock` names them".to_owned()
                    } else {
                        format!("did you mean {}? (0/O, 1/I, 5/S)", alike.join(", "))
                    }),
            )
        }
    }
}

/// Whether the two may sign: different people, both of the site and in date, one of them a
/// compliance officer.
fn people(site: &Site, asked: &ClearanceAsked, day: NaiveDate) -> Vec<Reason> {
    let mut no = Vec::new();
    let one = |id: &str| site.competent(id, &HOLDERS, day, "sign a release from the hold");
    for id in [&asked.by, &asked.with] {
        no.extend(one(id).err());
    }
    if asked.by == asked.with {
        no.push(
            Reason::new("people who sign", format!("{} twice", asked.by))
                .limit("two different people")
                .clause("rule of the hold (project default, not law)")
                .way_out("a second competent person looks and signs"),
        );
    }
    let officer = [&asked.by, &asked.with].into_iter().any(|id| {
        site.competent(id, &[Role::ComplianceOfficer], day, "release")
            .is_ok()
    });
    if no.is_empty() && !officer {
        no.push(
            Reason::new(
                "people who sign",
                format!("{} and {}", asked.by, asked.with),
            )
            .limit("one of them a compliance officer in date")
            .clause("step X18 of the procedure for damaged packs (project default, not law)")
            .way_out("a compliance officer of the site looks and signs"),
        );
    }
    no
}
