//! `chablon hub certificate`.

use std::fs::{self, OpenOptions};
use std::io::Write as _;
use std::path::{Path, PathBuf};

use clap::Args;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use rcgen::{
    BasicConstraints, CertificateParams, CertifiedIssuer, DnType, IsCa, KeyPair, KeyUsagePurpose,
};

use crate::failure::{Exit, Failure};
use crate::{clock, console};

/// How long the certificates are good: long enough to try things out, and no longer.
const DAYS: i64 = 397;

const DAY_MS: i64 = 24 * 60 * 60 * 1000;

/// Make a certificate for trying out an encrypted hub, with the root that vouches for it
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The names and addresses under which the hub is reached
    #[arg(
        long = "name",
        value_name = "NAME",
        value_delimiter = ',',
        default_values = ["localhost", "127.0.0.1", "::1"]
    )]
    names: Vec<String>,
    /// The folder for root.pem, hub.pem and hub.key; made where there is none
    #[arg(long, value_name = "FOLDER")]
    to: PathBuf,
}

/// What is written.
struct Made {
    root: String,
    certificate: String,
    key: String,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let made = make(&arguments.names).map_err(|error| {
        Failure::refused(format!("no certificate can be made for these names: {error}"))
    })?;
    let folder = &arguments.to;
    fs::create_dir_all(folder).map_err(|error| unwritable(folder, &error))?;
    for (name, text) in
        [("root.pem", &made.root), ("hub.pem", &made.certificate), ("hub.key", &made.key)]
    {
        write(&folder.join(name), text)?;
    }
    let folder = folder.display();
    console::result(&format!(
        "{folder} holds a certificate for {}, good for {DAYS} days. Serve with: --tls-cert \
         {folder}/hub.pem --tls-key {folder}/hub.key\nGive {folder}/root.pem to whoever reaches the \
         hub: --tls-roots. The root's key was thrown away, so it vouches for nothing else.",
        arguments.names.join(", ")
    ))?;
    Ok(Exit::Result)
}

fn make(names: &[String]) -> Result<Made, rcgen::Error> {
    let mut root = CertificateParams::new([])?;
    root.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    root.key_usages = vec![KeyUsagePurpose::KeyCertSign];
    root.distinguished_name.push(DnType::CommonName, "chablon development root");
    dated(&mut root);
    let root = CertifiedIssuer::self_signed(root, KeyPair::generate()?)?;
    let mut own = CertificateParams::new(names)?;
    own.distinguished_name.push(DnType::CommonName, "chablon hub");
    dated(&mut own);
    let key = KeyPair::generate()?;
    let certificate = own.signed_by(&key, &root)?.pem();
    Ok(Made { root: root.pem(), certificate, key: key.serialize_pem() })
}

/// Good from yesterday, since clocks differ, for as long as is said.
fn dated(params: &mut CertificateParams) {
    let day = |days: i64| {
        let at = Timestamp::from_millisecond(clock::now().0 + days * DAY_MS);
        let day = at.expect("about now").to_zoned_datetime(TimeZone::UTC).date();
        let part = |part: i8| part.unsigned_abs();
        rcgen::date_time_ymd(day.year().into(), part(day.month()), part(day.day()))
    };
    params.not_before = day(-1);
    params.not_after = day(DAYS);
}

/// Writes a new file that is its owner's alone.
fn write(path: &Path, text: &str) -> Result<(), Failure> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt as _;
        options.mode(0o600);
    }
    let mut file = options.open(path).map_err(|error| unwritable(path, &error))?;
    file.write_all(text.as_bytes()).map_err(|error| unwritable(path, &error))
}

fn unwritable(path: &Path, error: &std::io::Error) -> Failure {
    Failure::refused(format!("{} can't be made: {error}", path.display()))
        .hint("name a folder that can be written to and doesn't hold such files yet")
}
