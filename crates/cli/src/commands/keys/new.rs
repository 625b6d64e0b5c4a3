//! `chablon keys new`.

use std::path::PathBuf;

use chablon_sdk::trust::{KeyFile, SigningKey};
use clap::Args;

use crate::console;
use crate::failure::{Exit, Failure};
use crate::keys::{PassphraseArguments, write_key};

/// Make a key in a file that its owner alone may read
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The file to write
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Whose key it is
    #[arg(long, value_name = "NAME")]
    holder: String,
    #[command(flatten)]
    passphrase: PassphraseArguments,
    /// Without a passphrase: for a hub, which starts with nobody at hand
    #[arg(long, conflicts_with = "passphrase_file")]
    plain: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let key = SigningKey::from_seed(&random()?);
    let file = if arguments.plain {
        KeyFile::plain(&arguments.holder, &key)
    } else {
        let passphrase = arguments.passphrase.passphrase()?.ok_or_else(|| {
            Failure::usage("a key is sealed with a passphrase, and none was given").hint(
                "give one with --passphrase-file FILE or in CHABLON_PASSPHRASE; a hub's key may be \
                 made with --plain",
            )
        })?;
        KeyFile::sealed(&arguments.holder, &key, &passphrase, random()?, random()?)
    };
    let file = file.map_err(|error| Failure::usage(error.to_string()))?;
    write_key(&arguments.file, &file)?;
    console::result(&format!(
        "{}: {} ({})",
        arguments.file.display(),
        file.public(),
        file.holder()
    ))?;
    console::note(if file.is_sealed() {
        "Whoever has the file and its passphrase signs as its holder: keep a copy of both, apart."
    } else {
        "! Whoever has the file signs as its holder: it is not sealed."
    });
    Ok(Exit::Result)
}

/// Bytes from the machine's own source of randomness.
fn random<const N: usize>() -> Result<[u8; N], Failure> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|error| {
        Failure::hub(format!("this machine gives no random bytes ({error}), so no key was made"))
    })?;
    Ok(bytes)
}
