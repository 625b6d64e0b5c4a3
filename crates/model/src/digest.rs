//! SHA-256 digests by which frozen bytes are known.

use std::fmt;
use std::str::FromStr;

/// The SHA-256 digest of stored bytes. Shown as 64 hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest(
    /// The 32 bytes.
    pub [u8; 32],
);

/// Why a text is no digest.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a digest of 64 hexadecimal digits in lower case")]
pub struct DigestError(pub String);

impl Digest {
    /// The first 12 digits, enough for people to tell revisions apart.
    pub fn short(&self) -> String {
        self.to_string()[..12].to_owned()
    }
}

impl FromStr for Digest {
    type Err = DigestError;
    fn from_str(text: &str) -> Result<Self, DigestError> {
        let error = || DigestError(text.to_owned());
        let hexadecimal = |b: u8| b.is_ascii_digit() || (b'a'..=b'f').contains(&b);
        if text.len() != 64 || !text.bytes().all(hexadecimal) {
            return Err(error());
        }
        let mut bytes = [0; 32];
        for (byte, at) in bytes.iter_mut().zip((0..64).step_by(2)) {
            *byte = u8::from_str_radix(&text[at..at + 2], 16).map_err(|_| error())?;
        }
        Ok(Self(bytes))
    }
}

const DIGITS: &[u8; 16] = b"0123456789abcdef";

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut digits = [0; 64];
        for (pair, byte) in digits.chunks_exact_mut(2).zip(self.0) {
            pair[0] = DIGITS[usize::from(byte >> 4)];
            pair[1] = DIGITS[usize::from(byte & 15)];
        }
        f.write_str(std::str::from_utf8(&digits).expect("digits are ASCII"))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}
