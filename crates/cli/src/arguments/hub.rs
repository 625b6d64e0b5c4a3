//! Which hub, and how it is reached.

use std::fs;
use std::path::{Path, PathBuf};

use chablon_model::{ActorName, Digest};
use chablon_sdk::{Client, Options, Tls};
use clap::Args;

use crate::credentials::Credentials;
use crate::failure::Failure;

/// The addresses of a hub.
#[derive(Debug, Args)]
pub(crate) struct HubArguments {
    /// The hub's address, or several that are used in turn
    #[arg(
        long = "hub",
        value_name = "URL",
        value_delimiter = ',',
        required = true,
        env = "CHABLON_HUB"
    )]
    addresses: Vec<String>,
    #[command(flatten)]
    line: LineArguments,
}

impl HubArguments {
    /// A client of the hub. Nothing is sent yet.
    pub(crate) fn client(&self) -> Result<Client, Failure> {
        self.line.connect(&self.addresses)
    }

    /// The root of trust that was named when the hub was joined.
    pub(crate) fn root(&self) -> Result<Option<Digest>, Failure> {
        self.line.credentials()?.root(&self.addresses)
    }
}

/// How a hub is reached, and as whom.
#[derive(Debug, Default, Args)]
pub(crate) struct LineArguments {
    /// The file with the tokens of this machine, which `chablon join` writes
    #[arg(long, value_name = "FILE", env = "CHABLON_CREDENTIALS")]
    credentials: Option<PathBuf>,
    /// The roots to trust for an https address, as PEM, instead of the machine's
    #[arg(long, value_name = "FILE", env = "CHABLON_TLS_ROOTS")]
    tls_roots: Option<PathBuf>,
    /// A certificate to show to a hub that asks for one, with its private key, as PEM
    #[arg(long, value_name = "FILE", env = "CHABLON_TLS_IDENTITY")]
    tls_identity: Option<PathBuf>,
    /// Send the token to other machines unencrypted, where the whole network is trusted
    #[arg(long)]
    token_in_clear: bool,
    /// The name to say to a hub that asks for no token
    #[arg(long = "as", value_name = "NAME", env = "CHABLON_CALLER")]
    caller: Option<ActorName>,
}

impl LineArguments {
    /// A client of the hub at these addresses, with the token that this machine has for it.
    pub(crate) fn connect(&self, addresses: &[String]) -> Result<Client, Failure> {
        let token = self.credentials()?.token(addresses)?;
        let options = self.options()?;
        let options = match token {
            Some(token) => options.with_token(token),
            None => options,
        };
        client(addresses, options)
    }

    /// The same without a token.
    pub(crate) fn connect_as_stranger(&self, address: &str) -> Result<Client, Failure> {
        client(&[address.to_owned()], self.options()?)
    }

    /// The tokens of this machine.
    pub(crate) fn credentials(&self) -> Result<Credentials, Failure> {
        Credentials::read(self.credentials.as_deref())
    }

    fn options(&self) -> Result<Options, Failure> {
        let options = Options::default().with_tls(self.tls()?);
        let options = options.with_token_in_clear(self.token_in_clear);
        Ok(match &self.caller {
            Some(name) => options.with_caller(name.clone()),
            None => options,
        })
    }

    fn tls(&self) -> Result<Tls, Failure> {
        let tls = match &self.tls_roots {
            Some(file) => Tls::default().with_roots(pem(file)?),
            None => Tls::default(),
        };
        let Some(file) = &self.tls_identity else { return Ok(tls) };
        let both = pem(file)?;
        Ok(tls.with_certificate(both.clone(), both))
    }
}

fn client(addresses: &[String], options: Options) -> Result<Client, Failure> {
    Client::connect(addresses, options).map_err(|error| Failure::usage(error.to_string()))
}

/// A file with certificates or keys.
pub(crate) fn pem(file: &Path) -> Result<Vec<u8>, Failure> {
    fs::read(file).map_err(|error| {
        Failure::refused(format!("{} can't be read: {error}", file.display()))
            .hint("name a file in PEM form; `chablon hub certificate` makes some for trying out")
    })
}
