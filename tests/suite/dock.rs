//! A site, a hand-over and a register to receive with, as values and as a folder.

use packdown::clock::Moment;
use packdown::custody::{
    Arrived, Expected, HandedModule, HandedPackage, Handover, LeafRef, Organisation, Register,
    RegisterEvent, Scan, SealFound, SealState, Site, Subject, Tolerances,
};
use packdown::procedure::Settings;

use crate::program::{Bench, Ran};

/// A time.
pub(crate) fn at(text: &str) -> Moment {
    text.parse().unwrap()
}

/// Noon of the day on which the load of these tests comes.
pub(crate) const NOON: &str = "2026-03-02T12:00:00+00:00";

/// Tolerances as they ship.
pub(crate) fn tolerances() -> Tolerances {
    Tolerances::from(&Settings::shipped_for_sites().unwrap())
}

/// `site.json` of an invented site in `region`.
pub(crate) fn site_json(region: &str) -> String {
    format!(
        r#"{{
  "format": "1.0", "site": "TST", "demo": true, "name": "Test yard", "address": "Lane 1",
  "country": "XX", "region": "{region}",
  "people": [
    {{ "id": "ada", "name": "Ada One", "competences": [
      {{ "role": "warehouse_receiver", "covers": "all", "expires_on": "2099-01-31" }} ] }},
    {{ "id": "ben", "name": "Ben Two", "competences": [
      {{ "role": "compliance_officer", "covers": "all", "expires_on": "2099-01-31" }} ] }},
    {{ "id": "cleo", "name": "Cleo Three", "competences": [
      {{ "role": "warehouse_receiver", "covers": "all", "expires_on": "2026-01-31" }} ] }},
    {{ "id": "dov", "name": "Dov Four", "competences": [
      {{ "role": "warehouse_receiver", "covers": "all", "expires_on": "2099-01-31" }} ] }}
  ],
  "bays": [
    {{ "id": "A", "kind": "normal", "limits": {{ "pieces": 3, "mass_kg": 150, "energy_kwh": 15 }} }},
    {{ "id": "B", "kind": "normal", "limits": {{ "volume_m3": 1 }} }},
    {{ "id": "H", "kind": "hold" }},
    {{ "id": "Y", "kind": "outdoor" }}
  ]
}}"#
    )
}

pub(crate) fn site(region: &str) -> Site {
    Site::read(&site_json(region)).unwrap()
}

fn module(identity: &str) -> HandedModule {
    HandedModule {
        identity: identity.into(),
        serial_readable: true,
        chemistry: Some("lithium_ion".into()),
        cell_kind: None,
        soundness: "sound".into(),
        rated_energy_wh: Some("5000".parse().unwrap()),
        net_mass_kg: Some("48.0".parse().unwrap()),
        state_of_charge_low_percent: None,
        state_of_charge_high_percent: None,
        surface_temperature_c: Some("15.0".parse().unwrap()),
        un: Some("3480".into()),
        shipping_name: None,
        hold: None,
        last_entry: LeafRef {
            log: "sender.invalid/log".into(),
            seq: 7,
            leaf_hash: "ab".repeat(32),
        },
    }
}

/// A hand-over of three packages: P1 with M1, P2 with M2, P3 with M3 and M4.
pub(crate) fn handover() -> Handover {
    let package = |id: &str, seal: &str, modules: &[&str]| HandedPackage {
        id: id.into(),
        sscc: None,
        seal: Some(seal.into()),
        net_mass_kg: None,
        gross_mass_kg: Some("64.0".parse().unwrap()),
        condition: "dry and closed".into(),
        surface_temperature_c: Some("14.0".parse().unwrap()),
        modules: modules.iter().map(|one| module(one)).collect(),
    };
    let organisation = |name: &str| Organisation {
        name: name.into(),
        address: "Road 2".into(),
        country: None,
    };
    Handover {
        number: 1,
        job: "JOB-1".into(),
        at: at("2026-03-02T09:00:00+00:00"),
        place: "the yard".into(),
        from: organisation("Sender works"),
        released_by: "Sam Sender".into(),
        to: organisation("Test yard"),
        taken_by: "Dan Driver".into(),
        taken_by_organisation: None,
        vehicle: None,
        purpose: "recycling".into(),
        kept: None,
        warmest_c: None,
        packages: vec![
            package("P1", "S1", &["MOD-0001"]),
            package("P2", "S2", &["MOD-0002"]),
            package("P3", "S3", &["MOD-0003", "MOD-0004"]),
        ],
        papers: Vec::new(),
        remarks: None,
    }
}

/// Scans of a load that is as stated, everything looked at.
pub(crate) fn clean_scans() -> Vec<Scan> {
    let mut load = Scan::of(Subject::Load);
    load.sight = false;
    load.count = Some(3);
    load.air_c = Some("12.0".parse().unwrap());
    let mut scans = vec![load];
    for (id, seal) in [("P1", "S1"), ("P2", "S2"), ("P3", "S3")] {
        let mut scan = Scan::of(Subject::Package(id.into()));
        scan.seal = Some(SealFound {
            state: SealState::Intact,
            number: Some(seal.into()),
        });
        scan.gross_mass_kg = Some("64.2".parse().unwrap());
        scan.temperature_c = Some("13.5".parse().unwrap());
        scan.damage = Some(Vec::new());
        scan.volume_m3 = Some("0.2".parse().unwrap());
        scans.push(scan);
    }
    scans
}

/// What comparing gives.
pub(crate) fn compared(handover: &Handover, scans: &[Scan]) -> packdown::custody::Compared {
    packdown::custody::compare(&Expected::from(handover), scans, &tolerances(), &|_| None)
}

/// A register whose events are applied one after the other; the helper of most tests.
pub(crate) struct Book {
    pub(crate) site: Site,
    pub(crate) register: Register,
    pub(crate) now: Moment,
}

impl Book {
    pub(crate) fn new(region: &str) -> Self {
        let site = site(region);
        let register = Register {
            site: Some(site.clone()),
            ..Register::default()
        };
        Self {
            site,
            register,
            now: at(NOON),
        }
    }

    pub(crate) fn apply(&mut self, events: Vec<RegisterEvent>) {
        for event in events {
            self.register.apply(&event, self.now, "ada").unwrap();
        }
    }

    /// Opens a receipt of `handover`.
    pub(crate) fn open(&mut self, handover: &Handover) -> String {
        let opened = packdown::custody::ReceiptOpened {
            receipt: self.register.next_receipt(),
            handover: handover.clone(),
            source: "load.zip".into(),
            proof: "test".into(),
            released: Some(LeafRef {
                log: "sender.invalid/log".into(),
                seq: 9,
                leaf_hash: packdown::ledger::to_hex(&packdown::ledger::sha256(
                    format!("{}-{}", handover.job, handover.number).as_bytes(),
                )),
            }),
            checkpoint: None,
            delivered_by: "Dan Driver".into(),
            vehicle: None,
        };
        let name = opened.receipt.clone();
        match packdown::custody::open(
            &self.register,
            &self.site,
            &tolerances(),
            opened,
            "ada",
            self.now,
        ) {
            Ok(packdown::custody::Opening::New(event)) => self.apply(vec![event]),
            other => panic!("{other:?}"),
        }
        name
    }

    /// Receives `handover` with `scans` into `bay`.
    pub(crate) fn receive(
        &mut self,
        handover: &Handover,
        scans: Vec<Scan>,
        bay: Option<&str>,
    ) -> packdown::custody::Closing {
        let name = self.open(handover);
        let events = packdown::custody::scan_all(&self.register, &self.site, &name, scans).unwrap();
        self.apply(events);
        let closing = packdown::custody::close(
            &self.register,
            &self.site,
            &tolerances(),
            &name,
            "ada",
            bay,
            self.now,
        )
        .unwrap();
        self.apply(closing.events.clone());
        closing
    }
}

/// The one that arrived under `identity`.
pub(crate) fn arrived<'a>(closing: &'a packdown::custody::Closing, identity: &str) -> &'a Arrived {
    closing
        .arrived
        .iter()
        .find(|one| one.identity == identity)
        .unwrap()
}

/// Receives `load.json` at noon into the register `reg`, as its clerk types.
pub(crate) fn receive(bench: &Bench, more: &[&str], input: &str) -> Ran {
    let mut arguments = vec![
        "receive",
        "load.json",
        "--register",
        "reg",
        "--by",
        "ada",
        "--delivered-by",
        "Dan Driver",
        "--at",
        NOON,
    ];
    arguments.extend(more);
    bench.run_with_input(&arguments, input)
}

/// Opens the register `reg` of the site in the US, with the load of [`handover`] beside it.
pub(crate) fn open_register(bench: &Bench) {
    std::fs::create_dir_all(bench.path("reg")).unwrap();
    bench.write("reg/site.json", site_json("us"));
    bench.write(
        "load.json",
        serde_json::to_string_pretty(&handover()).unwrap(),
    );
    assert_eq!(bench.run(&["register", "open", "reg"]).code, 0);
}
