//! Figures that cannot be, and answers that the plan says otherwise: told while somebody is still
//! there to look again.

use super::ruling::Rules;
use crate::citation::Reason;
use crate::ids::{look_alikes, same_form};
use crate::procedure::EvidenceSpec;
use crate::units::Decimal;

/// No cell of lithium or sodium stands as high as this, in volts; a higher figure is a slip of the
/// pen or of the meter's range (common practice, no source).
const NO_CELL_V: i32 = 5;

/// What a figure of this unit must be, where `number` cannot be measured of anything. What the step
/// limits itself is left to it; gas meters drift a little below nought.
pub(in crate::procedure) fn cannot_be(
    spec: &EvidenceSpec,
    number: Decimal,
) -> Option<&'static str> {
    if spec.limits.iter().any(|limit| limit.at_least.is_some()) {
        return None;
    }
    let nought = Decimal::whole(0);
    match spec.name.rsplit('_').next()? {
        "kg" if number <= nought => Some("above 0 kg"),
        "c" if number < Decimal::whole(-273) => Some("no colder than -273 °C"),
        "m" | "l" | "nm" | "ohm" | "mohm" | "hours" | "h" if number < nought => Some("0 or more"),
        _ => None,
    }
}

impl Rules<'_> {
    /// M04, C07: voltages that no module of so many cells, and no cell, can have.
    pub(super) fn no_such_voltage(&mut self) {
        const CLAUSE: &str =
            "no cell of lithium or sodium is above 5 V (common practice, no source)";
        let cell = |name| self.evidence().number(name);
        let cells =
            ["cell_voltage_lowest_v", "cell_voltage_highest_v"].map(|name| (name, cell(name)));
        let mut fails = Vec::new();
        for (name, volts) in cells {
            if let Some(volts) = volts
                && volts.magnitude() > Decimal::whole(NO_CELL_V)
            {
                fails.push(
                    Reason::new(self.what(name), format!("{volts} V"))
                        .limit(format!("at most {NO_CELL_V} V"))
                        .clause(CLAUSE)
                        .way_out("read the cell again, in volts, and write it down anew"),
                );
            }
        }
        if let [(_, Some(lowest)), (_, Some(highest))] = cells
            && lowest > highest
        {
            fails.push(
                Reason::new(
                    self.what("lowest and highest cell"),
                    format!("{lowest} V and {highest} V"),
                )
                .limit("the lowest not above the highest")
                .way_out("write them down the other way round, as they were read"),
            );
        }
        let in_series = self
            .slot
            .and_then(|number| self.frame.modules.get(number))
            .and_then(|module| module.cells_in_series);
        let volts = self.evidence().number("terminal_voltage_v");
        if let (Some(in_series), Some(volts)) = (in_series, volts) {
            let most = i32::try_from(in_series)
                .ok()
                .and_then(|n| n.checked_mul(NO_CELL_V));
            if most.is_some_and(|most| volts.magnitude() > Decimal::whole(most)) {
                fails.push(
                    Reason::new(self.what("terminal_voltage_v"), format!("{volts} V"))
                        .limit(format!(
                            "{in_series} cells in series, at most {NO_CELL_V} V each"
                        ))
                        .clause(CLAUSE)
                        .way_out("look at the range of the meter and read it again; where the plate says other cells, say so to the planner"),
                );
            }
        }
        for reason in fails {
            self.fail(reason);
        }
    }

    /// C01, C02, M09: what the plan says otherwise.
    pub(super) fn as_planned(&mut self) {
        let planned = self.frame.modules.len();
        let counted = self
            .evidence()
            .number("planned_modules")
            .and_then(Decimal::as_whole);
        if let Some(counted) = counted
            && usize::try_from(counted) != Ok(planned)
        {
            self.fail(
                Reason::new(self.what("planned_modules"), counted.to_string())
                    .limit(format!("{planned}, as the plan names them"))
                    .way_out("count again; where the plan is wrong, begin a job whose plan is right: `packdown new`"),
            );
        }
        let highest = self.frame.installation.max_voltage_v.decimal();
        if let Some(said) = self.evidence().number("max_voltage_v")
            && said > highest
        {
            self.fail(
                Reason::new(self.what("max_voltage_v"), format!("{said} V"))
                    .limit(format!(
                        "{highest} V, by which the plan chooses tester, gloves and limits"
                    ))
                    .way_out("read the plate again; where the plan is wrong, begin a job whose plan is right: `packdown new`"),
            );
        }
        let module = self.slot.and_then(|number| self.frame.modules.get(number));
        let planned = module.and_then(|module| module.net_mass_kg);
        let weighed = self
            .evidence()
            .number("net_mass_kg")
            .and_then(Decimal::thousandths);
        if let (Some(planned), Some(weighed)) = (planned, weighed) {
            // A tenth, as the audit asks it.
            let planned = planned.as_thousandths();
            if weighed > 0 && weighed.abs_diff(planned).saturating_mul(10) > planned.unsigned_abs()
            {
                let note = format!(
                    "{} kg, planned {} kg: another type, a slip of the pen, or a part left behind; look again",
                    Decimal::from_thousandths(weighed),
                    Decimal::from_thousandths(planned)
                );
                self.ruling
                    .notes
                    .push(format!("{}: {note}", self.what("net_mass_kg")));
            }
        }
    }

    /// M01: a serial that the plan has elsewhere, that only looks like one of it, or that it does
    /// not have at all. What was read stands; somebody looks at the label once more.
    pub(super) fn serial_of_the_plan(&mut self) {
        let (Some(own), Some(serial)) = (self.slot, self.evidence().text("serial")) else {
            return;
        };
        let modules = &self.frame.modules;
        let planned = |number: usize| modules.get(number)?.serial.as_deref();
        let is_own =
            |number: usize| planned(number).is_some_and(|one| same_form(one) == same_form(serial));
        if is_own(own) || modules.iter().all(|module| module.serial.is_none()) {
            return;
        }
        let elsewhere = (0..modules.len()).find(|number| is_own(*number));
        let alike = look_alikes(
            serial,
            modules.iter().filter_map(|module| module.serial.as_deref()),
        );
        let note = match (
            elsewhere.and_then(|number| modules.get(number)),
            alike.as_slice(),
        ) {
            (Some(other), _) => format!(
                "the plan has it as {}, place {}; if this is another place than planned, nothing is wrong",
                other.id, other.position
            ),
            (None, [alike, ..]) => {
                format!("looks like {alike} of the plan: read 0 and O, 1 and I, 5 and S again")
            }
            (None, []) if planned(own).is_some() => {
                "not on the plan: read it again; a recall is looked up by it".into()
            }
            (None, []) => return,
        };
        self.ruling
            .notes
            .push(format!("{}, {serial}: {note}", self.what("serial")));
    }

    /// C15: a load side that is still live after the disconnect was opened.
    pub(super) fn load_side_still_up(&mut self) {
        let Some(volts) = self.evidence().number("load_side_voltage_v") else {
            return;
        };
        if volts.magnitude() > self.frame.setting("live_v") {
            let what = self.what("load_side_voltage_v");
            self.ruling.notes.push(format!(
                "{what}: {volts} V after opening: capacitors that are still charged, or a welded contactor; where it does not fall, the string cannot be disconnected here: call the person in charge and the maker"
            ));
        }
    }

    /// M12: a package is heavier than what is in it.
    pub(super) fn weighed_whole(&mut self) {
        let Some(gross) = self.evidence().number("gross_mass_kg") else {
            return;
        };
        let planned = self
            .slot
            .and_then(|number| self.frame.modules.get(number))
            .and_then(|module| module.net_mass_kg)
            .map(|mass| mass.decimal());
        let lifted = self
            .frame
            .steps_doing(crate::procedure::Act::LiftModule)
            .filter_map(|(place, _)| self.progress.passed_entry(place, self.slot))
            .find_map(|entry| entry.evidence.number("net_mass_kg"));
        if let Some(net) = lifted.or(planned)
            && gross <= net
        {
            self.fail(
                Reason::new(self.what("gross_mass_kg"), format!("{gross} kg"))
                    .limit(format!("above {net} kg, the module alone"))
                    .way_out("weigh the whole package again"),
            );
        }
    }
}
