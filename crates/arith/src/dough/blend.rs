//! Two of a kind blended to a strength between them: the Pearson square.

use chablon_quantity::{Mass, Share};

use super::{DoughError, check};
use crate::geometry::shown;

/// The parts of a blend; together they are the whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Blend {
    /// The part of the first.
    pub first: Share,
    /// The part of the second.
    pub second: Share,
}

/// The parts of two ingredients (creams by fat, syrups by sugar) whose blend has a strength
/// between theirs: of the first |target - second| parts, of the second |target - first|.
///
/// Source: Pearson square, a balance of mass, so that it holds for every strength from 0 to
/// 100 % and every target from the one to the other, both included.
pub fn blend(first: &Share, second: &Share, target: &Share) -> Result<Blend, DoughError> {
    check::part("strength of the first", first)?;
    check::part("strength of the second", second)?;
    let part = (&target.0 - &second.0).checked_div(&(&first.0 - &second.0));
    // Of two that are equally strong any blend has that strength; the first alone is the plainest.
    let part = part.or_else(|| (target == first).then(check::one));
    let part = part.filter(|part| *part >= check::zero() && *part <= check::one());
    let first_part = part.ok_or_else(|| {
        let [target, first, second] = [target, first, second].map(|share| shown::percent(&share.0));
        DoughError::NotBetween { target, first, second }
    })?;
    Ok(Blend { second: Share(check::one() - &first_part), first: Share(first_part) })
}

impl Blend {
    /// What each of the two weighs in a total.
    pub fn of_total(&self, total: &Mass) -> Result<(Mass, Mass), DoughError> {
        check::mass("total mass", total)?;
        Ok((total.clone() * self.first.0.clone(), total.clone() * self.second.0.clone()))
    }

    /// What the second weighs beside a mass of the first.
    pub fn second_beside(&self, first: &Mass) -> Result<Mass, DoughError> {
        check::mass("mass of the first", first)?;
        let ratio = self.second.0.checked_div(&self.first.0).ok_or(DoughError::NothingMixed)?;
        Ok(first.clone() * ratio)
    }
}
