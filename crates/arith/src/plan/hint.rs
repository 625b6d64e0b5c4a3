//! What helps where a site can't weigh a line as the standard asks.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use chablon_quantity::Exact;

use super::PlannedLine;
use super::weigh::scale_for;
use crate::ScaleKit;
use crate::compiled::{CompiledBook, CompiledIngredient, CompiledLine, Used};

/// One way to weigh a line that a site can't weigh as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Hint {
    /// Make a larger batch: from this size on the scale is fine enough.
    LargerBatch {
        /// How many times as large as planned.
        times: Exact,
        /// Grams of the line in such a batch.
        mass: Exact,
    },
    /// Weigh on a finer scale.
    FinerScale {
        /// Grams: the coarsest step of a reading that is fine enough.
        increment: Exact,
    },
    /// Mix more than is needed with a part of another line, and weigh from that mix.
    PreMix {
        /// The line whose ingredient carries this one, by its number from 1.
        carrier: usize,
        /// Grams of this line's ingredient to weigh into the mix.
        weigh: Exact,
        /// Grams of the carrier to weigh into the mix.
        carrier_mass: Exact,
        /// Grams of the mix that one batch takes; the carrier's line takes that much less
        /// the line's own mass.
        take: Exact,
    },
}

impl Hint {
    /// A short name that stays the same when the wording changes.
    pub fn code(&self) -> &'static str {
        match self {
            Self::LargerBatch { .. } => "larger-batch",
            Self::FinerScale { .. } => "finer-scale",
            Self::PreMix { .. } => "pre-mix",
        }
    }
}

/// A line that another can be mixed into.
pub(crate) struct Carrier {
    /// Its number, from 1.
    number: usize,
    uses: Used,
    /// Grams in each batch.
    per_batch: Exact,
}

/// What small amounts can be mixed into: an ingredient that goes in at the same step and is dry, or
/// pours, for which a stated density stands.
///
/// Of each step and kind the heaviest two of different ingredients are enough: whether a mix can be
/// taken from a carrier depends on its mass alone, and a line isn't mixed into its own ingredient.
pub(crate) struct Carriers(BTreeMap<(Option<usize>, Kind), Vec<Carrier>>);

/// What kind of carrier: the dry ones are the better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Dry,
    Pours,
}

impl Carriers {
    /// Those of a recipe.
    pub(crate) fn new(book: &CompiledBook, lines: &[CompiledLine], made: &[PlannedLine]) -> Self {
        let mut by_mass: Vec<(&CompiledLine, &PlannedLine)> = lines.iter().zip(made).collect();
        by_mass.sort_by_key(|(line, planned)| (Reverse(&planned.per_batch), line.number));
        let mut carriers: BTreeMap<_, Vec<Carrier>> = BTreeMap::new();
        for (line, planned) in by_mass {
            let Some(kind) = kind(book, line.uses) else { continue };
            let kept = carriers.entry((line.step, kind)).or_default();
            if kept.len() < 2 && kept.iter().all(|one| one.uses != line.uses) {
                let (number, per_batch) = (line.number, planned.per_batch.clone());
                kept.push(Carrier { number, uses: line.uses, per_batch });
            }
        }
        Self(carriers)
    }

    /// What a line can be mixed into, the best first.
    pub(crate) fn of(&self, line: &CompiledLine) -> Vec<&Carrier> {
        let of_kind = |kind| {
            let mut kept = self.0.get(&(line.step, kind))?.iter();
            kept.find(|one| one.uses != line.uses)
        };
        [Kind::Dry, Kind::Pours].into_iter().filter_map(of_kind).collect()
    }
}

fn kind(book: &CompiledBook, uses: Used) -> Option<Kind> {
    let Used::Ingredient(index) = uses else { return None };
    let CompiledIngredient { dry, density, .. } = book.ingredient(index);
    if *dry { Some(Kind::Dry) } else { density.as_ref().map(|_| Kind::Pours) }
}

/// What bounds the advice on a line.
pub(crate) struct Circumstances<'a> {
    pub(crate) scales: &'a [ScaleKit],
    /// Grams of the line over all batches, which a mix must hold.
    pub(crate) total: &'a Exact,
    /// How much larger a batch may be made, where a bowl bounds it.
    pub(crate) room: Option<&'a Exact>,
    /// What the line can be mixed into, the best first.
    pub(crate) carriers: &'a [&'a Carrier],
}

/// What would help to weigh this mass within this tolerance.
///
/// A reading is at most half an increment off, so a mass `q` is surely within a tolerance `t`
/// where the increment is at most `2 t q`, and on a given scale where `q` is at least
/// `increment / (2 t)`. A tolerance of 0 leaves nothing to advise.
pub(crate) fn hints(mass: &Exact, tolerance: &Exact, at: &Circumstances<'_>) -> Vec<Hint> {
    if !tolerance.is_positive() {
        return Vec::new();
    }
    let twice = tolerance + tolerance;
    let mut hints = vec![Hint::FinerScale { increment: &twice * mass }];
    let Some(scale) = scale_for(at.scales, mass) else { return hints };
    let enough = &scale.increment / twice;
    if enough > scale.capacity {
        return hints;
    }
    let times = &enough / mass;
    if at.room.is_none_or(|room| times <= *room) {
        hints.push(Hint::LargerBatch { times: times.clone(), mass: enough.clone() });
    }
    let mut mixes = at.carriers.iter();
    hints.extend(mixes.find_map(|carrier| pre_mix(mass, &enough, scale, carrier, at.total)));
    hints
}

/// A mix of one part of the line's ingredient and `k` of the carrier, with the smallest whole
/// `k` that makes a batch's share of it heavy enough for the scale.
fn pre_mix(
    mass: &Exact,
    enough: &Exact,
    scale: &ScaleKit,
    carrier: &Carrier,
    total: &Exact,
) -> Option<Hint> {
    let parts = (enough / mass).ceil() - Exact::from(1);
    let with_it = &parts * mass;
    if !parts.is_positive() || with_it > carrier.per_batch {
        return None;
    }
    // Whole steps of the reading, so that the mix itself is weighed without an error.
    let weigh = (enough.max(total) / &scale.increment).ceil() * &scale.increment;
    let carrier_mass = &parts * &weigh;
    Some(Hint::PreMix { carrier: carrier.number, weigh, carrier_mass, take: with_it + mass })
}
