//! A hub as a process.

use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::{Child, Stdio};

use crate::chablon;

/// A hub that serves a store from a process of its own, until it is dropped.
pub struct Hub {
    process: Child,
    address: String,
}

impl Hub {
    /// Starts a hub on any free port and waits until it serves.
    pub fn start(store: &Path) -> Self {
        Self::start_at(store, "127.0.0.1:0")
    }

    /// Starts a hub at an address, such as that of one that was killed.
    ///
    /// # Panics
    /// Where it doesn't come up.
    pub fn start_at(store: &Path, address: &str) -> Self {
        let store = store.to_str().expect("a path in UTF-8");
        let mut process = chablon(&["hub", "serve", "--store", store, "--listen", address])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the hub starts");
        let mut line = String::new();
        let stdout = process.stdout.take().expect("standard output is piped");
        BufReader::new(stdout).read_line(&mut line).expect("the hub says where it serves");
        let url = line.split_whitespace().find_map(|word| word.strip_prefix("http://"));
        let address = url.unwrap_or_else(|| panic!("no address in {line:?}")).to_owned();
        Self { process, address }
    }

    /// Host and port.
    pub fn address(&self) -> &str {
        &self.address
    }

    /// The URL for `--hub`.
    pub fn url(&self) -> String {
        format!("http://{}", self.address)
    }

    /// Ends it at once, as a power cut would.
    pub fn kill(mut self) {
        self.end();
    }

    fn end(&mut self) {
        // Already gone is as good.
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

impl Drop for Hub {
    fn drop(&mut self) {
        self.end();
    }
}
