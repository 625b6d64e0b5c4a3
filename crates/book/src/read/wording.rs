//! Texts in the book's languages.

use chablon_model::{Book, Language, Text};
use toml::de::DeValue;

use super::value::Value;
use crate::suggest::{all, nearest};
use crate::{Finding, Span};

/// A text by language, with a wording in the book's fallback at least.
pub(super) fn by_language(value: &Value<'_>) -> Option<Text> {
    if let DeValue::String(text) = value.raw {
        return bare(value, text);
    }
    let wordings = value.entries(language_key, Value::text)?;
    let text = Text(wordings);
    match value.page.notes.settings.get() {
        Some(book) if !text.0.contains_key(book.fallback_language()) => no_fallback(value, book),
        _ => Some(text),
    }
}

/// A language that the book has.
pub(super) fn language(value: &Value<'_>) -> Option<Language> {
    let language: Language = value.parsed("bad-language")?;
    known(value, language, value.span)
}

fn language_key(value: &Value<'_>, key: &str, span: Span) -> Option<Language> {
    match key.parse::<Language>() {
        Ok(language) => known(value, language, span),
        Err(_) => value.refuse(
            Finding::error("bad-language", format!("`{key}` is not a language code"))
                .at(span, "here")
                .hint("a language has two or three lower-case letters, such as `en`"),
        ),
    }
}

fn known(value: &Value<'_>, language: Language, span: Span) -> Option<Language> {
    let Some(book) = value.page.notes.settings.get() else {
        return Some(language);
    };
    if book.languages.contains(&language) {
        return Some(language);
    }
    let codes: Vec<&str> = book.languages.iter().map(Language::as_str).collect();
    let meant = nearest(language.as_str(), codes.iter().copied());
    let meant = meant.map_or(String::new(), |code| format!("did you mean `{code}`? "));
    let message = format!("the book isn't kept in the language `{language}`");
    value.refuse(
        Finding::error("unknown-language", message)
            .at(span, "not one of its own")
            .hint(format!("{meant}`languages` in book.toml has {}", all(&codes))),
    )
}

fn no_fallback<T>(value: &Value<'_>, book: &Book) -> Option<T> {
    let fallback = book.fallback_language();
    let message = format!("`{}` has no wording in `{fallback}`", value.key);
    value.refuse(Finding::error("missing-fallback", message).at(value.span, "here").hint(format!(
        "add `{fallback} = \"...\"`: a kitchen whose language is missing reads the first of the \
         book's languages"
    )))
}

fn bare<T>(value: &Value<'_>, text: &str) -> Option<T> {
    let book = value.page.notes.settings.get();
    let language = book.map_or("en", |book| book.fallback_language().as_str());
    let message = format!("`{}` takes a wording for each language", value.key);
    value.refuse(
        Finding::error("wrong-type", message)
            .at(value.span, "no language")
            .hint(format!("write `{} = {{ {language} = \"{text}\" }}`", value.key)),
    )
}
