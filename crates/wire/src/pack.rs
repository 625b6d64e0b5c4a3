//! Many revisions in one compressed message.

use bytes::Bytes;
use prost::Message;
use zstd::bulk;
use zstd::zstd_safe::get_frame_content_size;

use crate::{MAX_BODY_BYTES, WireError, pb};

/// What packs are called in messages.
const WHAT: &str = "a pack of revisions";

/// The most bytes of a pack that isn't compressed: one revision may be as large as a body, and smaller
/// ones are packed to no more.
pub const MAX_PACK_BYTES: usize = 2 * MAX_BODY_BYTES;

/// Revisions as one Zstandard frame (RFC 8878) that states how many bytes it holds.
pub fn encode_pack(revisions: Vec<pb::StoredRevision>) -> Bytes {
    let pack = pb::RevisionPack { revisions }.encode_to_vec();
    let frame = bulk::compress(&pack, zstd::DEFAULT_COMPRESSION_LEVEL);
    frame.expect("memory for less than what is there already").into()
}

/// The revisions of such a frame. It may come from anyone: how many bytes it says that it holds is looked
/// at before any is made room for, and it gives no more than that.
///
/// # Errors
/// [`WireError::TooLarge`] where that is more than [`MAX_PACK_BYTES`], [`WireError::Malformed`].
pub fn decode_pack(frame: &[u8]) -> Result<Vec<pb::StoredRevision>, WireError> {
    let malformed = |reason: String| WireError::Malformed { what: WHAT, reason };
    let stated = get_frame_content_size(frame).ok().flatten();
    let stated =
        stated.ok_or_else(|| malformed("it doesn't say how many bytes it holds".into()))?;
    let size = usize::try_from(stated).unwrap_or(usize::MAX);
    if size > MAX_PACK_BYTES {
        return Err(WireError::TooLarge { what: WHAT, limit: MAX_PACK_BYTES, size });
    }
    let bytes = bulk::decompress(frame, size).map_err(|error| malformed(error.to_string()))?;
    let pack = pb::RevisionPack::decode(Bytes::from(bytes));
    Ok(pack.map_err(|error| malformed(error.to_string()))?.revisions)
}

#[cfg(test)]
mod tests {
    use std::io::Write as _;

    use super::*;

    fn revisions(count: u8) -> Vec<pb::StoredRevision> {
        let revision = |byte: u8| pb::StoredRevision {
            revision: None,
            frozen: Some(pb::FrozenBytes {
                body: vec![byte; 1_000].into(),
                ..pb::FrozenBytes::default()
            }),
        };
        (0..count).map(revision).collect()
    }

    #[test]
    fn a_pack_comes_out_as_it_went_in_and_smaller_on_the_way() {
        for count in [0, 1, 200] {
            let frame = encode_pack(revisions(count));
            assert_eq!(decode_pack(&frame).unwrap(), revisions(count));
            assert!(frame.len() < 100 + 20 * usize::from(count), "{}", frame.len());
        }
    }

    #[test]
    fn a_frame_that_would_grow_beyond_the_bound_is_refused_before_it_grows() {
        let grown = vec![0; MAX_PACK_BYTES + 1];
        let frame = bulk::compress(&grown, 3).unwrap();
        assert!(frame.len() < 1_000);
        let size = MAX_PACK_BYTES + 1;
        let refused = WireError::TooLarge { what: WHAT, limit: MAX_PACK_BYTES, size };
        assert_eq!(decode_pack(&frame), Err(refused));
    }

    #[test]
    fn a_frame_that_holds_more_than_it_says_is_refused() {
        let pack = pb::RevisionPack { revisions: revisions(3) }.encode_to_vec();
        let mut frame = bulk::compress(&pack, 3).unwrap();
        // The size of 256 to 65,791 bytes stands in two bytes after the magic number and the descriptor.
        let stated = u16::from_le_bytes([frame[5], frame[6]]);
        assert_eq!(usize::from(stated) + 256, pack.len());
        frame[5..7].copy_from_slice(&(stated - 100).to_le_bytes());
        assert!(matches!(decode_pack(&frame), Err(WireError::Malformed { .. })));
    }

    #[test]
    fn a_frame_that_does_not_say_its_size_or_is_cut_is_refused() {
        let pack = pb::RevisionPack { revisions: revisions(3) }.encode_to_vec();
        let mut silent = zstd::Encoder::new(Vec::new(), 3).unwrap();
        silent.include_contentsize(false).unwrap();
        silent.write_all(&pack).unwrap();
        let refused = decode_pack(&silent.finish().unwrap()).unwrap_err();
        assert!(refused.to_string().contains("doesn't say how many bytes"), "{refused}");
        let frame = encode_pack(revisions(3));
        for cut in 0..frame.len() {
            assert!(decode_pack(&frame[..cut]).is_err(), "cut after {cut}");
        }
    }
}
