//! From files to the book.

mod advice;
mod content;
mod control;
mod deviation;
mod dimension;
mod example;
mod fields;
mod ingredient;
mod list;
pub(crate) mod notes;
mod prices;
mod quantity;
mod recipe;
mod role;
mod settings;
mod site;
mod syntax;
mod value;
mod wording;

pub use deviation::{AuthoredDeviation, read_deviation};

use chablon_model::{Book, Ingredient, PriceList, Recipe, Site};
use toml::de::DeTable;

use crate::check::check_names;
use crate::{AuthoredBook, FileId, Files, Finding, Locations, Severity, Span, sort_findings};
use fields::Fields;
use notes::Notes;
use role::Role;
#[cfg(feature = "fs")]
pub(crate) use role::{FOLDERS, is_toml};
use value::Page;

/// What comes of reading a book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// The book, where no finding is an error.
    pub book: Option<AuthoredBook>,
    /// Where everything stands, as far as it could be read.
    pub locations: Locations,
    /// All findings, by file and place.
    pub findings: Vec<Finding>,
}

/// Reads a book.
///
/// Everything is checked in one run: a file that can't be read as TOML doesn't keep the others
/// from being checked, nor a value that is wrong the values beside it.
pub fn read(files: &Files) -> Outcome {
    let notes = Notes::default();
    let drafts = Drafts::of(files, &notes);
    check_names(&notes);
    let (mut findings, documents) = notes.into_parts();
    sort_findings(&mut findings, files);
    let mut locations = Locations::default();
    for (key, places) in documents {
        locations.add(key, places);
    }
    let refused = findings.iter().any(|finding| finding.severity == Severity::Error);
    let book = if refused { None } else { drafts.finish() };
    Outcome { book, locations, findings }
}

/// The documents read so far.
#[derive(Default)]
struct Drafts {
    settings: Option<Book>,
    ingredients: Vec<Ingredient>,
    recipes: Vec<Recipe>,
    sites: Vec<Site>,
    price_lists: Vec<PriceList>,
}

impl Drafts {
    fn of(files: &Files, notes: &Notes) -> Self {
        let mut drafts = Self::default();
        // The settings come first: they say which languages and labels there are.
        let roles: Vec<(FileId, Role)> =
            files.ids().map(|file| (file, role::role(files.path(file)))).collect();
        if !roles.iter().any(|(_, role)| *role == Role::Settings) {
            notes.note(no_settings(files));
        }
        let (settings, others): (Vec<_>, Vec<_>) =
            roles.into_iter().partition(|(_, role)| *role == Role::Settings);
        for (file, role) in settings.into_iter().chain(others) {
            let page = Page { file, text: files.text(file), notes };
            if let Some(span) = files.damage(file) {
                notes.note(not_text(span));
            }
            match &role {
                Role::Outside => notes.note(role::outside(files.path(file))),
                _ => drafts.take(page, &role),
            }
        }
        drafts
    }

    fn take(&mut self, page: Page<'_>, role: &Role) {
        let (table, errors) = DeTable::parse_recoverable(page.text);
        if !errors.is_empty() {
            syntax::note_broken(page, role, table.get_ref(), &errors);
            return;
        }
        let table = table.get_ref();
        match role {
            Role::Settings => {
                self.settings = whole(page, table, "the book", settings::settings);
                if let Some(settings) = &self.settings {
                    let _ = page.notes.settings.set(settings.clone());
                }
            }
            Role::Ingredients => {
                let read = whole(page, table, "a file of ingredients", ingredient::ingredients);
                self.ingredients.extend(read.into_iter().flatten());
            }
            Role::Recipe => {
                self.recipes.extend(whole(page, table, "a recipe", recipe::recipe));
            }
            Role::Site => self.sites.extend(whole(page, table, "a site", site::site)),
            Role::Prices(stem) => {
                let read = |fields: &mut Fields<'_>| prices::price_list(fields, stem);
                self.price_lists.extend(whole(page, table, "a price list", read));
            }
            Role::Outside => {}
        }
    }

    fn finish(mut self) -> Option<AuthoredBook> {
        self.ingredients.sort_by(|a, b| a.id.cmp(&b.id));
        self.recipes.sort_by(|a, b| a.id.cmp(&b.id));
        self.sites.sort_by(|a, b| a.id.cmp(&b.id));
        self.price_lists.sort_by(|a, b| a.id.cmp(&b.id));
        Some(AuthoredBook {
            settings: self.settings?,
            ingredients: self.ingredients,
            recipes: self.recipes,
            sites: self.sites,
            price_lists: self.price_lists,
        })
    }
}

/// The whole of a file as one table.
fn whole<'a, T>(
    page: Page<'a>,
    table: &'a DeTable<'a>,
    what: &'static str,
    read: impl FnOnce(&mut Fields<'a>) -> Option<T>,
) -> Option<T> {
    let mut fields = Fields::of_file(page, table, what);
    let read = read(&mut fields);
    fields.finish();
    read
}

fn not_text(span: Span) -> Finding {
    Finding::error("not-utf8", "the file is not UTF-8 text")
        .at(span, "other bytes")
        .hint("save it in the encoding UTF-8")
}

fn no_settings(files: &Files) -> Finding {
    let near = files.ids().map(|file| files.path(file)).find(|path| {
        let name = path.rsplit('/').next().unwrap_or(path);
        name.eq_ignore_ascii_case(role::SETTINGS)
    });
    let finding = Finding::error("no-settings", "the book has no book.toml");
    match near {
        Some(path) => finding.hint(format!("`{path}` is there; book.toml stands at the top")),
        None => finding.hint(
            "add it with `name`, `currency` and `languages`; a book is the folder that holds it",
        ),
    }
}
