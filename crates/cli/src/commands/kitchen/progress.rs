//! How far a catch-up is, on standard error, once it takes a while.

use std::time::{Duration, Instant};

use chablon_sdk::Progress;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// What is over sooner is better told when it is over.
const PATIENCE: Duration = Duration::from_secs(1);

/// A bar that shows itself after a second, on a terminal.
pub(super) struct Bar {
    begun: Instant,
    bar: ProgressBar,
}

impl Bar {
    pub(super) fn new() -> Self {
        let style = ProgressStyle::with_template("{msg} [{bar:30}] {pos}/{len}");
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        let bar = bar.with_style(style.expect("a constant template"));
        Self { begun: Instant::now(), bar: bar.with_message("catching up") }
    }

    /// Shows how far it is: entries of the feed, and the revisions that they need.
    pub(super) fn show(&self, progress: &Progress) {
        if self.bar.is_hidden() && self.begun.elapsed() > PATIENCE {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        self.bar.set_length(progress.head + progress.revisions + progress.revisions_to_fetch);
        self.bar.set_position(progress.position + progress.revisions);
    }

    pub(super) fn clear(&self) {
        self.bar.finish_and_clear();
    }
}
