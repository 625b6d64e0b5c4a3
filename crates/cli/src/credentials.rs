//! The tokens of this machine: a file that nobody else may read.
//!
//! One JSON object, from the address of a hub as it was typed at `chablon join` to what lets this
//! machine in there.

use std::collections::BTreeMap;
use std::fs;
use std::io::{ErrorKind, Write as _};
use std::path::{Path, PathBuf};

use chablon_model::Digest;
use chablon_sdk::access::{AccessToken, Account};
use serde::{Deserialize, Serialize};
use tempfile::NamedTempFile;

use crate::console;
use crate::failure::Failure;

/// What lets this machine in at a hub.
#[derive(Clone, Debug, Serialize, Deserialize)]
struct Credential {
    /// Whose it is; for people who look into the file.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    name: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    role: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    site: Option<String>,
    token: Secret,
    /// The digest of the root of trust that the hub's kitchens begin with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    root: Option<String>,
}

/// A token as it is kept.
#[derive(Clone, Serialize, Deserialize)]
struct Secret(String);

impl std::fmt::Debug for Secret {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("...")
    }
}

/// The file, as it was read.
#[derive(Clone, Debug)]
pub(crate) struct Credentials {
    path: Option<PathBuf>,
    hubs: Hubs,
}

impl Credentials {
    /// Reads the file, here or where such a file usually is. Where there is none nothing is known.
    pub(crate) fn read(path: Option<&Path>) -> Result<Self, Failure> {
        let path = path.map(Path::to_owned).or_else(usual_place);
        let hubs = path.as_deref().map(read).transpose()?.unwrap_or_default();
        Ok(Self { path, hubs })
    }

    /// The token for the first of these addresses that has one.
    pub(crate) fn token(&self, addresses: &[String]) -> Result<Option<AccessToken>, Failure> {
        let mut known = addresses.iter().filter_map(|address| self.hubs.get(&key(address)));
        let malformed = |_| {
            Failure::refused("the token that is kept for this hub isn't one")
                .hint("join the hub again")
        };
        known.next().map(|one| one.token.0.parse().map_err(malformed)).transpose()
    }

    /// The root of trust that was named when the first of these addresses was joined that has one.
    pub(crate) fn root(&self, addresses: &[String]) -> Result<Option<Digest>, Failure> {
        let mut known = addresses.iter().filter_map(|address| self.hubs.get(&key(address)));
        let malformed = |_| {
            Failure::refused("the root of trust that is kept for this hub isn't a digest")
                .hint("join the hub again with --root")
        };
        known
            .find_map(|one| one.root.as_ref())
            .map(|root| root.parse().map_err(malformed))
            .transpose()
    }

    /// Keeps the root of trust with which kitchens of a hub that is kept begin.
    pub(crate) fn trust(&mut self, address: &str, root: &Digest) {
        if let Some(credential) = self.hubs.get_mut(&key(address)) {
            credential.root = Some(root.to_string());
        }
    }

    /// Keeps a token for a hub, in the place of the one before. A root of trust stays.
    pub(crate) fn keep(&mut self, address: &str, token: &AccessToken, account: Option<&Account>) {
        let root = self.hubs.get(&key(address)).and_then(|before| before.root.clone());
        let credential = Credential {
            name: account.map(|account| account.name.to_string()),
            role: account.map(|account| account.role.to_string()),
            site: account.and_then(|account| account.site.as_ref()).map(ToString::to_string),
            token: Secret(token.reveal()),
            root,
        };
        self.hubs.insert(key(address), credential);
    }

    /// Writes the file whole, or leaves it as it was, and gives its place. A temporary file is its
    /// owner's alone from the start.
    pub(crate) fn write(&self) -> Result<&Path, Failure> {
        let path = self.path.as_deref().ok_or_else(|| {
            Failure::usage("there is no usual place for tokens, since HOME isn't set")
                .hint("name a file with --credentials")
        })?;
        let failed = |error: std::io::Error| unusable(path, &format!("can't be written: {error}"));
        fs::create_dir_all(folder_of(path)).map_err(failed)?;
        let file = private_beside(path, &console::json(&self.hubs)).map_err(failed)?;
        file.persist(path).map_err(|error| failed(error.error))?;
        Ok(path)
    }
}

/// What a file holds.
type Hubs = BTreeMap<String, Credential>;

fn read(path: &Path) -> Result<Hubs, Failure> {
    match fs::read_to_string(path) {
        Ok(text) => parse(path, &text),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(Hubs::new()),
        Err(error) => Err(unusable(path, &format!("can't be read: {error}"))),
    }
}

fn parse(path: &Path, text: &str) -> Result<Hubs, Failure> {
    if seen_by_others(path) {
        return Err(unusable(path, "may be read by others")
            .hint(format!("take that away with: chmod 600 {}", path.display())));
    }
    serde_json::from_str(text).map_err(|error| {
        // Where it stands says enough; what stands there may be a secret.
        let place = format!("isn't what was written (line {})", error.line());
        unusable(path, &place).hint("move it away and join the hub again")
    })
}

/// Whether others than its owner may read a file.
#[cfg(unix)]
pub(crate) fn seen_by_others(path: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt as _;
    fs::metadata(path).is_ok_and(|data| data.permissions().mode() & 0o077 != 0)
}

#[cfg(not(unix))]
pub(crate) fn seen_by_others(_: &Path) -> bool {
    false
}

fn unusable(path: &Path, why: &str) -> Failure {
    Failure::refused(format!("the file of tokens {} {why}", path.display()))
}

/// An address as the file has it: with its scheme, without a slash at its end.
fn key(address: &str) -> String {
    let address = address.trim_end_matches('/');
    if address.contains("://") { address.to_owned() } else { format!("http://{address}") }
}

fn usual_place() -> Option<PathBuf> {
    let set = |name| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let folder = set("XDG_CONFIG_HOME").or_else(|| Some(set("HOME")?.join(".config")))?;
    Some(folder.join("chablon").join("credentials.json"))
}

/// The folder that a file is in.
fn folder_of(path: &Path) -> &Path {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    folder.unwrap_or(Path::new("."))
}

/// A file that is its owner's alone from the start, beside the path that it is to take.
pub(crate) fn private_beside(path: &Path, text: &str) -> std::io::Result<NamedTempFile> {
    let mut file = NamedTempFile::new_in(folder_of(path))?;
    writeln!(file, "{text}")?;
    file.as_file().sync_all()?;
    Ok(file)
}
