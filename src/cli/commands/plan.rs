//! `packdown plan`: the method statement before the visit.

use crate::actions::{self, ActionError};
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, PlanArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, list, paragraph, table};
use crate::papers::Look;
use crate::papers::method::Method;
use crate::store::{JobFolder, StoreError};

pub(super) fn plan(args: &PlanArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let folder = JobFolder::at(&args.job);
    let method = actions::method_statement(&folder)?;
    if let Some(file) = &args.pdf {
        let bytes = actions::method_pdf(
            &folder,
            &Look {
                language: args.language,
                stock: args.stock.map(Into::into),
                ..Look::default()
            },
        )?;
        std::fs::write(file, bytes)
            .map_err(StoreError::file(file))
            .map_err(ActionError::from)?;
    }
    let exit = if method.not_in_date.is_empty() {
        Exit::Done
    } else {
        Exit::No
    };
    if out.format() == Format::Json {
        json(out, &method)?;
    } else {
        text(&method, out)?;
    }
    Ok(exit)
}

fn text(method: &Method, out: &mut dyn Answer) -> Result<(), CommandError> {
    out.line(&format!("METHOD STATEMENT  job {}", method.job))?;
    out.line(&method.heading)?;
    out.line(&format!("Procedure: {}", method.procedure))?;
    out.line("")?;
    list(out, "Cautions first:", &method.cautions)?;
    out.line(&format!("Voltage: {}", method.voltage))?;
    out.line(&format!(
        "Wait for stored energy: {}; a floor, never proof",
        method.stored_energy_wait
    ))?;
    list(
        out,
        "Short circuit and arc, screening figures:",
        &method.short_circuit,
    )?;
    list(out, "State of charge:", &method.state_of_charge)?;
    if !method.not_in_date.is_empty() {
        list(
            out,
            "NOT IN DATE on the planned day; swap them before the visit:",
            &method.not_in_date,
        )?;
    }
    list(out, "People:", &method.people)?;
    list(out, "Instruments, gloves, aids:", &method.instruments)?;
    list(out, "Tools the steps ask for:", &method.tools)?;
    list(out, "Protective equipment:", &method.protective)?;
    out.line("")?;
    paragraph(
        out,
        "",
        "Lifts foreseen (revised NIOSH equation; team: HSE L23, two thirds of the sum for two, half \
         for three; 1 or less is the goal, above 3 nearly all workers are at increased risk; \
         posture as the plan says it, else assumed: hands 40 cm out, no handles):",
    )?;
    table(
        out,
        &["module", "kg", "index alone", "two, three", "bring"],
        method.lifts.iter().map(|lift| {
            vec![
                lift.module.clone(),
                lift.mass_kg.clone(),
                lift.lifting_index.clone(),
                lift.lifting_index_of_teams.clone(),
                lift.advice.clone(),
            ]
        }),
    )?;
    out.line("")?;
    out.line("Steps in order:")?;
    for step in &method.steps {
        let each = if step.each_module {
            ", each module"
        } else {
            ""
        };
        out.line(&format!("[ ] {}  {}", step.step, step.does))?;
        out.line(&format!("      who: {} ({}{each})", step.who, step.people))?;
        if !step.hazard.is_empty() {
            out.line(&format!("      hazard: {}", step.hazard))?;
        }
        for caution in &step.cautions {
            out.line(&format!("      caution: {caution}"))?;
        }
        for asked in &step.asked {
            out.line(&format!("      asked: {asked}"))?;
        }
        if !step.if_fails.is_empty() {
            out.line(&format!("      if not: {}", step.if_fails))?;
        }
    }
    out.line("")?;
    list(
        out,
        "This project's own numbers, not law, each with its owner:",
        &method.own_numbers,
    )?;
    out.line(
        "A plan, not a permit. The maker's instructions, local code and licensed practice govern.",
    )?;
    Ok(())
}
