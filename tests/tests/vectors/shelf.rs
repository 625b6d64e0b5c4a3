//! The books of a vector file.

use std::collections::BTreeMap;

use chablon_book::{Files, Outcome, read};
use serde_json::Value;

/// Books by the name that cases call them.
pub(crate) struct Shelf(BTreeMap<String, Outcome>);

impl Shelf {
    pub(crate) fn of(books: &Value) -> Self {
        let books = books.as_object().into_iter().flatten();
        Self(books.map(|(name, documents)| (name.clone(), read(&files(documents)))).collect())
    }

    pub(crate) fn book(&self, name: &str) -> &Outcome {
        self.0.get(name).unwrap_or_else(|| panic!("no book `{name}`"))
    }
}

/// The documents of a book as files.
fn files(documents: &Value) -> Files {
    let documents = documents.as_object().expect("documents by path");
    Files::new(documents.iter().map(|(path, document)| (path.clone(), toml(document))))
}

/// A document as TOML: its tables are inline, since JSON's are.
fn toml(document: &Value) -> String {
    let keys = document.as_object().expect("a document").iter();
    keys.fold(String::new(), |text, (key, value)| text + &format!("{key} = {}\n", inline(value)))
}

fn inline(value: &Value) -> String {
    match value {
        Value::Object(keys) => {
            let keys: Vec<String> = keys
                .iter()
                .map(|(key, value)| format!("{} = {}", Value::from(key.as_str()), inline(value)))
                .collect();
            format!("{{ {} }}", keys.join(", "))
        }
        Value::Array(items) => {
            format!("[{}]", items.iter().map(inline).collect::<Vec<_>>().join(", "))
        }
        Value::String(text) if is_day(text) => text.clone(),
        // Text and numbers are written in TOML as in JSON.
        other => other.to_string(),
    }
}

/// JSON has no days, so a text of their form is one.
fn is_day(text: &str) -> bool {
    let form: String = text.chars().map(|c| if c.is_ascii_digit() { '0' } else { c }).collect();
    form == "0000-00-00"
}
