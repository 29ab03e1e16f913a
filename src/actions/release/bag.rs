//! What goes into a bundle, all taken from the job's folder and its log up to the hand-over.

use std::collections::BTreeMap;

use crate::actions::ActionError;
use crate::citation::Reason;
use crate::custody::Handover;
use crate::job::{OpenedBody, module_entries};
use crate::ledger::{DeviceKey, Log, Note, TlogProof, sha256, to_hex};
use crate::papers::{custody_table, event_document};
use crate::store::bag::{BagToWrite, CHECKPOINT, Content, file_name_of, proof_file};
use crate::store::{JobFolder, OpenJob, RULES_FILE, StoreError, issue_folder};

/// The bundle of `handover`, which is the last entry of `open.log`; `lines` are the bytes of it.
pub(super) fn bag_of(
    folder: &JobFolder,
    open: &OpenJob,
    handover: &Handover,
    lines: &[u8],
    note: &Note,
    key: &DeviceKey,
) -> Result<BagToWrite, ActionError> {
    let log = &open.log;
    let mut payload = vec![(
        "handover.json".to_owned(),
        Content::Bytes(pretty(handover)?),
    )];
    let opened = log.entries().first().map(|entry| entry.body.clone());
    let opened: OpenedBody = serde_json::from_value(opened.unwrap_or_default())?;
    payload.push(("job.json".to_owned(), Content::Bytes(pretty(&opened.plan)?)));
    let (table, datapackage) = custody_table(&open.job, log)?;
    let events = event_document(&open.job, log, handover.at)?;
    for (name, text) in [
        ("custody.csv", table),
        ("datapackage.json", datapackage),
        ("epcis.jsonld", events),
    ] {
        payload.push((name.to_owned(), Content::Bytes(text.into_bytes())));
    }
    let origin = file_name_of(log.origin());
    payload.push((
        format!("log/{origin}.jsonl"),
        Content::Bytes(lines.to_vec()),
    ));
    let public = format!("{}\n", key.verifier());
    payload.push((
        format!("log/{origin}.vkey"),
        Content::Bytes(public.into_bytes()),
    ));
    payload.extend(papers(folder, handover)?);
    payload.extend(photos(folder, log)?);
    payload.extend(proofs(open, handover, note)?);
    // What the job was opened with: without it, its entries cannot be played again once what ships
    // has changed. The user's own files beside it, for people.
    for name in ["procedure.toml", "settings.toml", RULES_FILE] {
        let path = folder.file(name);
        if path.exists() {
            payload.push((name.to_owned(), Content::File(path)));
        }
    }
    let plan = &opened.plan;
    Ok(BagToWrite {
        base: name_of(handover),
        info: vec![
            ("Source-Organization", plan.consignor.name.clone()),
            ("Organization-Address", plan.consignor.address.clone()),
            ("External-Description", description(handover, plan.demo)),
            ("External-Identifier", name_of(handover)),
            ("Bagging-Date", handover.at.local_day().to_string()),
            (
                "Bag-Software-Agent",
                format!("packdown {}", env!("CARGO_PKG_VERSION")),
            ),
        ],
        tags: vec![(CHECKPOINT, note.to_string().into_bytes())],
        payload,
    })
}

/// Name of a bundle and of the folder in it.
pub(super) fn name_of(handover: &Handover) -> String {
    format!("{}-{}", handover.job, handover.number)
}

fn description(handover: &Handover, demo: bool) -> String {
    format!(
        "{}{} packages, {} battery modules, to {}",
        if demo {
            "INVENTED, proves nothing: "
        } else {
            ""
        },
        handover.packages.len(),
        handover.modules().count(),
        handover.to.name
    )
}

fn pretty(value: &impl serde::Serialize) -> Result<Vec<u8>, ActionError> {
    let mut bytes = serde_json::to_vec_pretty(value)?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// The papers as they were issued; one that was changed since does not go along.
fn papers(folder: &JobFolder, handover: &Handover) -> Result<Vec<(String, Content)>, ActionError> {
    handover
        .papers
        .iter()
        .map(|paper| {
            let kept = issue_folder(folder, paper.issue).join(&paper.name);
            let path = if kept.exists() {
                kept
            } else {
                folder.file(&paper.name)
            };
            let bytes = std::fs::read(&path).map_err(StoreError::file(&path))?;
            if to_hex(&sha256(&bytes)) != paper.sha256 {
                return Err(ActionError::Handover(
                    Reason::new(
                        format!("paper {}", paper.name),
                        "changed since it was issued",
                    )
                    .limit(format!("the text of issue {}", paper.issue))
                    .way_out("`packdown issue` issues the papers anew"),
                ));
            }
            Ok((format!("papers/{}", paper.name), Content::Bytes(bytes)))
        })
        .collect()
}

/// Photographs that the log names and that lie in the folder. One that is not there is said when
/// the bundle is opened; one that was changed stops the hand-over.
fn photos(folder: &JobFolder, log: &Log) -> Result<Vec<(String, Content)>, ActionError> {
    let mut named: BTreeMap<&str, &str> = BTreeMap::new();
    for photo in log.entries().iter().flat_map(|entry| &entry.photos) {
        let plain = !photo.file.contains(['/', '\\']) && !photo.file.starts_with('.');
        if plain && folder.file("photos").join(&photo.file).is_file() {
            named.insert(&photo.file, &photo.sha256);
        }
    }
    named
        .into_iter()
        .map(|(file, sha256_hex)| {
            let path = folder.file("photos").join(file);
            let bytes = std::fs::read(&path).map_err(StoreError::file(&path))?;
            if to_hex(&sha256(&bytes)) != sha256_hex {
                return Err(ActionError::Handover(
                    Reason::new(
                        format!("photograph {file}"),
                        "changed since it was taken up",
                    )
                    .limit("the file that the log names")
                    .way_out("put the original back into `photos/`"),
                ));
            }
            Ok((format!("photos/{file}"), Content::File(path)))
        })
        .collect()
}

/// For each module that leaves, the proofs of its entries.
fn proofs(
    open: &OpenJob,
    handover: &Handover,
    note: &Note,
) -> Result<Vec<(String, Content)>, ActionError> {
    let mut files = Vec::new();
    for (n, planned) in open.job.frame().modules.iter().enumerate() {
        let (identity, _) = open.job.identity(n);
        if handover.module(&identity).is_none() {
            continue;
        }
        let text: String = module_entries(&open.log, &planned.id)
            .into_iter()
            .filter_map(|seq| TlogProof::of(&open.log, seq, note))
            .map(|proof| proof.to_string())
            .collect();
        let name = proof_file(&identity);
        let name = name.strip_prefix("data/").unwrap_or(&name).to_owned();
        files.push((name, Content::Bytes(text.into_bytes())));
    }
    Ok(files)
}
