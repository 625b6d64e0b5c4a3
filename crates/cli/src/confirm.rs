//! Asking before something is sent that kitchens act on.

use std::io::{BufRead, IsTerminal, stdin};

use crate::arguments::AddressArguments;
use crate::console;
use crate::failure::Failure;

/// Whether to go on: told by the arguments, or else asked.
pub(crate) fn confirmed(address: &AddressArguments, question: &str) -> Result<bool, Failure> {
    if address.dry_run {
        console::note("Nothing was sent (--dry-run).");
        return Ok(false);
    }
    if address.yes {
        return Ok(true);
    }
    if !stdin().is_terminal() {
        return Err(Failure::usage("there is no terminal to ask at, so nothing was sent")
            .hint("add --yes to send it, or --dry-run to see it only"));
    }
    console::note(&format!("{question} [y/N]"));
    let mut answer = String::new();
    stdin().lock().read_line(&mut answer)?;
    let agreed = matches!(answer.trim(), "y" | "Y" | "yes");
    if !agreed {
        console::note("Nothing was sent.");
    }
    Ok(agreed)
}
