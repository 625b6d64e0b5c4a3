//! Signatures as they stand in a table: one after the other, each 32 bytes of its key and then 64 of
//! its own.

use chablon_model::{PublicKey, Signature};

/// How many bytes a signature takes.
const SIZE: usize = 32 + 64;

/// The bytes of signatures.
pub fn signatures_to_bytes(signatures: &[Signature]) -> Vec<u8> {
    signatures.iter().flat_map(|one| one.key.0.into_iter().chain(one.bytes)).collect()
}

/// The signatures of bytes, if they are whole.
pub fn signatures_from_bytes(bytes: &[u8]) -> Option<Vec<Signature>> {
    let (each, rest) = bytes.as_chunks::<SIZE>();
    rest.is_empty().then(|| each.iter().map(signature).collect())
}

fn signature(bytes: &[u8; SIZE]) -> Signature {
    let (mut key, mut signature) = ([0; 32], [0; 64]);
    key.copy_from_slice(&bytes[..32]);
    signature.copy_from_slice(&bytes[32..]);
    Signature { key: PublicKey(key), bytes: signature }
}

#[cfg(test)]
mod tests {
    use chablon_model::{PublicKey, Signature};

    use super::{signatures_from_bytes, signatures_to_bytes};

    #[test]
    fn signatures_come_back_and_broken_ones_do_not() {
        let signature = |byte| Signature { key: PublicKey([byte; 32]), bytes: [byte + 100; 64] };
        let all = vec![signature(1), signature(2)];
        let mut bytes = signatures_to_bytes(&all);
        assert_eq!(signatures_from_bytes(&bytes), Some(all));
        assert_eq!(signatures_from_bytes(&[]), Some(Vec::new()));
        bytes.pop();
        assert_eq!(signatures_from_bytes(&bytes), None);
    }
}
