//! Findings as people read them.

use std::fmt;

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError,
    MietteSpanContents, SourceCode, SourceSpan, SpanContents, ThemeCharacters, ThemeStyles,
};

use crate::files::characters;
use crate::{FileId, Files, Finding, Label, Severity};

/// How findings are laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// With the excerpt of the file that each points at.
    Excerpt,
    /// A line for each: `file:line:column: error: message [code]`, its hint indented below.
    Narrow,
}

/// How findings are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RenderOptions {
    /// The layout.
    pub style: Style,
    /// Whether colours are used.
    pub colour: bool,
    /// Whether frames and pointers are drawn in characters beyond ASCII.
    pub unicode: bool,
    /// How many columns there are.
    pub width: usize,
}

impl Default for RenderOptions {
    fn default() -> Self {
        Self { style: Style::Excerpt, colour: false, unicode: true, width: 100 }
    }
}

/// Below this the excerpt of a line leaves no room for its label.
const MIN_WIDTH: usize = 40;

/// The findings as text, in the order given.
pub fn render(findings: &[Finding], files: &Files, options: RenderOptions) -> String {
    let show = |finding| match options.style {
        Style::Excerpt => excerpt(finding, files, options),
        Style::Narrow => narrow(finding, files),
    };
    let separator = if options.style == Style::Excerpt { "\n" } else { "" };
    findings.iter().map(show).collect::<Vec<_>>().join(separator)
}

fn narrow(finding: &Finding, files: &Files) -> String {
    let located = finding.located(files);
    let place = match (located.file, located.line, located.column) {
        (Some(file), Some(line), Some(column)) => format!("{file}:{line}:{column}: "),
        (Some(file), ..) => format!("{file}: "),
        _ => String::new(),
    };
    let (word, message, code) = (word(finding.severity), &finding.message, finding.code);
    let elsewhere = finding.labels.iter().skip(1).map(|label| elsewhere(label, files));
    let hint = finding.hint.iter().map(|hint| format!("  hint: {hint}\n"));
    let first = std::iter::once(format!("{place}{word}: {message} [{code}]\n"));
    first.chain(elsewhere).chain(hint).collect()
}

fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
    }
}

fn elsewhere(label: &Label, files: &Files) -> String {
    let at = files.position(label.span);
    let path = files.path(label.span.file);
    format!("  {path}:{}:{}: {}\n", at.line, at.column, label.text)
}

fn excerpt(finding: &Finding, files: &Files, options: RenderOptions) -> String {
    let handler = handler(options);
    let mut parts = Shown::of(finding, files);
    if let Some(last) = parts.last_mut() {
        last.hint = finding.hint.as_deref();
    }
    let texts = parts.iter().enumerate().map(|(index, part)| {
        let mut text = String::new();
        handler.render_report(&mut text, part).expect("writing to a string doesn't fail");
        // The message of a further part only stands for that of the first.
        text.lines()
            .skip(usize::from(index > 0))
            .fold(String::new(), |text, line| text + line.trim_end() + "\n")
    });
    hint_as_hint(texts.collect(), finding.hint.is_some())
}

fn handler(options: RenderOptions) -> GraphicalReportHandler {
    let characters =
        if options.unicode { ThemeCharacters::unicode() } else { ThemeCharacters::ascii() };
    let styles = if options.colour { ThemeStyles::ansi() } else { ThemeStyles::none() };
    GraphicalReportHandler::new_themed(GraphicalTheme { characters, styles })
        .with_width(options.width.max(MIN_WIDTH))
        .with_links(false)
        .with_break_words(false)
}

/// `miette` writes `help:` before what is called a hint everywhere else.
fn hint_as_hint(mut text: String, has_hint: bool) -> String {
    const HELP: &str = "  help: ";
    if let Some(at) = text.rfind(HELP).filter(|_| has_hint) {
        text.replace_range(at..at + HELP.len(), "  hint: ");
    }
    text
}

/// The part of a finding that stands in one file, as `miette` takes it.
#[derive(Debug)]
struct Shown<'a> {
    severity: miette::Severity,
    code: Option<&'a str>,
    message: &'a str,
    hint: Option<&'a str>,
    source: Option<Source<'a>>,
    labels: Vec<&'a Label>,
}

impl<'a> Shown<'a> {
    /// The parts of a finding, one for each file: `miette` shows one source at a time.
    fn of(finding: &'a Finding, files: &'a Files) -> Vec<Self> {
        let mut parts = vec![Self {
            severity: match finding.severity {
                Severity::Error => miette::Severity::Error,
                Severity::Warning => miette::Severity::Warning,
            },
            code: Some(finding.code),
            message: &finding.message,
            hint: None,
            source: None,
            labels: Vec::new(),
        }];
        for label in &finding.labels {
            let file = label.span.file;
            let here = |part: &&mut Self| part.source.as_ref().is_none_or(|it| it.file == file);
            match parts.iter_mut().find(here) {
                Some(part) => part.labels.push(label),
                None => parts.push(Self::further(parts[0].severity, label)),
            }
            if let Some(part) = parts.iter_mut().find(|part| part.source.is_none()) {
                part.source = Some(Source { files, file });
            }
        }
        parts
    }

    fn further(severity: miette::Severity, label: &'a Label) -> Self {
        Self { severity, code: None, message: "", hint: None, source: None, labels: vec![label] }
    }
}

impl fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.message)
    }
}

impl std::error::Error for Shown<'_> {}

impl Diagnostic for Shown<'_> {
    fn code<'b>(&'b self) -> Option<Box<dyn fmt::Display + 'b>> {
        self.code.map(|code| Box::new(code) as Box<dyn fmt::Display>)
    }
    fn severity(&self) -> Option<miette::Severity> {
        Some(self.severity)
    }
    fn help<'b>(&'b self) -> Option<Box<dyn fmt::Display + 'b>> {
        self.hint.map(|hint| Box::new(hint) as Box<dyn fmt::Display>)
    }
    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.source.as_ref().map(|source| source as &dyn SourceCode)
    }
    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let mut primary = true;
        Some(Box::new(self.labels.iter().map(move |label| {
            let text = Some(label.text.clone());
            let (start, length) = (label.span.start, label.span.end - label.span.start);
            if std::mem::take(&mut primary) {
                LabeledSpan::new_primary_with_span(text, (start, length))
            } else {
                LabeledSpan::new(text, start, length)
            }
        })))
    }
}

/// A file as `miette` reads it.
struct Source<'a> {
    files: &'a Files,
    file: FileId,
}

impl fmt::Debug for Source<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.files.path(self.file))
    }
}

impl SourceCode for Source<'_> {
    fn read_span<'b>(
        &'b self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'b> + 'b>, MietteError> {
        let text = self.files.text(self.file);
        let read = text.read_span(span, before, after)?;
        // The column comes in bytes, and people count characters.
        let start = read.span().offset();
        let line_start = start.saturating_sub(read.column());
        let column = characters(text.as_bytes().get(line_start..start).unwrap_or_default());
        Ok(Box::new(MietteSpanContents::new_named(
            self.files.path(self.file).to_owned(),
            read.data(),
            *read.span(),
            read.line(),
            column,
            read.line_count(),
        )))
    }
}
