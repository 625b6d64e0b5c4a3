//! The server's programs, and as whom they run.

use std::env;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Where Debian and those who follow it keep the programs of each version.
const VERSIONS: &str = "/usr/lib/postgresql";

/// The server refuses to run as root; this user owns nothing.
const UNPRIVILEGED: &str = "nobody";

/// The server's programs.
#[derive(Debug)]
pub(super) struct Binaries {
    folder: PathBuf,
    /// Whether to become somebody else first.
    root: bool,
}

impl Binaries {
    /// Those of the path, or else of the newest version that is installed.
    pub(super) fn find() -> Self {
        let path = env::var_os("PATH").unwrap_or_default();
        let folder = env::split_paths(&path).find(|folder| complete(folder)).or_else(newest);
        let folder = folder.expect(
            "PostgreSQL 15 or later is not installed: `apt-get install postgresql`, or set \
             CHABLON_POSTGRES_URL to the URL of a server",
        );
        Self { folder, root: said(Command::new("id").arg("-u")) == "0" }
    }

    /// One of the server's programs.
    pub(super) fn program(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// A command that runs as the server's user.
    pub(super) fn command(&self, program: impl AsRef<Path>) -> Command {
        let program = program.as_ref();
        let mut command = if self.root {
            let mut command = Command::new("runuser");
            command.args(["-u", UNPRIVILEGED, "--"]).arg(program);
            command
        } else {
            Command::new(program)
        };
        // The folder of the test need not be readable to that user.
        command.current_dir("/");
        command
    }
}

fn complete(folder: &Path) -> bool {
    ["initdb", "pg_ctl", "postgres"].iter().all(|name| folder.join(name).is_file())
}

fn newest() -> Option<PathBuf> {
    let versions = std::fs::read_dir(VERSIONS).ok()?.flatten();
    let number = |folder: &Path| folder.file_name()?.to_str()?.parse::<u32>().ok();
    let numbered = versions.filter_map(|entry| Some((number(&entry.path())?, entry.path())));
    let programs = numbered.map(|(number, folder)| (number, folder.join("bin")));
    programs.filter(|(_, bin)| complete(bin)).max().map(|(_, bin)| bin)
}

/// What a command says in one line.
pub(super) fn said(command: &mut Command) -> String {
    let output = command.output().unwrap_or_else(|error| panic!("{command:?}: {error}"));
    assert!(output.status.success(), "{command:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8_lossy(&output.stdout).trim().to_owned()
}
