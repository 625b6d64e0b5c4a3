//! Kitchens that leave groups of theirs.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{
    DocumentKey, Entry, EntryBody, GroupId, Moment, RevisionRef, SiteId, Standing, Withdrawal,
    in_force, withdrawn_among,
};

use crate::Pair;

/// A site that is to leave groups. It then no longer sees what addressed those alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Leaving {
    /// The site.
    pub site: SiteId,
    /// The groups that it belongs to, sorted.
    pub groups: Pair<BTreeSet<GroupId>>,
}

impl Leaving {
    /// A site whose groups change so, where it leaves any of them.
    pub fn between(site: &SiteId, groups: Pair<&[GroupId]>) -> Option<Self> {
        let groups = groups.map(|all| all.iter().cloned().collect::<BTreeSet<_>>());
        let leaves = !groups.before.is_subset(&groups.after);
        leaves.then(|| Self { site: site.clone(), groups })
    }

    /// The groups that it leaves, sorted.
    pub fn left(&self) -> impl Iterator<Item = &GroupId> {
        self.groups.before.difference(&self.groups.after)
    }

    /// The withdrawals that the site then no longer sees, where what they took back would be in
    /// force there again, at a moment or later. By revision, the last withdrawal of each.
    ///
    /// The entries are those of the whole feed, in any order.
    pub fn in_force_again(&self, entries: &[Entry], at: Moment) -> Vec<Withdrawal> {
        self.lost(entries, |seen, revision| {
            ever(seen, &revision.key, at, |entries, at| !is_in_force(entries, revision, at))
        })
    }

    /// The withdrawals that the site then no longer sees, where nothing else would tell it that
    /// what they took back was withdrawn: whatever pins it would be made without a caution.
    pub fn untold(&self, entries: &[Entry], at: Moment) -> Vec<Withdrawal> {
        self.lost(entries, |seen, revision| {
            ever(seen, &revision.key, at, |entries, at| {
                !withdrawn_among(entries, std::slice::from_ref(revision), at).is_empty()
            })
        })
    }

    /// The last withdrawal of each revision that the site no longer sees, where that matters.
    fn lost(
        &self,
        entries: &[Entry],
        matters: impl Fn(&Pair<Vec<Entry>>, &RevisionRef) -> bool,
    ) -> Vec<Withdrawal> {
        let seen = self.groups.as_ref().map(|groups| self.seen(entries, groups));
        let mut lost: BTreeMap<&RevisionRef, (u64, &Withdrawal)> = BTreeMap::new();
        for entry in &seen.before {
            let EntryBody::Withdrawal(one) = &entry.body else { continue };
            if entry.body.addresses(&self.site, &self.groups.after) {
                continue;
            }
            let before = lost.get(&one.revision).map_or(0, |(position, _)| *position);
            if entry.position > before && matters(&seen, &one.revision) {
                lost.insert(&one.revision, (entry.position, one));
            }
        }
        lost.into_values().map(|(_, one)| one.clone()).collect()
    }

    /// The entries that the site sees as a member of these groups.
    pub fn seen(&self, entries: &[Entry], groups: &BTreeSet<GroupId>) -> Vec<Entry> {
        let own = entries.iter().filter(|entry| entry.body.addresses(&self.site, groups));
        own.map(|entry| entry.clone().at_site(&self.site)).collect()
    }
}

fn is_in_force(entries: &[Entry], revision: &RevisionRef, at: Moment) -> bool {
    let standing = in_force(entries, &revision.key, at);
    matches!(standing, Standing::InForce { revision: found, .. } if found == revision)
}

/// Whether something is so by what was seen of a document and isn't by what will be, now or later.
fn ever(
    seen: &Pair<Vec<Entry>>,
    key: &DocumentKey,
    now: Moment,
    is_so: impl Fn(&[Entry], Moment) -> bool,
) -> bool {
    // What holds changes at these moments alone.
    let later = seen.before.iter().chain(&seen.after).filter_map(|entry| from(entry, key));
    let moments: BTreeSet<Moment> = later.filter(|at| *at > now).chain([now]).collect();
    moments.into_iter().any(|at| is_so(&seen.before, at) && !is_so(&seen.after, at))
}

/// From when an entry that is about a document holds.
fn from(entry: &Entry, key: &DocumentKey) -> Option<Moment> {
    match &entry.body {
        EntryBody::Release(manifest) => {
            manifest.items.iter().any(|item| item.key == *key).then_some(manifest.holds_from)
        }
        EntryBody::Withdrawal(one) => (one.revision.key == *key).then_some(one.holds_from),
        EntryBody::Deviation(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use chablon_model::{Audience, Digest, Manifest, NextStep};

    use super::*;

    const NOW: Moment = Moment(100);

    fn pear(number: u32) -> RevisionRef {
        let digest = Digest([u8::try_from(number).unwrap(); 32]);
        RevisionRef { key: "recipe/pear".parse().unwrap(), number, digest }
    }

    fn group(id: &str) -> Audience {
        Audience::Of { groups: [id.parse().unwrap()].into(), sites: [].into() }
    }

    fn release(number: u32, audience: Audience, from: i64) -> EntryBody {
        EntryBody::Release(Manifest {
            release: "first".parse().unwrap(),
            part: 1,
            part_count: 1,
            audience,
            holds_from: Moment(from),
            at_sites: BTreeMap::new(),
            items: vec![pear(number)],
            note: String::new(),
            author: String::new(),
        })
    }

    fn withdrawal(number: u32, next: NextStep, audience: Audience, from: i64) -> EntryBody {
        EntryBody::Withdrawal(Withdrawal {
            revision: pear(number),
            next,
            audience,
            holds_from: Moment(from),
            reason: String::new(),
            author: String::new(),
        })
    }

    fn stop(number: u32, audience: Audience) -> EntryBody {
        withdrawal(number, NextStep::MakeNone, audience, 50)
    }

    /// The revisions that are in force again at harbour, which leaves coast for these groups.
    fn again(to: &[&str], bodies: impl IntoIterator<Item = EntryBody>) -> Vec<u32> {
        let entries = (1..).zip(bodies).map(|(position, body)| Entry { position, body });
        let entries: Vec<Entry> = entries.collect();
        let to: Vec<GroupId> = to.iter().map(|id| id.parse().unwrap()).collect();
        let from = ["coast".parse().unwrap(), "old".parse().unwrap()];
        let harbour = "harbour".parse().unwrap();
        let leaving = Leaving::between(&harbour, Pair::new(&from[..], &to)).expect("leaves coast");
        let again = leaving.in_force_again(&entries, NOW);
        again.into_iter().map(|one| one.revision.number).collect()
    }

    #[test]
    fn what_was_withdrawn_from_the_group_alone_is_in_force_again() {
        let to_all = || release(1, Audience::All, 0);
        assert_eq!(again(&["old"], [to_all(), stop(1, group("coast"))]), [1]);
        let harbour = Audience::site("harbour".parse().unwrap());
        for also in [Audience::All, harbour, group("old")] {
            assert!(again(&["old"], [to_all(), stop(1, group("coast")), stop(1, also)]).is_empty());
        }
        // It joins a group from which it was withdrawn, too.
        let both = [to_all(), stop(1, group("coast")), stop(1, group("inland"))];
        assert!(again(&["inland"], both).is_empty());
    }

    #[test]
    fn what_is_no_longer_seen_at_all_is_not() {
        assert!(again(&[], [release(1, group("coast"), 0), stop(1, group("coast"))]).is_empty());
    }

    #[test]
    fn what_was_released_again_or_followed_since_is_not() {
        let withdrawn = || [release(1, Audience::All, 0), stop(1, group("coast"))];
        assert!(
            again(&[], withdrawn().into_iter().chain([release(1, Audience::All, 60)])).is_empty()
        );
        assert!(
            again(&[], withdrawn().into_iter().chain([release(2, Audience::All, 60)])).is_empty()
        );
        // Until the other holds it is in force.
        assert_eq!(
            again(&[], withdrawn().into_iter().chain([release(2, Audience::All, 200)])),
            [1]
        );
        // What followed for the group alone is lost with the withdrawal.
        assert_eq!(
            again(&[], withdrawn().into_iter().chain([release(2, group("coast"), 60)])),
            [1]
        );
    }

    #[test]
    fn what_is_not_told_any_more_need_not_be_in_force() {
        let entries = |bodies: &[EntryBody]| -> Vec<Entry> {
            let each = (1..).zip(bodies.iter().cloned());
            each.map(|(position, body)| Entry { position, body }).collect()
        };
        let coast = ["coast".parse().unwrap()];
        let harbour = "harbour".parse().unwrap();
        let leaving = Leaving::between(&harbour, Pair::new(&coast[..], &[])).expect("leaves coast");
        let untold = |bodies: &[EntryBody]| leaving.untold(&entries(bodies), NOW).len();
        let withdrawn = [release(1, Audience::All, 0), stop(1, group("coast"))];
        let followed = [&withdrawn[..], &[release(2, Audience::All, 60)]].concat();
        assert_eq!([untold(&withdrawn), untold(&followed)], [1, 1]);
        assert!(leaving.in_force_again(&entries(&followed), NOW).is_empty());
        for told in [release(1, Audience::All, 60), stop(1, Audience::All)] {
            assert_eq!(untold(&[&followed[..], &[told]].concat()), 0);
        }
    }

    #[test]
    fn going_back_is_undone() {
        let released = [release(1, Audience::All, 0), release(2, Audience::All, 10)];
        let back = withdrawal(2, NextStep::GoBackTo(pear(1)), group("coast"), 50);
        let stopped = stop(1, group("coast"));
        assert_eq!(again(&[], released.clone().into_iter().chain([back.clone()])), [2]);
        assert_eq!(again(&[], released.into_iter().chain([back, stopped])), [2]);
    }

    #[test]
    fn what_comes_counts_too() {
        let later = withdrawal(1, NextStep::MakeNone, group("coast"), 300);
        assert_eq!(again(&[], [release(1, Audience::All, 0), later]), [1]);
        assert_eq!(again(&[], [release(1, Audience::All, 200), stop(1, group("coast"))]), [1]);
    }

    #[test]
    fn only_who_leaves_a_group_is_leaving() {
        let id = |id: &str| id.parse::<GroupId>().unwrap();
        let (coast, pilot) = (id("coast"), id("pilot"));
        let between = |before: &[GroupId], after: &[GroupId]| {
            Leaving::between(&"harbour".parse().unwrap(), Pair::new(before, after))
        };
        let one = std::slice::from_ref(&coast);
        assert!(between(one, &[pilot.clone(), coast.clone()]).is_none());
        let leaving = between(&[pilot.clone(), coast.clone()], &[pilot]).expect("leaves coast");
        assert_eq!(leaving.left().collect::<Vec<_>>(), [&coast]);
    }
}
