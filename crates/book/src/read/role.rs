//! What a file is by its path.

use crate::Finding;
use crate::suggest::nearest;

/// The file of the group's settings.
pub(super) const SETTINGS: &str = "book.toml";

/// The folders of a book.
pub(crate) const FOLDERS: [&str; 4] = ["ingredients", "recipes", "sites", "prices"];

/// Whether a file is TOML by its name.
pub(crate) fn is_toml(path: &str) -> bool {
    std::path::Path::new(path).extension().is_some_and(|ending| ending == "toml")
}

/// What a file holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Role {
    /// The group's settings.
    Settings,
    /// Ingredients, one or more.
    Ingredients,
    /// One recipe.
    Recipe,
    /// One site.
    Site,
    /// One price list, called by the file's name.
    Prices(String),
    /// Nothing that a book has.
    Outside,
}

/// What a file of this path holds.
pub(super) fn role(path: &str) -> Role {
    if path == SETTINGS {
        return Role::Settings;
    }
    let named = path.split_once('/').zip(path.strip_suffix(".toml"));
    match named {
        Some(((_, name), _)) if name.contains('/') => Role::Outside,
        Some((("ingredients", _), _)) => Role::Ingredients,
        Some((("recipes", _), _)) => Role::Recipe,
        Some((("sites", _), _)) => Role::Site,
        Some((("prices", _), stem)) => Role::Prices(stem["prices/".len()..].to_owned()),
        _ => Role::Outside,
    }
}

/// A file that isn't read.
pub(super) fn outside(path: &str) -> Finding {
    let finding = Finding::warning("stray-file", format!("`{path}` is not read")).in_file(path);
    let (folder, name) = path.split_once('/').unwrap_or(("", path));
    let hint = if !is_toml(path) {
        "only files that end in .toml are read".to_owned()
    } else if FOLDERS.contains(&folder) {
        format!("files stand directly in the folder {folder}, not in one below it")
    } else {
        match nearest(folder, FOLDERS).filter(|_| !folder.is_empty()) {
            Some(near) => format!("did you mean `{near}/{name}`?"),
            None => format!("a book has {SETTINGS} and the folders {}", FOLDERS.join(", ")),
        }
    };
    finding.hint(hint)
}
