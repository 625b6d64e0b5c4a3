//! The pins of a revision that can't be read otherwise.

use chablon_model::RevisionRef;
use chablon_wire::{Wire as _, pb};
use prost::Message as _;

use super::each;
use crate::error::Kind;
use crate::{Error, FrozenRevision};

/// What a revision pins, although something newer wrote it: all that it uses is kept with it, so
/// that it can be made from once this program is brought up to date.
pub(crate) fn pins_of_unsupported(frozen: &FrozenRevision) -> Result<Vec<RevisionRef>, Error> {
    let form = pb::Revision::decode(frozen.bytes().clone()).map_err(|error| {
        let RevisionRef { key, number, .. } = frozen.reference();
        Error::new(Kind::Damaged, format!("revision {number} of `{key}` doesn't decode: {error}"))
    })?;
    each(form.pins, RevisionRef::from_pb)
}

/// The bytes of a revision as a later version of this program may write them.
#[cfg(test)]
pub(crate) fn from_a_later_version(revision: &chablon_model::Revision) -> bytes::Bytes {
    let bytes = chablon_wire::encode_revision(revision);
    let mut form = pb::Revision::decode(&bytes[..]).expect("it was just encoded");
    form.required_features.push("deviations".to_owned());
    form.encode_to_vec().into()
}
