//! Arbitrary releases and withdrawals.

use chablon_model::{
    Audience, DocumentKey, DocumentKind, Manifest, NextStep, RevisionRef, Withdrawal,
};
use proptest::collection::{btree_map, btree_set};
use proptest::prelude::*;
use proptest::sample::select;

use super::{digest, id, moment, words};

fn document() -> impl Strategy<Value = DocumentKey> {
    (select(DocumentKind::ALL.to_vec()), id()).prop_map(|(kind, id)| DocumentKey { kind, id })
}

pub(crate) fn reference() -> impl Strategy<Value = RevisionRef> {
    (document(), 1..=u32::MAX, digest()).prop_map(|(key, number, digest)| RevisionRef {
        key,
        number,
        digest,
    })
}

fn audience() -> impl Strategy<Value = Audience> {
    let of = (btree_set(id(), 0..4), btree_set(id(), 0..4))
        .prop_filter("somebody", |(groups, sites)| !groups.is_empty() || !sites.is_empty())
        .prop_map(|(groups, sites)| Audience::Of { groups, sites });
    prop_oneof![Just(Audience::All), of]
}

pub(crate) fn manifest() -> impl Strategy<Value = Manifest> {
    let part = (1..=1000_u32).prop_flat_map(|count| (1..=count, Just(count)));
    let items = btree_map(document(), (1..=u32::MAX, digest()), 1..5).prop_map(|items| {
        let item = |(key, (number, digest))| RevisionRef { key, number, digest };
        items.into_iter().map(item).collect()
    });
    let at_sites = btree_map(id(), moment(), 0..4);
    (id(), part, audience(), (moment(), at_sites), items, (words(), words())).prop_map(
        |(release, (part, part_count), audience, held, items, (note, author))| Manifest {
            release,
            part,
            part_count,
            audience,
            holds_from: held.0,
            at_sites: held.1,
            items,
            note,
            author,
        },
    )
}

pub(crate) fn withdrawal() -> impl Strategy<Value = Withdrawal> {
    let step = (any::<bool>(), 1..u32::MAX, digest());
    (reference(), step, audience(), moment(), words(), words()).prop_map(
        |(mut revision, (back, number, digest), audience, holds_from, reason, author)| {
            revision.number = revision.number.max(2);
            let number = number.min(revision.number - 1);
            let earlier = RevisionRef { key: revision.key.clone(), number, digest };
            let next = if back { NextStep::GoBackTo(earlier) } else { NextStep::MakeNone };
            Withdrawal { revision, next, audience, holds_from, reason, author }
        },
    )
}
