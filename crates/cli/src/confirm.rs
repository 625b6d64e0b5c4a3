//! Asking before something is sent that kitchens act on.

use std::io::{BufRead, IsTerminal, stdin};

use crate::arguments::{AddressArguments, SendArguments};
use crate::console;
use crate::failure::Failure;

/// Whether to go on: told by the arguments, or else asked.
pub(crate) fn confirmed(address: &AddressArguments, question: &str) -> Result<bool, Failure> {
    agreed(&SendArguments { yes: address.yes, dry_run: address.dry_run }, question)
}

/// The same, where nobody is addressed.
pub(crate) fn agreed(send: &SendArguments, question: &str) -> Result<bool, Failure> {
    if send.dry_run {
        console::note("Nothing was sent (--dry-run).");
        return Ok(false);
    }
    if send.yes {
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
