//! What a line says in words: the sender's side, why a module is held, what is not as stated.

use super::found::Found;
use super::handover::{HandedModule, HandedPackage};
use super::receipt::{Answer, Line, Sides, stated_soundness};
use crate::battery::Soundness;
use crate::citation::Reason;
use crate::units::Decimal;

pub(super) fn hold_of(module: &HandedModule, soundness: Soundness, line: &Line) -> Option<String> {
    if let Some(why) = &module.hold {
        return Some(format!("sender: {why}"));
    }
    (soundness > Soundness::Sound).then(|| {
        let stated = stated_soundness(&module.soundness);
        if soundness == stated {
            format!("sent as {}", module.soundness)
        } else if line.answers.contains(&Answer::Hotter) {
            "hotter than sent".into()
        } else {
            format!("seen on arrival: {soundness}")
        }
    })
}

pub(super) fn missing(of: &str) -> Reason {
    Reason::new("not seen at the dock", of)
        .limit("everything that was stated, read or under its unbroken seal")
        .way_out("look in the vehicle with the driver, then ring the sender")
}

pub(super) fn twice(of: &str, found: &Found) -> Reason {
    Reason::new(
        format!("{of} was scanned"),
        format!("{} times", found.sights),
    )
    .limit("once; one serial, one place")
    .way_out("the same module: `undo`; two modules: read both plates")
}

pub(super) fn state_package(package: &HandedPackage, warmest: Option<Decimal>, sides: &mut Sides) {
    let mut put = |name: &str, value: Option<String>| {
        if let Some(value) = value {
            sides.insert(name.into(), value);
        }
    };
    put("seal", package.seal.clone());
    put(
        "gross_mass_kg",
        package.gross_mass_kg.map(|v| v.to_string()),
    );
    put("net_mass_kg", package.net_mass_kg.map(|v| v.to_string()));
    put("temperature_c", warmest.map(|v| v.to_string()));
    put("condition", Some(package.condition.clone()));
}

pub(super) fn state_module(module: &HandedModule, sides: &mut Sides) {
    let mut put = |name: &str, value: Option<String>| {
        if let Some(value) = value {
            sides.insert(name.into(), value);
        }
    };
    put("soundness", Some(module.soundness.clone()));
    put("net_mass_kg", module.net_mass_kg.map(|v| v.to_string()));
    put(
        "temperature_c",
        module.surface_temperature_c.map(|v| v.to_string()),
    );
    put("hold", module.hold.clone());
    if !module.serial_readable {
        put("serial", Some("not readable".into()));
    }
}
