//! `chablon export`.

use std::path::PathBuf;

use chablon_model::SiteId;
use chablon_sdk::Bundle;
use clap::Args;

use crate::arguments::HubArguments;
use crate::failure::{Exit, Failure};
use crate::keys::write_new;
use crate::{clock, console, runtime};

/// Write a kitchen's standards into one file, for a kitchen that no line reaches
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The file to write
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// The kitchen
    #[arg(long, value_name = "ID", env = "CHABLON_SITE")]
    site: SiteId,
    #[command(flatten)]
    hub: HubArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let bundle = runtime::run(async {
        let client = arguments.hub.client()?;
        Ok(Bundle::of_hub(&client, &arguments.site, clock::now()).await)
    })?;
    let bundle = bundle.map_err(|error| Failure::of(&error, "no bundle was written"))?;
    write_new(&arguments.file, &bundle.to_bytes(), 0o644)?;
    console::result(&format!(
        "{} holds the standards of {} (feed position {}). The kitchen takes them with `chablon kitchen import`.",
        arguments.file.display(),
        bundle.site(),
        bundle.position()
    ))?;
    if !bundle.is_signed() {
        console::note("! Nothing vouches for it: the group has no root of trust.");
    }
    Ok(Exit::Result)
}
