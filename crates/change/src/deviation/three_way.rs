//! A deviation when the standard beneath it changes: base, deviation, new standard.

use chablon_model::{
    Day, Decision, Departure, Deviation, IngredientId, Line, LineRef, NewAmount, Recipe,
    RevisionRef, Step, StepId, Text, Uses,
};

use super::apply::{apply, new_amount};
use super::assess::{Assessment, assess};
use super::conflict::Conflict;
use super::error::CannotApply;
use crate::compare::{LineMatches, Renamed, line_matches};
use crate::matching::Pairing;
use crate::{Comparison, Edition, Pair, compare, sense};

/// How one departure fits a new standard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fit {
    /// It still applies, written for the new standard.
    Applies(Departure),
    /// It doesn't, and someone must say what is meant.
    Conflicts(Conflict),
    /// The new standard says the same.
    Moot,
}

/// How a deviation fits a new standard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Nothing of it is needed any more.
    Moot,
    /// What of it is still needed applies.
    Applies,
    /// Something of it conflicts.
    Conflicts,
}

/// A deviation put to the chef again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ThreeWay {
    /// How each departure fits, in their order.
    pub fits: Vec<Fit>,
    /// From the standard that it was granted for to the new one, at its site.
    pub standard: Comparison,
    /// From what the site makes to what it would make.
    pub site: Option<Comparison>,
    /// What it means over the new standard, where it still applies.
    pub assessment: Option<Assessment>,
}

/// How each departure fits a new standard: `base` is what the deviation is based on.
pub fn fit(deviation: &Deviation, base: &Recipe, standard: &Recipe) -> Vec<Fit> {
    let matches = line_matches(Pair::new(base, standard));
    let renamed = Renamed::between(Pair::new(&base.steps[..], &standard.steps));
    let fitting = Fitting { base, standard, matches, renamed };
    deviation.departures.iter().map(|departure| fitting.fit(departure)).collect()
}

/// Puts a deviation to the chef again: `old` is what it was granted for, `new` what comes.
pub fn three_way(
    deviation: &Deviation,
    old: &Edition<'_>,
    new: &Edition<'_>,
    onto: &RevisionRef,
    day: Day,
) -> Result<ThreeWay, CannotApply> {
    let id = deviation.recipe();
    let (old, new) = (old.clone().at_site(&deviation.site), new.clone().at_site(&deviation.site));
    let base = old.recipe(&id).ok_or(CannotApply::NoRecipe { recipe: id.clone() })?;
    let deviated = apply(deviation, base)?;
    let fits = match new.recipe(&id) {
        Some(standard) => fit(deviation, base, standard),
        None => vec![Fit::Conflicts(Conflict::RecipeGone { recipe: id })],
    };
    let mut put =
        ThreeWay { fits, standard: compare(&old, &new, day), site: None, assessment: None };
    let made = old.clone().with_recipe(&deviated);
    match put.verdict() {
        Verdict::Conflicts => {}
        Verdict::Moot => put.site = Some(compare(&made, &new, day)),
        Verdict::Applies => {
            let assessment = assess(&put.rebased(deviation, onto), &new, day)?;
            let to_make = new.clone().with_recipe(&assessment.recipe);
            put.site = Some(compare(&made, &to_make, day));
            put.assessment = Some(assessment);
        }
    }
    Ok(put)
}

impl ThreeWay {
    /// How the deviation fits as a whole.
    pub fn verdict(&self) -> Verdict {
        let of = |fit: &Fit| match fit {
            Fit::Moot => Verdict::Moot,
            Fit::Applies(_) => Verdict::Applies,
            Fit::Conflicts(_) => Verdict::Conflicts,
        };
        self.fits.iter().map(of).max().unwrap_or(Verdict::Moot)
    }

    /// What stands in its way.
    pub fn conflicts(&self) -> impl Iterator<Item = &Conflict> {
        self.fits.iter().filter_map(|fit| match fit {
            Fit::Conflicts(conflict) => Some(conflict),
            Fit::Applies(_) | Fit::Moot => None,
        })
    }

    /// The deviation with what still applies, over the new standard: asked for anew, since
    /// nobody has granted it for that.
    #[must_use]
    pub fn rebased(&self, deviation: &Deviation, onto: &RevisionRef) -> Deviation {
        let departures = self.fits.iter().filter_map(|fit| match fit {
            Fit::Applies(departure) => Some(departure.clone()),
            Fit::Conflicts(_) | Fit::Moot => None,
        });
        Deviation {
            departures: departures.collect(),
            based_on: onto.clone(),
            decision: Decision::Asked,
            ..deviation.clone()
        }
    }
}

struct Fitting<'a> {
    base: &'a Recipe,
    standard: &'a Recipe,
    matches: LineMatches,
    renamed: Renamed<'a>,
}

impl Fitting<'_> {
    fn fit(&self, departure: &Departure) -> Fit {
        let fit = match departure {
            Departure::Ingredient { line, with, amount } => self.ingredient(line, with, amount),
            Departure::Amount { line, to } => self.amount(line, to),
            Departure::Wording { step, to } => self.wording(step, to),
            Departure::Control { step, number, to } => self.control(step, *number, to),
        };
        fit.unwrap_or_else(Fit::Conflicts)
    }

    fn ingredient(
        &self,
        at: &LineRef,
        with: &IngredientId,
        amount: &NewAmount,
    ) -> Result<Fit, Conflict> {
        let (number, two) = self.line(at)?;
        let uses = || at.uses.clone();
        if two.after.uses == Uses::Ingredient(with.clone()) {
            return Ok(Fit::Moot);
        }
        follows_alike(at, two)?;
        let same = sense::amount(&two.before.amount) == sense::amount(&two.after.amount);
        if !same && matches!(amount, NewAmount::Exactly(_)) {
            return Err(Conflict::AmountChanged { uses: uses() });
        }
        let line = LineRef { number, uses: uses() };
        Ok(Fit::Applies(Departure::Ingredient { line, with: with.clone(), amount: amount.clone() }))
    }

    fn amount(&self, at: &LineRef, to: &NewAmount) -> Result<Fit, Conflict> {
        let (number, two) = self.line(at)?;
        follows_alike(at, two)?;
        let wanted = new_amount(at, &two.before.amount, to).ok();
        let is = sense::amount(&two.after.amount);
        if wanted.is_some_and(|wanted| sense::amount(&wanted) == is) {
            return Ok(Fit::Moot);
        }
        let uses = at.uses.clone();
        if sense::amount(&two.before.amount) != is {
            return Err(Conflict::AmountChanged { uses });
        }
        let line = LineRef { number, uses };
        Ok(Fit::Applies(Departure::Amount { line, to: to.clone() }))
    }

    /// A line of the base and what it became, with its number in the new standard.
    fn line(&self, at: &LineRef) -> Result<(u32, Pair<&Line>), Conflict> {
        let gone = || Conflict::LineGone { uses: at.uses.clone() };
        let index = usize::try_from(at.number).ok().and_then(|number| number.checked_sub(1));
        let group =
            self.matches.iter().find(|group| index.is_some_and(|at| group.before.contains(&at)));
        let group = group.ok_or_else(gone)?;
        match (&group.before[..], &group.after[..]) {
            ([before], [after]) => {
                let number = u32::try_from(after + 1).map_err(|_| gone())?;
                Ok((number, Pair::new(&self.base.lines[*before], &self.standard.lines[*after])))
            }
            (_, []) => Err(gone()),
            _ => Err(Conflict::LineDivided { uses: at.uses.clone() }),
        }
    }

    fn wording(&self, id: &StepId, to: &Text) -> Result<Fit, Conflict> {
        let steps = self.step(id)?;
        let step = steps.after.id.clone();
        if steps.after.text == *to {
            return Ok(Fit::Moot);
        }
        if steps.after.text != steps.before.text {
            return Err(Conflict::WordingChanged { step });
        }
        Ok(Fit::Applies(Departure::Wording { step, to: to.clone() }))
    }

    fn control(
        &self,
        id: &StepId,
        number: u32,
        to: &chablon_model::Control,
    ) -> Result<Fit, Conflict> {
        let steps = self.step(id)?;
        let step = steps.after.id.clone();
        let gone = || Conflict::ControlGone { step: step.clone() };
        let controls = steps.map(|step| &step.controls[..]);
        let index = usize::try_from(number).ok().and_then(|number| number.checked_sub(1));
        let places = Pairing::of(controls)
            .by_key(|one| Some(sense::control(one)))
            .by_key(|one| Some((one.measure, one.critical)))
            .by_key(|one| Some(one.measure))
            .places();
        let found = places.into_iter().find(|pair| pair.before.is_some() && pair.before == index);
        let at = found.and_then(Pair::both).ok_or_else(gone)?;
        let two = Pair::new(&controls.before[at.before], &controls.after[at.after]);
        if sense::control(two.after) == sense::control(to) {
            return Ok(Fit::Moot);
        }
        if sense::control(two.after) != sense::control(two.before) {
            return Err(Conflict::ControlChanged { step });
        }
        let number = u32::try_from(at.after + 1).map_err(|_| gone())?;
        Ok(Fit::Applies(Departure::Control { step, number, to: to.clone() }))
    }

    /// A step of the base and the one that it became.
    fn step(&self, id: &StepId) -> Result<Pair<&Step>, Conflict> {
        let find =
            |recipe: &'_ Recipe, id: &StepId| recipe.steps.iter().position(|step| step.id == *id);
        let before = find(self.base, id);
        let after = find(self.standard, self.renamed.to_new(id));
        let gone = || Conflict::StepGone { step: id.clone() };
        let at = Pair::new(before, after).both().ok_or_else(gone)?;
        Ok(Pair::new(&self.base.steps[at.before], &self.standard.steps[at.after]))
    }
}

/// Whether a line still takes the same, and follows the batch and the base as it did.
fn follows_alike(at: &LineRef, two: Pair<&Line>) -> Result<(), Conflict> {
    let uses = at.uses.clone();
    if two.after.uses != uses {
        return Err(Conflict::LineReplaced { uses, by: two.after.uses.clone() });
    }
    let follows = two.map(|line| (line.scaling, line.base));
    if follows.before == follows.after { Ok(()) } else { Err(Conflict::LineChanged { uses }) }
}
