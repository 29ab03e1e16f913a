//! Everything that is fixed before the first entry: the procedure, the settings, the site, the
//! modules, the people and the instruments.

use std::collections::{BTreeMap, BTreeSet};

use super::needs::Named;
use super::{Act, Branch, Need, Per, Person, Procedure, Settings, Step};
use crate::battery::{Installation, Module};
use crate::inspection::Instrument;
use crate::units::Decimal;

/// Everything that is fixed before the first entry.
#[derive(Debug, Clone)]
pub struct Frame {
    /// The procedure, proved.
    pub procedure: Procedure,
    /// The project's own numbers.
    pub settings: Settings,
    /// The store as planned.
    pub installation: Installation,
    /// Modules as planned, in order of removal.
    pub modules: Vec<Module>,
    /// People on the job.
    pub people: Vec<Person>,
    /// Instruments, gloves and tools on the job.
    pub instruments: Vec<Instrument>,
    places: BTreeMap<String, usize>,
    /// Places of the steps that do an act.
    doing: BTreeMap<Act, Vec<usize>>,
    /// What each step needs, by its place.
    needs: Vec<Vec<Need<Named>>>,
    /// Whether the plan leaves the step out, by place in the procedure.
    left_out: Vec<bool>,
    /// Whether the step is on the way out and back after a red flag.
    way_back: Vec<bool>,
}

impl Frame {
    /// Sets a job up. `left_out` names optional steps that the plan leaves out; a name of a step
    /// that is not optional has no effect, since it cannot be left out.
    #[must_use]
    pub fn new(
        procedure: Procedure,
        settings: Settings,
        installation: Installation,
        mut modules: Vec<Module>,
        people: Vec<Person>,
        instruments: Vec<Instrument>,
        left_out: &BTreeSet<String>,
    ) -> Self {
        modules.sort_by_key(|module| module.position);
        let steps = procedure.steps.iter().enumerate();
        let places: BTreeMap<String, usize> = steps.map(|(n, step)| (step.id.clone(), n)).collect();
        let needs = needs_of(&procedure.steps, &places);
        let mut doing: BTreeMap<Act, Vec<usize>> = BTreeMap::new();
        for (place, step) in procedure.steps.iter().enumerate() {
            for act in step.acts.iter().collect::<BTreeSet<_>>() {
                doing.entry(*act).or_default().push(place);
            }
        }
        let left_out = procedure
            .steps
            .iter()
            .map(|step| step.optional && left_out.contains(&step.id))
            .collect();
        let way_back = way_back(&procedure.steps, &needs);
        Self {
            procedure,
            settings,
            installation,
            modules,
            people,
            instruments,
            places,
            doing,
            needs,
            left_out,
            way_back,
        }
    }

    /// Place of a step in the procedure.
    #[must_use]
    pub fn place(&self, id: &str) -> Option<usize> {
        self.places.get(id).copied()
    }

    /// The step at a place.
    #[must_use]
    pub fn step_at(&self, place: usize) -> Option<&Step> {
        self.procedure.steps.get(place)
    }

    /// What the step at a place needs.
    pub(super) fn needs(&self, place: usize) -> &[Need<Named>] {
        self.needs.get(place).map_or(&[], Vec::as_slice)
    }

    /// The step of that id.
    #[must_use]
    pub fn step(&self, id: &str) -> Option<&Step> {
        self.step_at(self.place(id)?)
    }

    /// Steps that do `act`, with their places.
    pub fn steps_doing(&self, act: Act) -> impl Iterator<Item = (usize, &Step)> {
        let places = self.doing.get(&act).into_iter().flatten();
        places.filter_map(|place| Some((*place, self.step_at(*place)?)))
    }

    /// Whether the plan leaves the step out.
    #[must_use]
    pub fn is_left_out(&self, place: usize) -> bool {
        self.left_out.get(place).copied().unwrap_or(false)
    }

    /// Whether the step is on the way out and back after a red flag: the only steps that a red
    /// flag leaves open.
    #[must_use]
    pub fn is_way_back(&self, place: usize) -> bool {
        self.way_back.get(place).copied().unwrap_or(false)
    }

    /// Number of a module in the order of removal.
    #[must_use]
    pub fn module_number(&self, id: &str) -> Option<usize> {
        self.modules.iter().position(|module| module.id == id)
    }

    /// The person of that id.
    #[must_use]
    pub fn person(&self, id: &str) -> Option<&Person> {
        self.people.iter().find(|person| person.id == id)
    }

    /// The name of a person, or the id where nobody has it.
    #[must_use]
    pub fn name_of<'a>(&'a self, id: &'a str) -> &'a str {
        self.person(id).map_or(id, |person| person.name.as_str())
    }

    /// A step by name, with its module where it is one module's: `M04 of m1`.
    #[must_use]
    pub fn name_of_step(&self, step: &str, slot: Slot) -> String {
        match slot.and_then(|number| self.modules.get(number)) {
            Some(module) => format!("{step} of {}", module.id),
            None => step.to_owned(),
        }
    }

    /// The instrument of that serial.
    #[must_use]
    pub fn instrument(&self, serial: &str) -> Option<&Instrument> {
        self.instruments.iter().find(|one| one.serial == serial)
    }

    /// The value of a setting. The shipped file holds every name that a procedure may use, and a
    /// procedure that uses another is refused, so 0 (the strictest upper limit) is never seen.
    #[must_use]
    pub fn setting(&self, name: &str) -> Decimal {
        self.settings
            .get(name)
            .map_or(Decimal::whole(0), |setting| setting.value)
    }

    /// Whole value of a setting, as [`Frame::setting`].
    #[must_use]
    pub fn whole_setting(&self, name: &str) -> i64 {
        self.setting(name)
            .thousandths()
            .map_or(0, |thousandths| thousandths / 1000)
    }

    /// Slots in which the step stands: one for the job, or one for each module.
    #[must_use]
    pub fn slots(&self, step: &Step) -> Vec<Slot> {
        match step.per {
            Per::Job => vec![None],
            Per::Module => (0..self.modules.len()).map(Some).collect(),
        }
    }
}

/// What each step needs, with every name looked up.
fn needs_of(steps: &[Step], places: &BTreeMap<String, usize>) -> Vec<Vec<Need<Named>>> {
    let named = |id: &String| {
        let place = places.get(id).copied();
        let step = place.and_then(|place| steps.get(place));
        Named {
            id: id.clone(),
            place,
            per: step.map_or(Per::Job, |step| step.per),
        }
    };
    let of = |step: &Step| step.needs.iter().map(|need| need.told(named)).collect();
    steps.iter().map(of).collect()
}

/// What follows the withdrawal and does not wait for the return: feeds cut from outside, notices
/// sent, people and instruments looked over. The steps stand in working order, so one walk does.
fn behind_the_withdrawal(steps: &[Step], needs: &[Vec<Need<Named>>], on_it: &mut [bool]) {
    let mut behind = vec![false; steps.len()];
    let mut returned = vec![false; steps.len()];
    for (place, needs) in needs.iter().enumerate() {
        for above in needs.iter().flat_map(places_in) {
            let Some(needed) = steps.get(above) else {
                continue;
            };
            let was = |marks: &[bool]| marks.get(above).copied().unwrap_or(false);
            let (after, back) = (was(&behind), was(&returned));
            if let (Some(here), Some(there)) = (behind.get_mut(place), returned.get_mut(place)) {
                *here |= after || needed.does_act(Act::Withdraw);
                *there |= back || needed.does_act(Act::Return);
            }
        }
    }
    for ((on, behind), returned) in on_it.iter_mut().zip(behind).zip(returned) {
        *on |= behind && !returned;
    }
}

/// Steps of the red-flag branch, and every step that a return rests on. In a procedure for a
/// damaged pack these are the beginning of the ordinary way.
fn way_back(steps: &[Step], needs: &[Vec<Need<Named>>]) -> Vec<bool> {
    let mut on_it: Vec<bool> = steps
        .iter()
        .map(|step| {
            step.branch == Branch::RedFlag
                || step.does_act(Act::Withdraw)
                || step.does_act(Act::Return)
        })
        .collect();
    behind_the_withdrawal(steps, needs, &mut on_it);
    loop {
        let mut grew = false;
        for (place, needs) in needs.iter().enumerate() {
            let on = on_it.get(place).copied().unwrap_or(false);
            if !on {
                continue;
            }
            for above in needs.iter().flat_map(places_in) {
                if let Some(slot) = on_it.get_mut(above)
                    && !*slot
                {
                    *slot = true;
                    grew = true;
                }
            }
        }
        if !grew {
            return on_it;
        }
    }
}

fn places_in(need: &Need<Named>) -> impl Iterator<Item = usize> {
    need.steps().iter().filter_map(|step| step.place)
}

/// Where a step stands: `None` for the job, or the number of a module.
pub type Slot = Option<usize>;
