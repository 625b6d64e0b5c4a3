//! Keys of Ed25519.

use std::fmt;

use chablon_model::{PublicKey, Signature};
use ed25519_dalek::{Signer as _, VerifyingKey};

use crate::{Payload, pae};

/// A key that signs. It is wiped from memory when it is dropped, and never shown.
#[derive(Clone)]
pub struct SigningKey(ed25519_dalek::SigningKey);

impl SigningKey {
    /// The key that a seed gives: 32 bytes that nobody can guess, from the machine's own source of
    /// randomness.
    pub fn from_seed(seed: &[u8; 32]) -> Self {
        Self(ed25519_dalek::SigningKey::from_bytes(seed))
    }

    /// The seed, to keep the key by.
    pub(crate) fn seed(&self) -> &[u8; 32] {
        self.0.as_bytes()
    }

    /// The key by which its signatures are verified.
    pub fn public(&self) -> PublicKey {
        PublicKey(self.0.verifying_key().to_bytes())
    }

    /// Signs bytes as what they are.
    pub fn sign(&self, payload: Payload, body: &[u8]) -> Signature {
        let signature = self.0.sign(&pae(payload.media_type(), body));
        Signature { key: self.public(), bytes: signature.to_bytes() }
    }
}

impl fmt::Debug for SigningKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("SigningKey").field(&self.public()).finish()
    }
}

/// Whether a signature over bytes is one by its key. Strict: a weak key and a second form of the same
/// signature are refused.
pub fn verifies(signature: &Signature, payload: Payload, body: &[u8]) -> bool {
    let Ok(key) = VerifyingKey::from_bytes(&signature.key.0) else { return false };
    let bytes = ed25519_dalek::Signature::from_bytes(&signature.bytes);
    key.verify_strict(&pae(payload.media_type(), body), &bytes).is_ok()
}

#[cfg(test)]
mod tests {
    use ed25519_dalek::{Signer as _, VerifyingKey};

    use super::{SigningKey, verifies};
    use crate::Payload;

    /// RFC 8032 (IETF, 2017), section 7.1: secret key, public key, message, signature.
    const VECTORS: [[&str; 4]; 3] = [
        [
            "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
            "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
            "",
            "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e3\
             9701cf9b46bd25bf5f0595bbe24655141438e7a100b",
        ],
        [
            "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
            "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
            "72",
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3\
             613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
        ],
        [
            "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
            "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
            "af82",
            "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f\
             760984dc6594a7c15e9716ed28dc027beceea1ec40a",
        ],
    ];

    fn bytes<const N: usize>(text: &str) -> [u8; N] {
        hex::decode(text).unwrap().try_into().unwrap()
    }

    #[test]
    fn ed25519_matches_the_vectors_of_rfc_8032() {
        for [secret, public, message, signature] in VECTORS {
            let message = hex::decode(message).unwrap();
            let key = SigningKey::from_seed(&bytes(secret));
            assert_eq!(key.public().to_string(), public);
            assert_eq!(hex::encode(key.0.sign(&message).to_bytes()), signature);
            let signature = ed25519_dalek::Signature::from_bytes(&bytes(signature));
            let verifying = VerifyingKey::from_bytes(&bytes(public)).unwrap();
            assert!(verifying.verify_strict(&message, &signature).is_ok());
            assert!(verifying.verify_strict(b"another", &signature).is_err());
        }
    }

    #[test]
    fn a_signature_counts_for_its_bytes_its_payload_and_its_key_alone() {
        let [key, other] = [[1; 32], [2; 32]].map(|seed| SigningKey::from_seed(&seed));
        let signature = key.sign(Payload::ReleasePart, b"body");
        assert!(verifies(&signature, Payload::ReleasePart, b"body"));
        assert!(!verifies(&signature, Payload::ReleasePart, b"bodY"));
        assert!(!verifies(&signature, Payload::Withdrawal, b"body"));
        let claimed = chablon_model::Signature { key: other.public(), ..signature };
        assert!(!verifies(&claimed, Payload::ReleasePart, b"body"));
    }

    /// The neutral element as a key "verifies" anything under it, in lax implementations.
    #[test]
    fn a_weak_key_verifies_nothing() {
        let mut neutral = [0; 32];
        neutral[0] = 1;
        let mut bytes = [0; 64];
        bytes[0] = 1;
        let key = chablon_model::PublicKey(neutral);
        let signature = chablon_model::Signature { key, bytes };
        assert!(!verifies(&signature, Payload::Root, b"anything"));
    }

    #[test]
    fn a_key_is_never_shown() {
        let key = SigningKey::from_seed(&[7; 32]);
        assert!(!format!("{key:?}").contains("0707"), "{key:?}");
    }
}
