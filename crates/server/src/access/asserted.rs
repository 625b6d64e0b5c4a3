//! The name that a call says of its own accord.

use chablon_model::ActorName;
use chablon_wire::{At, CALLER_HEADER, Violation, caller_from_header};
use http::HeaderMap;

use crate::status::Refusal;

/// The name, where one is said.
pub(super) fn asserted_name(headers: &HeaderMap) -> Result<Option<ActorName>, Refusal> {
    let Some(header) = headers.get(CALLER_HEADER) else { return Ok(None) };
    let name = header.to_str().ok().and_then(caller_from_header);
    let refused = || Violation::new("is not a name in percent-encoded UTF-8").at(CALLER_HEADER);
    Ok(Some(name.ok_or_else(refused)?))
}
