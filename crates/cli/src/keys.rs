//! Key files and root files on this machine's disk.

use std::fs::{self, File, OpenOptions};
use std::io::{ErrorKind, Read as _, Write as _};
use std::path::{Path, PathBuf};

use chablon_sdk::SignedBytes;
use chablon_sdk::trust::{KeyFile, KeyFileError, SigningKey, root_from_file, root_to_file};
use clap::Args;

use crate::failure::Failure;

/// The most bytes that are read of a key file or a root file.
const MAX_BYTES: u64 = 128 * 1024;

/// How a sealed key is opened.
#[derive(Debug, Args)]
pub(crate) struct PassphraseArguments {
    /// The file whose first line is the passphrase of sealed keys, where the environment has none
    #[arg(long, value_name = "FILE")]
    passphrase_file: Option<PathBuf>,
}

impl PassphraseArguments {
    /// The passphrase, where one is given.
    pub(crate) fn passphrase(&self) -> Result<Option<String>, Failure> {
        let Some(path) = &self.passphrase_file else {
            return Ok(std::env::var("CHABLON_PASSPHRASE").ok().filter(|text| !text.is_empty()));
        };
        let text = read_text(path)?;
        let first = text.lines().next().unwrap_or_default();
        if first.is_empty() {
            let message = format!("{} holds no passphrase in its first line", path.display());
            return Err(Failure::refused(message));
        }
        Ok(Some(first.to_owned()))
    }

    /// Opens keys. All of them have one passphrase; keys with others sign one after the other.
    pub(crate) fn open(&self, paths: &[PathBuf]) -> Result<Vec<SigningKey>, Failure> {
        let passphrase = self.passphrase()?;
        paths.iter().map(|path| open(path, passphrase.as_deref())).collect()
    }
}

/// With which keys what changes what is in force is signed.
#[derive(Debug, Args)]
pub(crate) struct SigningArguments {
    /// A release key's file, where the group signs; may be given more than once
    #[arg(long = "key", value_name = "FILE", env = "CHABLON_KEY")]
    keys: Vec<PathBuf>,
    #[command(flatten)]
    passphrase: PassphraseArguments,
}

impl SigningArguments {
    /// The keys.
    pub(crate) fn keys(&self) -> Result<Vec<SigningKey>, Failure> {
        if self.keys.is_empty() { Ok(Vec::new()) } else { self.passphrase.open(&self.keys) }
    }
}

fn open(path: &Path, passphrase: Option<&str>) -> Result<SigningKey, Failure> {
    read_key(path)?.open(passphrase).map_err(|error| {
        let failure = Failure::refused(format!("{}: {error}", path.display()));
        match error {
            KeyFileError::Sealed | KeyFileError::WrongPassphrase => {
                failure.hint("give it with --passphrase-file FILE or in CHABLON_PASSPHRASE")
            }
            _ => failure,
        }
    })
}

/// Reads a key file, without opening it.
pub(crate) fn read_key(path: &Path) -> Result<KeyFile, Failure> {
    let read: Result<KeyFile, KeyFileError> = read_text(path)?.parse();
    read.map_err(|error| Failure::refused(format!("{}: {error}", path.display())))
}

/// Reads a root file. Nothing in it is verified.
pub(crate) fn read_root(path: &Path) -> Result<SignedBytes, Failure> {
    root_from_file(&read(path)?)
        .map_err(|error| Failure::refused(format!("{}: {error}", path.display())))
}

/// Writes a root file that isn't there yet.
pub(crate) fn write_root(path: &Path, root: &SignedBytes) -> Result<(), Failure> {
    write_new(path, &root_to_file(root), 0o644)
}

/// Writes a root file in the place of what is there, so that no moment has half of it.
pub(crate) fn replace_root(path: &Path, root: &SignedBytes) -> Result<(), Failure> {
    let mut beside = path.as_os_str().to_owned();
    beside.push(".new");
    let beside = PathBuf::from(beside);
    write_root(&beside, root)?;
    fs::rename(&beside, path).map_err(|error| unwritable(path, &error))
}

/// Writes a key file that isn't there yet, for its owner alone.
pub(crate) fn write_key(path: &Path, key: &KeyFile) -> Result<(), Failure> {
    write_new(path, key.to_string().as_bytes(), 0o600)
}

/// Writes a file that isn't there yet, down to the disk.
pub(crate) fn write_new(path: &Path, bytes: &[u8], mode: u32) -> Result<(), Failure> {
    let mut file = create_new(path, mode).map_err(|error| unwritable(path, &error))?;
    let written = file.write_all(bytes).and_then(|()| file.sync_all());
    written.map_err(|error| {
        // Half a file would pass for one.
        _ = fs::remove_file(path);
        unwritable(path, &error)
    })
}

#[cfg(unix)]
fn create_new(path: &Path, mode: u32) -> std::io::Result<File> {
    use std::os::unix::fs::OpenOptionsExt as _;
    OpenOptions::new().write(true).create_new(true).mode(mode).open(path)
}

/// Elsewhere a file is as private as its folder.
#[cfg(not(unix))]
fn create_new(path: &Path, _mode: u32) -> std::io::Result<File> {
    OpenOptions::new().write(true).create_new(true).open(path)
}

fn unwritable(path: &Path, error: &std::io::Error) -> Failure {
    let path = path.display();
    if error.kind() == ErrorKind::AlreadyExists {
        return Failure::refused(format!("{path} exists, and nothing is written over"))
            .hint("name a file that isn't there yet");
    }
    Failure::refused(format!("{path} can't be written: {error}"))
}

fn read_text(path: &Path) -> Result<String, Failure> {
    let text = String::from_utf8(read(path)?);
    text.map_err(|_| Failure::refused(format!("{} is no text file", path.display())))
}

/// Reads a file that must be small.
fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    read_within(path, MAX_BYTES)
}

/// Reads a file, if it has no more bytes than may be.
pub(crate) fn read_within(path: &Path, limit: u64) -> Result<Vec<u8>, Failure> {
    let shown = path.display();
    let unreadable =
        |error: std::io::Error| Failure::refused(format!("{shown} can't be read: {error}"));
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(unreadable)?;
    file.take(limit + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > limit {
        let message = format!("{shown} has more than the {limit} bytes that such a file may have");
        return Err(Failure::refused(message));
    }
    Ok(bytes)
}
