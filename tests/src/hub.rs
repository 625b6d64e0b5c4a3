//! A hub as a process.

use std::ffi::OsStr;
use std::io::{BufRead as _, BufReader};
use std::process::{Child, Stdio};

use crate::chablon;

/// A hub that serves a store from a process of its own, until it is dropped.
pub struct Hub {
    process: Child,
    address: String,
}

impl Hub {
    /// Starts a hub on any free port and waits until it serves.
    pub fn start(store: impl AsRef<OsStr>) -> Self {
        Self::start_at(store, "127.0.0.1:0")
    }

    /// Starts a hub at an address, such as that of one that was killed. The store is a file, or the
    /// URL of a database.
    ///
    /// # Panics
    /// Where it doesn't come up.
    pub fn start_at(store: impl AsRef<OsStr>, address: &str) -> Self {
        Self::try_start_at(store, address).expect("the hub serves")
    }

    /// The same; nothing where it doesn't come up, as when its database is down.
    pub fn try_start_at(store: impl AsRef<OsStr>, address: &str) -> Option<Self> {
        let mut command = chablon(&["hub", "serve", "--listen", address, "--store"]);
        let streams = command.arg(store).stdout(Stdio::piped()).stderr(Stdio::null());
        let mut process = streams.spawn().expect("the hub starts");
        let mut line = String::new();
        let stdout = process.stdout.take().expect("standard output is piped");
        BufReader::new(stdout).read_line(&mut line).expect("the hub says where it serves");
        let url = line.split_whitespace().find_map(|word| word.strip_prefix("http://"));
        let mut hub = Self { process, address: url.unwrap_or_default().to_owned() };
        if url.is_none() {
            hub.end();
        }
        url.is_some().then_some(hub)
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
