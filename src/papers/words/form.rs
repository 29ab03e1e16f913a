//! The form of a table of words: what every language must say. A language is one file with one
//! constant of this type, so the compiler names what it lacks; `every_language_fills_the_same_places`
//! compares the places in its sentences.

use serde::Serialize;

use super::form_site::{FireWords, HoldWords, ReceiptWords};
use super::terms::Terms;
use crate::battery::{Purpose, Soundness};
use crate::papers::manifest::TravelState;
use crate::transport::Mode;

/// The words of every paper in one language.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct Words {
    /// Language, ISO 639-1.
    pub(crate) language: &'static str,
    /// Its name in English, for the command line.
    #[serde(skip)]
    pub(crate) english_name: &'static str,
    /// That sentences of rules, procedures and records are in another; empty in English.
    pub(crate) other_language: &'static str,
    pub(crate) packing_manifest: &'static str,
    pub(crate) transport_document: &'static str,
    pub(crate) labels: &'static str,
    pub(crate) package_label: &'static str,
    pub(crate) method_statement: &'static str,
    pub(crate) inspection_sheet: &'static str,
    pub(crate) cautions_sheet: &'static str,
    pub(crate) page: &'static str,
    pub(crate) of: &'static str,
    pub(crate) issue: &'static str,
    /// The same in a sentence; so the next three.
    pub(crate) issue_in_text: &'static str,
    pub(crate) batteries_in_text: &'static str,
    pub(crate) net_mass_in_text: &'static str,
    pub(crate) gross_mass_in_text: &'static str,
    pub(crate) supersedes: &'static str,
    pub(crate) void: &'static str,
    pub(crate) rule_set: &'static str,
    pub(crate) ledger: &'static str,
    pub(crate) entries: &'static str,
    pub(crate) root: &'static str,
    pub(crate) demo: &'static str,
    pub(crate) from: &'static str,
    pub(crate) to: &'static str,
    pub(crate) site: &'static str,
    pub(crate) job: &'static str,
    pub(crate) carrier: &'static str,
    pub(crate) planned: &'static str,
    pub(crate) rules: &'static str,
    pub(crate) issued: &'static str,
    pub(crate) purpose: &'static str,
    pub(crate) consignor: &'static str,
    pub(crate) consignee: &'static str,
    pub(crate) emergency_contact: &'static str,
    pub(crate) no_telephone: &'static str,
    pub(crate) leg: &'static str,
    pub(crate) day: &'static str,
    pub(crate) package_module: &'static str,
    pub(crate) package: &'static str,
    pub(crate) packages: &'static str,
    pub(crate) modules: &'static str,
    pub(crate) one_module: &'static str,
    pub(crate) module: &'static str,
    pub(crate) model: &'static str,
    pub(crate) energy: &'static str,
    pub(crate) net_mass: &'static str,
    pub(crate) gross_mass: &'static str,
    pub(crate) soundness: &'static str,
    pub(crate) state_of_charge: &'static str,
    pub(crate) identity_unproved: &'static str,
    pub(crate) layer: &'static str,
    pub(crate) total: &'static str,
    pub(crate) count: &'static str,
    pub(crate) seal: &'static str,
    pub(crate) how_packages_travel: &'static str,
    pub(crate) marks: &'static str,
    pub(crate) marks_labels_document: &'static str,
    pub(crate) labels_on: &'static str,
    pub(crate) left_behind: &'static str,
    pub(crate) count_differs: &'static str,
    pub(crate) square_code: &'static str,
    pub(crate) caution: &'static str,
    pub(crate) still_open: &'static str,
    pub(crate) unverified: &'static str,
    pub(crate) technician: &'static str,
    pub(crate) person_in_charge: &'static str,
    pub(crate) signature_date_time: &'static str,
    pub(crate) name_signature_date_time: &'static str,
    pub(crate) carrier_seals: &'static str,
    pub(crate) consignee_seals: &'static str,
    pub(crate) identity_note: &'static str,
    pub(crate) dangerous_goods: &'static str,
    pub(crate) number_and_kind: &'static str,
    pub(crate) batteries: &'static str,
    pub(crate) small_load: &'static str,
    pub(crate) points: &'static str,
    pub(crate) category: &'static str,
    pub(crate) factor: &'static str,
    pub(crate) declaration: &'static str,
    pub(crate) travels_with: &'static str,
    pub(crate) what_is_in_each: &'static str,
    pub(crate) quantity_note: &'static str,
    pub(crate) kinds: &'static str,
    pub(crate) serials: &'static str,
    pub(crate) measure: &'static str,
    pub(crate) measure_title: &'static str,
    pub(crate) upright: &'static str,
    pub(crate) needs_colour: &'static str,
    pub(crate) cargo_aircraft_note: &'static str,
    pub(crate) arrows_note: &'static str,
    pub(crate) does_not_fit: &'static str,
    pub(crate) letters: &'static str,
    pub(crate) or_more: &'static str,
    pub(crate) put_on: &'static str,
    pub(crate) label_sheet: &'static str,
    pub(crate) mass: &'static str,
    pub(crate) not_weighed: &'static str,
    pub(crate) not_known: &'static str,
    pub(crate) taken_as_full: &'static str,
    /// What a per cent of the charge is a share of.
    pub(crate) of_present_capacity: &'static str,
    pub(crate) not_sealed: &'static str,
    pub(crate) live_terminals: &'static str,
    pub(crate) step: &'static str,
    pub(crate) steps: &'static str,
    pub(crate) steps_red_flag: &'static str,
    pub(crate) who: &'static str,
    pub(crate) hazard: &'static str,
    pub(crate) asked: &'static str,
    pub(crate) if_not: &'static str,
    pub(crate) done: &'static str,
    pub(crate) cautions_first: &'static str,
    pub(crate) voltage: &'static str,
    pub(crate) wait: &'static str,
    pub(crate) wait_floor: &'static str,
    pub(crate) not_in_date: &'static str,
    pub(crate) people: &'static str,
    pub(crate) instruments: &'static str,
    pub(crate) tools: &'static str,
    pub(crate) protective: &'static str,
    pub(crate) lifts: &'static str,
    pub(crate) lifting_index: &'static str,
    pub(crate) bring: &'static str,
    pub(crate) own_numbers: &'static str,
    pub(crate) plan_not_permit: &'static str,
    pub(crate) each_module: &'static str,
    pub(crate) procedure: &'static str,
    pub(crate) reading: &'static str,
    pub(crate) value: &'static str,
    pub(crate) time: &'static str,
    pub(crate) temperature_trend: &'static str,
    pub(crate) temperature_axis: &'static str,
    pub(crate) minutes_axis: &'static str,
    pub(crate) face: &'static str,
    pub(crate) air: &'static str,
    pub(crate) charge_curve: &'static str,
    pub(crate) charge_axis: &'static str,
    pub(crate) cell_axis: &'static str,
    pub(crate) one_reading: &'static str,
    pub(crate) no_reading: &'static str,
    pub(crate) no_curve: &'static str,
    pub(crate) findings: &'static str,
    pub(crate) judged: &'static str,
    pub(crate) for_driver: &'static str,
    pub(crate) for_receiver: &'static str,
    pub(crate) if_it_goes_wrong: &'static str,
    pub(crate) on_board: &'static str,
    pub(crate) short_circuit: &'static str,
    pub(crate) charge_asked: &'static str,
    pub(crate) lifting_index_of_teams: &'static str,
    pub(crate) seal_title: &'static str,
    pub(crate) position: &'static str,
    pub(crate) criteria: &'static str,
    pub(crate) covers: &'static str,
    pub(crate) lifted: &'static str,
    pub(crate) photographs: &'static str,
    pub(crate) hottest_face: &'static str,
    pub(crate) air_title: &'static str,
    pub(crate) terminal_voltage: &'static str,
    pub(crate) positive_to_case: &'static str,
    pub(crate) negative_to_case: &'static str,
    pub(crate) insulation: &'static str,
    pub(crate) lowest_cell: &'static str,
    pub(crate) highest_cell: &'static str,
    pub(crate) none: &'static str,
    pub(crate) facts: &'static str,
    pub(crate) what_to_do: &'static str,
    pub(crate) cautions_limits: &'static str,
    pub(crate) gross: &'static str,
    pub(crate) net: &'static str,
    pub(crate) for_purpose: &'static str,
    pub(crate) not_named: &'static str,
    pub(crate) not_planned: &'static str,
    pub(crate) not_issued: &'static str,
    pub(crate) model_not_known: &'static str,
    pub(crate) full: &'static str,
    pub(crate) count_planned: &'static str,
    pub(crate) count_removed: &'static str,
    pub(crate) count_left: &'static str,
    pub(crate) approval_authority: &'static str,
    pub(crate) agreement: &'static str,
    pub(crate) special_permit: &'static str,
    pub(crate) approval_origin: &'static str,
    pub(crate) approval_operator: &'static str,
    pub(crate) good_until: &'static str,
    pub(crate) air_form: &'static str,
    pub(crate) materials_paper: &'static str,
    pub(crate) materials_total: &'static str,
    pub(crate) materials_each: &'static str,
    pub(crate) material: &'static str,
    pub(crate) least_kg: &'static str,
    pub(crate) most_kg: &'static str,
    pub(crate) found_from: &'static str,
    pub(crate) materials_not_known: &'static str,
    pub(crate) recycling_duties: &'static str,
    pub(crate) target: &'static str,
    pub(crate) least_percent: &'static str,
    pub(crate) to_be_met_by: &'static str,
    pub(crate) how_known: &'static str,
    pub(crate) planned_mass: &'static str,
    pub(crate) modules_handed_on: &'static str,
    pub(crate) mass_of: &'static str,
    pub(crate) energy_inside: &'static str,
    pub(crate) curves_used: &'static str,
    pub(crate) charge_remarks: &'static str,
    pub(crate) discharge_record: &'static str,
    pub(crate) when_to_stop: &'static str,
    pub(crate) when_never: &'static str,
    pub(crate) do_not_discharge: &'static str,
    pub(crate) no_discharge_plan: &'static str,
    pub(crate) only_to_be_read: &'static str,
    pub(crate) limit_of_route: &'static str,
    pub(crate) discharge_is_no_permit: &'static str,
    pub(crate) readings_each: &'static str,
    pub(crate) load_and_instruments: &'static str,
    pub(crate) after_the_rest: &'static str,
    pub(crate) minutes: &'static str,
    pub(crate) foreseen_v: &'static str,
    pub(crate) lowest_cell_v: &'static str,
    pub(crate) face_c: &'static str,
    pub(crate) air_c: &'static str,
    #[serde(skip)]
    pub(crate) cautions: CautionWords,
    #[serde(skip)]
    pub(crate) wording_of_method: MethodWords,
    #[serde(skip)]
    pub(crate) wording_of_discharge: DischargeWords,
    #[serde(skip)]
    pub(crate) wording_of_materials: MaterialsWords,
    #[serde(skip)]
    pub(crate) kinds_of_packages: PackageWords,
    #[serde(skip)]
    pub(crate) states: StateWords,
    #[serde(skip)]
    pub(crate) receipt: ReceiptWords,
    #[serde(skip)]
    pub(crate) fire: FireWords,
    #[serde(skip)]
    pub(crate) hold: HoldWords,
    /// Fixed words of other rooms; empty in English.
    #[serde(skip)]
    pub(crate) terms: Terms,
    /// Parts of the refusals that papers show, English beside the language.
    #[serde(skip)]
    pub(crate) reasons: Terms,
    /// Findings of the catalogue by code; empty in English, where the catalogue speaks.
    #[serde(skip)]
    pub(crate) finding_words: Terms,
}

/// Lines of a list, in order.
pub(crate) type Lines = &'static [&'static str];

/// Cautions. Our own words: law, maker and local code come first. Common practice, no source, where
/// nothing else is said.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct CautionWords {
    /// On every manifest.
    pub(crate) manifest: Lines,
    pub(crate) driver: Lines,
    pub(crate) receiver: Lines,
    /// If something goes wrong.
    pub(crate) wrong: Lines,
}

/// Sentences of the method statement.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct MethodWords {
    pub(crate) heading: &'static str,
    pub(crate) volts: &'static str,
    pub(crate) above_split: &'static str,
    pub(crate) live_work: &'static str,
    pub(crate) gloves: &'static str,
    pub(crate) no_shock: &'static str,
    pub(crate) no_figure: &'static str,
    pub(crate) short_circuit: &'static str,
    pub(crate) arc: &'static str,
    pub(crate) no_arc: &'static str,
    pub(crate) above_all_classes: &'static str,
    pub(crate) by_air: &'static str,
    pub(crate) rested_cell: &'static str,
    pub(crate) makers_table: &'static str,
    pub(crate) no_rested_cell: &'static str,
    pub(crate) full_module: &'static str,
    pub(crate) with_load: &'static str,
    pub(crate) not_with_load: &'static str,
    pub(crate) other_proof: &'static str,
    pub(crate) person_until: &'static str,
    pub(crate) ended_on: &'static str,
    pub(crate) two_if_heavy: &'static str,
    pub(crate) not_applicable: &'static str,
    pub(crate) out_of_reach: &'static str,
    pub(crate) weigh_it: &'static str,
    pub(crate) aid_and_look: &'static str,
    pub(crate) aid_nobody: &'static str,
    pub(crate) one_person: &'static str,
    pub(crate) aid_or_people: &'static str,
    pub(crate) aid_or_split: &'static str,
    pub(crate) aid: &'static str,
}

/// Sentences of the discharge record. All limits in them are chosen here.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct DischargeWords {
    /// Who may, and where.
    pub(crate) first: Lines,
    pub(crate) stop: Lines,
    /// Codes of the catalogue in words.
    pub(crate) never: &'static str,
    pub(crate) serial_not_read: &'static str,
    pub(crate) from_the_most: &'static str,
    pub(crate) current: &'static str,
    pub(crate) resistor: &'static str,
    pub(crate) warms: &'static str,
    pub(crate) every_cell: &'static str,
    pub(crate) ends_early: &'static str,
    pub(crate) crew_load: &'static str,
    pub(crate) not_crew_load: &'static str,
    /// Pairs of what is written down by hand.
    pub(crate) to_write: [[&'static str; 2]; 4],
    pub(crate) at_the_end: &'static str,
    pub(crate) after_the_rest: &'static str,
    pub(crate) rest_lfp: &'static str,
    pub(crate) rest_others: &'static str,
    pub(crate) let_it_rest: &'static str,
    pub(crate) rested_cell: &'static str,
    pub(crate) no_rested_cell: &'static str,
    pub(crate) counting: &'static str,
    pub(crate) not_proven: &'static str,
    pub(crate) hours: &'static str,
}

/// Sentences of the materials paper.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct MaterialsWords {
    pub(crate) lto: &'static str,
    pub(crate) lfp: &'static str,
    pub(crate) nmc: &'static str,
    pub(crate) nca: &'static str,
    pub(crate) lco: &'static str,
    pub(crate) lmo: &'static str,
    pub(crate) electrode_not_known: &'static str,
    pub(crate) sodium: &'static str,
    pub(crate) no_table: &'static str,
    pub(crate) ranges: &'static str,
    pub(crate) from_energy: &'static str,
    pub(crate) from_mass: &'static str,
    pub(crate) mass_says_nothing: &'static str,
    /// What (EU) 2025/606 asks; read in its full text.
    pub(crate) duties: Lines,
    pub(crate) serial_not_read: &'static str,
    pub(crate) no_mass: &'static str,
    pub(crate) not_weighed: &'static str,
    pub(crate) no_composition: &'static str,
    pub(crate) leaked: &'static str,
    pub(crate) ask_the_maker: &'static str,
    pub(crate) ratio: &'static str,
    /// What is never known.
    pub(crate) never_known: Lines,
    pub(crate) range: &'static str,
}

/// Kinds of packages: what one is called, what several are.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct PackageWords {
    /// Number, material, kind, code of the mark.
    pub(crate) counted: &'static str,
    pub(crate) drum: [&'static str; 2],
    pub(crate) jerrican: [&'static str; 2],
    pub(crate) package_box: [&'static str; 2],
    pub(crate) large: [&'static str; 2],
    pub(crate) flexible_large: [&'static str; 2],
    pub(crate) open_crate: [&'static str; 2],
    pub(crate) pallet: [&'static str; 2],
    pub(crate) enclosure: [&'static str; 2],
    pub(crate) strong_outer: [&'static str; 2],
    pub(crate) other: [&'static str; 2],
    /// What a packaging is made of, as one says it before its kind, by the letter of its code.
    pub(crate) materials: [(&'static str, &'static str); 9],
}

/// States that stand beside a shape.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct StateWords {
    pub(crate) allowed: &'static str,
    pub(crate) allowed_with: &'static str,
    pub(crate) forbidden: &'static str,
    pub(crate) not_determined: &'static str,
    pub(crate) package_accepted: &'static str,
    pub(crate) package_refused: &'static str,
    pub(crate) package_open: &'static str,
    /// Before the limit of a refusal.
    pub(crate) limit: &'static str,
    /// Between things, any of which will do.
    pub(crate) or: &'static str,
    pub(crate) missing: &'static str,
    /// What does not add up.
    pub(crate) planned_is_not: &'static str,
    pub(crate) removed_is_not: &'static str,
    pub(crate) left_is_not: &'static str,
    pub(crate) not_entered: &'static str,
    pub(crate) letters_at_least: &'static str,
    pub(crate) no_serial: &'static str,
    /// Across papers that are not issued.
    pub(crate) draft: &'static str,
    /// Across papers that make the ones before them void.
    pub(crate) void: &'static str,
    /// In the order of [`Soundness`].
    pub(crate) soundness: [&'static str; 5],
    /// In the order of [`Purpose`].
    pub(crate) purposes: [&'static str; 8],
    /// In the order of [`Mode`].
    pub(crate) modes: [&'static str; 5],
}

impl StateWords {
    pub(crate) const fn mode(&self, mode: Mode) -> &'static str {
        let [cargo_aircraft, passenger_aircraft, rail, road, sea] = self.modes;
        match mode {
            Mode::CargoAircraft => cargo_aircraft,
            Mode::PassengerAircraft => passenger_aircraft,
            Mode::Rail => rail,
            Mode::Road => road,
            Mode::Sea => sea,
        }
    }

    pub(crate) const fn soundness(&self, soundness: Soundness) -> &'static str {
        let [sound, suspect, undiagnosed, damaged, critical] = self.soundness;
        match soundness {
            Soundness::Sound => sound,
            Soundness::Suspect => suspect,
            Soundness::Undiagnosed => undiagnosed,
            Soundness::Damaged => damaged,
            Soundness::Critical => critical,
        }
    }

    pub(crate) const fn purpose(&self, purpose: Purpose) -> &'static str {
        let [
            disposal,
            prototype_test,
            recycling,
            reuse,
            safety_return,
            sorting,
            ordinary_use,
            warranty_return,
        ] = self.purposes;
        match purpose {
            Purpose::Disposal => disposal,
            Purpose::PrototypeTest => prototype_test,
            Purpose::Recycling => recycling,
            Purpose::Reuse => reuse,
            Purpose::SafetyReturn => safety_return,
            Purpose::Sorting => sorting,
            Purpose::Use => ordinary_use,
            Purpose::WarrantyReturn => warranty_return,
        }
    }

    pub(crate) const fn travel(&self, state: TravelState) -> &'static str {
        match state {
            TravelState::Allowed => self.allowed,
            TravelState::AllowedWith => self.allowed_with,
            TravelState::Forbidden => self.forbidden,
            TravelState::NotDetermined => self.not_determined,
        }
    }
}
