//! A book on disk, read and checked.

mod declared;
mod problems;

use std::path::{Path, PathBuf};

use chablon_book::{
    AuthoredBook, Files, Finding, RenderOptions, Severity, Span, Style, read_folder,
};
use chablon_model::DocumentContent;

use crate::console;
use crate::failure::Failure;
use crate::text::counted;

/// The file that makes a folder a book.
const SETTINGS: &str = "book.toml";

/// What a folder holds, with everything that is wrong with it.
#[derive(Debug)]
pub(crate) struct Checked {
    /// The files.
    pub(crate) files: Files,
    /// The book, where it could be read.
    pub(crate) book: Option<AuthoredBook>,
    /// All findings, by file and place.
    pub(crate) findings: Vec<Finding>,
}

impl Checked {
    /// Reads and checks a folder.
    pub(crate) fn folder(folder: &Path) -> Result<Self, Failure> {
        read_folder(folder).map(Self::files).map_err(|error| {
            let path = error.path.display();
            Failure::refused(format!(
                "`{path}` can't be read ({}), so there is no book to use",
                error.source
            ))
            .hint(format!("a book is a folder that holds {SETTINGS}; name it with --book"))
        })
    }

    /// Checks files: how they are written, and what can be computed from them.
    pub(crate) fn files(files: Files) -> Self {
        let outcome = chablon_book::read(&files);
        let mut findings = outcome.findings;
        if let Some(book) = &outcome.book {
            findings.extend(problems::findings(book, &outcome.locations));
            chablon_book::sort_findings(&mut findings, &files);
        }
        Self { files, book: outcome.book, findings }
    }

    /// The same with what keeps a recipe from being released as an error, as it is for whoever
    /// releases it.
    pub(crate) fn for_release(mut self) -> Self {
        let unknown = |one: &&mut Finding| one.code == declared::ALLERGEN_UNKNOWN;
        let findings = self.findings.iter_mut().filter(unknown);
        findings.for_each(|one| one.severity = Severity::Error);
        self
    }

    /// How many findings are that bad.
    pub(crate) fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|finding| finding.severity == severity).count()
    }

    /// What is doubtful, a line each; nothing where something is wrong.
    pub(crate) fn warnings(&self) -> String {
        if self.count(Severity::Error) > 0 {
            return String::new();
        }
        let options = RenderOptions { style: Style::Narrow, ..RenderOptions::default() };
        chablon_book::render(&self.findings, &self.files, options)
    }

    /// The findings for people.
    pub(crate) fn rendered(&self) -> String {
        let options = RenderOptions {
            colour: console::colours_notes(),
            width: console::width(),
            ..RenderOptions::default()
        };
        chablon_book::render(&self.findings, &self.files, options)
    }

    /// The book, if nothing in it is wrong. What is only doubtful is left to `check`.
    pub(crate) fn sound(self, folder: &Path) -> Result<AuthoredBook, Failure> {
        let errors = self.count(Severity::Error);
        let rendered = if errors > 0 { self.rendered() } else { String::new() };
        self.book.filter(|_| errors == 0).ok_or_else(|| {
            let count = counted(errors, "error");
            let folder = folder.display();
            Failure::refused(format!("the book `{folder}` has {count}, so nothing is done with it"))
                .after(rendered)
                .hint("correct what is shown above, and try again")
        })
    }
}

/// The documents of a book.
pub(crate) fn documents(book: &AuthoredBook) -> Vec<DocumentContent> {
    let mut documents = vec![DocumentContent::Book(book.settings.clone())];
    documents.extend(book.ingredients.iter().cloned().map(DocumentContent::Ingredient));
    documents.extend(book.recipes.iter().cloned().map(DocumentContent::Recipe));
    documents.extend(book.sites.iter().cloned().map(DocumentContent::Site));
    documents.extend(book.price_lists.iter().cloned().map(DocumentContent::Prices));
    documents
}

/// The folder to use: the one that is named, or else the one where the command is typed.
pub(crate) fn folder_or_here(named: Option<&Path>) -> Option<PathBuf> {
    let here = || Path::new(SETTINGS).is_file().then(|| PathBuf::from("."));
    named.map(Path::to_owned).or_else(here)
}

/// A finding at a place of the files, where there is one.
fn placed(finding: Finding, span: Option<Span>, label: &str) -> Finding {
    match span {
        Some(span) => finding.at(span, label),
        None => finding,
    }
}
