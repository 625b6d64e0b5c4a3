//! Texts that others make up and a store only compares.

use std::fmt;
use std::str::FromStr;

/// The longest token, in bytes: a UUID has 36, and some clients put a name before one.
const MAX_TOKEN_BYTES: usize = 128;

/// Why a text is no [`Epoch`] or [`RequestId`].
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a token; use 1 to 128 visible ASCII characters, such as a UUID")]
pub struct TokenError(String);

macro_rules! tokens {
    ($($(#[$doc:meta])* $name:ident)+) => {$(
        $(#[$doc])*
        #[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(Box<str>);

        impl $name {
            /// The token as text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl FromStr for $name {
            type Err = TokenError;
            fn from_str(text: &str) -> Result<Self, TokenError> {
                let visible = text.bytes().all(|b| b.is_ascii_graphic());
                if visible && (1..=MAX_TOKEN_BYTES).contains(&text.len()) {
                    Ok(Self(text.into()))
                } else {
                    Err(TokenError(text.to_owned()))
                }
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&self.0)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    )+};
}

tokens! {
    /// Which history a feed tells: made with the store and again when it is restored from a
    /// backup, since positions that were given out after the backup then get another meaning.
    Epoch
    /// A code by which an account is joined: its name, which is no secret.
    EnrolmentId
    /// A token by which calls are let in: its name, which is no secret.
    TokenId
    /// A request for a change, named by the client so that it can send it again.
    RequestId
}

#[cfg(test)]
mod tests {
    use super::{Epoch, RequestId};

    #[test]
    fn tokens_are_visible_ascii_of_bounded_length() {
        assert!("018f6d3e-7c51-7d10-a6b4-2f1f0f4f7a11".parse::<Epoch>().is_ok());
        assert!("x".repeat(128).parse::<RequestId>().is_ok());
        for bad in ["", "two words", "line\n", "é", &"x".repeat(129)] {
            assert!(bad.parse::<RequestId>().is_err(), "{bad:?} was taken");
        }
    }
}
