//! A folder to work in, and the program to work with.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use insta::Settings;
use tempfile::TempDir;

/// A session: commands that were typed one after the other in one folder.
pub(crate) struct Session {
    folder: TempDir,
    /// The address of the session's hub, once it runs.
    hub: Option<RunningHub>,
    typed: String,
}

/// What a command did.
pub(crate) struct Done {
    pub(crate) code: i32,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

impl Session {
    /// An empty folder.
    pub(crate) fn empty() -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        Self { folder, hub: None, typed: String::new() }
    }

    /// A folder with the Saltmarsh book in `book`.
    pub(crate) fn with_book() -> Self {
        let session = Self::empty();
        for (path, text) in chablon_saltmarsh::files() {
            session.write(&format!("book/{path}"), &text);
        }
        session
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn write(&self, name: &str, text: &str) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().expect("a file in a folder")).expect("a folder");
        fs::write(path, text).expect("a file is written");
    }

    /// Changes the first place of a file of the book.
    pub(crate) fn edit(&self, file: &str, from: &str, to: &str) {
        let name = format!("book/{file}");
        let text = fs::read_to_string(self.path(&name)).expect("a file of the book");
        assert!(text.contains(from), "{file} holds {from:?}");
        self.write(&name, &text.replacen(from, to, 1));
    }

    /// Starts the session's hub on its store.
    pub(crate) fn start_hub(&mut self) {
        self.start_hub_with(&[]);
    }

    /// The same with more arguments.
    pub(crate) fn start_hub_with(&mut self, arguments: &[&str]) {
        self.hub = Some(RunningHub::start(self.folder.path(), "hub.db", arguments));
    }

    /// The address of the session's hub.
    pub(crate) fn hub_url(&self) -> &str {
        &self.hub.as_ref().expect("a hub runs").url
    }

    /// Stops it as Ctrl-C or a service manager would.
    pub(crate) fn stop_hub(&mut self) -> Done {
        self.hub.take().expect("a hub runs").stop()
    }

    /// Runs a command, and notes what it did. Words in double quotes are one argument.
    pub(crate) fn run(&mut self, command: &str) -> Done {
        let done = self.run_unnoted(command);
        let Done { code, stdout, stderr } = &done;
        let part = |name: &str, text: &str| match text {
            "" => String::new(),
            text => format!("--- {name}\n{}\n", text.trim_end()),
        };
        let (stdout, stderr) = (part("stdout", stdout), part("stderr", stderr));
        let noted = format!("$ chablon {command}\n{stdout}{stderr}--- exit {code}\n\n");
        self.typed.push_str(&noted);
        done
    }

    pub(crate) fn run_unnoted(&self, command: &str) -> Done {
        let mut program = program(self.folder.path());
        program.args(arguments(command));
        if let Some(hub) = &self.hub {
            program.env("CHABLON_HUB", &hub.url);
        }
        let output = program.stdin(Stdio::null()).output().expect("the program runs");
        let text = |bytes| String::from_utf8(bytes).expect("the program writes UTF-8");
        Done {
            code: output.status.code().expect("the program ends by itself"),
            stdout: text(output.stdout),
            stderr: text(output.stderr),
        }
    }

    /// Compares all that was typed and shown with what was when this was last looked at.
    pub(crate) fn compare(&self, name: &str) {
        settings(self.folder.path()).bind(|| insta::assert_snapshot!(name, self.typed));
    }
}

/// The program in a folder, with an environment that doesn't depend on the machine.
pub(crate) fn program(folder: &Path) -> Command {
    let mut program = Command::new(env!("CARGO_BIN_EXE_chablon"));
    program.current_dir(folder).env("TZ", "UTC").env("HOME", folder);
    let set = std::env::vars_os().map(|(name, _)| name);
    for name in set.filter(|name| name.to_string_lossy().starts_with("CHABLON_")) {
        program.env_remove(name);
    }
    program.env_remove("XDG_CONFIG_HOME");
    program
}

/// The words of a command; those in double quotes hold spaces.
fn arguments(command: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for letter in command.chars() {
        match letter {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            letter => words.last_mut().expect("at least one word").push(letter),
        }
    }
    words
}

fn settings(folder: &Path) -> Settings {
    let mut settings = Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.add_filter("\u{a0}", " ");
    settings.add_filter(&regex_of(folder), "[DIR]");
    settings.add_filter(r"/\S*chablon-demo-\w+", "[DIR]");
    settings.add_filter(r"127\.0\.0\.1:\d+", "127.0.0.1:[PORT]");
    settings.add_filter(r"20\d\d-\d\d-\d\d \d\d:\d\d", "[TIME]");
    settings.add_filter(r"_ms.: 1[789]\d{11}", "_ms\": [TIME]");
    settings.add_filter(r"(Basis|Base) [0-9a-f]{12}", "$1 [DIGEST]");
    settings.add_filter("of root [0-9a-f]{12}", "of root [DIGEST]");
    settings.add_filter("[0-9a-f]{64}", "[DIGEST]");
    settings.add_filter("[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", "[UUID]");
    settings.add_filter("[0-9A-HJKMNP-TV-Z]{4}(-[0-9A-HJKMNP-TV-Z]{4}){5}", "[CODE]");
    settings.add_filter("--over [0-9a-f]{12}", "--over [ETAG]");
    settings
}

fn regex_of(folder: &Path) -> String {
    folder.display().to_string().replace('.', r"\.")
}

/// A process that ends with the test, however that ends.
pub(crate) struct Running(pub(crate) Child);

impl Drop for Running {
    fn drop(&mut self) {
        // Already gone is as good.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// A hub that was started as its own process.
struct RunningHub {
    process: Child,
    url: String,
}

impl RunningHub {
    fn start(folder: &Path, store: &str, arguments: &[&str]) -> Self {
        let mut program = program(folder);
        program.args(["hub", "serve", "--store", store, "--listen", "127.0.0.1:0"]);
        program.args(arguments);
        program.env("CHABLON_LOG", "off").stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut process = program.spawn().expect("the hub starts");
        let mut line = String::new();
        let stdout = process.stdout.as_mut().expect("a pipe");
        BufReader::new(stdout).read_line(&mut line).expect("the hub says where it is");
        let url = line.split_whitespace().find(|word| word.contains("://"));
        let url = url.expect("the hub says where it is").to_owned();
        Self { process, url }
    }

    fn stop(mut self) -> Done {
        let pid = self.process.id().to_string();
        let told = Command::new("kill").args(["-TERM", &pid]).status().expect("kill runs");
        assert!(told.success());
        let process = std::mem::replace(&mut self.process, nothing());
        let output = process.wait_with_output().expect("the hub ends");
        Done {
            code: output.status.code().unwrap_or(-1),
            stdout: String::from_utf8_lossy(&output.stdout).into_owned(),
            stderr: String::from_utf8_lossy(&output.stderr).into_owned(),
        }
    }
}

/// A process that has nothing to do, in the place of one that was taken away.
fn nothing() -> Child {
    Command::new("true").spawn().expect("a process that ends at once")
}

impl Drop for RunningHub {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
