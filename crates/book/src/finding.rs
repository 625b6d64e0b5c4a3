//! What is wrong with a book, where, and what would mend it.

use serde::Serialize;

use crate::{Files, Span};

/// How bad a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// The book is refused.
    Error,
    /// The book is read, and someone should look.
    Warning,
}

/// A place that a finding points at, with what is to be seen there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// The place.
    pub span: Span,
    /// What is to be seen there, in a few words.
    pub text: String,
}

/// Something that is wrong or doubtful in a book.
///
/// ```
/// use chablon_book::{Files, Finding, Span};
///
/// let files = Files::new([("recipes/glaze.toml", "id = \"glaze\"\n")]);
/// let file = files.ids().next().unwrap();
/// let finding = Finding::warning("small-batch", "the batch is below its minimum")
///     .at(Span { file, start: 5, end: 12 }, "this recipe")
///     .hint("make two days' worth at once");
/// assert_eq!(finding.located(&files).line, Some(1));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// How bad it is.
    pub severity: Severity,
    /// What kind of finding it is: a short name in kebab-case that doesn't change.
    pub code: &'static str,
    /// What is wrong, in the trade's words.
    pub message: String,
    /// The file, where no place in its text can be shown.
    pub path: Option<String>,
    /// The places; the first is where the finding stands.
    pub labels: Vec<Label>,
    /// What would mend it.
    pub hint: Option<String>,
}

/// A finding with its first place resolved, flat, as a machine reads it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Located<'a> {
    /// How bad it is.
    pub severity: Severity,
    /// What kind of finding it is.
    pub code: &'static str,
    /// The file, by its path in the book.
    pub file: Option<&'a str>,
    /// The line, from 1.
    pub line: Option<usize>,
    /// The character within the line, from 1.
    pub column: Option<usize>,
    /// What is wrong.
    pub message: &'a str,
    /// What would mend it.
    pub hint: Option<&'a str>,
}

impl Finding {
    /// A finding for which the book is refused.
    pub fn error(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(Severity::Error, code, message)
    }

    /// A finding for which someone should look.
    pub fn warning(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(Severity::Warning, code, message)
    }

    /// A finding without a place.
    pub fn new(severity: Severity, code: &'static str, message: impl Into<String>) -> Self {
        let message = message.into();
        Self { severity, code, message, path: None, labels: Vec::new(), hint: None }
    }

    /// Adds a place; the first that is added is where the finding stands.
    #[must_use]
    pub fn at(mut self, span: Span, label: impl Into<String>) -> Self {
        self.labels.push(Label { span, text: label.into() });
        self
    }

    /// Names the file, where no place in its text can be shown.
    #[must_use]
    pub fn in_file(mut self, path: impl Into<String>) -> Self {
        self.path = Some(path.into());
        self
    }

    /// Says what would mend it.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// The finding with its first place resolved.
    pub fn located<'a>(&'a self, files: &'a Files) -> Located<'a> {
        let first = self.labels.first().map(|label| label.span);
        let position = first.map(|span| files.position(span));
        Located {
            severity: self.severity,
            code: self.code,
            file: first.map(|span| files.path(span.file)).or(self.path.as_deref()),
            line: position.map(|position| position.line),
            column: position.map(|position| position.column),
            message: &self.message,
            hint: self.hint.as_deref(),
        }
    }
}

/// Puts findings in the order in which they are shown: by file, then by place.
///
/// Those without a file come first, since they concern the whole book; those of one place stay in
/// the order in which they were found.
pub fn sort_findings(findings: &mut [Finding], files: &Files) {
    findings.sort_by_cached_key(|finding| {
        let first = finding.labels.first().map(|label| label.span);
        let path = first.map(|span| files.path(span.file)).or(finding.path.as_deref());
        (path.map(str::to_owned), first.map(|span| (span.start, span.end)))
    });
}
