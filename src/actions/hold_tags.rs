//! Prints the tags of held modules, at the dock or anew.

use std::path::{Path, PathBuf};

use serde::Serialize;

use super::ActionError;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{HOLDERS, Item, verdict};
use crate::inspection::{DueState, finding};
use crate::papers::pdf::Stock;
use crate::papers::{HoldTag, Language, OFFICER, hold_tags_html, hold_tags_pdf};
use crate::procedure::Role;
use crate::store::{OpenRegister, RegisterFolder, StoreError, replace};

/// What was printed.
#[derive(Debug, Clone, Serialize)]
pub struct TagsPrinted {
    /// The tags.
    pub tags: Vec<HoldTag>,
    /// The files.
    pub files: Vec<PathBuf>,
}

/// Prints a tag for each of `names`, or for every held module, into the folder `out`.
///
/// # Errors
/// A register that cannot be opened, or a folder that cannot be written.
pub fn print_hold_tags(
    folder: &RegisterFolder,
    names: &[String],
    out: &Path,
    now: Moment,
    language: Language,
    stock: Stock,
) -> Result<Result<TagsPrinted, Vec<Reason>>, ActionError> {
    let open = folder.open()?;
    let mut tags = Vec::new();
    let mut no = Vec::new();
    if names.is_empty() {
        tags.extend(
            open.register
                .on_site()
                .into_iter()
                .filter_map(|item| tag(&open, item, now)),
        );
    }
    for name in names {
        let item = open.register.item(name);
        match item.and_then(|item| tag(&open, item, now)) {
            Some(tag) => tags.push(tag),
            None => no.push(
                Reason::new(name.clone(), "is not held here")
                    .limit("a module in the hold")
                    .way_out("`packdown hold list` names them"),
            ),
        }
    }
    if tags.is_empty() && no.is_empty() {
        no.push(Reason::new("held modules", "none").way_out("nothing is to be tagged"));
    }
    if !no.is_empty() {
        return Ok(Err(no));
    }
    std::fs::create_dir_all(out).map_err(StoreError::file(out))?;
    let mut files = Vec::new();
    for (name, bytes) in [
        (
            "hold-tags.html",
            hold_tags_html(&tags, language, stock)?.into_bytes(),
        ),
        ("hold-tags.pdf", hold_tags_pdf(&tags, language, stock)?),
    ] {
        let path = out.join(name);
        replace(&path, &bytes)?;
        files.push(path);
    }
    Ok(Ok(TagsPrinted { tags, files }))
}

fn tag(open: &OpenRegister, item: &Item, now: Moment) -> Option<HoldTag> {
    let hold = item.hold.as_ref()?;
    let verdict = verdict(item, &open.tolerances, now)?;
    let day = now.local_day();
    let due = verdict
        .due
        .iter()
        .filter(|due| due.state != DueState::Taken);
    let people = open.site.people.iter();
    let may_clear = people.filter_map(|person| {
        person.competence(&HOLDERS, day)?;
        let officer = person.competence(&[Role::ComplianceOfficer], day).is_some();
        let office = if officer { OFFICER } else { "" };
        Some(format!("{}{office}", person.name))
    });
    let last = hold
        .readings
        .iter()
        .rev()
        .find_map(|(at, one)| Some(format!("{} °C, {at}", one.surface_temperature_c?)));
    Some(HoldTag {
        identity: item.arrived.identity.clone(),
        site: open.site.name.clone(),
        bay: item.bay.clone().unwrap_or_default(),
        soundness: verdict.soundness.word().to_owned(),
        since: hold.since.to_string(),
        reason: hold.reason.clone(),
        findings: hold
            .findings
            .iter()
            .map(|code| match finding(code) {
                Ok(known) => format!("{code} {}", known.words),
                Err(_) => code.clone(),
            })
            .collect(),
        last: last.unwrap_or_default(),
        due: due.map(|due| due.at.to_string()).take(3).collect(),
        not_before: verdict.not_before.to_string(),
        may_clear: may_clear.collect(),
        printed: now.to_string(),
        demo: open.site.demo,
    })
}
