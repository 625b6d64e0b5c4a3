//! Packs of revisions that are kept compressed: kitchens that begin anew ask for the same ones in the
//! same order.
//!
//! Where a pack ends is decided by the digests themselves, not by how many come before it. So the
//! packs of two kitchens of which one sees some documents more are the same but for those with these
//! documents in them.

use bytes::Bytes;
use chablon_model::Digest;
use moka::sync::Cache;

/// How many bytes of packs are kept at most: a group's book several times over.
const MOST_BYTES: u64 = 32 << 20;

/// What a pack takes beside its bytes.
const BESIDE_BYTES: u32 = 128;

/// Of so many digests one ends a pack, on an average.
const ONE_ENDS_OF: u8 = 128;

/// After how many a pack ends where no digest does.
const MOST_REVISIONS: usize = 256;

/// Revisions that every site may read, compressed.
#[derive(Clone, Debug)]
pub(crate) struct Pack {
    pub(crate) revisions: usize,
    pub(crate) frame: Bytes,
}

/// Packs by the [`key`] of what was still asked for where they begin.
#[derive(Clone)]
pub(crate) struct Packs(Cache<Digest, Pack>);

impl Default for Packs {
    fn default() -> Self {
        let weight = |_: &Digest, pack: &Pack| {
            u32::try_from(pack.frame.len()).unwrap_or(u32::MAX).saturating_add(BESIDE_BYTES)
        };
        Self(Cache::builder().max_capacity(MOST_BYTES).weigher(weight).build())
    }
}

impl Packs {
    pub(crate) fn get(&self, key: &Digest) -> Option<Pack> {
        self.0.get(key)
    }

    pub(crate) fn insert(&self, key: Digest, pack: Pack) {
        self.0.insert(key, pack);
    }
}

/// What names the pack that begins with these digests: all of them up to where it ends at the latest.
/// It may end before that, where they are large; it always does so in the same place.
pub(crate) fn key(ahead: impl Iterator<Item = Digest>) -> Digest {
    let mut bytes = Vec::new();
    for (before, digest) in ahead.enumerate() {
        bytes.extend(digest.0);
        if ends(before + 1, &digest) {
            break;
        }
    }
    chablon_wire::digest(&bytes)
}

/// Whether a pack of these ends after the last of them, whatever comes next.
pub(crate) fn is_last<'d>(pack: impl ExactSizeIterator<Item = &'d Digest>) -> bool {
    let count = pack.len();
    pack.last().is_some_and(|last| ends(count, last))
}

fn ends(count: usize, last: &Digest) -> bool {
    count == MOST_REVISIONS || last.0[31].is_multiple_of(ONE_ENDS_OF)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn digests(count: u32) -> Vec<Digest> {
        let mut digests: Vec<_> =
            (0..count).map(|number| chablon_wire::digest(&number.to_be_bytes())).collect();
        digests.sort();
        digests
    }

    /// The keys of all packs, where none ends for its size.
    fn keys(digests: &[Digest]) -> Vec<Digest> {
        let (mut keys, mut begin) = (Vec::new(), 0);
        while begin < digests.len() {
            keys.push(key(digests[begin..].iter().copied()));
            let ends = |end: &usize| is_last(digests[begin..*end].iter());
            begin = (begin + 1..=digests.len()).find(ends).unwrap_or(digests.len());
        }
        keys
    }

    #[test]
    fn packs_have_some_hundred_revisions() {
        let packs = keys(&digests(10_000)).len();
        assert!((60..120).contains(&packs), "{packs}");
    }

    #[test]
    fn who_sees_one_document_more_has_the_same_packs_but_for_one() {
        let all = digests(10_000);
        for without in [0, 1_234, 9_999] {
            let mut fewer = all.clone();
            fewer.remove(without);
            let (all, fewer) = (keys(&all), keys(&fewer));
            let others = fewer.iter().filter(|key| !all.contains(key)).count();
            assert!(others <= 2, "{others} of {}", fewer.len());
        }
    }

    #[test]
    fn a_pack_ends_where_no_digest_does() {
        let odd: Vec<_> = (0..300).map(|_| Digest([1; 32])).collect();
        assert!(!is_last(odd[..255].iter()) && is_last(odd[..256].iter()));
        assert_eq!(key(odd.iter().copied()), key(odd[..256].iter().copied()));
        assert_ne!(key(odd.iter().copied()), key(odd[..255].iter().copied()));
    }
}
