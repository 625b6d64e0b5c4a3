//! Whether entries make up an honest view.

use std::collections::BTreeSet;
use std::slice::from_ref;

use chablon_model::{
    Audience, ChainPlace, Checkpoint, Digest, Entry, GroupId, NextStep, RevisionRef,
};
use chablon_trust::{
    Chain, Listed, TrustError, addresses_all, groups_of, nothing_lost, nothing_twice,
};

use crate::samples::{checkpoint, id, release, revision, withdrawal};

fn of(groups: &[&str], sites: &[&str]) -> Audience {
    Audience::Of {
        groups: groups.iter().map(|group| id(group)).collect(),
        sites: sites.iter().map(|site| id(site)).collect(),
    }
}

fn groups(names: &[&str]) -> BTreeSet<GroupId> {
    names.iter().map(|name| id(name)).collect()
}

fn digest(byte: u8) -> Digest {
    Digest([byte; 32])
}

#[test]
fn mix_and_match_of_views_is_refused() {
    let entries = [
        release(1, Audience::All, &[]),
        release(2, of(&["coast"], &[]), &[]),
        release(3, of(&[], &["harbour"]), &[]),
    ];
    let check =
        |count: usize, its: &[&str]| addresses_all(&entries[..count], &id("harbour"), &groups(its));
    check(3, &["coast"]).unwrap();
    assert_eq!(check(3, &["inland"]), Err(TrustError::NotAddressed { position: 2 }));
    let others = [release(1, of(&[], &["millrace"]), &[])];
    let refused = addresses_all(&others, &id("harbour"), &groups(&["coast"]));
    assert_eq!(refused, Err(TrustError::NotAddressed { position: 1 }));
}

#[test]
fn what_was_signed_once_does_not_count_twice() {
    nothing_twice([(1, digest(1)), (2, digest(2))]).unwrap();
    let refused = nothing_twice([(1, digest(1)), (2, digest(2)), (7, digest(1))]).unwrap_err();
    assert_eq!(refused, TrustError::Repeated { position: 7, first: 1 });
}

/// A view of entries with the bodies that bytes stand for.
struct Listing {
    entries: Vec<Entry>,
    bodies: Vec<(u64, Digest)>,
}

impl Listing {
    fn of(entries: impl IntoIterator<Item = (u8, Entry)>) -> Self {
        let (bodies, entries) = entries
            .into_iter()
            .map(|(body, entry)| ((entry.position, digest(body)), entry))
            .unzip();
        Self { entries, bodies }
    }

    fn listed(&self) -> Listed<'_> {
        Listed { entries: &self.entries, bodies: &self.bodies }
    }
}

/// Whether a view that is listed up to position 20, compacted up to a position, loses nothing.
fn lost(
    held: &Listing,
    listed: &Listing,
    (epoch, snapshot): (&str, u64),
    its: &[&str],
) -> Result<(), TrustError> {
    let kept = checkpoint("e", 10, 0);
    let chain = Chain::new().digest();
    let snapshot = (snapshot > 0).then_some(ChainPlace { position: snapshot, chain });
    let shown = Checkpoint { snapshot, ..checkpoint(epoch, 20, 10_000) };
    nothing_lost(held.listed(), listed.listed(), &kept, &shown, &groups(its))
}

#[test]
fn a_new_history_may_not_lack_what_was_held() {
    let [all, coast] = [release(4, Audience::All, &[]), release(6, of(&["coast"], &[]), &[])];
    let held = Listing::of([(4, all.clone()), (6, coast.clone())]);
    let check = |entries: &[(u8, &Entry)], its: &[&str]| {
        let listed = Listing::of(entries.iter().map(|(body, entry)| (*body, (*entry).clone())));
        lost(&held, &listed, ("another", 0), its)
    };
    let later = release(9, Audience::All, &[]);
    check(&[(4, &all), (6, &coast), (9, &later)], &["coast"]).unwrap();
    let lost = |count, first| Err(TrustError::EntriesLost { count, first });
    assert_eq!(check(&[(4, &all)], &["coast"]), lost(1, 6));
    assert_eq!(check(&[], &["coast"]), lost(2, 4));
    // The site has left the group, so what addresses the group concerns it no longer.
    check(&[(4, &all)], &["inland"]).unwrap();
    // Old positions may be others, and their order may not.
    let at = |position, entry: &Entry| Entry { position, body: entry.body.clone() };
    check(&[(4, &at(5, &all)), (6, &at(8, &coast))], &["coast"]).unwrap();
    let swapped = check(&[(6, &at(5, &coast)), (4, &at(8, &all))], &["coast"]);
    assert_eq!(swapped, Err(TrustError::OtherOrder { position: 5 }));
}

#[test]
fn a_snapshot_passes_over_what_decides_nothing() {
    let item = |number| [revision("recipe/custard", number)];
    let [one, two, three] = [(1, 1), (4, 2), (7, 3)].map(|(position, number)| {
        (u8::try_from(position).unwrap(), release(position, Audience::All, &item(number)))
    });
    let held = Listing::of([one.clone(), two.clone()]);
    let listed = Listing::of([three.clone()]);
    lost(&held, &listed, ("e", 7), &[]).unwrap();
    let count = |count, first| Err(TrustError::EntriesLost { count, first });
    // Where nothing is compacted nothing may be passed over, nor beyond the snapshot.
    assert_eq!(lost(&held, &listed, ("e", 0), &[]), count(2, 1));
    assert_eq!(lost(&held, &listed, ("e", 3), &[]), count(1, 4));
    // What holds from an earlier moment or addresses fewer covers nothing.
    let narrow = Listing::of([(7, release(7, of(&["coast"], &[]), &item(3)))]);
    assert_eq!(lost(&held, &narrow, ("e", 7), &["coast"]), count(2, 1));
    let older = Listing::of([one.clone()]);
    assert_eq!(lost(&held, &older, ("e", 7), &[]), count(1, 4));
    // What holds only later doesn't cover what is in force yet.
    let coming = Listing::of([(8, release(101, Audience::All, &item(3)))]);
    assert_eq!(lost(&held, &coming, ("e", 101), &[]), count(2, 1));
    // A withdrawal is never passed over.
    let stop = (5, withdrawal(5, &item(2)[0], NextStep::MakeNone));
    let stopped = Listing::of([two.clone(), stop]);
    assert_eq!(lost(&stopped, &listed, ("e", 7), &[]), count(1, 5));
    // In another history an unknown release of the same moment isn't later.
    let same_moment = Entry { position: 9, body: two.1.body.clone() };
    let unknown = Listing::of([(9, same_moment)]);
    lost(&held, &unknown, ("e", 9), &[]).unwrap();
    assert_eq!(lost(&held, &unknown, ("another", 9), &[]), count(1, 4));
}

#[test]
fn the_document_released_last_decides_the_groups() {
    let [one, two] = [1, 2].map(|number| revision("site/harbour", number));
    let other = revision("site/millrace", 1);
    let entries = [
        release(1, Audience::All, from_ref(&one)),
        release(2, Audience::All, from_ref(&two)),
        release(3, Audience::All, &[other]),
        withdrawal(4, &two, NextStep::GoBackTo(one.clone())),
        withdrawal(5, &one, NextStep::MakeNone),
    ];
    let after = |count: usize| groups_of(&entries[..count], &id("harbour"));
    let expected: [Option<&RevisionRef>; 6] =
        [None, Some(&one), Some(&two), Some(&two), Some(&one), Some(&one)];
    for (count, expected) in expected.into_iter().enumerate() {
        assert_eq!(after(count), expected, "after {count}");
    }
}
