//! Reasons of errors as `google.rpc.ErrorInfo` carries them.

use crate::pb::ErrorReason;

/// The domain of all reasons.
pub const ERROR_DOMAIN: &str = "chablon.v1";

/// What every value's name begins with in the schema.
const PREFIX: &str = "ERROR_REASON_";

/// The reason as text: `REVISION_CONFLICT`.
pub fn reason_text(reason: ErrorReason) -> &'static str {
    let name = reason.as_str_name();
    name.strip_prefix(PREFIX).unwrap_or(name)
}

/// The reason of this text, if it is one that this version knows.
pub fn reason_from_text(text: &str) -> Option<ErrorReason> {
    ErrorReason::from_str_name(&format!("{PREFIX}{text}"))
}
