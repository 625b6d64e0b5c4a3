//! Texts in a book's languages.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

/// A language by its ISO 639 code of two or three lower-case letters.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Language {
    /// The letters, and a zero in the place of a third that isn't there.
    letters: [u8; 3],
}

/// Why a text is no language code.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a language code of two or three lower-case letters, such as `en`")]
pub struct LanguageError(pub String);

impl Language {
    /// The code.
    pub fn as_str(&self) -> &str {
        let length = if self.letters[2] == 0 { 2 } else { 3 };
        std::str::from_utf8(&self.letters[..length]).expect("letters are ASCII")
    }
}

impl FromStr for Language {
    type Err = LanguageError;
    fn from_str(text: &str) -> Result<Self, LanguageError> {
        match *text.as_bytes() {
            [a, b] if all_letters(&[a, b]) => Ok(Self { letters: [a, b, 0] }),
            [a, b, c] if all_letters(&[a, b, c]) => Ok(Self { letters: [a, b, c] }),
            _ => Err(LanguageError(text.to_owned())),
        }
    }
}

fn all_letters(bytes: &[u8]) -> bool {
    bytes.iter().all(u8::is_ascii_lowercase)
}

impl fmt::Display for Language {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

impl fmt::Debug for Language {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// One text in one or more languages.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Text(
    /// The wording by language.
    pub BTreeMap<Language, String>,
);

impl Text {
    /// The wording in a language, else in the fallback, else in any.
    pub fn in_language(&self, wanted: &Language, fallback: &Language) -> Option<&str> {
        let by = |language| self.0.get(language);
        by(wanted).or_else(|| by(fallback)).or_else(|| self.0.values().next()).map(String::as_str)
    }

    /// Whether there is no wording at all.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}
