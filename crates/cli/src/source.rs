//! Where figures come from: a book as it is written, or what a kitchen has received.

mod book;
mod replica;

use chablon_arith::{Demand, Target};
use chablon_model::{Day, IngredientId, Language, RecipeId, SiteId};
use chablon_sdk::declare::allergens::AllergenDeclaration;
use chablon_sdk::declared::{Balanced, Declared, Declaring};
use chablon_sdk::figures::{Costing, Plan, PriceMove, PriceShock};
use serde_json::Value;

use crate::arguments::SourceArguments;
use crate::book::folder_or_here;
use crate::failure::Failure;
use crate::text::Names;
use crate::{clock, console, nearest, text};
use book::BookSource;
use replica::ReplicaSource;

/// What is asked of a source.
#[derive(Debug)]
pub(crate) struct Asked<'a> {
    pub(crate) demands: &'a [Demand],
    pub(crate) site: Option<&'a SiteId>,
}

/// An opened source.
#[derive(Debug)]
pub(crate) enum Source {
    Book(Box<BookSource>),
    Replica(Box<ReplicaSource>),
}

impl Source {
    /// Opens what the arguments name, for one recipe.
    pub(crate) fn open(arguments: &SourceArguments, recipe: &RecipeId) -> Result<Self, Failure> {
        Self::open_all(arguments, std::slice::from_ref(recipe))
    }

    /// Opens what the arguments name, for all that is asked for.
    pub(crate) fn open_for(
        arguments: &SourceArguments,
        demands: &[Demand],
    ) -> Result<Self, Failure> {
        let recipes: Vec<RecipeId> = demands.iter().map(|one| one.recipe.clone()).collect();
        Self::open_all(arguments, &recipes)
    }

    /// Opens what the arguments name, for all that it has.
    pub(crate) fn open_whole(arguments: &SourceArguments) -> Result<Self, Failure> {
        if let Some(file) = &arguments.replica {
            let at = arguments.at.unwrap_or_else(clock::now);
            return ReplicaSource::whole(file, at).map(Box::new).map(Self::Replica);
        }
        Self::open_all(arguments, &[])
    }

    fn open_all(arguments: &SourceArguments, recipes: &[RecipeId]) -> Result<Self, Failure> {
        if let Some(file) = &arguments.replica {
            let at = arguments.at.unwrap_or_else(clock::now);
            return ReplicaSource::open(file, recipes, at).map(Box::new).map(Self::Replica);
        }
        match folder_or_here(arguments.book.as_deref()) {
            Some(folder) => BookSource::open(&folder).map(Box::new).map(Self::Book),
            None => Err(nothing_named()),
        }
    }

    /// What to weigh.
    pub(crate) fn scale(&self, asked: &Asked<'_>) -> Result<Plan, Failure> {
        match self {
            Self::Book(book) => book.scale(asked),
            Self::Replica(replica) => replica.scale(asked),
        }
    }

    /// What it costs.
    pub(crate) fn cost(&self, asked: &Asked<'_>, on: Day) -> Result<Costing, Failure> {
        match self {
            Self::Book(book) => book.cost(asked, on),
            Self::Replica(replica) => replica.cost(asked, on),
        }
    }

    /// What other prices do.
    pub(crate) fn shock(
        &self,
        moved: &PriceMove,
        site: Option<&SiteId>,
        on: Day,
    ) -> Result<PriceShock, Failure> {
        match self {
            Self::Book(book) => book.shock(moved, site, on),
            Self::Replica(replica) => replica.shock(moved, site, on),
        }
    }

    /// What is in it.
    pub(crate) fn declare(&self, recipe: &RecipeId, how: &Declaring) -> Result<Declared, Failure> {
        match self {
            Self::Book(book) => book.declare(recipe, how),
            Self::Replica(replica) => replica.declare(how),
        }
    }

    /// Every allergen with its state, and why.
    pub(crate) fn allergens(&self, recipe: &RecipeId) -> Result<Vec<AllergenDeclaration>, Failure> {
        match self {
            Self::Book(book) => book.allergens(recipe),
            Self::Replica(replica) => replica.allergens(recipe),
        }
    }

    /// How its formula is balanced.
    pub(crate) fn balance(&self, recipe: &RecipeId) -> Result<Balanced, Failure> {
        match self {
            Self::Book(book) => book.balance(recipe),
            Self::Replica(replica) => replica.balance(),
        }
    }

    /// A sheet as it is printed: that of a replica says how old it is.
    pub(crate) fn sheet(&self, sheet: String, names: &Names<'_>) -> String {
        match self {
            Self::Book(_) => sheet,
            Self::Replica(replica) => {
                text::with_age(&sheet, replica.status(), names.tongue, console::width())
            }
        }
    }

    /// The same for programs.
    pub(crate) fn json(&self, object: Value) -> String {
        console::json(&match self {
            Self::Book(_) => object,
            Self::Replica(replica) => text::json_with_age(object, replica.status()),
        })
    }

    /// How everything is called, in a language or in the one that the site reads.
    pub(crate) fn names(
        &self,
        site: Option<&SiteId>,
        language: Option<&Language>,
    ) -> Result<Names<'_>, Failure> {
        match self {
            Self::Book(book) => Ok(book.names(site, language)),
            Self::Replica(replica) => replica.names(language),
        }
    }
}

fn nothing_named() -> Failure {
    Failure::usage(
        "neither a book nor a replica is named, and the current folder holds no book.toml",
    )
    .hint("name the chef's book with --book DIR, or the kitchen's replica with --replica FILE")
}

/// Refuses an ingredient on hand that isn't known, with the nearest that is.
fn known_on_hand<'a>(
    demands: &[Demand],
    known: impl Iterator<Item = &'a str> + Clone,
) -> Result<(), Failure> {
    let on_hand = demands.iter().filter_map(|demand| match &demand.target {
        Target::OnHand { ingredient, .. } => Some(ingredient),
        _ => None,
    });
    known_ingredients(on_hand, known)
}

/// The ingredients whose prices move.
fn moving(moved: &PriceMove) -> impl Iterator<Item = &IngredientId> {
    let changes = match moved {
        PriceMove::To(changes) => &changes[..],
        PriceMove::Since(_) => &[],
    };
    changes.iter().map(|change| &change.ingredient)
}

/// Refuses ingredients that aren't known, with the nearest that is.
fn known_ingredients<'a, 'i>(
    asked: impl IntoIterator<Item = &'i IngredientId>,
    known: impl Iterator<Item = &'a str> + Clone,
) -> Result<(), Failure> {
    let mut asked = asked.into_iter();
    match asked.find(|id| !known.clone().any(|one| one == id.as_str())) {
        None => Ok(()),
        Some(id) => Err(Failure::refused(format!("there is no ingredient `{id}`"))
            .hint_if(nearest::hint(id.as_str(), known))),
    }
}
