//! A key at rest: a text file, sealed with a passphrase.
//!
//! ```text
//! chablon key 1
//! holder: Group pastry chef
//! public: d75a980182b1...
//! sealed: argon2id 65536 3 1 <salt> <nonce> <ciphertext>
//! ```
//!
//! The seed is encrypted with ChaCha20-Poly1305 (RFC 8439) under a key that Argon2id (RFC 9106)
//! derives from the passphrase: by default 64 MiB of memory, 3 passes and one lane, the RFC's second
//! recommendation with one lane in place of four. The other lines are authenticated with it. A key of
//! a hub, which must start without anyone at hand, may be kept in plain: `plain: <seed>`.

use std::fmt;
use std::str::FromStr;

use argon2::{Algorithm, Argon2, Params, Version};
use chablon_model::PublicKey;
use chacha20poly1305::aead::{Aead, KeyInit, Payload};
use chacha20poly1305::{ChaCha20Poly1305, Key, Nonce};
use zeroize::Zeroizing;

use crate::SigningKey;

const FIRST_LINE: &str = "chablon key 1";

/// What deriving a key costs: KiB of memory, passes, lanes.
const COST: [u32; 3] = [64 * 1024, 3, 1];

/// The most that a file may ask for: 1 GiB and 16 passes. A file that was tampered with must not
/// keep a machine busy for ever.
const MOST_COST: [u32; 3] = [1024 * 1024, 16, 16];

/// Why a key file gives no key.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum KeyFileError {
    /// It isn't one.
    #[error("this is no key file: {0}")]
    Malformed(&'static str),
    /// It is sealed, and no passphrase was given.
    #[error("the key is sealed; give its passphrase")]
    Sealed,
    /// The passphrase is wrong, or the file was changed.
    #[error("the passphrase doesn't open this key, or the file was changed")]
    WrongPassphrase,
    /// The seed isn't that of the public key.
    #[error("the file's two keys don't belong together; it was changed")]
    OtherKey,
    /// A holder that can't stand in the file.
    #[error("a holder's name is one line that isn't empty")]
    Holder,
}

/// A key as it is kept in a file.
#[derive(Clone, PartialEq, Eq)]
pub struct KeyFile {
    holder: String,
    public: PublicKey,
    secret: Secret,
}

#[derive(Clone, PartialEq, Eq)]
enum Secret {
    Plain(Zeroizing<[u8; 32]>),
    Sealed { cost: [u32; 3], salt: [u8; 16], nonce: [u8; 12], ciphertext: Vec<u8> },
}

impl KeyFile {
    /// A key in plain: whoever reads the file has the key.
    pub fn plain(holder: &str, key: &SigningKey) -> Result<Self, KeyFileError> {
        let secret = Secret::Plain(Zeroizing::new(*key.seed()));
        Ok(Self { holder: checked(holder)?, public: key.public(), secret })
    }

    /// A key sealed with a passphrase. Salt and nonce come from the machine's randomness and are
    /// used once.
    pub fn sealed(
        holder: &str,
        key: &SigningKey,
        passphrase: &str,
        salt: [u8; 16],
        nonce: [u8; 12],
    ) -> Result<Self, KeyFileError> {
        let (holder, public) = (checked(holder)?, key.public());
        let cipher = cipher(passphrase, COST, &salt)?;
        let head = head(&holder, &public);
        let payload = Payload { msg: key.seed(), aad: head.as_bytes() };
        let ciphertext = cipher
            .encrypt(&Nonce::from(nonce), payload)
            .expect("32 bytes are few enough to be encrypted");
        Ok(Self { holder, public, secret: Secret::Sealed { cost: COST, salt, nonce, ciphertext } })
    }

    /// Whose key it is.
    pub fn holder(&self) -> &str {
        &self.holder
    }

    /// The key by which its signatures are verified.
    pub fn public(&self) -> PublicKey {
        self.public
    }

    /// Whether a passphrase is needed.
    pub fn is_sealed(&self) -> bool {
        matches!(self.secret, Secret::Sealed { .. })
    }

    /// The key. A passphrase that isn't needed is passed over.
    pub fn open(&self, passphrase: Option<&str>) -> Result<SigningKey, KeyFileError> {
        let seed = match &self.secret {
            Secret::Plain(seed) => seed.clone(),
            Secret::Sealed { cost, salt, nonce, ciphertext } => {
                let passphrase = passphrase.ok_or(KeyFileError::Sealed)?;
                let head = head(&self.holder, &self.public);
                let payload = Payload { msg: ciphertext, aad: head.as_bytes() };
                let opened =
                    cipher(passphrase, *cost, salt)?.decrypt(&Nonce::from(*nonce), payload);
                let opened = Zeroizing::new(opened.map_err(|_| KeyFileError::WrongPassphrase)?);
                let seed = <[u8; 32]>::try_from(&opened[..]);
                Zeroizing::new(seed.map_err(|_| KeyFileError::Malformed("a seed has 32 bytes"))?)
            }
        };
        let key = SigningKey::from_seed(&seed);
        if key.public() == self.public { Ok(key) } else { Err(KeyFileError::OtherKey) }
    }
}

/// What stands above the secret.
fn head(holder: &str, public: &PublicKey) -> String {
    format!("{FIRST_LINE}\nholder: {holder}\npublic: {public}\n")
}

fn checked(holder: &str) -> Result<String, KeyFileError> {
    let one_line = !holder.trim().is_empty() && !holder.chars().any(char::is_control);
    if one_line { Ok(holder.to_owned()) } else { Err(KeyFileError::Holder) }
}

fn cipher(
    passphrase: &str,
    [memory, passes, lanes]: [u32; 3],
    salt: &[u8; 16],
) -> Result<ChaCha20Poly1305, KeyFileError> {
    let malformed = |_| KeyFileError::Malformed("its cost can't be spent");
    let params = Params::new(memory, passes, lanes, Some(32)).map_err(malformed)?;
    let argon = Argon2::new(Algorithm::Argon2id, Version::V0x13, params);
    let mut key = Zeroizing::new([0; 32]);
    argon.hash_password_into(passphrase.as_bytes(), salt, &mut key[..]).map_err(malformed)?;
    Ok(ChaCha20Poly1305::new(&Key::from(*key)))
}

impl fmt::Display for KeyFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&head(&self.holder, &self.public))?;
        match &self.secret {
            Secret::Plain(seed) => {
                writeln!(f, "plain: {}", *Zeroizing::new(hex::encode(&seed[..])))
            }
            Secret::Sealed { cost: [memory, passes, lanes], salt, nonce, ciphertext } => {
                let [salt, nonce] = [hex::encode(salt), hex::encode(nonce)];
                let ciphertext = hex::encode(ciphertext);
                writeln!(
                    f,
                    "sealed: argon2id {memory} {passes} {lanes} {salt} {nonce} {ciphertext}"
                )
            }
        }
    }
}

impl fmt::Debug for KeyFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("KeyFile")
            .field("holder", &self.holder)
            .field("public", &self.public)
            .field("sealed", &self.is_sealed())
            .finish_non_exhaustive()
    }
}

impl FromStr for KeyFile {
    type Err = KeyFileError;

    fn from_str(text: &str) -> Result<Self, KeyFileError> {
        let lines: Vec<&str> = text.lines().collect();
        let [first, holder, public, secret] = lines[..] else {
            return Err(KeyFileError::Malformed("it has not four lines"));
        };
        if first != FIRST_LINE {
            return Err(KeyFileError::Malformed("its first line is another"));
        }
        let public = after(public, "public: ")?.parse();
        Ok(Self {
            holder: checked(after(holder, "holder: ")?)?,
            public: public.map_err(|_| KeyFileError::Malformed("its public key is none"))?,
            secret: read_secret(secret)?,
        })
    }
}

fn after<'t>(line: &'t str, name: &str) -> Result<&'t str, KeyFileError> {
    line.strip_prefix(name).ok_or(KeyFileError::Malformed("a line has another name"))
}

fn read_secret(line: &str) -> Result<Secret, KeyFileError> {
    if let Some(seed) = line.strip_prefix("plain: ") {
        return Ok(Secret::Plain(Zeroizing::new(bytes(seed)?)));
    }
    let words: Vec<&str> = after(line, "sealed: ")?.split(' ').collect();
    let ["argon2id", memory, passes, lanes, salt, nonce, ciphertext] = words[..] else {
        return Err(KeyFileError::Malformed("its seal is of another kind"));
    };
    let cost = [number(memory)?, number(passes)?, number(lanes)?];
    if cost.iter().zip(MOST_COST).any(|(cost, most)| *cost > most) {
        return Err(KeyFileError::Malformed("its cost is more than is spent"));
    }
    let ciphertext = bytes::<48>(ciphertext)?.to_vec();
    Ok(Secret::Sealed { cost, salt: bytes(salt)?, nonce: bytes(nonce)?, ciphertext })
}

fn number(text: &str) -> Result<u32, KeyFileError> {
    text.parse().map_err(|_| KeyFileError::Malformed("its cost is no number"))
}

fn bytes<const N: usize>(text: &str) -> Result<[u8; N], KeyFileError> {
    let malformed = KeyFileError::Malformed("its secret has another length or other digits");
    let mut bytes = [0; N];
    hex::decode_to_slice(text, &mut bytes).map_err(|_| malformed)?;
    Ok(bytes)
}
