//! Roots and checkpoints.

use std::collections::BTreeSet;

use bytes::Bytes;
use chablon_model::{ChainPlace, Checkpoint, Digest, Moment, PublicKey, Root, TrustKey, TrustRole};
use prost::Message;

use crate::bytes::{SCHEMA_VERSION, decode_within};
use crate::common::moment;
use crate::form::{Wire, list, parsed, required, sorted, to_list, words};
use crate::{At, Violation, WireError, pb};

/// The most bytes of an encoded root: 64 KiB.
pub const MAX_ROOT_BYTES: usize = 64 * 1024;

/// The most bytes of an encoded checkpoint: 4 KiB.
pub const MAX_CHECKPOINT_BYTES: usize = 4 * 1024;

/// The most keys of a role: as many as may sign one body.
const MAX_KEYS: usize = crate::MAX_SIGNATURES;

/// The longest name of an epoch, in bytes.
const MAX_EPOCH_BYTES: usize = 128;

/// The bytes of a root: equal roots give equal bytes.
///
/// A value that breaks a rule of the schema gives bytes that [`decode_root`] refuses.
pub fn encode_root(root: &Root) -> Vec<u8> {
    let form = pb::TrustRoot {
        schema_version: SCHEMA_VERSION,
        required_features: Vec::new(),
        version: root.version,
        issued_at_ms: root.issued_at.0,
        expires_at_ms: root.expires_at.0,
        root: Some(root.root.to_pb()),
        release: Some(root.release.to_pb()),
        checkpoint: Some(root.checkpoint.to_pb()),
    };
    form.encode_to_vec()
}

/// The root that the bytes hold, if they keep all rules of the schema.
pub fn decode_root(bytes: &[u8]) -> Result<Root, WireError> {
    Ok(root(decode_within(bytes, "a root of trust", MAX_ROOT_BYTES)?)?)
}

fn root(form: pb::TrustRoot) -> Result<Root, Violation> {
    if form.version == 0 {
        return Err(Violation::required().at("version"));
    }
    let (issued_at, expires_at) = term(form.issued_at_ms, form.expires_at_ms)?;
    let root = Root {
        version: form.version,
        issued_at,
        expires_at,
        root: required(form.root, "root")?,
        release: required(form.release, "release")?,
        checkpoint: required(form.checkpoint, "checkpoint")?,
    };
    if root.checkpoint.threshold != 1 {
        return Err(Violation::new("must be 1").at("threshold").at("checkpoint"));
    }
    one_role_each(&root)?;
    Ok(root)
}

/// A key that does two things is stolen for both: the hub's above all must do nothing else.
fn one_role_each(root: &Root) -> Result<(), Violation> {
    let mut seen = BTreeSet::new();
    for (field, role) in
        [("root", &root.root), ("release", &root.release), ("checkpoint", &root.checkpoint)]
    {
        if let Some(twice) = role.keys.iter().find(|key| !seen.insert(key.key)) {
            let reason = format!("`{}` has another role already", twice.key);
            return Err(Violation::new(reason).at("keys").at(field));
        }
    }
    Ok(())
}

impl Wire for TrustRole {
    type Pb = pb::TrustRole;

    fn to_pb(&self) -> pb::TrustRole {
        pb::TrustRole { threshold: self.threshold, keys: to_list(&self.keys) }
    }

    fn from_pb(form: pb::TrustRole) -> Result<Self, Violation> {
        let keys: Vec<TrustKey> = list(form.keys, "keys")?;
        if !(1..=MAX_KEYS).contains(&keys.len()) {
            return Err(Violation::new(format!("must be 1 to {MAX_KEYS} keys")).at("keys"));
        }
        sorted(&keys.iter().map(|key| key.key).collect::<Vec<_>>(), "keys")?;
        let within = usize::try_from(form.threshold).is_ok_and(|n| (1..=keys.len()).contains(&n));
        if !within {
            let reason = format!("must be 1 to the number of keys, {}", keys.len());
            return Err(Violation::new(reason).at("threshold"));
        }
        Ok(Self { threshold: form.threshold, keys })
    }
}

impl Wire for TrustKey {
    type Pb = pb::TrustKey;

    fn to_pb(&self) -> pb::TrustKey {
        pb::TrustKey { key: self.key.to_pb(), holder: self.holder.clone() }
    }

    fn from_pb(form: pb::TrustKey) -> Result<Self, Violation> {
        let key = PublicKey::from_pb(form.key).at("key")?;
        Ok(Self { key, holder: words(form.holder, "holder")? })
    }
}

/// The bytes of a checkpoint: equal checkpoints give equal bytes.
///
/// A value that breaks a rule of the schema gives bytes that [`decode_checkpoint`] refuses.
pub fn encode_checkpoint(checkpoint: &Checkpoint) -> Vec<u8> {
    let form = pb::Checkpoint {
        schema_version: SCHEMA_VERSION,
        required_features: Vec::new(),
        site: checkpoint.site.to_string(),
        epoch: checkpoint.epoch.clone(),
        view: checkpoint.view.to_pb(),
        position: checkpoint.position,
        chain: checkpoint.chain.to_pb(),
        state: checkpoint.state.map(|state| state.to_pb()).unwrap_or_default(),
        issued_at_ms: checkpoint.issued_at.0,
        expires_at_ms: checkpoint.expires_at.0,
        snapshot_position: checkpoint.snapshot.map_or(0, |place| place.position),
        snapshot_chain: checkpoint.snapshot.map(|place| place.chain.to_pb()).unwrap_or_default(),
    };
    form.encode_to_vec()
}

/// The checkpoint that the bytes hold, if they keep all rules of the schema.
pub fn decode_checkpoint(bytes: &[u8]) -> Result<Checkpoint, WireError> {
    Ok(checkpoint(decode_within(bytes, "a checkpoint", MAX_CHECKPOINT_BYTES)?)?)
}

fn checkpoint(form: pb::Checkpoint) -> Result<Checkpoint, Violation> {
    let (issued_at, expires_at) = term(form.issued_at_ms, form.expires_at_ms)?;
    let visible = form.epoch.bytes().all(|byte| byte.is_ascii_graphic());
    if form.epoch.is_empty() || !visible || form.epoch.len() > MAX_EPOCH_BYTES {
        let reason = format!("must be 1 to {MAX_EPOCH_BYTES} visible ASCII characters");
        return Err(Violation::new(reason).at("epoch"));
    }
    Ok(Checkpoint {
        site: parsed(&form.site).at("site")?,
        epoch: form.epoch,
        view: Digest::from_pb(form.view).at("view")?,
        position: form.position,
        chain: Digest::from_pb(form.chain).at("chain")?,
        snapshot: snapshot(form.snapshot_position, form.snapshot_chain)?,
        state: (!form.state.is_empty())
            .then(|| Digest::from_pb(form.state))
            .transpose()
            .at("state")?,
        issued_at,
        expires_at,
    })
}

/// Where a snapshot ends: both fields or neither.
fn snapshot(position: u64, chain: Bytes) -> Result<Option<ChainPlace>, Violation> {
    match (position, chain.is_empty()) {
        (0, true) => Ok(None),
        (0, false) => Err(Violation::required().at("snapshot_position")),
        _ => {
            let chain = Digest::from_pb(chain).at("snapshot_chain")?;
            Ok(Some(ChainPlace { position, chain }))
        }
    }
}

/// From when to when something counts.
fn term(issued_at_ms: i64, expires_at_ms: i64) -> Result<(Moment, Moment), Violation> {
    let issued_at = moment(issued_at_ms).at("issued_at_ms")?;
    let expires_at = moment(expires_at_ms).at("expires_at_ms")?;
    if expires_at <= issued_at {
        return Err(Violation::new("must be after `issued_at_ms`").at("expires_at_ms"));
    }
    Ok((issued_at, expires_at))
}
