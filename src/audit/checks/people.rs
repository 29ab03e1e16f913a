//! Who did it: on the plan, shown able to, in date on the day, and two where two are needed.

use std::collections::BTreeMap;

use chrono::Months;

use crate::audit::{Dossier, Found, Recorded, Side};
use crate::custody::{GIVERS, GIVERS_CLAUSE};
use crate::procedure::{Act, Kind, People, Person, Role, Step};
use crate::units::Grams;

/// `people.competent`
pub(in crate::audit) fn competent(dossier: &Dossier) -> Vec<Found> {
    // One finding a person and role, on the first entry, with how many there are.
    let mut lacking: BTreeMap<(&str, &str), (&Recorded, usize)> = BTreeMap::new();
    for one in dossier.passed() {
        let Some(step) = dossier.step_of(one) else {
            continue;
        };
        let by = one.entry.by.as_str();
        let may = dossier.frame().person(by).is_some_and(|person| {
            person
                .competence(&step.role, one.entry.at.local_day())
                .is_some()
        });
        if !may {
            let role = step.role.first().map_or("any role", |role| role.words());
            lacking.entry((by, role)).or_insert((one, 0)).1 += 1;
        }
    }
    lacking
        .into_iter()
        .map(|((by, role), (one, steps))| {
            let person = dossier.frame().person(by);
            let had = person.and_then(|person| {
                let roles = dossier.step_of(one).map(|step| &step.role)?;
                person
                    .competences
                    .iter()
                    .filter(|competence| roles.contains(&competence.role))
                    .map(|competence| competence.expires_on)
                    .max()
            });
            let found = match (person, had) {
                (None, _) => "not among the people of the job".to_owned(),
                (Some(_), Some(until)) => {
                    format!("as {role} until {until}, {steps} steps after it")
                }
                (Some(_), None) => format!("never shown able as {role}; {steps} steps"),
            };
            Found::new(
                format!("competence of {}", dossier.frame().name_of(by)),
                found,
            )
            .on(one)
            .limit("shown able for the task, and in date on the day")
            .way_out("look at the work again with somebody who is; train before the next job")
        })
        .chain(signers(dossier))
        .collect()
}

/// Who signed a load away without being trained for the carriage of dangerous goods on the day.
fn signers(dossier: &Dossier) -> Vec<Found> {
    let gave = dossier
        .exchanges
        .iter()
        .filter(|one| one.side == Side::Gave);
    gave.filter(|one| !one.from.is_empty())
        .filter_map(|one| {
            let day = one.at.local_day();
            let person = signer(dossier, &one.from);
            let found = match person {
                None => "not among the people of the job".to_owned(),
                Some(person) if person.competence(&GIVERS, day).is_some() => return None,
                Some(person) => {
                    let had = person
                        .competences
                        .iter()
                        .filter(|had| GIVERS.contains(&had.role));
                    let until = had.map(|had| had.expires_on).max();
                    until.map_or_else(
                        || "never shown able for dangerous goods".to_owned(),
                        |until| format!("for dangerous goods until {until}"),
                    )
                }
            };
            let mut found = Found::new(
                format!("competence of {}, who signed the load away", one.from),
                found,
            )
            .at_seq(one.seq)
            .limit(format!("{} in date on {day}", Role::any_of(&GIVERS)))
            .clause(GIVERS_CLAUSE)
            .way_out("train before the next load, and tell the officer");
            found.person = Some(one.from.clone());
            Some(found)
        })
        .collect()
}

/// The person of the plan who is called so, by name or id.
pub(in crate::audit) fn signer<'d>(dossier: &'d Dossier, name: &str) -> Option<&'d Person> {
    let same = |one: &str| one.to_lowercase() == name.to_lowercase();
    let mut people = dossier.frame().people.iter();
    people.find(|one| same(&one.name) || same(&one.id))
}

/// `people.second`
pub(in crate::audit) fn second(dossier: &Dossier) -> Vec<Found> {
    let mut found = Vec::new();
    for one in dossier.passed() {
        let Some(step) = dossier.step_of(one) else {
            continue;
        };
        let day = one.entry.at.local_day();
        let wrong = match one.entry.with.as_deref() {
            None if needs_two(dossier, one, step) => "one person only".to_owned(),
            Some(with) if with == one.entry.by => "the same person twice".to_owned(),
            Some(with) => match dossier.frame().person(with) {
                None => format!("second person `{with}` is not among the people of the job"),
                Some(person) if !person.is_competent_at_all(day) => {
                    format!("{} had no competence in date", person.name)
                }
                Some(_) => continue,
            },
            None => continue,
        };
        found.push(
            Found::new(format!("people at {}", step.id), wrong)
                .on(one)
                .limit("two different people, both on the job")
                .way_out("ask who else was there; nobody is entered afterwards"),
        );
    }
    found
}

fn needs_two(dossier: &Dossier, one: &Recorded, step: &Step) -> bool {
    match step.people {
        People::Two => true,
        People::TwoIfHeavy => {
            let aid = one.entry.evidence.text("aid").is_some();
            let mass = one
                .entry
                .evidence
                .number("net_mass_kg")
                .and_then(|mass| Grams::try_from(mass).ok())
                .or_else(|| dossier.frame().modules.get(one.slot?)?.net_mass_kg);
            !aid && mass.is_none_or(|mass| mass > People::ONE_PERSON_LIFT)
        }
        People::One => false,
    }
}

/// `people.on_plan`
pub(in crate::audit) fn on_plan(dossier: &Dossier) -> Vec<Found> {
    dossier
        .entries
        .iter()
        .filter(|one| !matches!(one.entry.kind, Kind::Step | Kind::LateEntry))
        .filter(|one| dossier.frame().person(&one.entry.by).is_none())
        .map(|one| {
            Found::new(
                format!("entry by `{}`", one.entry.by),
                "not among the people of the job",
            )
            .on(one)
            .limit("people of the plan")
            .way_out("find out who it was")
        })
        .collect()
}

/// `training.interval`
pub(in crate::audit) fn interval(dossier: &Dossier) -> Vec<Found> {
    if !dossier.is_in_the_us() {
        return Vec::new();
    }
    let mut found = Vec::new();
    for (act, role) in [
        (Act::MarkPackage, Role::Packer),
        (Act::Release, Role::Driver),
    ] {
        let Some(one) = dossier.doing(act).next() else {
            continue;
        };
        let day = one.entry.at.local_day();
        let longest = day.checked_add_months(Months::new(36));
        let person = dossier.frame().person(&one.entry.by);
        let competence = person.and_then(|person| person.competence(&[role], day));
        if let (Some(person), Some(competence), Some(longest)) = (person, competence, longest)
            && competence.expires_on > longest
        {
            found.push(
                Found::new(
                    format!("training of {} as {}", person.name, role.words()),
                    format!("said to hold until {}", competence.expires_on),
                )
                .on(one)
                .limit(format!(
                    "three years from the training, so {longest} at the latest"
                ))
                .way_out("find the day of the training, and put the due date right"),
            );
        }
    }
    found
}

/// `review.independent`
pub(in crate::audit) fn independent(dossier: &Dossier) -> Vec<Found> {
    dossier
        .doing(Act::Audit)
        .filter(|audit| {
            dossier.doing(Act::TestDead).any(|test| {
                let name = dossier.frame().name_of(&test.entry.by);
                audit.entry.by == test.entry.by
                    || audit.entry.evidence.text("audited_by") == Some(name)
            })
        })
        .map(|audit| {
            Found::new("audit of the job", "by the person who tested it dead")
                .on(audit)
                .limit("an inspector who did not do the work")
                .way_out("have another person look")
        })
        .collect()
}
