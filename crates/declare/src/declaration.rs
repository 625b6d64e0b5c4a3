//! All that is declared of one recipe.

use std::collections::BTreeSet;

use chablon_model::{Book, IngredientId, LabelRegime, RecipeId};
use chablon_quantity::Number;

use crate::allergens::views::{Law, ViewEntry};
use crate::allergens::{AllergenDeclaration, Blocker, Contradiction};
use crate::content::{Composition, Difference};
use crate::ingredient_list::{IngredientList, ListOptions, title};
use crate::label::{Label, LabelBasis, Serving, label};
use crate::{CompoundContent, DeclareError, Declarer, caution};

/// What is asked for.
#[derive(Clone, Debug)]
pub struct DeclareOptions<'a> {
    /// The group's settings: its languages and the regimes that it declares under.
    pub settings: &'a Book,
    /// The ingredients that the product's name, picture or claims call for.
    pub emphasised: BTreeSet<IngredientId>,
    /// A serving, for a regime that declares by serving; a piece where none is given, and 100 g of
    /// what doesn't come in pieces.
    pub serving: Option<Serving>,
}

/// All that is declared of one recipe.
#[derive(Clone, Debug)]
pub struct Declaration {
    /// The recipe.
    pub recipe: RecipeId,
    /// Every group and kind.
    pub allergens: Vec<AllergenDeclaration>,
    /// The same under each law that the group declares under.
    pub views: Vec<(Law, Vec<ViewEntry>)>,
    /// What must be stated before it can be released.
    pub blockers: Vec<Blocker>,
    /// Compound ingredients whose statements their constituents contradict.
    pub contradictions: Vec<Contradiction>,
    /// What 100 g hold.
    pub content: Composition,
    /// What a piece holds.
    pub content_per_piece: Option<Composition>,
    /// What is declared elsewhere of it, beside what is computed.
    pub declared: Vec<Difference>,
    /// What its compound ingredients state, beside what they are made of.
    pub compounds: Vec<CompoundContent>,
    /// The label under each regime.
    pub labels: Vec<Label>,
    /// The ingredients that the recipe's title names, whose share European lists state.
    pub named_by_title: BTreeSet<IngredientId>,
    /// The list of ingredients in each language, under the first regime.
    pub lists: Vec<IngredientList>,
    /// What every declaration says of itself.
    pub cautions: Vec<&'static str>,
}

impl From<LabelRegime> for Law {
    fn from(regime: LabelRegime) -> Self {
        match regime {
            LabelRegime::Eu => Self::Eu,
            LabelRegime::Us => Self::Us,
        }
    }
}

impl Declarer<'_> {
    /// All that is declared of a recipe, in the group's languages and under its regimes; under the
    /// European one where it names none.
    pub fn declare(
        &self,
        recipe: &RecipeId,
        options: &DeclareOptions<'_>,
    ) -> Result<Declaration, DeclareError> {
        let mut regimes = options.settings.labels.clone();
        if regimes.is_empty() {
            regimes.push(LabelRegime::Eu);
        }
        let law = Law::from(regimes[0]);
        let named_by_title =
            if law == Law::Eu { self.named_by_title(recipe)? } else { BTreeSet::new() };
        let content = self.content(recipe)?;
        let states = self.states(recipe)?;
        let laws = regimes.iter().map(|regime| Law::from(*regime));
        let serving = self.serving(recipe, options)?;
        let labels = regimes.iter().map(|regime| {
            let by_serving = serving.clone().filter(|_| *regime == LabelRegime::Us);
            let basis = by_serving.map_or(LabelBasis::Per100G, LabelBasis::Serving);
            label(&content, *regime, basis)
        });
        Ok(Declaration {
            recipe: recipe.clone(),
            allergens: self.allergens(recipe)?,
            views: laws.clone().map(|law| (law, law.view(states))).collect(),
            blockers: self.release_blockers(recipe)?,
            contradictions: self.contradictions(recipe)?,
            labels: labels.collect(),
            lists: self.lists(recipe, options, law, &named_by_title)?,
            named_by_title,
            declared: self.declared(recipe)?,
            compounds: self.compounds(recipe)?,
            content_per_piece: self.content_per_piece(recipe)?,
            content,
            cautions: vec![caution::DECLARED, caution::ALLERGENS],
        })
    }

    fn serving(
        &self,
        recipe: &RecipeId,
        options: &DeclareOptions<'_>,
    ) -> Result<Option<Serving>, DeclareError> {
        let piece = self.piece_mass(recipe)?;
        let one = piece.map(|grams| Serving::pieces(Number::whole(1), &grams));
        Ok(options.serving.clone().or(one))
    }

    fn named_by_title(&self, recipe: &RecipeId) -> Result<BTreeSet<IngredientId>, DeclareError> {
        let index = self.index(recipe)?;
        let used = self.rolled(index)?.used.keys().map(|one| self.ingredients[one.0]);
        let title = &self.recipes[index.0].title;
        Ok(used.filter(|one| title::names(title, one)).map(|one| one.id.clone()).collect())
    }

    fn lists(
        &self,
        recipe: &RecipeId,
        options: &DeclareOptions<'_>,
        law: Law,
        named: &BTreeSet<IngredientId>,
    ) -> Result<Vec<IngredientList>, DeclareError> {
        let list = |language: &chablon_model::Language| {
            let options = ListOptions {
                language: language.clone(),
                fallback: options.settings.fallback_language().clone(),
                law,
                emphasised: options.emphasised.union(named).cloned().collect(),
            };
            self.ingredient_list(recipe, &options)
        };
        options.settings.languages.iter().map(list).collect()
    }
}
