//! The state of every code, and how states come together.

use std::collections::BTreeSet;

use chablon_model::{Allergen, AllergenState, Ingredient};

/// The state of every allergen code, groups and kinds, in one ingredient or one recipe.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct States {
    /// In the order of [`Allergen::codes`].
    by_code: Vec<AllergenState>,
    /// What is said of each group itself, its kinds aside, in the order of the groups.
    own: Vec<AllergenState>,
}

impl States {
    /// Free of everything: what a mix without parts would be, and the start of every mix.
    pub(crate) fn free() -> Self {
        Self::everywhere(AllergenState::Free)
    }

    fn everywhere(state: AllergenState) -> Self {
        Self {
            by_code: vec![state; Allergen::codes().len()],
            own: vec![state; Allergen::groups().count()],
        }
    }

    /// What an ingredient's statements come to.
    ///
    /// Unstated is unknown. A group is the worst of what is said of it and of its kinds.
    pub fn of_ingredient(ingredient: &Ingredient) -> Self {
        let mut states = Self::everywhere(unnamed(ingredient));
        // Most ingredients name little, and what nothing is said of stays what the rest is.
        let named: BTreeSet<Allergen> = ingredient.allergens.keys().map(Allergen::group).collect();
        for one in &named {
            states.own[position(one)] = own(ingredient, one);
            states.by_code[position(one)] = group(ingredient, one);
            for code in one.kinds() {
                states.by_code[position(&code)] = kind(ingredient, &code);
            }
        }
        states
    }

    /// The state of a group or a kind.
    pub fn of(&self, code: &Allergen) -> AllergenState {
        self.by_code[position(code)]
    }

    /// What is said of a group itself, its kinds aside.
    pub fn own(&self, group: &Allergen) -> AllergenState {
        let at = Allergen::groups().position(|one| one == *group);
        at.map_or(AllergenState::Unknown, |at| self.own[at])
    }

    /// Every code with its state.
    pub fn all(&self) -> impl Iterator<Item = (Allergen, AllergenState)> {
        Allergen::all().zip(self.by_code.iter().copied())
    }

    /// Takes in what is mixed with this: contains where either contains, else unknown where
    /// either is unknown, else may-contain, else free.
    pub(crate) fn mix(&mut self, other: &Self) {
        let worse = |(mine, theirs): (&mut AllergenState, &AllergenState)| {
            *mine = (*mine).max(*theirs);
        };
        self.by_code.iter_mut().zip(&other.by_code).for_each(worse);
        self.own.iter_mut().zip(&other.own).for_each(worse);
    }
}

fn position(code: &Allergen) -> usize {
    let at = Allergen::codes().iter().position(|known| *known == code.code());
    at.expect("an allergen has one of the model's codes")
}

/// What an ingredient says of a code by name or, where it doesn't, of all that it doesn't name.
fn own(ingredient: &Ingredient, code: &Allergen) -> AllergenState {
    ingredient.allergens.get(code).copied().unwrap_or_else(|| unnamed(ingredient))
}

/// What an ingredient says of all that it doesn't name.
fn unnamed(ingredient: &Ingredient) -> AllergenState {
    ingredient.other_allergens.unwrap_or(AllergenState::Unknown)
}

fn group(ingredient: &Ingredient, group: &Allergen) -> AllergenState {
    let of_kinds = group.kinds().map(|code| kind(ingredient, &code));
    of_kinds.fold(own(ingredient, group), AllergenState::max)
}

/// A kind that isn't named follows what is said of its group, as far as that says anything of it.
fn kind(ingredient: &Ingredient, code: &Allergen) -> AllergenState {
    if let Some(named) = ingredient.allergens.get(code) {
        return *named;
    }
    let group = code.group();
    match (ingredient.allergens.get(&group).copied(), ingredient.other_allergens) {
        (None, _) => own(ingredient, code),
        (Some(AllergenState::Free), _) => AllergenState::Free,
        (Some(said), Some(others)) if explained(ingredient, &group, said) => others,
        // It contains something of the group, which may be this.
        (Some(AllergenState::Contains), _) => AllergenState::Unknown,
        (Some(said), _) => said,
    }
}

/// Whether a kind that is named accounts for what is said of its group.
fn explained(ingredient: &Ingredient, group: &Allergen, said: AllergenState) -> bool {
    group.kinds().any(|code| ingredient.allergens.get(&code).is_some_and(|named| *named >= said))
}
