//! Codes and tokens: what is said, and the digest that is kept of it.
//!
//! Where the random bits come from is the caller's business; nothing here is ever shown by `Debug`.

use std::fmt;
use std::str::FromStr;

use chablon_model::Digest;

use crate::digest;

/// What every token begins with, so that one that was left somewhere is found.
const TOKEN_PREFIX: &str = "chablon_";

/// The letters of a code, five bits each: without I, L, O and U, which are misread or make words.
const LETTERS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// How many letters a code has, and how many of them name it.
const CODE_LETTERS: usize = 24;
const CODE_ID_LETTERS: usize = 8;

/// Why a text is no token.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("this is not a token; one looks like chablon_<id>_<64 hexadecimal digits>")]
pub struct AccessTokenError;

/// What lets calls in: a name, which is no secret, and 32 random bytes, which are.
#[derive(Clone, PartialEq, Eq)]
pub struct AccessToken {
    id: String,
    secret: [u8; 32],
}

impl AccessToken {
    /// A token of this name.
    ///
    /// # Errors
    /// [`AccessTokenError`] where the name isn't 1 to 128 visible ASCII characters without `_`.
    pub fn new(id: impl Into<String>, secret: [u8; 32]) -> Result<Self, AccessTokenError> {
        let id = id.into();
        let visible = id.bytes().all(|byte| byte.is_ascii_graphic() && byte != b'_');
        if visible && (1..=128).contains(&id.len()) {
            Ok(Self { id, secret })
        } else {
            Err(AccessTokenError)
        }
    }

    /// Its name.
    pub fn id(&self) -> &str {
        &self.id
    }

    /// The digest of its secret, which a hub keeps.
    pub fn digest(&self) -> Digest {
        digest(&self.secret)
    }

    /// All of it, secret included, as it is sent and kept.
    pub fn reveal(&self) -> String {
        format!("{TOKEN_PREFIX}{}_{}", self.id, hex::encode(self.secret))
    }
}

impl FromStr for AccessToken {
    type Err = AccessTokenError;
    fn from_str(text: &str) -> Result<Self, AccessTokenError> {
        let rest = text.strip_prefix(TOKEN_PREFIX).ok_or(AccessTokenError)?;
        let (id, secret) = rest.split_once('_').ok_or(AccessTokenError)?;
        Self::new(id, bytes(secret).ok_or(AccessTokenError)?)
    }
}

impl fmt::Debug for AccessToken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{TOKEN_PREFIX}{}_...", self.id)
    }
}

/// 32 bytes from 64 lower-case hexadecimal digits.
fn bytes(digits: &str) -> Option<[u8; 32]> {
    let bytes = hex::decode(digits).ok()?.try_into().ok();
    bytes.filter(|bytes: &[u8; 32]| hex::encode(bytes) == digits)
}

/// Why a text is no code.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("this is not a code; one has 24 letters and digits, such as 7KQD-3MXP-9F2H-TT4V-0A1B-C2D3")]
pub struct EnrolmentCodeError;

/// What lets somebody join, once: 24 letters, of which the first eight name the code and the rest
/// are secret.
#[derive(Clone, PartialEq, Eq)]
pub struct EnrolmentCode([u8; CODE_LETTERS]);

impl EnrolmentCode {
    /// A code out of random bytes, of which five bits each are used.
    pub fn from_random(bytes: [u8; CODE_LETTERS]) -> Self {
        Self(bytes.map(|byte| LETTERS[usize::from(byte % 32)]))
    }

    /// Its name.
    pub fn id(&self) -> String {
        text(&self.0[..CODE_ID_LETTERS])
    }

    /// Whether a text is the name of a code.
    pub fn is_id(text: &str) -> bool {
        text.len() == CODE_ID_LETTERS && text.bytes().all(|letter| LETTERS.contains(&letter))
    }

    /// The digest of all its letters, which a hub keeps.
    pub fn digest(&self) -> Digest {
        digest(&self.0)
    }

    /// All of it, as it is handed over: in groups of four.
    pub fn reveal(&self) -> String {
        let groups: Vec<String> = self.0.chunks(4).map(text).collect();
        groups.join("-")
    }
}

impl FromStr for EnrolmentCode {
    type Err = EnrolmentCodeError;
    fn from_str(typed: &str) -> Result<Self, EnrolmentCodeError> {
        let meant = |letter: char| match letter.to_ascii_uppercase() {
            'O' => '0',
            'I' | 'L' => '1',
            other => other,
        };
        let letters = typed.chars().filter(|letter| *letter != '-' && !letter.is_whitespace());
        let read =
            |letter| u8::try_from(meant(letter)).ok().filter(|letter| LETTERS.contains(letter));
        let letters: Option<Vec<u8>> = letters.map(read).take(CODE_LETTERS + 1).collect();
        let letters = letters.and_then(|letters| letters.try_into().ok());
        letters.map(Self).ok_or(EnrolmentCodeError)
    }
}

impl fmt::Debug for EnrolmentCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-...", self.id())
    }
}

fn text(letters: &[u8]) -> String {
    letters.iter().copied().map(char::from).collect()
}

#[cfg(test)]
mod tests {
    use super::{AccessToken, EnrolmentCode};
    use crate::digest;

    #[test]
    fn a_token_is_read_as_it_is_written() {
        let token = AccessToken::new("4f1d6a5e-0d0c", [0xab; 32]).unwrap();
        let text = token.reveal();
        assert_eq!(text, format!("chablon_4f1d6a5e-0d0c_{}", "ab".repeat(32)));
        assert_eq!(text.parse::<AccessToken>().unwrap(), token);
        assert_eq!(token.digest(), digest(&[0xab; 32]));
        assert!(!format!("{token:?}").contains("abab"));
    }

    #[test]
    fn what_is_no_token_is_refused() {
        let good = AccessToken::new("id", [1; 32]).unwrap().reveal();
        let cut = &good[..good.len() - 2];
        for odd in ["", "chablon_", cut, &good[1..], &good.to_uppercase(), &format!("{good}0")] {
            assert!(odd.parse::<AccessToken>().is_err(), "{odd}");
        }
        let long = "a".repeat(129);
        for odd in ["", "a_b", "a b", "é", &long] {
            assert!(AccessToken::new(odd, [1; 32]).is_err(), "{odd}");
        }
    }

    #[test]
    fn a_code_is_read_as_people_type_it() {
        let code =
            EnrolmentCode::from_random(std::array::from_fn(|n| u8::try_from(n * 11).unwrap()));
        let shown = code.reveal();
        assert_eq!((shown.len(), code.id()), (29, shown[..9].replace('-', "")));
        let sloppy = shown.to_lowercase().replace('0', "o").replace('1', "l").replace('-', " ");
        assert_eq!(sloppy.parse::<EnrolmentCode>().unwrap(), code);
        assert_eq!(code.digest(), digest(shown.replace('-', "").as_bytes()));
        assert!(!format!("{code:?}").contains(&shown[10..]));
        for odd in ["", "7KQD", &format!("{shown}0"), &shown.replace(&shown[..1], "U")] {
            assert!(odd.parse::<EnrolmentCode>().is_err(), "{odd}");
        }
    }
}
