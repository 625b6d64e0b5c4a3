//! From the book to files.

mod ingredient;
mod page;
mod prices;
mod recipe;
mod settings;
mod shape;
mod site;
mod step;

use crate::AuthoredBook;

/// The files of a book, by path, from which [`read`](crate::read) gives the same book.
///
/// Each document has a file of its own, called by its id, with the keys in the order of the
/// format and what is unstated left out. What the model allows and the format doesn't is written
/// as it is, and refused when it is read: an amount of 0, a text without a letter. A number with
/// zeros left out (`15` hundreds) comes back with its zeros (`1500`), worth the same.
pub fn write(book: &AuthoredBook) -> Vec<(String, String)> {
    let settings = ("book.toml".to_owned(), settings::settings(&book.settings));
    let file = |folder: &str, id: &str, text: String| (format!("{folder}/{id}.toml"), text);
    let ingredients = book.ingredients.iter().map(|ingredient| {
        file("ingredients", ingredient.id.as_str(), ingredient::ingredient(ingredient))
    });
    let recipes = book
        .recipes
        .iter()
        .map(|recipe| file("recipes", recipe.id.as_str(), recipe::recipe(recipe)));
    let sites = book.sites.iter().map(|site| file("sites", site.id.as_str(), site::site(site)));
    let prices =
        book.price_lists.iter().map(|list| file("prices", list.id.as_str(), prices::prices(list)));
    std::iter::once(settings).chain(ingredients).chain(recipes).chain(sites).chain(prices).collect()
}
