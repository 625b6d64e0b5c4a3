//! A file being written, key by key.

use std::fmt::Display;

use chablon_model::Text;
use toml_writer::{ToTomlKey, ToTomlValue};

/// A file being written.
#[derive(Default)]
pub(super) struct Page(String);

impl Page {
    /// Begins a table: `[yield]`, `[[line]]`.
    pub(super) fn table(&mut self, header: &str) {
        let gap = if self.0.is_empty() { "" } else { "\n" };
        self.0 += &[gap, header, "\n"].concat();
    }

    /// A key with a value that is TOML already.
    pub(super) fn raw(&mut self, key: &str, value: impl Display) {
        self.0 += &[&*key.to_toml_key(), " = ", &value.to_string(), "\n"].concat();
    }

    /// A key with text.
    pub(super) fn text(&mut self, key: &str, value: impl Display) {
        self.raw(key, quoted(value));
    }

    /// A key with text, unless there is none.
    pub(super) fn optional<T: Display>(&mut self, key: &str, value: Option<T>) {
        if let Some(value) = value {
            self.text(key, value);
        }
    }

    /// A key with `true`, unless it is false, which is what leaving it out means.
    pub(super) fn flag(&mut self, key: &str, value: bool) {
        if value {
            self.raw(key, true);
        }
    }

    /// A key with a list of texts, unless it is empty.
    pub(super) fn list<T: Display>(&mut self, key: &str, values: impl IntoIterator<Item = T>) {
        let values: Vec<String> = values.into_iter().map(quoted).collect();
        if !values.is_empty() {
            self.raw(key, format!("[{}]", values.join(", ")));
        }
    }

    /// A key with a text by language, unless there is no wording.
    pub(super) fn by_language(&mut self, key: &str, text: &Text) {
        self.entries(key, &text.0);
    }

    /// A key with a table on one line, unless it is empty.
    pub(super) fn entries<'a, K: Display + 'a, V: Display + 'a>(
        &mut self,
        key: &str,
        entries: impl IntoIterator<Item = (&'a K, &'a V)>,
    ) {
        let pairs: Vec<String> = entries.into_iter().map(|(key, value)| pair(key, value)).collect();
        if !pairs.is_empty() {
            self.raw(key, inline(&pairs));
        }
    }

    /// The file's text.
    pub(super) fn finish(self) -> String {
        self.0
    }
}

/// `key = ["a", "b"]`, and `key = "a"` of one value alone.
pub(super) fn one_or_list<T: Display>(values: &[T]) -> String {
    let all: Vec<String> = values.iter().map(quoted).collect();
    match &all[..] {
        [one] => one.clone(),
        _ => format!("[{}]", all.join(", ")),
    }
}

/// A value as TOML text in quotes.
fn quoted(value: impl Display) -> String {
    value.to_string().to_toml_value()
}

/// `key = "value"`.
pub(super) fn pair(key: impl Display, value: impl Display) -> String {
    [key.to_string().to_toml_key(), quoted(value)].join(" = ")
}

/// `{ a = "1", b = "2" }`.
pub(super) fn inline(pairs: &[String]) -> String {
    format!("{{ {} }}", pairs.join(", "))
}
