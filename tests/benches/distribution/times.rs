//! Times of jobs that are taken in turn, so that whatever else the machine does meets all.

use std::fmt::Write as _;
use std::io;
use std::path::Path;

/// The times of all jobs, as lines of a table.
pub(crate) struct Times(String);

impl Default for Times {
    fn default() -> Self {
        Self("job;who;how;median;fastest\n".to_owned())
    }
}

impl Times {
    /// Adds the seconds that somebody took for a job, however often.
    #[expect(clippy::print_stderr, reason = "shows that it gets on")]
    pub(crate) fn add(&mut self, job: &str, who: &str, how: &str, mut seconds: Vec<f64>) {
        seconds.sort_by(f64::total_cmp);
        let (median, fastest) = (seconds[seconds.len() / 2], seconds[0]);
        let line = format!("{job};{who};{how};{median:e};{fastest:e}");
        eprintln!("{line}");
        writeln!(self.0, "{line}").expect("a string takes all");
    }

    /// Adds what was found of something that isn't a time.
    #[expect(clippy::print_stderr, reason = "shows that it gets on")]
    pub(crate) fn note(&mut self, job: &str, who: &str, what: &str) {
        eprintln!("{job}: {who}: {what}");
        writeln!(self.0, "{job};{who};{what};0;0").expect("a string takes all");
    }

    pub(crate) fn write(&self, path: &Path) -> io::Result<()> {
        std::fs::create_dir_all(path.parent().expect("a file in a folder"))?;
        std::fs::write(path, &self.0)
    }
}
