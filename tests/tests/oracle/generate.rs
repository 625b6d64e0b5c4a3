//! Running the oracle's generator.

use std::io::{BufRead as _, BufReader, Lines};
use std::process::{Child, ChildStdout, Stdio};

use crate::python;

/// A whole number from the environment.
pub(crate) fn setting(name: &str, default: u32) -> u32 {
    std::env::var(name).map_or(default, |text| text.parse().expect("a whole number"))
}

/// A run of generated books, read as they are made.
pub(crate) struct Books {
    generator: Child,
    lines: Lines<BufReader<ChildStdout>>,
}

impl Books {
    /// So many books from the `first` on, counted from 0.
    pub(crate) fn start(seed: u32, first: u32, count: u32) -> Self {
        let numbers = [("--seed", seed), ("--first", first), ("--count", count)];
        let mut command = python::module("oracle.generate");
        command.args(["--only", "cases"]);
        for (name, number) in numbers {
            command.arg(name).arg(number.to_string());
        }
        // Statistics go to standard error, where only people read them.
        let started = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn();
        let mut generator = started.unwrap_or_else(|error| {
            panic!("Python can't be started ({error}): run `cargo xtask test`")
        });
        let out = generator.stdout.take().expect("standard output is piped");
        Self { generator, lines: BufReader::new(out).lines() }
    }

    /// Ends once all books were read.
    pub(crate) fn finish(mut self) {
        let status = self.generator.wait().expect("the generator ends");
        assert!(status.success(), "the generator failed: {status}");
    }
}

impl Iterator for Books {
    type Item = String;
    fn next(&mut self) -> Option<String> {
        self.lines.next().map(|line| line.expect("the generator writes lines"))
    }
}
