//! `packdown new`: the plan of a job after the manner of an earlier one.

use crate::actions;
use crate::cli::advice::CommandError;
use crate::cli::args::{Format, NewArgs};
use crate::cli::exit::Exit;
use crate::cli::output::{Answer, json, list};
use crate::job::{NewJob, Site};
use crate::store::JobFolder;

pub(super) fn new(args: &NewArgs, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    let serials = match (&args.serials, args.modules) {
        (Some(file), _) => actions::serials_in(file)?,
        (None, Some(number)) => vec![None; number],
        (None, None) => {
            return Err(CommandError::Argument(
                "say how many modules there are with --modules, or name them with --serials".into(),
            ));
        }
    };
    let voltage = args.max_voltage.as_deref().map(|text| {
        text.parse()
            .map_err(|error| CommandError::Argument(format!("--max-voltage: {error}")))
    });
    let new = NewJob {
        job: args.name.clone(),
        planned_on: args.on,
        site: Site {
            name: args.site.clone(),
            address: args.address.clone(),
            country: args.country.clone(),
        },
        battery: args.battery.clone(),
        serials,
        max_voltage_v: voltage.transpose()?,
    };
    let folder = JobFolder::at(&args.job);
    let begun = actions::new_job(&folder, &args.like, &new)?;
    let file = folder.file("job.json");
    if out.format() == Format::Json {
        json(
            out,
            &serde_json::json!({ "written": file, "plan": begun.plan, "look_at": begun.open }),
        )?;
        return Ok(Exit::Done);
    }
    out.line(&format!(
        "Written: {}, {} modules, by {}",
        file.display(),
        begun.plan.modules.len(),
        begun.plan.procedure_name()
    ))?;
    list(out, "Left open, or to be looked at:", &begun.open)?;
    out.line("Then `packdown plan` prints the method statement.")?;
    Ok(Exit::Done)
}
