//! Releases, withdrawals and the feed.

use bytes::Bytes;
use chablon_wire::pb::{self, DocumentKind};
use chablon_wire::{FeedCursor, FeedEntry, Wire, decode_manifest, decode_withdrawal};
use prost::Message;

use super::reference;

fn manifest(change: impl FnOnce(&mut pb::ReleaseManifest)) -> Result<(), String> {
    let mut manifest = pb::ReleaseManifest {
        schema_version: 1,
        required_features: Vec::new(),
        release_id: "0191f6a0-7c1e-7d3a-9d5b-3f1f0c8a2b44".into(),
        part: 1,
        part_count: 2,
        audience: Some(addressed(pb::audience::Addressed::Everyone(pb::Everyone {}))),
        items: vec![reference(DocumentKind::Recipe, "honey-milk", 3)],
        holds_from_ms: 1_790_812_800_000,
        note: "Less honey".into(),
        author: "Group pastry chef".into(),
        at_sites: Vec::new(),
    };
    change(&mut manifest);
    decode_manifest(&manifest.encode_to_vec()).map(drop).map_err(|error| error.to_string())
}

fn addressed(addressed: pb::audience::Addressed) -> pb::Audience {
    pb::Audience { addressed: Some(addressed) }
}

fn to(groups: &[&str], sites: &[&str]) -> Option<pb::Audience> {
    let own = |ids: &[&str]| ids.iter().map(ToString::to_string).collect();
    let addressees = pb::Addressees { groups: own(groups), sites: own(sites) };
    Some(addressed(pb::audience::Addressed::Addressees(addressees)))
}

#[track_caller]
fn refused_manifest(change: impl FnOnce(&mut pb::ReleaseManifest), refusal: &str) {
    assert_eq!(manifest(change), Err(refusal.to_owned()));
}

#[test]
fn manifests() {
    assert_eq!(manifest(|_| ()), Ok(()));
    refused_manifest(|m| m.part = 0, "part: must be 1 to `part_count`, 2");
    refused_manifest(|m| m.part = 3, "part: must be 1 to `part_count`, 2");
    refused_manifest(|m| m.part_count = 1001, "part_count: must be 1 to 1000");
    refused_manifest(|m| m.items.clear(), "items: is required");
    refused_manifest(|m| m.note.clear(), "note: is required");
    refused_manifest(
        |m| m.items.push(m.items[0].clone()),
        "items[1]: `recipe/honey-milk` is there twice",
    );
    refused_manifest(
        |m| m.holds_from_ms = i64::MAX,
        "holds_from_ms: 9223372036854775807 is not within the years 1 to 9999",
    );
    refused_manifest(|m| m.audience = None, "audience: is required");
    let own = |sites: &[&str], features: &[&str]| {
        let one = |site: &&str| pb::SiteMoment { site: site.to_string(), holds_from_ms: 7 };
        let at_sites: Vec<_> = sites.iter().map(one).collect();
        let required_features: Vec<_> = features.iter().map(ToString::to_string).collect();
        move |m: &mut pb::ReleaseManifest| {
            (m.at_sites, m.required_features) = (at_sites, required_features);
        }
    };
    assert_eq!(manifest(own(&["harbour", "quay"], &["site-moments"])), Ok(()));
    let both = "required_features: must name `site-moments` where `at_sites` is given, and only \
                there";
    refused_manifest(own(&["harbour"], &[]), both);
    refused_manifest(own(&[], &["site-moments"]), both);
    refused_manifest(
        own(&["quay", "harbour"], &["site-moments"]),
        "at_sites[1]: `harbour` must stand before `quay`",
    );
    refused_manifest(
        |m| m.audience = to(&[], &[]),
        "audience.addressees: names neither a group nor a site",
    );
    refused_manifest(
        |m| m.audience = to(&["pilot", "coast"], &[]),
        "audience.addressees.groups[1]: `coast` must stand before `pilot`",
    );
    refused_manifest(
        |m| m.audience = to(&[], &["Harbour"]),
        "audience.addressees.sites[0]: `Harbour` is not an id; use lower-case letters a-z and \
         digits, with single hyphens between words",
    );
}

#[test]
fn withdrawals() {
    let notice = |action| {
        let notice = pb::WithdrawalNotice {
            schema_version: 1,
            required_features: Vec::new(),
            withdrawn: Some(reference(DocumentKind::Recipe, "honey-milk", 3)),
            action,
            audience: to(&["coast"], &[]),
            holds_from_ms: 0,
            reason: "Far too sweet".into(),
            author: "Group pastry chef".into(),
        };
        decode_withdrawal(&notice.encode_to_vec()).map(drop).map_err(|error| error.to_string())
    };
    let back = |id, number| {
        let earlier = reference(DocumentKind::Recipe, id, number);
        Some(pb::withdrawal_notice::Action::GoBackTo(earlier))
    };
    assert_eq!(notice(back("honey-milk", 2)), Ok(()));
    assert_eq!(notice(None), Err("action: is required".into()));
    assert_eq!(
        notice(back("honey-milk", 3)),
        Err("action.go_back_to.number: 3 is not before 3".into())
    );
    assert_eq!(
        notice(back("pastry-cream", 2)),
        Err("action.go_back_to: `recipe/pastry-cream` is another document than \
             `recipe/honey-milk`"
            .into())
    );
}

#[test]
fn entries_and_cursors() {
    let entry = |position, previous_position, body| {
        let entry = pb::FeedEntry { position, previous_position, recorded_at_ms: 0, body };
        FeedEntry::from_pb(entry).map(drop).map_err(|violation| violation.to_string())
    };
    let body = |bytes: &'static [u8]| {
        let digest = Bytes::from_static(&[7; 32]);
        let body = Bytes::from_static(bytes);
        let frozen = pb::FrozenBytes { body, digest, signatures: Vec::new() };
        Some(pb::feed_entry::Body::ReleasePart(frozen))
    };
    assert_eq!(entry(2, 1, body(b"x")), Ok(()));
    assert_eq!(entry(0, 0, body(b"x")), Err("position: is required".into()));
    assert_eq!(
        entry(2, 2, body(b"x")),
        Err("previous_position: must be less than `position`, 2".into())
    );
    assert_eq!(entry(2, 1, body(b"")), Err("body.release_part.body: is required".into()));
    assert_eq!(
        entry(2, 1, None),
        Err("body: is missing, or of a kind that this version doesn't know".into())
    );
    let cursor = |epoch: &str, view: &'static [u8], position| {
        let view = Bytes::from_static(view);
        let cursor = pb::FeedCursor { epoch: epoch.into(), view, position, snapshot: 0 };
        FeedCursor::from_pb(cursor).map(drop).map_err(|violation| violation.to_string())
    };
    assert_eq!(cursor("", b"", 1), Err("epoch: is required".into()));
    assert_eq!(
        cursor("two words", b"", 1),
        Err("epoch: must be at most 128 visible ASCII characters".into())
    );
    assert_eq!(cursor("e", b"short", 1), Err("view: a digest has 32 bytes, not 5".into()));
}
