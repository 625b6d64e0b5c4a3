//! Lots: what kitchens note of them, and where one may have gone.

use chablon_sdk::Client;
use chablon_sdk::lots::{LotDraft, LotFilter};
use chablon_sdk::model::{LotEvent, LotNote, Moment};
use chablon_testkit::Keeping;
use futures::TryStreamExt;
use test_case::test_case;

use crate::common::{NOW, hub_with_book, site};

fn note(at_site: &str, ingredient: &str, lot: &str, event: LotEvent, after: i64) -> LotNote {
    LotNote {
        site: site(at_site),
        ingredient: ingredient.parse().unwrap(),
        supplier: Some("dairy-1".parse().unwrap()),
        lot: lot.to_owned(),
        event,
        at: Moment(NOW.0 + after),
        author: "The kitchen".to_owned(),
    }
}

async fn noted(client: &Client, note: LotNote) -> u64 {
    client.note_lot(&LotDraft::new(note)).await.unwrap()
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_lot_is_traced_to_every_use_of_what_it_is_of(keeping: Keeping) {
    let (_hub, client) = hub_with_book(keeping).await;
    noted(&client, note("harbour", "cream-35", "L2611", LotEvent::Received, 5)).await;
    noted(&client, note("harbour", "cream-35", "L2611", LotEvent::Used, 7)).await;
    noted(&client, note("harbour", "milk-whole", "M1", LotEvent::Received, 6)).await;
    let trace = client.trace_lot("L2611", None).await.unwrap();
    assert_eq!(trace.first_noted(), Some(Moment(NOW.0 + 5)));
    let events: Vec<_> = trace.notes.iter().map(|one| one.note.event).collect();
    assert_eq!(events, [LotEvent::Received, LotEvent::Used]);
    assert!(trace.noted_at(&site("harbour")) && !trace.noted_at(&site("millrace")));
    let uses: Vec<_> =
        trace.uses.iter().map(|one| format!("{} {}", one.site, one.recipe())).collect();
    assert_eq!(uses, ["harbour custard-cream", "millrace custard-cream"], "noted or not");
    let other = client.trace_lot("l2611", None).await.unwrap();
    assert!(other.notes.is_empty() && other.uses.is_empty(), "letter by letter");
    let asked = "cream-35".parse().unwrap();
    let asked = client.trace_lot("l2611", Some(&asked)).await.unwrap();
    assert_eq!((asked.notes.len(), asked.uses.len()), (0, 2), "the ingredient is asked for");
}

#[tokio::test]
async fn a_note_is_kept_once_and_only_of_what_the_kitchen_has() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let draft = LotDraft::new(note("harbour", "cream-35", "L2611", LotEvent::Gone, 5));
    let number = client.note_lot(&draft).await.unwrap();
    assert_eq!(client.note_lot(&draft).await.unwrap(), number);
    for wrong in [
        note("nowhere", "cream-35", "L2611", LotEvent::Used, 5),
        note("harbour", "trout", "L2611", LotEvent::Used, 5),
    ] {
        let refused = client.note_lot(&LotDraft::new(wrong)).await.unwrap_err();
        assert!(refused.is_not_found(), "{refused:?}");
    }
    let wordless = note("harbour", "cream-35", " ", LotEvent::Used, 5);
    assert!(client.note_lot(&LotDraft::new(wordless)).await.unwrap_err().is_invalid());
    let kept: Vec<_> = client.lot_notes(&LotFilter::default()).try_collect().await.unwrap();
    assert_eq!(kept.len(), 1);
    assert_eq!(kept[0].note, *draft.note());
    let log: Vec<_> = client.audit().try_collect().await.unwrap();
    let told: Vec<_> = log.iter().map(|one| (&*one.by, &*one.act, &*one.detail)).collect();
    assert_eq!(
        told,
        [
            ("The kitchen", "note-lot", "gone at harbour: lot `L2611` of dairy-1"),
            ("Group pastry chef", "release", "First standards"),
        ]
    );
    let filter = LotFilter { site: Some(site("millrace")), ..LotFilter::default() };
    let others: Vec<_> = client.lot_notes(&filter).try_collect().await.unwrap();
    assert!(others.is_empty());
}
