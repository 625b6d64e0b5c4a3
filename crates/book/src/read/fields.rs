//! A table of known keys: which are asked for is which are known.

use chablon_model::{DocumentId, DocumentKind};
use toml::de::{DeTable, DeValue};

use super::example::example;
use super::notes::Named;
use super::value::{Page, Value};
use crate::suggest::{all, nearest};
use crate::{Finding, Span};

/// A table of known keys.
///
/// Its reader asks for each key that the format has, and so says by itself which are known;
/// [`Fields::finish`] refuses the rest.
pub(crate) struct Fields<'a> {
    page: Page<'a>,
    table: &'a DeTable<'a>,
    /// What the table is called in a message: `a line`.
    what: &'static str,
    path: String,
    span: Span,
    asked: Vec<&'static str>,
    /// What is said of each key that must be there and isn't, unless it is there misspelt.
    missing: Vec<(Vec<&'static str>, Finding)>,
}

impl<'a> Fields<'a> {
    pub(super) fn new(
        page: Page<'a>,
        table: &'a DeTable<'a>,
        what: &'static str,
        path: String,
        span: Span,
    ) -> Self {
        Self { page, table, what, path, span, asked: Vec::new(), missing: Vec::new() }
    }

    /// The whole of a file as one table.
    pub(super) fn of_file(page: Page<'a>, table: &'a DeTable<'a>, what: &'static str) -> Self {
        Self::new(page, table, what, String::new(), page.span(0..0))
    }

    /// Begins a document of this table and reads its `id`.
    pub(super) fn document<T>(&mut self, kind: DocumentKind, named: Named) -> Option<T>
    where
        T: std::str::FromStr<Err: std::fmt::Display> + AsRef<str>,
        for<'b> DocumentId: From<&'b T>,
    {
        self.page.notes.begin();
        self.path = String::new();
        let id = self.required("id", |value| {
            let id: T = value.id()?;
            Some((id, value.span))
        });
        let (id, span) = id?;
        self.span = span;
        self.page.notes.declare(named, id.as_ref(), span);
        self.page.notes.identify(kind, (&id).into(), span);
        Some(id)
    }

    /// The value of a key, if it is there.
    fn get(&mut self, key: &'static str) -> Option<Value<'a>> {
        self.asked.push(key);
        let raw = self.table.get(key)?;
        Some(Value::new(self.page, (self.what, key), self.path_of(key), raw))
    }

    fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    /// The value of a key that may be left out.
    pub(super) fn optional<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(&Value<'a>) -> Option<T>,
    ) -> Option<T> {
        self.get(key).and_then(|value| read(&value))
    }

    /// The value of a key that must be there.
    pub(super) fn required<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(&Value<'a>) -> Option<T>,
    ) -> Option<T> {
        if !self.has(key) {
            let finding = Finding::error("missing-key", format!("{} needs `{key}`", self.what))
                .at(self.span, format!("has no `{key}`"));
            let finding = match example(self.what, key) {
                Some(example) => finding.hint(format!("add `{example}`")),
                None => finding,
            };
            self.missing(&[key], finding);
        }
        self.optional(key, read)
    }

    /// The entries of a list that may be left out; nothing where any of them fails.
    pub(super) fn each<T>(
        &mut self,
        key: &'static str,
        read: impl Fn(&Value<'a>) -> Option<T>,
    ) -> Option<Vec<T>> {
        match self.get(key) {
            Some(value) => value.list(read),
            None => Some(Vec::new()),
        }
    }

    /// Yes or no; no where it is left out.
    pub(super) fn flag(&mut self, key: &'static str) -> bool {
        self.optional(key, Value::flag).unwrap_or_default()
    }

    /// Whether a key is there, however it reads.
    pub(super) fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// Where the value of a key stands, or else the table.
    pub(super) fn span_of(&self, path: &str) -> Span {
        self.page.notes.placed(&self.path_of(path)).unwrap_or(self.span)
    }

    /// Where a key stands, whether or not its value is read; or else the table.
    pub(super) fn key_span(&self, key: &str) -> Span {
        self.table.get_key_value(key).map_or(self.span, |(key, _)| self.page.span(key.span()))
    }

    /// Where the table stands.
    pub(super) fn span(&self) -> Span {
        self.span
    }

    /// Notes what is wrong.
    pub(super) fn note(&self, finding: Finding) {
        self.page.notes.note(finding);
    }

    /// What is gathered while the files are read.
    pub(super) fn notes(&self) -> &'a super::notes::Notes {
        self.page.notes
    }

    /// The texts under `key` in each table of the list `list`, read or not, with their places.
    ///
    /// For what must be known before the list is read, or though an entry fails.
    pub(super) fn texts_of_each(&self, list: &str, key: &str) -> Vec<(&'a str, Span)> {
        let Some(DeValue::Array(entries)) = self.table.get(list).map(toml::Spanned::get_ref) else {
            return Vec::new();
        };
        let text = |entry: &'a toml::Spanned<DeValue<'a>>| {
            let value = entry.get_ref().as_table()?.get(key)?;
            Some((value.get_ref().as_str()?, self.page.span(value.span())))
        };
        entries.iter().filter_map(text).collect()
    }

    /// Says what is to be noted where none of these keys is there, unless one turns out to be
    /// misspelt.
    pub(super) fn missing(&mut self, keys: &[&'static str], finding: Finding) {
        self.missing.push((keys.to_vec(), finding));
    }

    /// Says that there are these keys, too, whether or not they are there.
    pub(super) fn know(&mut self, keys: impl IntoIterator<Item = &'static str>) {
        self.asked.extend(keys);
    }

    /// Refuses every key that wasn't asked for, and notes those that are missing.
    pub(super) fn finish(self) {
        let mut meant = Vec::new();
        for (key, _) in self.table {
            if self.asked.contains(&key.get_ref().as_ref()) {
                continue;
            }
            let name = nearest(key.get_ref(), self.asked.iter().copied());
            meant.extend(name);
            self.note(self.unknown_key(key.get_ref(), self.page.span(key.span()), name));
        }
        for (keys, finding) in &self.missing {
            if !keys.iter().any(|key| meant.contains(key)) {
                self.note(finding.clone());
            }
        }
    }

    fn unknown_key(&self, key: &str, span: Span, meant: Option<&str>) -> Finding {
        let message = format!("`{key}` is not a key of {}", self.what);
        let hint = match meant {
            Some(name) => format!("did you mean `{name}`?"),
            None => format!("{} has {}", self.what, all(&self.asked)),
        };
        Finding::error("unknown-key", message).at(span, "not known").hint(hint)
    }
}
