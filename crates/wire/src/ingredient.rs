//! Ingredients.

use std::collections::BTreeMap;

use chablon_model::{
    Allergen, AllergenState, Constituent, Content, Detail, Details, Ingredient, IngredientId,
    Nutrient, Text,
};
use chablon_quantity::{Authored, Exact, MassUnit};

use crate::common::text;
use crate::form::{
    Coded, Wire, code, coded, collect, list, optional_code, optional_words, parsed, to_code,
    to_list, to_optional,
};
use crate::quantity::{part, some_or_unset};
use crate::{At, Violation, pb};

coded!(AllergenState = pb::AllergenState { Contains, MayContain, Free, Unknown });

/// The form of an ingredient without its id, which is the revision's.
pub(crate) fn to_pb(ingredient: &Ingredient) -> pb::Ingredient {
    pb::Ingredient {
        name: ingredient.name.to_pb(),
        label_name: ingredient.label_name.to_pb(),
        density: to_optional(ingredient.density.as_ref()),
        piece_mass: to_optional(ingredient.piece_mass.as_ref()),
        edible_yield: to_optional(ingredient.edible_yield.as_ref()),
        allergens: allergens_to_pb(&ingredient.allergens),
        other_allergens: to_code(ingredient.other_allergens),
        content: content_to_pb(&ingredient.content, &ingredient.details),
        made_of: to_list(&ingredient.made_of),
        note: ingredient.note.clone().unwrap_or_default(),
    }
}

/// The ingredient of an id.
pub(crate) fn from_pb(
    id: IngredientId,
    ingredient: pb::Ingredient,
) -> Result<Ingredient, Violation> {
    let edible_yield = ingredient.edible_yield.map(|share| part(Some(share), "edible_yield"));
    let (content, details) =
        ingredient.content.map(content_from_pb).transpose().at("content")?.unwrap_or_default();
    Ok(Ingredient {
        id,
        name: text(ingredient.name, "name")?,
        label_name: Text::from_pb(ingredient.label_name).at("label_name")?,
        density: some_or_unset(ingredient.density, "density")?,
        piece_mass: some_or_unset(ingredient.piece_mass, "piece_mass")?,
        edible_yield: edible_yield.transpose()?,
        allergens: allergens(ingredient.allergens)?,
        other_allergens: optional_code(ingredient.other_allergens, "other_allergens")?,
        content,
        details,
        made_of: list(ingredient.made_of, "made_of")?,
        note: optional_words(ingredient.note),
    })
}

/// The groups and what a book calls them.
const GROUPS: [(pb::AllergenGroup, &str); 14] = [
    (pb::AllergenGroup::Gluten, "gluten"),
    (pb::AllergenGroup::Crustaceans, "crustaceans"),
    (pb::AllergenGroup::Egg, "egg"),
    (pb::AllergenGroup::Fish, "fish"),
    (pb::AllergenGroup::Peanuts, "peanuts"),
    (pb::AllergenGroup::Soya, "soya"),
    (pb::AllergenGroup::Milk, "milk"),
    (pb::AllergenGroup::Nuts, "nuts"),
    (pb::AllergenGroup::Celery, "celery"),
    (pb::AllergenGroup::Mustard, "mustard"),
    (pb::AllergenGroup::Sesame, "sesame"),
    (pb::AllergenGroup::Sulphites, "sulphites"),
    (pb::AllergenGroup::Lupin, "lupin"),
    (pb::AllergenGroup::Molluscs, "molluscs"),
];

/// A group and a kind within it; the kind is empty for the group as a whole.
pub(crate) fn group_and_kind(allergen: &Allergen) -> (i32, &'static str) {
    let (group, kind) = allergen.code().split_once('.').unwrap_or((allergen.code(), ""));
    let known = GROUPS.iter().find(|(_, name)| *name == group);
    (known.map_or(0, |(number, _)| *number as i32), kind)
}

fn allergens_to_pb(allergens: &BTreeMap<Allergen, AllergenState>) -> Vec<pb::AllergenStatement> {
    let mut statements: Vec<pb::AllergenStatement> = allergens
        .iter()
        .map(|(allergen, state)| {
            let (group, kind) = group_and_kind(allergen);
            pb::AllergenStatement { group, kind: kind.to_owned(), state: state.code() }
        })
        .collect();
    statements.sort_by(|a, b| (a.group, &a.kind).cmp(&(b.group, &b.kind)));
    statements
}

fn allergens(
    statements: Vec<pb::AllergenStatement>,
) -> Result<BTreeMap<Allergen, AllergenState>, Violation> {
    let pairs = collect(statements, "allergens", |statement| {
        let allergen = allergen(statement.group, &statement.kind)?;
        Ok((allergen, code(statement.state, "state")?))
    })?;
    let order = |(allergen, _): &(Allergen, _)| group_and_kind(allergen);
    if let Some(index) = pairs.windows(2).position(|pair| order(&pair[0]) >= order(&pair[1])) {
        let reason = format!("`{}` is there twice or out of order", pairs[index + 1].0);
        return Err(Violation::new(reason).at_index(index + 1).at("allergens"));
    }
    Ok(pairs.into_iter().collect())
}

pub(crate) fn allergen(group: i32, kind: &str) -> Result<Allergen, Violation> {
    let known = GROUPS.iter().find(|(number, _)| *number as i32 == group);
    let (_, name) = known.ok_or_else(|| match group {
        0 => Violation::required().at("group"),
        _ => Violation::new(format!("{group} is not a group that this version knows")).at("group"),
    })?;
    let text = if kind.is_empty() { (*name).to_owned() } else { format!("{name}.{kind}") };
    parsed(&text).at("kind")
}

/// The field that holds a nutrient.
fn field(content: &mut pb::Content, nutrient: Nutrient) -> (&mut Option<pb::Mass>, &'static str) {
    match nutrient {
        Nutrient::Water => (&mut content.water, "water"),
        Nutrient::Fat => (&mut content.fat, "fat"),
        Nutrient::Saturates => (&mut content.saturates, "saturates"),
        Nutrient::Carbohydrate => (&mut content.carbohydrate, "carbohydrate"),
        Nutrient::Sugars => (&mut content.sugars, "sugars"),
        Nutrient::Polyols => (&mut content.polyols, "polyols"),
        Nutrient::Fibre => (&mut content.fibre, "fibre"),
        Nutrient::Protein => (&mut content.protein, "protein"),
        Nutrient::Salt => (&mut content.salt, "salt"),
        Nutrient::Alcohol => (&mut content.alcohol, "alcohol"),
    }
}

/// The field that holds what is stated more closely.
fn detail_field(content: &mut pb::Content, detail: Detail) -> &mut Option<pb::Mass> {
    match detail {
        Detail::Sucrose => &mut content.sucrose,
        Detail::Glucose => &mut content.glucose,
        Detail::Fructose => &mut content.fructose,
        Detail::InvertSugar => &mut content.invert_sugar,
        Detail::Maltose => &mut content.maltose,
        Detail::Lactose => &mut content.lactose,
        Detail::Glycerol => &mut content.glycerol,
        Detail::Sorbitol => &mut content.sorbitol,
        Detail::Xylitol => &mut content.xylitol,
        Detail::Erythritol => &mut content.erythritol,
        Detail::Mannitol => &mut content.mannitol,
        Detail::MilkFat => &mut content.milk_fat,
        Detail::CocoaButter => &mut content.cocoa_butter,
        Detail::DryCocoa => &mut content.dry_cocoa,
    }
}

pub(crate) fn content_to_pb(content: &Content, details: &Details) -> Option<pb::Content> {
    let mut form = pb::Content::default();
    for (nutrient, mass) in &content.0 {
        *field(&mut form, *nutrient).0 = Some(mass.to_pb());
    }
    for (detail, mass) in &details.0 {
        *detail_field(&mut form, *detail) = Some(mass.to_pb());
    }
    (!content.0.is_empty() || !details.0.is_empty()).then_some(form)
}

pub(crate) fn content_from_pb(mut form: pb::Content) -> Result<(Content, Details), Violation> {
    let (mut content, mut details) = (Content::default(), Details::default());
    for nutrient in Nutrient::ALL {
        let (mass, name) = field(&mut form, *nutrient);
        if let Some(mass) = mass.take() {
            content.0.insert(*nutrient, per_100_g(mass).at(name)?);
        }
    }
    for detail in Detail::ALL {
        // The fields are called as the keys of a book are.
        if let Some(mass) = detail_field(&mut form, *detail).take() {
            details.0.insert(*detail, per_100_g(mass).at(detail.as_str())?);
        }
    }
    Ok((content, details))
}

fn per_100_g(mass: pb::Mass) -> Result<Authored<MassUnit>, Violation> {
    let mass = Authored::<MassUnit>::from_pb(mass)?;
    if mass.number.exact() * mass.unit.factor() > Exact::from(100) {
        return Err(Violation::new(format!("{mass} is more than the 100 g that it is part of")));
    }
    Ok(mass)
}

impl Wire for Constituent {
    type Pb = pb::Constituent;

    fn to_pb(&self) -> pb::Constituent {
        pb::Constituent {
            ingredient: self.ingredient.to_string(),
            share: to_optional(self.amount.as_ref()),
        }
    }

    fn from_pb(constituent: pb::Constituent) -> Result<Self, Violation> {
        Ok(Self {
            ingredient: parsed(&constituent.ingredient).at("ingredient")?,
            amount: constituent.share.map(|share| part(Some(share), "share")).transpose()?,
        })
    }
}
