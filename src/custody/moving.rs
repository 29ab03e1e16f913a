//! Moves inside the site, units put together, and the way out of it.

use super::event::{
    Consolidated, Dispatched, FactsStated, IdentityMerged, Moved, RegisterEvent, Settled,
};
use super::figures::{Figure, cannot_be};
use super::hold::on_site;
use super::receiving::RECEIVERS;
use super::register::{Item, Register};
use super::same_form;
use super::site::Site;
use super::stock::may_move;
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::clock::Moment;

/// Modules on site by name: serials, units (`unit:U1`) or packages (`package:R1/P1`).
fn gathered<'r>(register: &'r Register, names: &[String]) -> Result<Vec<&'r Item>, Vec<Reason>> {
    let (mut items, mut no): (Vec<&Item>, Vec<Reason>) = (Vec::new(), Vec::new());
    for name in names {
        let of = |belongs: &dyn Fn(&Item) -> bool| -> Vec<&'r Item> {
            register
                .on_site()
                .into_iter()
                .filter(|item| belongs(item))
                .collect()
        };
        let some = if let Some(unit) = name.strip_prefix("unit:") {
            of(&|item| item.unit.as_deref() == Some(unit))
        } else if let Some(package) = name.strip_prefix("package:") {
            of(&|item| {
                item.arrived
                    .package
                    .as_ref()
                    .is_some_and(|own| package == format!("{}/{own}", item.receipt))
            })
        } else {
            match on_site(register, name) {
                Ok(item) => vec![item],
                Err(why) => {
                    no.push(why);
                    continue;
                }
            }
        };
        if some.is_empty() {
            no.push(
                Reason::new("unit or package", name.clone())
                    .limit("one with modules on site")
                    .way_out("`packdown stock` names them"),
            );
        }
        for item in some {
            let own = same_form(&item.arrived.identity);
            if !items
                .iter()
                .any(|one| same_form(&one.arrived.identity) == own)
            {
                items.push(item);
            }
        }
    }
    if no.is_empty() { Ok(items) } else { Err(no) }
}

fn names(items: &[&Item]) -> Vec<String> {
    items
        .iter()
        .map(|item| item.arrived.identity.clone())
        .collect()
}

/// Moves modules to a bay, where its limits and kind allow it.
///
/// # Errors
/// Every reason why not.
pub fn move_to(
    register: &Register,
    site: &Site,
    what: &[String],
    to: &str,
    by: &str,
    now: Moment,
) -> Result<Vec<RegisterEvent>, Vec<Reason>> {
    site.competent(by, &RECEIVERS, now.local_day(), "move goods")
        .map_err(|no| vec![no])?;
    let items = gathered(register, what)?;
    may_move(site, register, &items, to)?;
    Ok(vec![
        Moved {
            identities: names(&items),
            to: to.to_owned(),
            by: by.to_owned(),
        }
        .into(),
    ])
}

/// Puts modules together into one unit: like with like, serials kept.
///
/// # Errors
/// What they differ in, or another reason why not.
pub fn consolidate(
    register: &Register,
    site: &Site,
    what: &[String],
    unit: &str,
    seal: Option<&str>,
    by: &str,
    now: Moment,
) -> Result<Vec<RegisterEvent>, Vec<Reason>> {
    site.competent(by, &RECEIVERS, now.local_day(), "put units together")
        .map_err(|no| vec![no])?;
    let items = gathered(register, what)?;
    let mut no = Vec::new();
    if unit.trim().is_empty() || unit.len() > 40 {
        no.push(
            Reason::new("name of the unit", format!("`{unit}`"))
                .limit("1 to 40 signs")
                .way_out("give it a short name, as on its label"),
        );
    }
    // What is in the unit already counts as well.
    let all: Vec<&Item> = register
        .on_site()
        .into_iter()
        .filter(|item| item.unit.as_deref() == Some(unit))
        .chain(items.iter().copied())
        .collect();
    type Of = fn(&Item) -> String;
    let kinds: [(&str, Of); 5] = [
        ("chemistry", |item| {
            item.arrived
                .chemistry
                .clone()
                .unwrap_or_else(|| "not known".into())
        }),
        ("condition", |item| {
            if item.soundness == Soundness::Sound {
                "sound".into()
            } else {
                item.soundness.word().into()
            }
        }),
        ("purpose", |item| item.purpose.clone()),
        ("hold", |item| {
            if item.hold.is_some() {
                "held".into()
            } else {
                "free".into()
            }
        }),
        ("bay", |item| {
            item.bay.clone().unwrap_or_else(|| "the dock".into())
        }),
    ];
    for (what, of) in kinds {
        let mut values: Vec<String> = all.iter().map(|item| of(item)).collect();
        values.sort();
        values.dedup();
        if values.len() > 1 || (what == "chemistry" && values.contains(&"not known".to_owned())) {
            no.push(
                Reason::new(format!("{what} in unit {unit}"), values.join(", "))
                    .limit("like with like, and known")
                    .clause("step Z09 of the procedure (project default, not law)")
                    .way_out("split it: a unit for each"),
            );
        }
    }
    for item in &items {
        if item.hold.is_some() {
            no.push(
                Reason::new(item.arrived.identity.clone(), "held")
                    .limit("what is held stays in a container of its own")
                    .clause("step M06 of the procedure (project default, not law)")
                    .way_out("two people clear it first"),
            );
        }
    }
    if !no.is_empty() {
        return Err(no);
    }
    Ok(vec![
        Consolidated {
            unit: unit.to_owned(),
            identities: names(&items),
            seal: seal.map(str::to_owned),
            by: by.to_owned(),
        }
        .into(),
    ])
}

/// Sends modules onward, which ends their stay.
///
/// # Errors
/// Every reason why not: held, of unknown serial, a discrepancy that is not settled.
pub fn dispatch(
    register: &Register,
    site: &Site,
    what: &[String],
    going: &Dispatched,
    now: Moment,
) -> Result<Vec<RegisterEvent>, Vec<Reason>> {
    site.competent(
        &going.released_by,
        &RECEIVERS,
        now.local_day(),
        "release goods",
    )
    .map_err(|no| vec![no])?;
    let items = gathered(register, what)?;
    let mut no = Vec::new();
    for (field, value) in [("to", &going.to), ("taken by", &going.taken_by)] {
        if value.trim().is_empty() {
            no.push(
                Reason::new(field, "empty")
                    .limit("a name on each side of a hand-over")
                    .way_out("enter it"),
            );
        }
    }
    for item in &items {
        let identity = &item.arrived.identity;
        if item.hold.is_some() {
            no.push(
                Reason::new(identity.clone(), "held")
                    .limit("out of the hold, signed by two people")
                    .clause("step X18 of the procedure (project default, not law)")
                    .way_out("`packdown hold list` says what is missing"),
            );
        }
        if item.soundness == Soundness::Critical {
            no.push(
                Reason::new(identity.clone(), "critical")
                    .limit("the competent authority's approval, outside this register")
                    .clause(
                        "ADR 2025, SP 376 (read in an unofficial translation); 49 CFR 173.185(f)",
                    )
                    .way_out("a specialist and the competent authority decide"),
            );
        }
        let open = register.open_cases().into_iter().find(|case| {
            matches!(&case.opened.subject, super::receipt::Subject::Module(one)
                if same_form(one) == same_form(identity))
                && case.opened.answer.is_of_count()
        });
        if let Some(case) = open {
            no.push(
                Reason::new(
                    identity.clone(),
                    format!("discrepancy {} is open", case.opened.id),
                )
                .limit("settled before it leaves")
                .clause(&case.opened.clock.clause)
                .way_out("settle it with the sender: `packdown register settle`"),
            );
        }
    }
    if !no.is_empty() {
        return Err(no);
    }
    let going = Dispatched {
        identities: names(&items),
        ..going.clone()
    };
    Ok(vec![going.into()])
}

/// Gives a module that came without a readable serial its serial.
///
/// # Errors
/// Every reason why not.
pub fn merge(
    register: &Register,
    site: &Site,
    merged: IdentityMerged,
    now: Moment,
) -> Result<Vec<RegisterEvent>, Vec<Reason>> {
    site.competent(&merged.by, &RECEIVERS, now.local_day(), "state an identity")
        .map_err(|no| vec![no])?;
    let item = on_site(register, &merged.temporary).map_err(|no| vec![no])?;
    let mut no = Vec::new();
    if !item.arrived.temporary {
        no.push(
            Reason::new("identity", merged.temporary.clone())
                .limit("one that was given here")
                .way_out("a serial that was read is not changed; open a discrepancy"),
        );
    }
    if merged.serial.trim().is_empty() || merged.reason.trim().chars().count() < 3 {
        no.push(
            Reason::new(
                "serial and reason",
                format!("`{}`, `{}`", merged.serial, merged.reason),
            )
            .limit("both in words")
            .way_out("say which serial it is and how that is known"),
        );
    }
    if let Some(other) = register
        .item(&merged.serial)
        .filter(|other| other.gone.is_none())
    {
        no.push(
            Reason::new(
                format!("serial {}", merged.serial),
                format!(
                    "stands here already, in {}, since receipt {}",
                    other.bay.as_deref().unwrap_or("the dock"),
                    other.receipt
                ),
            )
            .limit("one serial, one place")
            .way_out("read both plates; one of them is another module"),
        );
    }
    if no.is_empty() {
        Ok(vec![merged.into()])
    } else {
        Err(no)
    }
}

/// Settles a discrepancy, which stops its clock.
///
/// # Errors
/// Every reason why not.
pub fn settle(
    register: &Register,
    site: &Site,
    settled: Settled,
    now: Moment,
) -> Result<Vec<RegisterEvent>, Vec<Reason>> {
    site.competent(
        &settled.by,
        &RECEIVERS,
        now.local_day(),
        "settle a discrepancy",
    )
    .map_err(|no| vec![no])?;
    let open = register.cases.get(&settled.id);
    if open.is_none_or(|case| case.settled.is_some()) {
        let known: Vec<String> = register
            .open_cases()
            .iter()
            .take(8)
            .map(|case| case.opened.id.clone())
            .collect();
        return Err(vec![
            Reason::new("discrepancy", format!("`{}`", settled.id))
                .limit("one that is open")
                .way_out(if known.is_empty() {
                    "none is open".to_owned()
                } else {
                    format!("open are {}", known.join(", "))
                }),
        ]);
    }
    if settled.reason.trim().chars().count() < 3 {
        return Err(vec![
            Reason::new("how it was settled", format!("`{}`", settled.reason))
                .limit("with whom, and how, in words")
                .way_out("say what was found"),
        ]);
    }
    Ok(vec![settled.into()])
}

/// States a fact that was read later.
///
/// # Errors
/// The module is not here, or nothing is stated.
pub fn state(
    register: &Register,
    site: &Site,
    stated: FactsStated,
    now: Moment,
) -> Result<Vec<RegisterEvent>, Vec<Reason>> {
    site.competent(&stated.by, &RECEIVERS, now.local_day(), "state a fact")
        .map_err(|no| vec![no])?;
    on_site(register, &stated.identity).map_err(|no| vec![no])?;
    let none = stated.chemistry.is_none()
        && stated.rated_energy_wh.is_none()
        && stated.net_mass_kg.is_none()
        && stated.volume_m3.is_none();
    if none {
        return Err(vec![
            Reason::new("facts", "none")
                .limit("at least one")
                .way_out("--chemistry, --energy-wh, --mass-kg or --volume-m3"),
        ]);
    }
    let slips: Vec<Reason> = [
        ("mass_kg", Figure::Mass, stated.net_mass_kg),
        ("energy_wh", Figure::Energy, stated.rated_energy_wh),
        ("volume_m3", Figure::Volume, stated.volume_m3),
    ]
    .into_iter()
    .filter_map(|(what, figure, value)| cannot_be(what, figure, value))
    .collect();
    if !slips.is_empty() {
        return Err(slips);
    }
    Ok(vec![stated.into()])
}
