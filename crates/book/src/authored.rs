//! A whole book as values.

use chablon_model::{Book, DocumentContent, Ingredient, PriceList, Recipe, Site};

/// A whole book as values, each kind of document sorted by id.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AuthoredBook {
    /// What holds for the whole group.
    pub settings: Book,
    /// What is bought.
    pub ingredients: Vec<Ingredient>,
    /// What is made.
    pub recipes: Vec<Recipe>,
    /// Where it is made.
    pub sites: Vec<Site>,
    /// What it is bought for.
    pub price_lists: Vec<PriceList>,
}

impl AuthoredBook {
    /// Every document of the book: settings, ingredients, recipes, sites, price lists.
    pub fn documents(&self) -> Vec<DocumentContent> {
        let mut documents = vec![DocumentContent::Book(self.settings.clone())];
        documents.extend(self.ingredients.iter().cloned().map(DocumentContent::Ingredient));
        documents.extend(self.recipes.iter().cloned().map(DocumentContent::Recipe));
        documents.extend(self.sites.iter().cloned().map(DocumentContent::Site));
        documents.extend(self.price_lists.iter().cloned().map(DocumentContent::Prices));
        documents
    }
}
