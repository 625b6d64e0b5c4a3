//! Notes on lots.

use std::sync::Arc;

use chablon_model::{Audience, LotEvent, LotNote, Moment};

use crate::conformance::assert_refused;
use crate::conformance::samples::{actor, id, limit, release, request, site};
use crate::{Act, AuditRecord, HubError, HubStore, LotCommit, LotFilter, StoredLotNote};

fn note(name: &str, site: &str, ingredient: &str, lot: &str, event: LotEvent) -> LotCommit {
    let supplier = (event == LotEvent::Received).then(|| id("dairy-1"));
    let (site, ingredient) = (id(site), id(ingredient));
    let (lot, at, author) = (lot.to_owned(), Moment(700), "the kitchen".to_owned());
    let note = LotNote { site, ingredient, supplier, lot, event, at, author };
    let (request, by) = (request(name, &format!("{note:?}")), actor("the cook"));
    LotCommit { request, at: Moment(710), by, note }
}

/// A hub that knows two sites.
async fn hub_with_sites(hub: &dyn HubStore) {
    let both = ["harbour", "millrace"].map(|name| site(name, 1, &[]));
    hub.release(release("sites", Audience::All, &both.each_ref())).await.unwrap();
}

async fn listed(hub: &dyn HubStore, filter: &LotFilter) -> Vec<StoredLotNote> {
    hub.lot_notes(filter, 0, limit(99)).await.unwrap()
}

/// A note that is sent again is one note; its number stays.
pub async fn a_note_is_kept_once(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    hub_with_sites(&*hub).await;
    let first = note("n1", "harbour", "butter", "L 1", LotEvent::Received);
    let number = hub.note_lot(first.clone()).await.unwrap();
    let later = LotCommit { at: Moment(999), ..first.clone() };
    assert_eq!(hub.note_lot(later).await.unwrap(), number);
    let kept = StoredLotNote { number, recorded_at: Moment(710), note: first.note.clone() };
    assert_eq!(listed(&*hub, &LotFilter::default()).await, [kept]);
    let other = note("n1", "harbour", "butter", "L 2", LotEvent::Received);
    assert_refused!(
        hub.note_lot(other).await,
        HubError::RequestIdReused(name) if name.as_str() == "n1"
    );
    let again = LotCommit { request: request("n2", "the same words"), ..first };
    assert!(hub.note_lot(again).await.unwrap() > number, "another request is another note");
}

/// Who noted what, and when: once for each note that was kept.
pub async fn notes_are_in_the_log(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    hub_with_sites(&*hub).await;
    let received = note("n1", "harbour", "butter", "L 1", LotEvent::Received);
    hub.note_lot(received.clone()).await.unwrap();
    hub.note_lot(received).await.unwrap();
    hub.note_lot(note("n1", "harbour", "butter", "L 2", LotEvent::Used)).await.unwrap_err();
    hub.note_lot(note("n2", "nowhere", "butter", "L 1", LotEvent::Used)).await.unwrap_err();
    hub.note_lot(note("n3", "millrace", "cream", "L 9", LotEvent::Gone)).await.unwrap();
    drop(hub);
    let log = open().await.audit(None, limit(2)).await.unwrap();
    let log: Vec<_> = log.into_iter().map(|one| (one.number, one.record)).collect();
    let record = |subject: &str, detail: &str| AuditRecord {
        at: Moment(710),
        by: actor("the cook"),
        act: Act::NoteLot,
        subject: subject.to_owned(),
        detail: detail.to_owned(),
    };
    let expected = [
        (3, record("ingredient/cream", "gone at millrace: lot `L 9`")),
        (2, record("ingredient/butter", "received at harbour: lot `L 1` of dairy-1")),
    ];
    assert_eq!(log, expected);
}

/// Only a known site has lots.
pub async fn a_note_is_of_a_known_site(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    hub_with_sites(&*hub).await;
    assert_refused!(
        hub.note_lot(note("n1", "nowhere", "butter", "L 1", LotEvent::Used)).await,
        HubError::UnknownSite(site) if site.as_str() == "nowhere"
    );
    assert_eq!(listed(&*hub, &LotFilter::default()).await, []);
}

/// They come by number, in pages, of a site, of an ingredient and of a lot.
pub async fn notes_are_filtered_and_come_in_pages(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    hub_with_sites(&*hub).await;
    let all = [
        note("n1", "harbour", "butter", "L 1", LotEvent::Received),
        note("n2", "millrace", "butter", "L 1", LotEvent::Used),
        note("n3", "harbour", "cream", "L 1", LotEvent::Used),
        note("n4", "harbour", "butter", "l 1", LotEvent::Gone),
    ];
    let mut numbers = Vec::new();
    for commit in &all {
        numbers.push(hub.note_lot(commit.clone()).await.unwrap());
    }
    assert!(numbers.is_sorted_by(|a, b| a < b), "{numbers:?}");
    let of = async |site: Option<&str>, ingredient: Option<&str>, lot: Option<&str>| {
        let lot = lot.map(str::to_owned);
        let filter = LotFilter { site: site.map(id), ingredient: ingredient.map(id), lot };
        let found = listed(&*hub, &filter).await;
        assert!(found.iter().all(|one| filter.takes(&one.note)));
        found.iter().map(|one| one.number).collect::<Vec<_>>()
    };
    assert_eq!(of(None, None, None).await, numbers);
    assert_eq!(of(Some("harbour"), None, None).await, [numbers[0], numbers[2], numbers[3]]);
    assert_eq!(of(None, Some("butter"), Some("L 1")).await, numbers[..2]);
    assert_eq!(of(None, None, Some("L 2")).await, []);
    let page = |after| {
        let hub = &hub;
        async move { hub.lot_notes(&LotFilter::default(), after, limit(2)).await.unwrap() }
    };
    assert_eq!(page(numbers[1]).await.len(), 2);
    let last = page(numbers[2]).await;
    assert_eq!((last.len(), &last[0].note), (1, &all[3].note));
}
