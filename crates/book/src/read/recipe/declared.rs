//! `[declared]`: what is declared elsewhere of 100 g of a finished recipe.

use chablon_model::{Content, DeclaredContent, Nutrient};

use super::super::content;
use super::super::fields::Fields;
use super::super::quantity::{plain_number, quantity};

pub(super) fn declared(fields: &mut Fields<'_>) -> DeclaredContent {
    let mut content = Content::default();
    for nutrient in Nutrient::ALL {
        if let Some(mass) = fields.optional(nutrient.as_str(), quantity) {
            content.0.insert(*nutrient, mass);
        }
    }
    content::check(&content, fields);
    DeclaredContent {
        content,
        energy_kj: fields.optional("energy_kj", plain_number),
        energy_kcal: fields.optional("energy_kcal", plain_number),
    }
}
