//! The token of a call.

use chablon_exchange::TokenError;
use chablon_wire::AccessToken;
use chablon_wire::pb::ErrorReason;
use http::HeaderMap;
use http::header::AUTHORIZATION;
use tonic::Code;

use crate::status::Refusal;

/// The token that a call brings.
pub(super) fn bearer(headers: &HeaderMap) -> Result<AccessToken, Refusal> {
    let header = headers.get(AUTHORIZATION).ok_or_else(|| {
        refused(
            "missing",
            "this hub asks for a token; join it by a code from whoever manages access",
        )
    })?;
    let text = header.to_str().ok().and_then(|text| text.strip_prefix("Bearer "));
    // What was sent is not repeated: it may be a secret all the same.
    text.and_then(|text| text.parse().ok()).ok_or_else(|| {
        refused("malformed", "the header `authorization` isn't `Bearer` and a token of this hub")
    })
}

fn refused(why: &'static str, message: &str) -> Refusal {
    Refusal::new(Code::Unauthenticated, ErrorReason::NotAuthenticated, message).with("why", why)
}

impl From<TokenError> for Refusal {
    fn from(error: TokenError) -> Self {
        let why = match error {
            TokenError::Unknown => "unknown",
            TokenError::Expired => "expired",
            TokenError::Revoked => "revoked",
            TokenError::Store(fault) => return fault.into(),
        };
        refused(why, &error.to_string())
    }
}
