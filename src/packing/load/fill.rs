//! Which modules are alike, and why some may not go together into a packaging: mass, number, energy,
//! room, and the law, which is asked for every module on every leg.

use super::piece::Piece;
use super::room::{Arrangement, ROOM, arrange};
use super::stock::{Packaging, Stock};
use crate::citation::Reason;
use crate::transport::{Answer, PackageAnswer, decide_untraced};
use crate::units::{Grams, MilliwattHours};

/// Modules that are alike in everything that counts.
#[derive(Clone)]
pub(super) struct Alike<'a> {
    /// What they may share a package with: the same words.
    pub(super) company: String,
    pub(super) pieces: Vec<&'a Piece>,
    /// The law is asked for these: where masses or charges differ, for the ends of both.
    witnesses: Vec<&'a Piece>,
    /// Of the heaviest, for each of them.
    pub(super) mass: i64,
    pub(super) energy: Option<i64>,
    pub(super) size: [u32; 3],
}

/// The piece with its numbers, or why it cannot be packed at all.
pub(super) fn ready<'a>(piece: &'a Piece, stock: &Stock) -> Result<Alike<'a>, Vec<Reason>> {
    let unknown = |what: &str, way_out: &str| Reason::new(what, "not known").way_out(way_out);
    let mut reasons = Vec::new();
    if piece.mass().is_none() {
        reasons.push(unknown("mass of the module", "weigh it"));
    }
    if piece.size_mm.is_none() {
        reasons.push(unknown(
            "size of the module",
            "measure it, and list it in modules.csv: module or model, length_mm, width_mm, height_mm",
        ));
    }
    let mut company = Vec::new();
    for facts in &piece.legs {
        let decision = decide_untraced(facts);
        if decision.answer == Answer::Forbidden {
            reasons.extend(decision.reasons);
            continue;
        }
        let entry = decision
            .entry
            .map_or(String::new(), |entry| entry.un.into_owned());
        let word = |known: Option<String>| known.unwrap_or_else(|| "not known".into());
        company.push(format!(
            "{}, for {}, {} {entry}, {}",
            word(facts.item.soundness.map(|one| one.to_string())),
            word(facts.item.purpose.map(|one| one.to_string())),
            facts.regime,
            decision.packing_instructions.join(" or "),
        ));
    }
    let (Some(mass), Some(size), true) = (piece.mass(), piece.size_mm, reasons.is_empty()) else {
        return Err(reasons);
    };
    let one = Alike {
        company: company.join("; "),
        pieces: vec![piece],
        witnesses: vec![piece],
        mass: mass.as_thousandths(),
        energy: piece.energy().map(MilliwattHours::as_thousandths),
        size,
    };
    // Alone in a packaging of each design: where none takes it, say what each lacks.
    let refusals: Vec<Vec<Reason>> = stock
        .packagings
        .iter()
        .map(|packaging| {
            fit(packaging, std::slice::from_ref(&one), &[1])
                .err()
                .unwrap_or_default()
        })
        .collect();
    if refusals.iter().any(Vec::is_empty) {
        return Ok(one);
    }
    let mut reasons: Vec<Reason> = Vec::new();
    for (packaging, refused) in stock.packagings.iter().zip(refusals) {
        if let Some(mut reason) = refused.into_iter().next() {
            reason.what = format!("{}: {}", packaging.id, reason.what);
            reasons.push(reason);
        }
    }
    if reasons.is_empty() {
        reasons
            .push(Reason::new("packagings at hand", "none").way_out("list them in packagings.csv"));
    }
    Err(reasons)
}

/// What makes two modules one and the same to the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sameness {
    /// Everything but the name.
    Exact,
    /// Of one type and condition; masses and charges as they were read may differ a little.
    OfOneType,
}

/// How far apart the masses of one type may be, in grams.
const SPREAD: i64 = 1_000;

impl Sameness {
    pub(super) fn holds(self, a: &Alike<'_>, b: &Alike<'_>) -> bool {
        let (Some(first), Some(second)) = (a.pieces.first(), b.pieces.first()) else {
            return false;
        };
        let facts = |piece: &Piece| {
            let mut legs = piece.legs.clone();
            for leg in &mut legs {
                leg.id = None;
                if self == Self::OfOneType {
                    leg.item.net_mass_kg = None;
                    leg.item.state_of_charge_percent = None;
                }
            }
            legs
        };
        a.company == b.company
            && first.size_mm == second.size_mm
            && first.may_lie == second.may_lie
            && first.stack_load == second.stack_load
            && first.terminals_on_top == second.terminals_on_top
            && a.pieces
                .iter()
                .all(|one| grams(one).abs_diff(b.mass) <= SPREAD.unsigned_abs())
            && facts(first) == facts(second)
    }
}

/// Mass in grams; zero where it is not known.
pub(super) fn grams(piece: &Piece) -> i64 {
    piece.mass().map_or(0, Grams::as_thousandths)
}

impl<'a> Alike<'a> {
    /// One more that is the same.
    pub(super) fn add(&mut self, other: &Alike<'a>) {
        self.pieces.extend(&other.pieces);
        self.mass = self.mass.max(other.mass);
    }

    /// Sorts the pieces, the heaviest first, and picks those that the law is asked for.
    pub(super) fn settle(&mut self) {
        self.pieces
            .sort_by_key(|piece| std::cmp::Reverse(grams(piece)));
        let charge = |piece: &Piece| {
            let known = piece.legs.first()?.item.state_of_charge_percent;
            known.map(|range| (range.high, range.low))
        };
        let by_charge = || self.pieces.iter().copied();
        let ends = [
            self.pieces.first().copied(),
            self.pieces.last().copied(),
            by_charge().max_by_key(|piece| charge(piece)),
            by_charge().min_by_key(|piece| charge(piece)),
        ];
        let mut witnesses: Vec<&'a Piece> = Vec::new();
        for piece in ends.into_iter().flatten() {
            if !witnesses.iter().any(|known| std::ptr::eq(*known, piece)) {
                witnesses.push(piece);
            }
        }
        self.witnesses = witnesses;
    }

    /// Whether what is said of the heaviest is more than what is so of another.
    pub(super) fn is_spread(&self) -> bool {
        self.pieces.iter().any(|piece| grams(piece) != self.mass) || self.witnesses.len() > 1
    }
}

/// Whether a filling that was refused is refused for any of the modules, not only for the heaviest or
/// one end of the charges.
pub(super) fn refused_anyway(packaging: &Packaging, alike: &[Alike<'_>], counts: &[u32]) -> bool {
    refused_for_all_ends(alike, |ends| fit(packaging, ends, counts).is_err())
}

/// Whether no two modules of these kinds ever go together into this packaging, wherever they stand.
pub(super) fn never_together(packaging: &Packaging, alike: &[Alike<'_>], counts: &[u32]) -> bool {
    refused_for_all_ends(alike, |ends| {
        !objections(packaging, ends, counts, 0).is_empty()
    })
}

fn refused_for_all_ends(alike: &[Alike<'_>], refused: impl Fn(&[Alike<'_>]) -> bool) -> bool {
    let by = |pick: fn(&Alike<'_>) -> usize| {
        let ends: Vec<Alike<'_>> = alike
            .iter()
            .map(|one| {
                let lightest = one.pieces.iter().map(|piece| grams(piece)).min();
                Alike {
                    company: one.company.clone(),
                    pieces: one.pieces.clone(),
                    witnesses: one
                        .witnesses
                        .iter()
                        .copied()
                        .skip(pick(one))
                        .take(1)
                        .collect(),
                    mass: lightest.unwrap_or(one.mass),
                    ..*one
                }
            })
            .collect();
        refused(&ends)
    };
    // The first witness is the heaviest, the next the lightest, then the ends of the charges.
    by(|_| 0)
        && by(|one| 1.min(one.witnesses.len().saturating_sub(1)))
        && by(|one| 2.min(one.witnesses.len().saturating_sub(1)))
        && by(|one| 3.min(one.witnesses.len().saturating_sub(1)))
}

/// What speaks against these very modules, each with its kind, in this packaging; room apart.
pub(super) fn objections_as_it_is(
    packaging: &Packaging,
    pieces: &[(&Piece, &Alike<'_>)],
    dividers: u32,
) -> Vec<Reason> {
    let alike: Vec<Alike<'_>> = pieces
        .iter()
        .map(|(piece, kind)| Alike {
            company: kind.company.clone(),
            pieces: vec![piece],
            witnesses: vec![piece],
            mass: grams(piece),
            ..**kind
        })
        .collect();
    objections(packaging, &alike, &vec![1; alike.len()], dividers)
}

/// Where these modules stand in this packaging, or why they may not go together into it.
pub(super) fn fit(
    packaging: &Packaging,
    alike: &[Alike<'_>],
    counts: &[u32],
) -> Result<Arrangement, Vec<Reason>> {
    let reasons = objections(packaging, alike, counts, 0);
    if !reasons.is_empty() {
        return Err(reasons);
    }
    let arrangement = arrange(packaging, alike, counts).map_err(|reason| vec![reason])?;
    if arrangement.dividers > 0 {
        // With the dividers it weighs more: fewer layers might do, so this counts as room not found.
        let mut reasons = objections(packaging, alike, counts, arrangement.dividers);
        if let Some(first) = reasons.first_mut() {
            first.value = format!("{} {} with the dividers", first.what, first.value);
            first.what = ROOM.into();
            return Err(reasons);
        }
    }
    Ok(arrangement)
}

/// What speaks against these modules in this packaging with so many dividers; room apart.
fn objections(
    packaging: &Packaging,
    alike: &[Alike<'_>],
    counts: &[u32],
    dividers: u32,
) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let inside = || alike.iter().zip(counts).filter(|(_, count)| **count > 0);
    let modules: u32 = counts.iter().sum();
    let net: i64 = inside()
        .map(|(one, count)| one.mass * i64::from(*count))
        .sum();
    let own = packaging
        .tare_with(dividers)
        .map_or(i64::MAX, Grams::as_thousandths);
    let most = packaging.max_gross_kg.as_thousandths().saturating_sub(own);
    if net > most {
        reasons.push(
            Reason::new("net mass", Grams::thousandths(net).to_string())
                .limit(Grams::thousandths(most).to_string())
                .way_out("a packaging with a higher gross mass"),
        );
    }
    if let Some(most) = packaging.max_modules.filter(|most| modules > *most) {
        reasons.push(Reason::new("modules inside", modules.to_string()).limit(most.to_string()));
    }
    if let Some(most) = packaging.max_energy_wh {
        let energy = inside().try_fold(0_i64, |sum, (one, count)| {
            one.energy.map(|energy| sum + energy * i64::from(*count))
        });
        match energy {
            None => reasons.push(
                Reason::new("rated energy", "not known")
                    .limit(most.to_string())
                    .way_out("read it from the nameplate"),
            ),
            Some(energy) if energy > most.as_thousandths() => reasons.push(
                Reason::new(
                    "rated energy inside",
                    MilliwattHours::thousandths(energy).to_string(),
                )
                .limit(most.to_string()),
            ),
            Some(_) => {}
        }
    }
    let gross = Grams::thousandths(net.saturating_add(own));
    let package = packaging.as_package(modules, Grams::thousandths(net), gross);
    for (one, _) in inside() {
        for facts in one.witnesses.iter().flat_map(|piece| &piece.legs) {
            let mut facts = facts.clone();
            facts.package = Some(package.clone());
            let decision = decide_untraced(&facts);
            if decision.package.answer != PackageAnswer::Accepted {
                reasons.extend(decision.package.reasons);
            } else if !matches!(decision.answer, Answer::Allowed | Answer::AllowedWith) {
                reasons.extend(decision.reasons);
            }
        }
    }
    reasons
}
