//! What leaves the site again: the register's entry first, on disk; then the bundle, which can be
//! made from it at any time.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use serde::Serialize;

use super::ActionError;
use crate::citation::Reason;
use crate::clock::Moment;
use crate::custody::{
    CARRIED_ON, CONSIGNMENT_OPENED, Dispatched, DockPhoto, Handover, LeafRef, Onward, RELEASED,
    Register, RegisterEvent, dispatch, onward,
};
use crate::ledger::{DeviceKey, Draft, Log, Note, Photo, TlogProof, to_hex};
use crate::papers::{onward_document, onward_table};
use crate::store::bag::{
    BagToWrite, CHECKPOINT, CONSIGNMENT, Content, file_in, file_name_of, proof_file, write_bag,
};
use crate::store::{OpenRegister, RegisterFolder, StoreError, plain, signing_key};

/// What was sent on.
#[derive(Debug, Clone, Serialize)]
pub struct SentOn {
    /// What was handed over.
    pub handover: Handover,
    /// The bundle.
    pub bundle: PathBuf,
    /// Entries of the consignment's log.
    pub size: u64,
    /// Root over them, lower-case hexadecimal.
    pub root: String,
    /// Whether the site is invented, so that nothing is proved.
    pub demo: bool,
}

/// Sends modules onward and writes their hand-over bundle into `out`, else into `dispatches/` of
/// the register.
///
/// # Errors
/// A register that cannot be opened or is being written elsewhere.
pub fn dispatch_stock(
    folder: &RegisterFolder,
    what: &[String],
    going: &Dispatched,
    at: Moment,
    out: Option<&Path>,
) -> Result<Result<SentOn, Vec<Reason>>, ActionError> {
    let (given, open) = folder.write(at, &going.released_by, |open| {
        dispatch(&open.register, &open.site, what, going, at)
            .map(|events| ((), plain(events)))
            .map_err(|reasons| (reasons, Vec::new()))
    })?;
    Ok(match given {
        Ok(()) => Ok(bundle(folder, &open, None, out)?),
        Err(why) => Err(why),
    })
}

/// Writes the bundle of an earlier consignment again, the same bytes.
///
/// # Errors
/// A register that cannot be opened.
pub fn rewrite_dispatch(
    folder: &RegisterFolder,
    number: usize,
    out: Option<&Path>,
) -> Result<Result<SentOn, Vec<Reason>>, ActionError> {
    let open = folder.open()?;
    let sent = dispatches(&open);
    if number == 0 || number > sent.len() {
        return Ok(Err(vec![
            Reason::new("consignment", number.to_string())
                .limit(format!("1 to {}, as the register has them", sent.len()))
                .way_out("`packdown stock dispatch` makes a new one"),
        ]));
    }
    Ok(Ok(bundle(folder, &open, Some(number), out)?))
}

/// Places of the entries that sent something on.
fn dispatches(open: &OpenRegister) -> Vec<usize> {
    let entries = open.log.entries().iter().enumerate();
    entries
        .filter(|(_, entry)| entry.kind == "dispatched")
        .map(|(at, _)| at)
        .collect()
}

fn bundle(
    folder: &RegisterFolder,
    open: &OpenRegister,
    number: Option<usize>,
    out: Option<&Path>,
) -> Result<SentOn, ActionError> {
    let sent = dispatches(open);
    let number = number.unwrap_or(sent.len());
    let consignment = number
        .checked_sub(1)
        .and_then(|n| sent.get(n))
        .and_then(|at| consignment(open, *at, number))
        .ok_or_else(|| {
            StoreError::input(
                folder.path().display(),
                "dispatched",
                "no consignment can be read from this entry",
            )
        })?;
    let key = signing_key(consignment.opened.demo)?;
    let (log, lines, handover) = log_of(consignment, &key)?;
    let note = log.checkpoint(&key)?;
    let bag = bag_of(folder, open, &log, &lines, &handover, &note, &key)?;
    let out = out.map_or_else(|| folder.path().join("dispatches"), Path::to_path_buf);
    std::fs::create_dir_all(&out).map_err(StoreError::file(&out))?;
    let path = out.join(format!("{}.zip", bag.base));
    write_bag(&path, bag)?;
    Ok(SentOn {
        bundle: path,
        size: log.len(),
        root: to_hex(&log.root()),
        demo: open.site.demo,
        handover,
    })
}

/// The consignment of the register's entry at `at`, with the register as it was then.
fn consignment(open: &OpenRegister, at: usize, number: usize) -> Option<Onward> {
    let entry = open.log.entries().get(at)?;
    let Ok(Some(RegisterEvent::Dispatched(dispatched))) =
        RegisterEvent::read(&entry.kind, &entry.body)
    else {
        return None;
    };
    let then = Register::fold(open.log.entries().iter().take(at + 1));
    let leaf = LeafRef {
        log: open.log.origin().to_owned(),
        seq: entry.seq,
        leaf_hash: to_hex(&open.log.leaf(entry.seq)?),
    };
    let site = then.site.as_ref()?;
    Some(onward(
        &then,
        site,
        &dispatched,
        leaf,
        number,
        entry.moment(),
    ))
}

/// The log of a consignment, its lines, and the hand-over with the places of its modules.
fn log_of(consignment: Onward, key: &DeviceKey) -> Result<(Log, String, Handover), ActionError> {
    let Onward {
        opened,
        carried,
        mut handover,
    } = consignment;
    let mut log = Log::open(key.name())?;
    let mut lines = String::new();
    let mut add = |kind: &str, body: serde_json::Value, refs: Vec<String>, photos: &[DockPhoto]| {
        let appended = log.append(Draft {
            time: handover.at,
            actor: handover.released_by.clone(),
            kind: kind.to_owned(),
            body,
            refs,
            photos: photos.iter().map(Photo::from).collect(),
        })?;
        lines.push_str(&appended.line);
        Ok::<LeafRef, ActionError>(LeafRef {
            log: key.name().to_owned(),
            seq: appended.seq,
            leaf_hash: to_hex(&appended.leaf),
        })
    };
    let register = opened.register.leaf_hash.clone();
    add(
        CONSIGNMENT_OPENED,
        serde_json::to_value(&opened)?,
        vec![register.clone()],
        &[],
    )?;
    let mut places = Vec::with_capacity(carried.len());
    for one in &carried {
        let released = one.released.iter().map(|leaf| leaf.leaf_hash.clone());
        places.push(add(
            CARRIED_ON,
            serde_json::to_value(one)?,
            released.collect(),
            &one.photos,
        )?);
    }
    let mut said = handover.clone();
    let modules = said.packages.iter_mut().flat_map(|one| &mut one.modules);
    for (module, place) in modules.zip(places) {
        module.last_entry = place;
    }
    add(RELEASED, serde_json::to_value(&said)?, vec![register], &[])?;
    handover = said;
    Ok((log, lines, handover))
}

fn bag_of(
    folder: &RegisterFolder,
    open: &OpenRegister,
    log: &Log,
    lines: &str,
    handover: &Handover,
    note: &Note,
    key: &DeviceKey,
) -> Result<BagToWrite, ActionError> {
    let bytes = |text: String| Content::Bytes(text.into_bytes());
    let opened = log.entries().first().map(|entry| &entry.body);
    let origin = file_name_of(log.origin());
    let inside = |name: &str| name.strip_prefix("data/").unwrap_or(name).to_owned();
    let mut payload = vec![
        (
            "handover.json".to_owned(),
            bytes(serde_json::to_string_pretty(handover)? + "\n"),
        ),
        (
            inside(CONSIGNMENT),
            bytes(serde_json::to_string_pretty(&opened)? + "\n"),
        ),
        (format!("log/{origin}.jsonl"), bytes(lines.to_owned())),
        (
            format!("log/{origin}.vkey"),
            bytes(format!("{}\n", key.verifier())),
        ),
    ];
    let (table, datapackage) = onward_table(log)?;
    payload.push(("custody.csv".to_owned(), bytes(table)));
    payload.push(("datapackage.json".to_owned(), bytes(datapackage)));
    let events = onward_document(log, &handover.job, handover.at)?;
    payload.push(("epcis.jsonld".to_owned(), bytes(events)));
    let photos: BTreeSet<&str> = log
        .entries()
        .iter()
        .flat_map(|entry| entry.photos.iter().map(|photo| photo.file.as_str()))
        .collect();
    for photo in photos {
        // One that is gone is said when the bundle is opened.
        let path = folder.path().join("photos").join(photo);
        if path.is_file() {
            payload.push((format!("photos/{photo}"), Content::File(path)));
        }
    }
    let last = log.len().saturating_sub(1);
    for (_, module) in handover.modules() {
        let proofs: String = [module.last_entry.seq, last]
            .into_iter()
            .filter_map(|seq| TlogProof::of(log, seq, note))
            .map(|proof| proof.to_string())
            .collect();
        payload.push((inside(&proof_file(&module.identity)), bytes(proofs)));
        payload.extend(earlier(folder, open, &module.identity)?);
    }
    let name = format!("{}-{}", handover.job, handover.number);
    let invented = if open.site.demo {
        "INVENTED, proves nothing: "
    } else {
        ""
    };
    Ok(BagToWrite {
        base: name.clone(),
        info: vec![
            ("Source-Organization", handover.from.name.clone()),
            ("Organization-Address", handover.from.address.clone()),
            (
                "External-Description",
                format!(
                    "{invented}{} battery modules sent on, to {}",
                    handover.modules().count(),
                    handover.to.name
                ),
            ),
            ("External-Identifier", name),
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

/// The proofs of a module from the bundle it came in, so that its way from the wall can be checked
/// without the records of its sender's other modules.
fn earlier(
    folder: &RegisterFolder,
    open: &OpenRegister,
    identity: &str,
) -> Result<Option<(String, Content)>, ActionError> {
    let Some(item) = open.register.item(identity) else {
        return Ok(None);
    };
    let Some(receipt) = open.register.receipts.get(&item.receipt) else {
        return Ok(None);
    };
    let handover = &receipt.opened.handover;
    let name = file_name_of(&format!("{}-{}", handover.job, handover.number));
    let path = folder.path().join(format!("bundles/{name}.zip"));
    if receipt.opened.released.is_none() || !path.is_file() {
        return Ok(None);
    }
    let mut names = item.also.iter().chain([&item.arrived.identity]);
    let stated = names.find(|name| handover.module(name).is_some());
    let Some(stated) = stated else {
        return Ok(None);
    };
    let proofs = file_in(&path, &proof_file(stated))?;
    Ok(proofs.map(|bytes| {
        let place = format!("earlier/{name}/{}.tlog-proof", file_name_of(stated));
        (place, Content::Bytes(bytes))
    }))
}
