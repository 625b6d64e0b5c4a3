//! The authored book: a folder of TOML files read into the model, with every finding located.
//!
//! - [`read`] takes a book's [`Files`], paths and texts, and gives the [`AuthoredBook`], the
//!   [`Locations`] of everything in it, and every [`Finding`] of one run. A book with an error is
//!   refused whole.
//! - [`read_deviation`] takes the one file in which a kitchen asks to make something otherwise.
//! - [`render`] shows findings to people; [`Finding::located`] gives them to machines.
//! - [`write()`] turns a book into files again, from which the same book is read.
//!
//! Nothing here reads a disk, except `read_folder` behind the feature `fs`.
//!
//! ```
//! use chablon_book::{Files, read};
//!
//! let files = Files::new([(
//!     "book.toml",
//!     "name = 'Saltmarsh Kitchens'\ncurrency = 'EUR'\nlanguages = ['en']\nlabls = ['eu']\n",
//! )]);
//! let outcome = read(&files);
//! assert!(outcome.book.is_none());
//! assert_eq!(outcome.findings[0].code, "unknown-key");
//! assert_eq!(outcome.findings[0].hint.as_deref(), Some("did you mean `labels`?"));
//! ```

mod authored;
mod check;
mod files;
mod finding;
#[cfg(feature = "fs")]
mod folder;
mod locations;
mod read;
mod render;
mod suggest;
mod write;

#[doc = include_str!("../docs/format.md")]
pub mod format {}

pub use authored::AuthoredBook;
pub use files::{FileId, Files, Position, Span};
pub use finding::{Finding, Label, Located, Severity, sort_findings};
#[cfg(feature = "fs")]
pub use folder::{FolderError, read_folder};
pub use locations::Locations;
pub use read::{AuthoredDeviation, Outcome, read, read_deviation};
pub use render::{RenderOptions, Style, render};
pub use write::write;
