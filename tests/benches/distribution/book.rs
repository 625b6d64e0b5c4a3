//! An invented group's book, of any size, with as much text as recipes have.

use std::collections::BTreeMap;

use chablon_model::{AllergenState, DocumentContent, Language, Recipe, Step, Text};
use chablon_testkit::sample;

use crate::generate::{Random, Shape, generate};

/// What steps are written with, so that their texts compress about as texts do.
const WORDS: &str = "bring the milk to a simmer with half of sugar whisk yolks until pale pour over in \
     thin stream and cook stirring from bottom coats spoon strain into clean bowl set on \
     ice fold cream when mix is at room temperature rest cold overnight roll out between \
     sheets cut discs bake golden turn tray once cool rack glaze while frozen finish \
     buckwheat pears honey";

/// Sites, settings and ingredients first, then so many recipes, used ones before users.
pub(crate) struct Book {
    pub(crate) ground: Vec<DocumentContent>,
    pub(crate) recipes: Vec<Recipe>,
}

pub(crate) fn book(recipes: usize) -> Book {
    let levels = [recipes * 7 / 10, recipes / 4, recipes / 20];
    let shape = Shape { ingredients: 300, levels: &levels, lines: 12, components: 2, ties: false };
    let invented = generate(7, &shape);
    let settled = sample::book().documents().into_iter();
    let settled =
        settled.filter(|one| matches!(one, DocumentContent::Book(_) | DocumentContent::Site(_)));
    let ingredients = invented.ingredients.into_iter().map(|mut one| {
        one.name = text(&format!("Ingredient {}", one.id));
        one.other_allergens = Some(AllergenState::Free);
        DocumentContent::Ingredient(one)
    });
    let mut random = Random(11);
    let recipes = invented.recipes.into_iter().map(|recipe| written(recipe, &mut random));
    Book { ground: settled.chain(ingredients).collect(), recipes: recipes.collect() }
}

/// The recipe with a title and steps.
fn written(mut recipe: Recipe, random: &mut Random) -> Recipe {
    recipe.title = text(&format!("Recipe {}", recipe.id));
    recipe.steps = (1..=4).map(|number| step(number, random)).collect();
    recipe
}

fn step(number: u32, random: &mut Random) -> Step {
    let known: Vec<&str> = WORDS.split(' ').collect();
    let words: Vec<&str> = (0..24).map(|_| random.of(&known)).collect();
    Step {
        id: format!("step-{number}").parse().expect("an id"),
        text: text(&words.join(" ")),
        active: None,
        passive: None,
        labour: chablon_model::Labour::PerBatch,
        equipment: None,
        after: None,
        controls: Vec::new(),
    }
}

fn text(english: &str) -> Text {
    let language: Language = "en".parse().expect("a language");
    Text(BTreeMap::from([(language, english.to_owned())]))
}
