//! A value of a file with its place, and how it is taken as text, a list, a table or a choice.

use chablon_model::Day;
use toml::Spanned;
use toml::de::DeValue;

use super::example::example;
use super::fields::Fields;
use super::notes::{Named, Notes};
use crate::suggest::{either, nearest};
use crate::{FileId, Finding, Span};

/// The file being read.
#[derive(Clone, Copy)]
pub(crate) struct Page<'a> {
    /// Which one.
    pub(crate) file: FileId,
    /// Its text.
    pub(crate) text: &'a str,
    /// Where everything about it is noted.
    pub(crate) notes: &'a Notes,
}

impl Page<'_> {
    /// A stretch of this file.
    pub(crate) fn span(&self, range: std::ops::Range<usize>) -> Span {
        Span { file: self.file, start: range.start, end: range.end }
    }
}

/// A value with its place.
///
/// A reader of values takes one and gives what it says, or notes what is wrong and gives nothing.
pub(crate) struct Value<'a> {
    pub(super) page: Page<'a>,
    /// What the table is called in which it stands.
    pub(super) what: &'static str,
    /// The key that it stands under; for an entry of a list, the list's.
    pub(super) key: &'a str,
    /// The path within the document.
    pub(super) path: String,
    pub(super) raw: &'a DeValue<'a>,
    /// Where it stands.
    pub(super) span: Span,
}

impl<'a> Value<'a> {
    /// Notes what is wrong, and gives nothing.
    pub(super) fn refuse<T>(&self, finding: Finding) -> Option<T> {
        self.page.notes.note(finding);
        None
    }

    /// Notes that the value is of another type than its key takes.
    pub(super) fn wrong_type<T>(&self, wanted: &str) -> Option<T> {
        let found = kind_of(self.raw);
        let message = format!("`{}` takes {wanted}, not {found}", self.key);
        let finding = Finding::error("wrong-type", message).at(self.span, found);
        self.refuse(match example(self.what, self.key) {
            Some(example) => finding.hint(format!("write it as in `{example}`")),
            None => finding,
        })
    }

    /// As text, which may be blank.
    pub(super) fn string(&self) -> Option<&'a str> {
        match self.raw {
            DeValue::String(text) => Some(text.as_ref()),
            _ => self.wrong_type("text in quotes"),
        }
    }

    /// As text that says something.
    pub(super) fn text(&self) -> Option<String> {
        let text = self.string()?;
        if text.trim().is_empty() {
            let advice = "fill it in, or take the key out if it may be left out";
            return self.refuse(says_nothing(self).hint(advice));
        }
        Some(text.to_owned())
    }

    /// As yes or no.
    pub(super) fn flag(&self) -> Option<bool> {
        match self.raw {
            DeValue::Boolean(flag) => Some(*flag),
            _ => self.wrong_type("`true` or `false`"),
        }
    }

    /// As a whole number.
    pub(super) fn integer(&self) -> Option<i64> {
        let DeValue::Integer(integer) = self.raw else {
            return self.wrong_type("a whole number");
        };
        let whole = i64::from_str_radix(integer.as_str(), integer.radix());
        whole.ok().or_else(|| {
            let message = format!("`{}` has more than 18 digits", self.key);
            self.refuse(Finding::error("bad-number", message).at(self.span, "too long"))
        })
    }

    /// Whether it is text.
    pub(super) fn is_string(&self) -> bool {
        matches!(self.raw, DeValue::String(_))
    }

    /// Whether it is a list.
    pub(super) fn is_list(&self) -> bool {
        matches!(self.raw, DeValue::Array(_))
    }

    /// Whether it is a table.
    pub(super) fn is_table(&self) -> bool {
        matches!(self.raw, DeValue::Table(_))
    }

    /// Whether it is a table with this key.
    pub(super) fn has(&self, key: &str) -> bool {
        self.raw.as_table().is_some_and(|table| table.contains_key(key))
    }

    /// The first key of a table; nothing where it is none.
    pub(super) fn first_key(&self) -> Option<&'a str> {
        let DeValue::Table(table) = self.raw else { return None };
        table.keys().next().map(|key| key.get_ref().as_ref())
    }

    /// As a day.
    pub(super) fn day(&self) -> Option<Day> {
        let DeValue::Datetime(moment) = self.raw else {
            return self.wrong_type("a day without quotes");
        };
        let day = match (moment.date, moment.time) {
            (Some(date), None) => Day::new(date.year, date.month, date.day).ok(),
            _ => None,
        };
        day.or_else(|| {
            let message = format!("`{}` takes a day, without a time", self.key);
            self.refuse(
                Finding::error("bad-date", message)
                    .at(self.span, "not a day")
                    .hint("write year-month-day: 2026-10-01"),
            )
        })
    }

    /// As text in a form of its own: an id, a code.
    pub(super) fn parsed<T>(&self, code: &'static str) -> Option<T>
    where
        T: std::str::FromStr<Err: std::fmt::Display>,
    {
        let text = self.string()?;
        text.parse().map_or_else(
            |error: T::Err| {
                let (message, hint) = split_advice(&error.to_string());
                let finding = Finding::error(code, message).at(self.span, "here");
                self.refuse(match hint {
                    Some(hint) => finding.hint(hint),
                    None => finding,
                })
            },
            Some,
        )
    }

    /// As an id.
    pub(super) fn id<T>(&self) -> Option<T>
    where
        T: std::str::FromStr<Err: std::fmt::Display>,
    {
        self.parsed("bad-id")
    }

    /// As the id of something that the book has elsewhere.
    pub(super) fn reference<T>(&self, named: Named) -> Option<T>
    where
        T: std::str::FromStr<Err: std::fmt::Display> + AsRef<str>,
    {
        let id: T = self.id()?;
        self.page.notes.use_of(named, id.as_ref(), self.span);
        Some(id)
    }

    /// As one of a few names.
    pub(super) fn one_of<T: Copy>(&self, all: &[T], name: impl Fn(T) -> &'static str) -> Option<T> {
        let text = self.string()?;
        let names: Vec<&str> = all.iter().map(|one| name(*one)).collect();
        if let Some(index) = names.iter().position(|name| *name == text) {
            return Some(all[index]);
        }
        let message = format!("`{}` can't be `{text}`", self.key);
        let meant = nearest(text, names.iter().copied());
        let meant = meant.map_or(String::new(), |name| format!("did you mean `{name}`? "));
        self.refuse(
            Finding::error("unknown-value", message).at(self.span, "not known").hint(format!(
                "{meant}`{}` is {}",
                self.key,
                either(&names)
            )),
        )
    }

    /// As a list, each entry read on its own; nothing where any of them fails.
    pub(super) fn list<T>(&self, read: impl Fn(&Value<'a>) -> Option<T>) -> Option<Vec<T>> {
        let DeValue::Array(entries) = self.raw else {
            return match self.raw {
                DeValue::Table(_) => self.single_brackets(),
                _ => self.wrong_type("a list"),
            };
        };
        let all: Vec<Option<T>> = (entries.iter().enumerate())
            .map(|(index, entry)| read(&self.entry(index, entry)))
            .collect();
        all.into_iter().collect()
    }

    fn single_brackets<T>(&self) -> Option<T> {
        let key = self.key;
        let message = format!("there can be several `{key}`, so each stands in double brackets");
        self.refuse(
            Finding::error("wrong-type", message)
                .at(self.span, "a single table")
                .hint(format!("write `[[{key}]]`")),
        )
    }

    fn double_brackets<T>(&self) -> Option<T> {
        let key = self.key;
        let message = format!("there is one `{key}` at most, so it stands in single brackets");
        self.refuse(
            Finding::error("wrong-type", message)
                .at(self.span, "a list of tables")
                .hint(format!("write `[{key}]`")),
        )
    }

    fn entry(&self, index: usize, raw: &'a Spanned<DeValue<'a>>) -> Self {
        let path = format!("{}[{index}]", self.path);
        Self::new(self.page, (self.what, self.key), path, raw)
    }

    /// A value, its place noted.
    pub(super) fn new(
        page: Page<'a>,
        (what, key): (&'static str, &'a str),
        path: String,
        raw: &'a Spanned<DeValue<'a>>,
    ) -> Self {
        let span = page.span(raw.span());
        page.notes.place(&path, span);
        Self { page, what, key, path, raw: raw.get_ref(), span }
    }

    /// As a table of known keys, called `what` in messages.
    pub(super) fn table<T>(
        &self,
        what: &'static str,
        read: impl FnOnce(&mut Fields<'a>) -> Option<T>,
    ) -> Option<T> {
        let table = match self.raw {
            DeValue::Table(table) => table,
            DeValue::Array(_) => return self.double_brackets(),
            _ => return self.wrong_type("a table"),
        };
        let mut fields = Fields::new(self.page, table, what, self.path.clone(), self.span);
        let read = read(&mut fields);
        fields.finish();
        read
    }

    /// As a table whose keys are data: each key with its place, and its value.
    pub(super) fn entries<K: Ord, T>(
        &self,
        read_key: impl Fn(&Value<'a>, &str, Span) -> Option<K>,
        read: impl Fn(&Value<'a>) -> Option<T>,
    ) -> Option<std::collections::BTreeMap<K, T>> {
        let DeValue::Table(table) = self.raw else {
            return self.wrong_type("a table in braces");
        };
        let all: Vec<Option<(K, T)>> = (table.iter())
            .map(|(key, raw)| {
                let path = format!("{}.{}", self.path, key.get_ref());
                let value = Self::new(self.page, (self.what, key.get_ref()), path, raw);
                let key = read_key(self, key.get_ref(), self.page.span(key.span()));
                key.zip(read(&value))
            })
            .collect();
        all.into_iter().collect()
    }
}

/// A finding for text without a letter.
pub(super) fn says_nothing(value: &Value<'_>) -> Finding {
    Finding::error("empty-text", format!("`{}` says nothing", value.key)).at(value.span, "empty")
}

/// What a value is, in words.
fn kind_of(raw: &DeValue<'_>) -> &'static str {
    match raw {
        DeValue::String(_) => "text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a decimal number",
        DeValue::Boolean(_) => "`true` or `false`",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// The model's errors say what is wrong and, after a semicolon, what would do.
fn split_advice(error: &str) -> (String, Option<String>) {
    match error.split_once("; ") {
        Some((message, advice)) => (message.to_owned(), Some(advice.to_owned())),
        None => (error.to_owned(), None),
    }
}
