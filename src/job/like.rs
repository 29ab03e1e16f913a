//! The plan of a new job out of the plan of an earlier one: what a firm brings along stays, what
//! belongs to the other site, its battery and its consignment is left open.

use chrono::NaiveDate;

use super::plan::{Plan, Site};
use crate::battery::{Module, SourceKind};
use crate::citation::Reason;
use crate::units::Millivolts;
use crate::written::{Written, WrittenError};

/// What is known of a job before anybody has been there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewJob {
    /// Its name.
    pub job: String,
    /// Day of the visit.
    pub planned_on: NaiveDate,
    /// Where.
    pub site: Site,
    /// What the site calls the battery.
    pub battery: String,
    /// Serials from the papers, top module first; absent where one is not known.
    pub serials: Vec<Option<String>>,
    /// Highest direct voltage of the battery, where it is another than that of the earlier job.
    pub max_voltage_v: Option<Millivolts>,
}

impl Plan {
    /// A plan for `new` after the manner of this one, and what is left open or wants a look.
    ///
    /// People, instruments, the firms, the procedure, the type of the modules, sources and
    /// isolating devices stay. What was true of that battery alone does not: serials, days of
    /// manufacture, recalls, labels read on site, lifting places, approvals.
    ///
    /// # Errors
    /// Another number of modules without the highest voltage, which follows from it; a plan that
    /// then contradicts itself.
    pub fn like(&self, new: &NewJob) -> Result<(Self, Vec<String>), WrittenError> {
        let mut plan = self.clone();
        let mut open = Vec::new();
        plan.job.clone_from(&new.job);
        if self.demo {
            open.push(
                "the earlier job is invented: put in people, instruments and firms that are".into(),
            );
        }
        plan.demo = false;
        plan.planned_on = new.planned_on;
        plan.site = new.site.clone();
        plan.approvals.clear();
        for (n, leg) in plan.route.iter_mut().enumerate() {
            leg.on = None;
            if n == 0 {
                leg.from = None;
            }
        }
        open.push("the route: its days are that of the visit, its beginning is open".into());

        let battery = &mut plan.installation;
        battery.name.clone_from(&new.battery);
        battery.stored_energy_label_s = None;
        battery.lifting = None;
        open.push("waiting time on the label, place of lifting: read or measured there".into());
        if new.serials.len() != self.modules.len() {
            let Some(highest) = new.max_voltage_v else {
                let faults = vec![
                    Reason::new(
                        "modules",
                        format!(
                            "{}, in the earlier job {}",
                            new.serials.len(),
                            self.modules.len()
                        ),
                    )
                    .limit("the highest direct voltage of the battery follows from their number")
                    .way_out("say it with --max-voltage, from the plate or the drawings"),
                ];
                return Err(WrittenError::Contradicts {
                    what: Self::WHAT,
                    faults,
                });
            };
            battery.nominal_voltage_v = None;
            battery.rated_energy_wh = None;
            battery.rated_capacity_ah = None;
            // Not known better than its upper bound.
            for source in &mut battery.sources {
                if source.kind == SourceKind::Pack {
                    source.nominal_voltage_v = highest;
                }
            }
            open.push("nominal voltage, capacity and energy of the whole battery".into());
        }
        if let Some(highest) = new.max_voltage_v {
            battery.max_voltage_v = highest;
        }
        plan.modules = modules_like(self.modules.first(), &new.serials);
        open.push("of each module: day of manufacture, whether a recall names it".into());
        let unread = plan.modules.iter().filter(|module| module.serial.is_none());
        let unread: Vec<&str> = unread.map(|module| module.id.as_str()).collect();
        if !unread.is_empty() {
            open.push(format!("serial of {}: read there", unread.join(", ")));
        }
        for source in &plan.installation.sources {
            let device = plan.installation.isolating_device(&source.isolating_device);
            let device = device.map_or("", |device| device.description.as_str());
            open.push(format!(
                "source {} behind {}, {device}: as in the earlier job, look whether it is so",
                source.id, source.isolating_device
            ));
        }
        open.extend(out_of_date(&plan));
        Ok((plan.without_fault()?, open))
    }
}

fn modules_like(first: Option<&Module>, serials: &[Option<String>]) -> Vec<Module> {
    let Some(first) = first else {
        return Vec::new();
    };
    (1..)
        .zip(serials)
        .map(|(position, serial)| Module {
            id: format!("m{position}"),
            serial: serial.clone(),
            position,
            made_on: None,
            recalled_for_safety: None,
            ..first.clone()
        })
        .collect()
}

/// Competences and instruments that do not reach the day of the visit.
fn out_of_date(plan: &Plan) -> Vec<String> {
    let day = plan.planned_on;
    let mut late = Vec::new();
    for person in &plan.people {
        for one in &person.competences {
            if day > one.expires_on {
                late.push(format!(
                    "{}: competence as {} ends on {}, before the visit",
                    person.name,
                    one.role.words(),
                    one.expires_on
                ));
            }
        }
    }
    for instrument in &plan.instruments {
        if let Some(why) = instrument.out_of_date(day) {
            late.push(format!("{}: {}", why.what, why.value));
        }
    }
    late
}
