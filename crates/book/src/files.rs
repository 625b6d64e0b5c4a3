//! The files of a book as paths and texts.

use std::collections::BTreeMap;
use std::ops::Range;

/// The files of a book: paths below the book's folder, with `/` between the parts, and texts.
///
/// They are held sorted by path; of two with one path the later is kept.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Files(Vec<File>);

#[derive(Clone, Debug, PartialEq, Eq)]
struct File {
    path: String,
    text: String,
    /// Where the text stands in for bytes that are not UTF-8.
    damaged: Option<Range<usize>>,
}

/// A file among the [`Files`] that it came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(usize);

/// A stretch of one file's text, in bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// Where it starts.
    pub start: usize,
    /// Where it ends; the byte there doesn't belong to it.
    pub end: usize,
}

/// A place as people count it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Position {
    /// The line, from 1.
    pub line: usize,
    /// The character within the line, from 1.
    pub column: usize,
}

impl Files {
    /// The files with these paths and texts.
    pub fn new<P: Into<String>, T: Into<String>>(files: impl IntoIterator<Item = (P, T)>) -> Self {
        Self::from_bytes(files.into_iter().map(|(path, text)| (path, text.into().into_bytes())))
    }

    /// The files with these paths and contents. What isn't UTF-8 in them is found when the book
    /// is read.
    pub fn from_bytes<P: Into<String>>(files: impl IntoIterator<Item = (P, Vec<u8>)>) -> Self {
        let by_path: BTreeMap<String, Vec<u8>> =
            files.into_iter().map(|(path, bytes)| (path.into(), bytes)).collect();
        Self(by_path.into_iter().map(|(path, bytes)| File::new(path, bytes)).collect())
    }

    /// Every file, by path.
    pub fn ids(&self) -> impl Iterator<Item = FileId> + use<> {
        (0..self.0.len()).map(FileId)
    }

    /// The path of a file.
    ///
    /// # Panics
    /// Where the id comes from other files.
    pub fn path(&self, file: FileId) -> &str {
        &self.0[file.0].path
    }

    /// The text of a file.
    ///
    /// # Panics
    /// Where the id comes from other files.
    pub fn text(&self, file: FileId) -> &str {
        &self.0[file.0].text
    }

    /// The first place where a file isn't UTF-8.
    pub(crate) fn damage(&self, file: FileId) -> Option<Span> {
        let Range { start, end } = self.0[file.0].damaged.clone()?;
        Some(Span { file, start, end })
    }

    /// Where a span starts, as people count it.
    pub fn position(&self, span: Span) -> Position {
        let text = self.text(span.file).as_bytes();
        let before = &text[..span.start.min(text.len())];
        let line_start = before.iter().rposition(|byte| *byte == b'\n').map_or(0, |at| at + 1);
        Position {
            line: before.split(|byte| *byte == b'\n').count(),
            column: characters(&before[line_start..]) + 1,
        }
    }
}

impl File {
    fn new(path: String, bytes: Vec<u8>) -> Self {
        match String::from_utf8(bytes) {
            Ok(text) => Self { path, text, damaged: None },
            Err(error) => {
                let start = error.utf8_error().valid_up_to();
                let text = String::from_utf8_lossy(error.as_bytes()).into_owned();
                let end = start + char::REPLACEMENT_CHARACTER.len_utf8();
                Self { path, text, damaged: Some(start..end) }
            }
        }
    }
}

/// How many characters the bytes of a valid text hold: all but the continuation bytes start one.
pub(crate) fn characters(bytes: &[u8]) -> usize {
    bytes.iter().filter(|byte| **byte & 0b1100_0000 != 0b1000_0000).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn position_counts_characters_and_not_bytes() {
        let files = Files::new([("a.toml", "x = 1\nŒuf = 2\n")]);
        let file = files.ids().next().unwrap();
        let at = "x = 1\nŒuf ".len();
        let position = files.position(Span { file, start: at, end: at + 1 });
        assert_eq!(position, Position { line: 2, column: 5 });
    }

    #[test]
    fn files_are_sorted_and_the_later_of_two_is_kept() {
        let files = Files::new([("b", "1"), ("a", "2"), ("b", "3")]);
        let all: Vec<_> = files.ids().map(|id| (files.path(id), files.text(id))).collect();
        assert_eq!(all, [("a", "2"), ("b", "3")]);
    }
}
