//! What a view can do without: nothing in force depends on it.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{
    Audience, Digest, DocumentKey, Entry, EntryBody, GroupId, Manifest, Moment, NextStep,
    RevisionRef, SiteId, Withdrawal, in_force, superseded,
};
use proptest::prelude::*;

/// A site with the groups it is in.
type Member = (SiteId, BTreeSet<GroupId>);

fn members() -> Vec<Member> {
    let member = |site: &str, groups: &[&str]| {
        let groups = groups.iter().map(|group| group.parse().unwrap()).collect();
        (site.parse().unwrap(), groups)
    };
    vec![
        member("harbour", &["coast"]),
        member("millrace", &["inland"]),
        member("station", &["coast", "inland"]),
        member("quay", &[]),
    ]
}

fn of(groups: &[&str], sites: &[&str]) -> Audience {
    Audience::Of {
        groups: groups.iter().map(|group| group.parse().unwrap()).collect(),
        sites: sites.iter().map(|site| site.parse().unwrap()).collect(),
    }
}

fn audiences() -> Vec<Audience> {
    vec![
        Audience::All,
        Audience::All,
        of(&["coast"], &[]),
        of(&["inland"], &[]),
        of(&["coast", "inland"], &[]),
        of(&[], &["harbour"]),
        of(&["coast"], &["harbour"]),
    ]
}

fn key(document: u8) -> DocumentKey {
    format!("recipe/cake-{document}").parse().unwrap()
}

fn revision(document: u8, number: u8) -> RevisionRef {
    let digest = Digest([document * 16 + number; 32]);
    RevisionRef { key: key(document), number: u32::from(number), digest }
}

fn release(items: &BTreeSet<u8>, number: u8, audience: Audience, holds_from: i64) -> EntryBody {
    EntryBody::Release(Manifest {
        release: "a-release".parse().unwrap(),
        part: 1,
        part_count: 1,
        audience,
        holds_from: Moment(holds_from),
        at_sites: BTreeMap::new(),
        items: items.iter().map(|document| revision(*document, number)).collect(),
        note: "a reason".into(),
        author: "chef".into(),
    })
}

fn withdrawal(document: u8, number: u8, back: Option<u8>, audience: Audience) -> EntryBody {
    EntryBody::Withdrawal(Withdrawal {
        revision: revision(document, number),
        next: back.map_or(NextStep::MakeNone, |back| NextStep::GoBackTo(revision(document, back))),
        audience,
        holds_from: Moment(3),
        reason: "a reason".into(),
        author: "chef".into(),
    })
}

fn body() -> impl Strategy<Value = EntryBody> {
    let audience = || proptest::sample::select(audiences());
    let items = proptest::collection::btree_set(0..3_u8, 1..3);
    prop_oneof![
        4 => (items, 1..4_u8, audience(), 0..8_i64, own_moments())
            .prop_map(|(items, number, to, from, own)| own_times(release(&items, number, to, from), own)),
        1 => (0..3_u8, 1..4_u8, proptest::option::of(4..6_u8), audience())
            .prop_map(|(document, number, back, to)| withdrawal(document, number, back, to)),
    ]
}

/// Some sites with moments of their own; mostly none.
fn own_moments() -> impl Strategy<Value = BTreeMap<SiteId, Moment>> {
    let sites = proptest::sample::select(vec!["harbour", "millrace", "station"]);
    let moment = (sites, 0..8_i64).prop_map(|(site, at)| (site.parse().unwrap(), Moment(at)));
    prop_oneof![
        2 => Just(BTreeMap::new()),
        1 => proptest::collection::vec(moment, 1..4).prop_map(|own| own.into_iter().collect()),
    ]
}

fn own_times(mut body: EntryBody, own: BTreeMap<SiteId, Moment>) -> EntryBody {
    if let EntryBody::Release(manifest) = &mut body {
        manifest.at_sites = own;
    }
    body
}

fn feed() -> impl Strategy<Value = Vec<Entry>> {
    let numbered = |bodies: Vec<EntryBody>| {
        (1..).zip(bodies).map(|(position, body)| Entry { position, body }).collect()
    };
    proptest::collection::vec(body(), 0..24).prop_map(numbered)
}

fn addressed(entry: &Entry, (site, groups): &Member) -> bool {
    match &entry.body {
        EntryBody::Release(manifest) => manifest.audience.addresses(site, groups),
        EntryBody::Withdrawal(withdrawal) => withdrawal.audience.addresses(site, groups),
        EntryBody::Deviation(deviation) => deviation.site == *site,
    }
}

proptest! {
    #[test]
    fn nothing_in_force_changes_from_then_on(
        entries in feed(),
        up_to in 0..30_u64,
        from in 0..8_i64,
    ) {
        let gone = superseded(&entries, up_to, Moment(from));
        prop_assert!(gone.iter().all(|position| *position <= up_to));
        for member in members() {
            let own = entries.iter().filter(|entry| addressed(entry, &member));
            let view: Vec<Entry> = own.map(|entry| entry.clone().at_site(&member.0)).collect();
            let rest: Vec<Entry> =
                view.iter().filter(|entry| !gone.contains(&entry.position)).cloned().collect();
            for (document, at) in (0..3).flat_map(|one| (from..10).map(move |at| (one, at))) {
                let before = in_force(&view, &key(document), Moment(at));
                prop_assert_eq!(before, in_force(&rest, &key(document), Moment(at)));
            }
            let last = |of: &[Entry]| of.iter().map(|one| one.position).rfind(|at| *at <= up_to);
            prop_assert_eq!(last(&view), last(&rest), "what follows names the one before it");
        }
    }
}

fn placed(bodies: Vec<EntryBody>) -> Vec<Entry> {
    (1..).zip(bodies).map(|(position, body)| Entry { position, body }).collect()
}

#[test]
fn what_was_released_again_to_as_many_is_passed_over() {
    let cakes = BTreeSet::from([0]);
    let entries = placed(vec![
        release(&cakes, 1, of(&["coast"], &[]), 0),
        release(&cakes, 2, Audience::All, 1),
        release(&cakes, 3, Audience::All, 2),
        release(&cakes, 4, of(&["coast"], &[]), 3),
        release(&cakes, 5, Audience::All, 9),
    ]);
    let gone = |up_to, from| superseded(&entries, up_to, Moment(from));
    assert_eq!(gone(4, 5), BTreeSet::from([1, 2]), "the last for each stays");
    assert_eq!(gone(5, 5), BTreeSet::from([1, 2]), "what holds only later passes over nothing");
    assert_eq!(gone(5, 9), BTreeSet::from([1, 2, 3]), "entry 4 is the last for the coast");
    assert_eq!(gone(1, 9), BTreeSet::new());
}
