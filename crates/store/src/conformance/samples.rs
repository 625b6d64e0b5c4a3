//! Values for the checks. Bodies and revisions are plain text: no store may mind.

use std::collections::BTreeSet;
use std::num::NonZeroU32;

use chablon_model::{
    Audience, Decision, Departure, Deviation, DeviationLimits, Digest, DocumentKey, DocumentKind,
    EntryBody, Grant, Manifest, Moment, NextStep, PublicKey, RevisionRef, Role, Signature, SiteId,
    Text, View, Visibility, Withdrawal,
};

use crate::{
    Actor, AskCommit, CatchUp, Compaction, Cursor, DecisionCommit, DraftCommit, DraftStep,
    EntrySignatures, Epoch, FeedEntry, Frozen, Identity, NewEntry, NewHeldRevision, NewPart,
    NewRevision, ReleaseCommit, Request, RootCommit, RootRecord, Said, SigningCommit, Statement,
    WithdrawalCommit, digest_of,
};

/// A constant in the type that is wanted.
pub(super) fn id<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
    text.parse().expect("a constant id")
}

pub(super) fn limit(limit: u32) -> NonZeroU32 {
    NonZeroU32::new(limit).expect("a constant limit")
}

pub(super) fn view(site: &str) -> View {
    View::Site(id(site))
}

pub(super) fn groups(names: &[&str]) -> Audience {
    let groups = names.iter().map(|name| id(name)).collect();
    Audience::Of { groups, sites: BTreeSet::new() }
}

/// A revision that everyone may read: `revision("recipe/honey-bavarois", 1)`.
pub(super) fn revision(key: &str, number: u32) -> NewRevision {
    revision_of(key, number, &format!("{key} {number}"))
}

/// A revision of certain bytes.
pub(super) fn revision_of(key: &str, number: u32, bytes: &str) -> NewRevision {
    let key: DocumentKey = id(key);
    let site_groups = (key.kind == DocumentKind::Site).then(BTreeSet::new);
    NewRevision {
        reference: RevisionRef { key, number, digest: digest_of(bytes.as_bytes()) },
        bytes: bytes.to_owned().into(),
        visible_to: Visibility::Everyone,
        pins: Vec::new(),
        site_groups,
    }
}

/// A recipe that uses others.
pub(super) fn using(key: &str, number: u32, pins: &[&NewRevision]) -> NewRevision {
    let pins = pins.iter().map(|pin| pin.reference.clone()).collect();
    NewRevision { pins, ..revision(key, number) }
}

/// A site's document.
pub(super) fn site(name: &str, number: u32, groups: &[&str]) -> NewRevision {
    NewRevision {
        visible_to: Visibility::Site(id(name)),
        site_groups: Some(groups.iter().map(|group| id(group)).collect()),
        ..revision(&format!("site/{name}"), number)
    }
}

pub(super) fn request(name: &str, content: &str) -> Request {
    Request { id: id(name), digest: digest_of(content.as_bytes()) }
}

/// Somebody whom the hub knows for a chef.
pub(super) fn actor(name: &str) -> Actor {
    Actor { name: name.to_owned(), role: Some(Role::Chef) }
}

/// A version of the root that says so.
pub(super) fn root(version: u32, text: &str) -> RootCommit {
    let root = RootRecord { version, frozen: signed(text.to_owned()) };
    RootCommit { at: Moment(800), by: actor("the chef"), root }
}

/// One signature each for entries of these positions and digests.
pub(super) fn signing(key: u8, entries: &[(u64, Digest)]) -> SigningCommit {
    let of = |(position, body_digest): &(u64, Digest)| EntrySignatures {
        position: *position,
        body_digest: *body_digest,
        signatures: vec![signature(key)],
    };
    let signed = entries.iter().map(of).collect();
    SigningCommit { at: Moment(810), by: actor("the deputy"), signed }
}

/// A compaction up to a position that passes over these.
pub(super) fn compaction(up_to: u64, passed_over: &[u64]) -> Compaction {
    let passed_over = passed_over.iter().copied().collect();
    Compaction { at: Moment(820), by: actor("the machine"), up_to, passed_over }
}

/// A step of the draft `less-honey`; its request has the name that is given.
pub(super) fn step(name: &str, by: &str, step: DraftStep) -> DraftCommit {
    DraftCommit {
        request: request(name, &format!("{name} {by} {step:?}")),
        at: Moment(700),
        by: actor(by),
        draft: id("less-honey"),
        step,
    }
}

pub(super) fn create(content: &str) -> DraftStep {
    DraftStep::Create { note: "Less honey".to_owned(), content: Frozen::new(content.to_owned()) }
}

pub(super) fn update(etag: Digest, content: &str) -> DraftStep {
    let content = Frozen::new(content.to_owned());
    DraftStep::Update { etag, note: "Less honey still".to_owned(), content }
}

pub(super) fn approve(etag: Digest, needed: u32) -> DraftStep {
    DraftStep::Approve { etag, text: String::new(), needed }
}

fn manifest(release: &str, audience: Audience, items: Vec<RevisionRef>) -> Manifest {
    Manifest {
        release: id(release),
        part: 1,
        part_count: 1,
        audience,
        holds_from: Moment(1000),
        at_sites: std::collections::BTreeMap::new(),
        items,
        note: "a note".to_owned(),
        author: "the chef".to_owned(),
    }
}

/// A body with two signatures. No store may mind that they verify nothing.
pub(super) fn signed(text: String) -> Frozen {
    Frozen { signatures: vec![signature(1), signature(2)], ..Frozen::new(text) }
}

pub(super) fn signature(byte: u8) -> Signature {
    Signature { key: PublicKey([byte; 32]), bytes: [byte; 64] }
}

/// A release in parts, with nothing to store yet.
pub(super) fn parts(name: &str, parts: &[(Audience, &[&NewRevision])]) -> ReleaseCommit {
    let part = |(number, (audience, items)): (u32, &(Audience, &[&NewRevision]))| {
        let items = items.iter().map(|item| item.reference.clone()).collect();
        let part_count = u32::try_from(parts.len()).expect("few parts");
        let manifest =
            Manifest { part: number, part_count, ..manifest(name, audience.clone(), items) };
        NewPart { manifest, body: signed(format!("release {name}, part {number}")) }
    };
    ReleaseCommit {
        request: request(&format!("request-{name}"), name),
        at: Moment(500),
        by: actor("the chef"),
        draft: None,
        revisions: Vec::new(),
        parts: (1..).zip(parts).map(part).collect(),
    }
}

/// A release that stores revisions and puts all of them in force, in one part.
pub(super) fn release(name: &str, audience: Audience, revisions: &[&NewRevision]) -> ReleaseCommit {
    let revisions_to_store = revisions.iter().copied().cloned().collect();
    ReleaseCommit { revisions: revisions_to_store, ..parts(name, &[(audience, revisions)]) }
}

/// A withdrawal for everyone.
pub(super) fn withdrawal(name: &str, revision: &NewRevision, next: NextStep) -> WithdrawalCommit {
    WithdrawalCommit {
        request: request(&format!("request-{name}"), name),
        at: Moment(600),
        by: actor("the chef"),
        withdrawal: Withdrawal {
            revision: revision.reference.clone(),
            next,
            audience: Audience::All,
            holds_from: Moment(1000),
            reason: "a reason".to_owned(),
            author: "the chef".to_owned(),
        },
        body: signed(format!("withdrawal {name}")),
    }
}

pub(super) fn go_back_to(revision: &NewRevision) -> NextStep {
    NextStep::GoBackTo(revision.reference.clone())
}

/// What a site asks: another wording of a step.
pub(super) fn asked(name: &str, site: &str, based_on: &NewRevision) -> AskCommit {
    let deviation = Deviation {
        id: id(name),
        site: id(site),
        based_on: based_on.reference.clone(),
        departures: vec![Departure::Wording { step: id("warm"), to: Text::default() }],
        limits: DeviationLimits::default(),
        from: Moment(1000),
        until: Moment(2000),
        reason: "a reason".to_owned(),
        decision: Decision::Asked,
    };
    let body = Frozen::new(format!("deviation {name}"));
    AskCommit { at: Moment(700), by: actor("the kitchen"), deviation, body }
}

/// A decision on what was asked and nothing more.
pub(super) fn decision(name: &str, ask: &AskCommit, words: &str) -> DecisionCommit {
    let grant = Grant {
        by: "the chef".to_owned(),
        at: Moment(800),
        note: Some(words.to_owned()),
        allergens: BTreeSet::new(),
        critical_limits: false,
    };
    let deviation = Deviation { decision: Decision::Granted(grant), ..ask.deviation.clone() };
    DecisionCommit {
        request: request(&format!("request-{name}"), words),
        at: Moment(810),
        by: actor("the chef"),
        seen: ask.body.digest,
        deviation,
        body: signed(format!("decision {words}")),
    }
}

/// A decided deviation of a site, after another position.
pub(super) fn decided(position: u64, previous: u64, based_on: &NewRevision) -> NewEntry {
    let commit = decision("any", &asked("d1", "harbour", based_on), "granted");
    NewEntry {
        position,
        previous_position: previous,
        recorded_at: Moment(4000),
        says: EntryBody::Deviation(commit.deviation),
        body: commit.body,
    }
}

pub(super) fn positions(entries: &[FeedEntry]) -> Vec<u64> {
    entries.iter().map(|entry| entry.position).collect()
}

/// Whose replica the checks use.
pub(super) fn identity(site: &str) -> Identity {
    Identity { site: id::<SiteId>(site), enrolled_at: Moment(10) }
}

pub(super) fn held(revision: &NewRevision) -> NewHeldRevision {
    let NewRevision { reference, bytes, pins, .. } = revision.clone();
    NewHeldRevision { reference, bytes, pins }
}

pub(super) fn cursor(epoch: &str, view: &str, position: u64) -> Cursor {
    Cursor { epoch: id::<Epoch>(epoch), view: digest_of(view.as_bytes()), position }
}

/// An entry that releases revisions, after another position.
pub(super) fn released(position: u64, previous: u64, items: &[&NewRevision]) -> NewEntry {
    let items: Vec<RevisionRef> = items.iter().map(|item| item.reference.clone()).collect();
    let body = signed(format!("release of {items:?}"));
    let says = EntryBody::Release(manifest(&format!("release-{position}"), Audience::All, items));
    let recorded_at = Moment(2000);
    NewEntry { position, previous_position: previous, recorded_at, says, body }
}

/// An entry that withdraws a revision, after another position.
pub(super) fn withdrawn(
    position: u64,
    previous: u64,
    revision: &NewRevision,
    next: NextStep,
) -> NewEntry {
    let WithdrawalCommit { withdrawal, body, .. } =
        withdrawal(&format!("at-{position}"), revision, next);
    NewEntry {
        position,
        previous_position: previous,
        recorded_at: Moment(3000),
        says: EntryBody::Withdrawal(withdrawal),
        body,
    }
}

/// A stretch of the view `v` in the epoch `e` that ends at its last entry.
pub(super) fn stretch(entries: Vec<NewEntry>) -> CatchUp {
    let end = entries.last().map_or(0, |entry| entry.position);
    CatchUp { entries, cursor: cursor("e", "v", end), said: Vec::new(), checkpoint: None }
}

pub(super) fn said(position: u64, statement: Statement, at: i64) -> Said {
    let reason = (statement == Statement::Refused).then(|| "the mixer is broken".to_owned());
    Said { position, statement, at: Moment(at), reason }
}
