//! Why a command has no result, and how that is told.

mod hub;

use std::fmt::Write as _;
use std::process::ExitCode;

use owo_colors::OwoColorize;

use crate::console;

/// How a command ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Exit {
    /// There is a result.
    Result,
    /// The book or the request is refused, or something stands in the way.
    Refused,
    /// The command was not called as it can be.
    Usage,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(match exit {
            Exit::Result => 0,
            Exit::Refused => 1,
            Exit::Usage => 2,
        })
    }
}

/// Who can mend it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Whoever wrote the book or asks for something.
    User,
    /// Whoever typed the command.
    Usage,
    /// Whoever looks after the hub, the network or the replica's disk.
    Hub,
    /// Whoever writes this program.
    Internal,
    /// Nobody has to: the reader of the output went away.
    BrokenPipe,
}

/// Why a command has no result.
///
/// The message gives the reason before the conclusion, in one sentence without a full stop.
#[derive(Debug)]
pub(crate) struct Failure {
    kind: Kind,
    message: String,
    /// What is shown before the message: the findings of a book.
    details: String,
    hints: Vec<String>,
}

impl Failure {
    fn new(kind: Kind, message: impl Into<String>) -> Self {
        Self { kind, message: message.into(), details: String::new(), hints: Vec::new() }
    }

    /// The book or the request is refused.
    pub(crate) fn refused(message: impl Into<String>) -> Self {
        Self::new(Kind::User, message)
    }

    /// Arguments that don't go together, where the parser can't tell.
    pub(crate) fn usage(message: impl Into<String>) -> Self {
        Self::new(Kind::Usage, message)
    }

    /// A hub, a connection or a store doesn't do its part.
    pub(crate) fn hub(message: impl Into<String>) -> Self {
        Self::new(Kind::Hub, message)
    }

    /// Something is wrong that nobody who uses the program can mend.
    pub(crate) fn internal(message: impl Into<String>) -> Self {
        Self::new(Kind::Internal, message)
            .hint("this is a defect of chablon: report it with the command that was typed")
    }

    /// Adds what would mend it.
    #[must_use]
    pub(crate) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Adds what would mend it, where that is known.
    #[must_use]
    pub(crate) fn hint_if(self, hint: Option<impl Into<String>>) -> Self {
        match hint {
            Some(hint) => self.hint(hint),
            None => self,
        }
    }

    /// Adds what is shown before the message.
    #[must_use]
    pub(crate) fn after(mut self, details: impl Into<String>) -> Self {
        self.details = details.into();
        self
    }

    /// Tells it on standard error.
    pub(crate) fn report(&self) -> Exit {
        if self.kind != Kind::BrokenPipe {
            console::note(&self.text());
        }
        match self.kind {
            Kind::User | Kind::Hub | Kind::Internal => Exit::Refused,
            Kind::Usage => Exit::Usage,
            Kind::BrokenPipe => Exit::Result,
        }
    }

    fn text(&self) -> String {
        let mut text = String::new();
        if !self.details.is_empty() {
            let _ = writeln!(text, "{}", self.details);
        }
        let _ = write!(text, "{} {}", "error:".red().bold(), self.message);
        for hint in &self.hints {
            let _ = write!(text, "\n{} {hint}", "hint:".cyan().bold());
        }
        text
    }
}

impl From<std::io::Error> for Failure {
    /// Only for what is written to a stream: a file's error needs the file's name.
    fn from(error: std::io::Error) -> Self {
        match error.kind() {
            std::io::ErrorKind::BrokenPipe => Self::new(Kind::BrokenPipe, ""),
            _ => Self::new(Kind::Hub, format!("the output can't be written: {error}")),
        }
    }
}
