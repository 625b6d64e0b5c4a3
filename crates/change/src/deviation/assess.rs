//! What a deviation means, and what stands against it.

use std::fmt;

use chablon_arith::compile;
use chablon_model::{Allergen, Day, Departure, Deviation, DocumentKey, Grant, LineRef, Recipe};
use chablon_quantity::{Exact, Share};

use super::apply::apply;
use super::error::CannotApply;
use crate::{
    AllergenChange, Change, Comparison, Edition, Limit, NotTold, Pair, Shift, What, compare,
};

/// What a deviation means at its site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assessment {
    /// The recipe as the site would make it.
    pub recipe: Recipe,
    /// From the standard to the deviation, with what it costs at the site.
    pub comparison: Comparison,
    /// What can hurt someone: it never passes silently.
    pub concerns: Vec<Concern>,
    /// Lines that are more of the batch than its limits let them be.
    pub over: Vec<OverShare>,
}

/// Something about a deviation that can hurt someone. Shown as a sentence without a full stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Concern {
    /// A recipe comes to contain an allergen, or may, or it is no longer known.
    Allergens {
        /// The recipe.
        place: DocumentKey,
        /// What comes.
        change: AllergenChange,
    },
    /// A critical limit goes, or lets other things pass.
    Limit(Pair<Option<Box<Limit>>>),
    /// What is in it can't be told any more. No leave covers that.
    NotTold {
        /// The recipe.
        place: DocumentKey,
        /// What, and why.
        not: NotTold,
    },
}

/// A line that is more of the batch than it may be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OverShare {
    /// The line.
    pub line: LineRef,
    /// Its part of the batch's input.
    pub part: Exact,
    /// The most it may be.
    pub most: Exact,
}

/// Why a deviation may not be made, though someone granted it. Shown as a sentence without a full
/// stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Objection {
    /// The grant doesn't say that it was seen.
    NotAcknowledged(Concern),
    /// It is beyond its own limits.
    OverShare(OverShare),
}

/// What a deviation means, laid over the standard of an edition that has its site.
pub fn assess(
    deviation: &Deviation,
    standard: &Edition<'_>,
    day: Day,
) -> Result<Assessment, CannotApply> {
    let id = deviation.recipe();
    let old = standard.clone().at_site(&deviation.site);
    let recipe = old.recipe(&id).ok_or(CannotApply::NoRecipe { recipe: id })?;
    let recipe = apply(deviation, recipe)?;
    let new = old.clone().with_recipe(&recipe);
    let comparison = compare(&old, &new, day);
    let concerns = comparison.changes().iter().filter_map(concern).collect();
    let over = over(deviation, &new);
    Ok(Assessment { recipe, comparison, concerns, over })
}

fn concern(change: &Change) -> Option<Concern> {
    let place = || change.place.clone();
    match &change.what {
        What::Allergens(change) if change.state.after > change.state.before => {
            Some(Concern::Allergens { place: place(), change: change.clone() })
        }
        What::Limit(limit) => {
            let passes = !matches!(limit.shift(), Shift::Tightened | Shift::Added);
            passes.then(|| Concern::Limit(limit.clone()))
        }
        What::NotTold(not) if not.why.after.is_some() => {
            Some(Concern::NotTold { place: place(), not: not.clone() })
        }
        _ => None,
    }
}

/// The departing lines that are more of the batch than they may be.
fn over(deviation: &Deviation, edition: &Edition<'_>) -> Vec<OverShare> {
    let Some(most) = deviation.limits.max_share.map(|most| most.quantity()) else {
        return Vec::new();
    };
    let library = edition.library();
    let (book, _) = compile(&library);
    // What can't be computed is a concern of its own.
    let Some(index) = book.find_recipe(&deviation.recipe()) else { return Vec::new() };
    let (lines, input) = (book.lines_of(index), book.recipe(index).input());
    let Share(most) = most;
    let of = |line: &LineRef| {
        let compiled = lines.get(usize::try_from(line.number).ok()?.checked_sub(1)?)?;
        let part = compiled.mass.checked_div(&input).filter(|part| *part > most)?;
        Some(OverShare { line: line.clone(), part, most: most.clone() })
    };
    let lines = deviation.departures.iter().filter_map(|departure| match departure {
        Departure::Ingredient { line, .. } | Departure::Amount { line, .. } => Some(line),
        Departure::Wording { .. } | Departure::Control { .. } => None,
    });
    lines.filter_map(of).collect()
}

impl Assessment {
    /// Whether it can hurt someone, and so needs more than a nod.
    pub fn needs_acknowledgement(&self) -> bool {
        !self.concerns.is_empty()
    }

    /// Why it may not be made under a grant; nothing where it may.
    pub fn objections(&self, grant: &Grant) -> Vec<Objection> {
        let concerns = self.concerns.iter().filter(|concern| !acknowledged(concern, grant));
        let concerns = concerns.cloned().map(Objection::NotAcknowledged);
        concerns.chain(self.over.iter().cloned().map(Objection::OverShare)).collect()
    }
}

fn acknowledged(concern: &Concern, grant: &Grant) -> bool {
    let seen = |allergen: &Allergen| {
        grant.allergens.contains(allergen) || grant.allergens.contains(&allergen.group())
    };
    match concern {
        Concern::Allergens { change, .. } => change.allergens.iter().all(seen),
        Concern::Limit(_) => grant.critical_limits,
        Concern::NotTold { .. } => false,
    }
}

impl fmt::Display for Concern {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Allergens { place, change } => {
                write!(f, "{place}: {}", What::Allergens(change.clone()))
            }
            Self::Limit(limit) => write!(f, "{}", What::Limit(limit.clone())),
            Self::NotTold { place, not } => write!(f, "{place}: {}", What::NotTold(not.clone())),
        }
    }
}

impl fmt::Display for Objection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAcknowledged(concern @ Concern::NotTold { .. }) => {
                write!(f, "no leave covers it: {concern}")
            }
            Self::NotAcknowledged(concern) => write!(f, "the grant doesn't acknowledge: {concern}"),
            Self::OverShare(over) => {
                let percent = |part: &Exact| (part * Exact::from(100)).round(2);
                let (number, id) = (over.line.number, over.line.uses.id());
                let (part, most) = (percent(&over.part), percent(&over.most));
                write!(f, "line {number} (`{id}`) is {part} % of the batch, and may be {most} %")
            }
        }
    }
}
