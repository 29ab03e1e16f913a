//! One file for each command: it calls an action and shows what it gave.

mod audit;
mod audit_events;
mod calc;
mod check;
mod classify;
mod cosign;
mod explain;
mod hold;
mod interview;
mod issue;
mod key;
mod merge;
mod new;
mod pack;
mod plan;
mod procedure;
mod proof;
mod read_code;
mod receive;
mod register;
mod release;
mod route;
mod rules;
mod run;
mod schema;
mod show;
mod step;
mod stock;
mod verify;

use super::advice::CommandError;
use super::args::Command;
use super::exit::Exit;
use super::output::Answer;
use crate::store::JobFolder;

/// Follows a command.
pub(super) fn follow(command: Command, out: &mut dyn Answer) -> Result<Exit, CommandError> {
    match command {
        Command::Run(args) => {
            let folder = JobFolder::at(&args.job);
            if args.record.is_some() || folder.has_record() {
                run::run(&args, out)
            } else {
                interview::interview(folder, out)
            }
        }
        Command::New(args) => new::new(&args, out),
        Command::Plan(args) => plan::plan(&args, out),
        Command::Step(args) => step::step(&args, out),
        Command::Show(args) => show::show(&args, out),
        Command::Issue(args) => issue::issue(&args, out),
        Command::Pack(args) => pack::pack(&args, out),
        Command::Release(args) => release::release(&args, out),
        Command::Cosign(args) => cosign::cosign(&args, out),
        Command::Merge(args) => merge::merge(&args, out),
        Command::Proof(args) => proof::proof(&args, out),
        Command::Verify(args) => verify::verify(&args, out),
        Command::Audit(args) => match &args.events {
            Some(events) => audit_events::audit_events(events, &args.table, out),
            None => audit::audit(&args, out),
        },
        Command::Classify(args) => classify::classify(&args, out),
        Command::Explain(args) => explain::explain(&args, out),
        Command::Route(args) => route::route(&args, out),
        Command::CheckMark(args) => check::mark(&args, out),
        Command::ReadCode(args) => read_code::read_code(&args, out),
        Command::CheckDocument(args) => check::document(&args, out),
        Command::Load(args) => check::load(&args, out),
        Command::Rules(command) => rules::rules(&command, out),
        Command::Procedure(command) => procedure::procedure(&command, out),
        Command::Receive(args) => receive::receive(&args, out),
        Command::Hold(command) => hold::hold(&command, out),
        Command::Stock(args) => stock::stock(&args, out),
        Command::Register(command) => register::register(&command, out),
        Command::Calc(args) => calc::calc(&args, out),
        Command::Schema(args) => schema::schema(&args, out),
        Command::Key(command) => key::key(&command, out),
    }
}
