//! Stores as files: copies, damage, several processes.

use std::collections::BTreeMap;
use std::num::NonZeroU32;
use std::path::Path;
use std::sync::Arc;

use chablon_model::{Audience, Digest, EntryBody, Manifest, Moment, RevisionRef, View, Visibility};
use chablon_store::{
    Actor, CatchUp, Cursor, Epoch, Frozen, HubError, HubStore, Identity, NewEntry, NewHeldRevision,
    NewPart, NewRevision, ReleaseCommit, ReplicaError, ReplicaStore, Request, digest_of,
};
use chablon_store_sqlite::{BackupError, SqliteHub, SqliteReplica};
use sqlx::Connection;
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use tempfile::tempdir;
use tokio::task::JoinSet;

const PAGE: NonZeroU32 = NonZeroU32::new(1000).unwrap();

fn epoch(name: &str) -> Epoch {
    name.parse().unwrap()
}

async fn open(path: &Path) -> SqliteHub {
    SqliteHub::open(path, || epoch("first")).await.unwrap()
}

fn reference(recipe: &str, number: u32, bytes: &str) -> RevisionRef {
    let key = format!("recipe/{recipe}").parse().unwrap();
    RevisionRef { key, number, digest: digest_of(bytes.as_bytes()) }
}

fn manifest(release: &str, item: &RevisionRef) -> Manifest {
    Manifest {
        release: release.parse().unwrap(),
        part: 1,
        part_count: 1,
        audience: Audience::All,
        holds_from: Moment(0),
        at_sites: BTreeMap::new(),
        items: vec![item.clone()],
        note: String::new(),
        author: "the chef".to_owned(),
    }
}

/// A release of one new revision of a recipe.
fn release(recipe: &str, number: u32) -> ReleaseCommit {
    let name = format!("{recipe}-{number}");
    let item = reference(recipe, number, &name);
    let part = NewPart { manifest: manifest(&name, &item), body: Frozen::new(name.clone()) };
    ReleaseCommit {
        request: Request { id: name.parse().unwrap(), digest: digest_of(name.as_bytes()) },
        at: Moment(0),
        by: Actor { name: "the chef".to_owned(), role: None },
        draft: None,
        revisions: vec![NewRevision {
            reference: item,
            bytes: name.into(),
            visible_to: Visibility::Everyone,
            pins: Vec::new(),
            site_groups: None,
        }],
        parts: vec![part],
    }
}

/// Releases 25 revisions of a recipe, one after the other.
async fn write(hub: Arc<SqliteHub>, recipe: String) {
    for number in 1..=25 {
        hub.release(release(&recipe, number)).await.unwrap();
    }
}

/// A kitchen that holds a recipe by one entry.
async fn synced(path: &Path) -> SqliteReplica {
    let replica = SqliteReplica::open(path).await.unwrap();
    let identity = Identity { site: "harbour".parse().unwrap(), enrolled_at: Moment(0) };
    replica.enrol(identity).await.unwrap();
    let reference = reference("pear", 1, "pear");
    let says = EntryBody::Release(manifest("first", &reference));
    let revision = NewHeldRevision { reference, bytes: "pear".into(), pins: Vec::new() };
    replica.put_revisions(vec![revision]).await.unwrap();
    let entry = NewEntry {
        position: 1,
        previous_position: 0,
        recorded_at: Moment(0),
        says,
        body: Frozen::new("first"),
    };
    let cursor = Cursor { epoch: epoch("first"), view: digest_of(b"view"), position: 1 };
    let said = Vec::new();
    let stretch = CatchUp { entries: vec![entry], cursor, said, checkpoint: None };
    replica.apply(stretch).await.unwrap();
    replica
}

/// Writes to a file behind the store's back, heeding no constraint.
async fn meddle(path: &Path, sql: &'static str) {
    let options = SqliteConnectOptions::new().filename(path).foreign_keys(false);
    let mut connection = SqliteConnection::connect_with(&options).await.unwrap();
    sqlx::raw_sql("PRAGMA ignore_check_constraints = 1").execute(&mut connection).await.unwrap();
    let done = sqlx::query(sql).execute(&mut connection).await.unwrap();
    assert!(done.rows_affected() > 0, "nothing was changed by {sql}");
    connection.close().await.unwrap();
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_backup_made_while_others_write_is_a_sound_store() {
    let folder = tempdir().unwrap();
    let hub = Arc::new(open(&folder.path().join("hub.db")).await);
    write(hub.clone(), "before".to_owned()).await;
    let writer = tokio::spawn(write(hub.clone(), "meanwhile".to_owned()));
    let copy = folder.path().join("copy.db");
    hub.backup_to(&copy).await.unwrap();
    writer.await.unwrap();

    let restored = SqliteHub::open_restored(&copy, epoch("second")).await.unwrap();
    let page = restored.entries(&View::Whole, 0, PAGE).await.unwrap();
    assert_eq!(page.state.epoch, epoch("second"));
    assert!((25..=50).contains(&page.state.position));
    assert_eq!(page.entries.len() as u64, page.state.position);
    let original = hub.entries(&View::Whole, 0, PAGE).await.unwrap();
    assert_eq!(page.entries, original.entries[..page.entries.len()]);
    assert_eq!(original.state.epoch, epoch("first"));
    restored.release(release("after", 1)).await.unwrap();
}

#[tokio::test]
async fn a_backup_replaces_no_file_but_one_that_broke_off() {
    let folder = tempdir().unwrap();
    let hub = open(&folder.path().join("hub.db")).await;
    let taken = folder.path().join("taken");
    std::fs::write(&taken, "precious").unwrap();
    let result = hub.backup_to(&taken).await;
    assert!(matches!(result, Err(BackupError::Exists(path)) if path == taken));
    assert_eq!(std::fs::read_to_string(&taken).unwrap(), "precious");
    let result = hub.backup_to(&folder.path().join("no-folder/copy")).await;
    assert!(matches!(result, Err(BackupError::Failed { .. })));
    std::fs::write(folder.path().join("copy.unfinished"), "half a copy").unwrap();
    hub.backup_to(&folder.path().join("copy")).await.unwrap();
    assert!(!folder.path().join("copy.unfinished").exists());
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn several_who_have_one_file_open_share_its_positions() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("hub.db");
    let mut writers = JoinSet::new();
    for name in ["a", "b", "c"] {
        writers.spawn(write(Arc::new(open(&path).await), name.to_owned()));
    }
    writers.join_all().await;
    let page = open(&path).await.entries(&View::Whole, 0, PAGE).await.unwrap();
    assert!(page.entries.iter().map(|entry| entry.position).eq(1..=75));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_new_file_may_be_opened_by_several_at_once() {
    for _ in 0..5 {
        let folder = tempdir().unwrap();
        let path = folder.path().join("hub.db");
        let mut openers = JoinSet::new();
        for number in 0..6 {
            let path = path.clone();
            openers.spawn(async move {
                let hub = SqliteHub::open(&path, || epoch(&format!("by-{number}"))).await.unwrap();
                hub.state().await.unwrap().epoch
            });
        }
        let epochs = openers.join_all().await;
        assert!(epochs.iter().all(|epoch| *epoch == epochs[0]), "{epochs:?}");
    }
}

/// Makes a file with the first tables alone, as the first version of this program did.
async fn first_tables(path: &Path, kind: &str) -> SqliteConnection {
    let folder = tempdir().unwrap();
    let source = format!("{}/../../migrations/sqlite/{kind}", env!("CARGO_MANIFEST_DIR"));
    let first = std::fs::read_dir(source).unwrap().map(|entry| entry.unwrap().path());
    let first = first.min().unwrap();
    std::fs::copy(&first, folder.path().join(first.file_name().unwrap())).unwrap();
    let options = SqliteConnectOptions::new().filename(path).create_if_missing(true);
    let mut connection = SqliteConnection::connect_with(&options).await.unwrap();
    let migrator = sqlx::migrate::Migrator::new(folder.path()).await.unwrap();
    assert_eq!(migrator.iter().count(), 1);
    migrator.run_direct(None, &mut connection, false).await.unwrap();
    connection
}

#[tokio::test]
async fn a_hub_of_the_first_version_is_brought_up_to_date_with_all_it_holds() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("hub.db");
    let mut connection = first_tables(&path, "hub").await;
    sqlx::raw_sql(
        "INSERT INTO feed VALUES (1, 'first', 1); \
         INSERT INTO revision VALUES (zeroblob(32), 'recipe', 'pear', 1, NULL, x'01'); \
         INSERT INTO entry VALUES (1, 1, 7, 'release', 'r1', 1, zeroblob(32), x'02'); \
         INSERT INTO entry_item VALUES (zeroblob(32), 1); \
         INSERT INTO entry_document VALUES ('recipe', 'pear', 1); \
         INSERT INTO addressee VALUES ('all', '', 1); \
         INSERT INTO acknowledgement VALUES (1, 'harbour', 'received', 9);",
    )
    .execute(&mut connection)
    .await
    .unwrap();
    connection.close().await.unwrap();
    let hub = open(&path).await;
    assert_eq!(hub.state().await.unwrap().position, 1);
    let entries = hub.entries(&View::Whole, 0, PAGE).await.unwrap().entries;
    assert_eq!(
        (entries.len(), entries[0].recorded_at, &entries[0].body.bytes[..]),
        (1, Moment(7), &[2][..])
    );
    let filter = chablon_store::AckFilter { positions: 1..=1, site: None };
    assert_eq!(hub.acks(&filter).await.unwrap().len(), 1);
    assert_eq!(hub.release(release("pear", 2)).await.unwrap().first_position, 2);
    hub.close().await;
    assert_eq!(broken_references(&path).await, [""; 0]);
}

/// The tables with rows that refer to what isn't there.
async fn broken_references(path: &Path) -> Vec<String> {
    let options = SqliteConnectOptions::new().filename(path);
    let mut connection = SqliteConnection::connect_with(&options).await.unwrap();
    let broken = sqlx::query_scalar("SELECT \"table\" FROM pragma_foreign_key_check");
    broken.fetch_all(&mut connection).await.unwrap()
}

#[tokio::test]
async fn a_kitchen_of_the_first_version_is_brought_up_to_date_with_all_it_holds() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("kitchen.db");
    let mut connection = first_tables(&path, "kitchen").await;
    sqlx::raw_sql(
        "INSERT INTO replica VALUES (1, 'harbour', 1, 2, 'first', zeroblob(32), 1); \
         INSERT INTO revision VALUES (zeroblob(32), 'recipe', 'pear', 1, x'01'); \
         INSERT INTO pin SELECT zeroblob(32), unhex(replace(hex(zeroblob(32)), '00', byte)) \
         FROM (SELECT '22' AS byte UNION SELECT '11'); \
         INSERT INTO revision SELECT unhex(replace(hex(digest), '00', '22')), 'recipe', 'honey', 1, \
         x'02' FROM revision; \
         INSERT INTO entry VALUES (1, 0, 7, 'release', zeroblob(32), x'02'); \
         INSERT INTO entry_need VALUES (1, zeroblob(32)); \
         INSERT INTO entry_document VALUES ('recipe', 'pear', 1); \
         INSERT INTO statement (position, body_digest, statement, at) \
         VALUES (1, zeroblob(32), 'received', 9);",
    )
    .execute(&mut connection)
    .await
    .unwrap();
    connection.close().await.unwrap();
    let replica = SqliteReplica::open(&path).await.unwrap();
    assert_eq!(replica.entries().await.unwrap().len(), 1);
    assert_eq!(replica.outbox(10).await.unwrap().len(), 1);
    assert_eq!(replica.cursor().await.unwrap().map(|cursor| cursor.position), Some(1));
    let pear = [Digest([0; 32])];
    assert_eq!(replica.missing(&pear).await.unwrap(), [Digest([0x11; 32])]);
    let held = replica.closure(&pear).await.unwrap();
    assert_eq!(held.iter().map(|one| one.digest.0[0]).collect::<Vec<_>>(), [0x22, 0]);
    replica.close().await;
    assert_eq!(broken_references(&path).await, [""; 0]);
}

#[tokio::test]
async fn a_file_that_is_no_store_is_called_damaged() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("odd.db");
    std::fs::write(&path, "a note to myself ".repeat(1000)).unwrap();
    let result = SqliteHub::open(&path, || epoch("first")).await;
    assert!(matches!(result, Err(HubError::Damaged(_))), "{result:?}");
    let result = SqliteReplica::open(&path).await;
    assert!(matches!(result, Err(ReplicaError::Damaged(_))), "{result:?}");
}

#[tokio::test]
async fn a_store_of_another_kind_or_version_is_not_opened() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("kitchen.db");
    synced(&path).await.close().await;
    let Err(HubError::Unavailable(source)) = SqliteHub::open(&path, || epoch("first")).await else {
        panic!("a kitchen's store was opened as a hub's")
    };
    assert!(source.to_string().contains("store of another kind"), "{source}");
    meddle(
        &path,
        "INSERT INTO _sqlx_migrations (version, description, success, checksum, execution_time) \
         VALUES (9999, 'of tomorrow', 1, x'00', 1)",
    )
    .await;
    let Err(ReplicaError::Unavailable(source)) = SqliteReplica::open(&path).await else {
        panic!("a store of tomorrow was opened")
    };
    assert!(source.to_string().contains("newer version"), "{source}");
}

#[tokio::test]
async fn stored_data_that_makes_no_sense_is_named_by_table_and_row() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("hub.db");
    let hub = open(&path).await;
    hub.release(release("pear", 1)).await.unwrap();
    meddle(&path, "UPDATE revision SET id = 'Not An Id'").await;
    let Err(HubError::Damaged(word)) = hub.heads(&View::Whole, None, PAGE).await else {
        panic!("an odd id was shown")
    };
    assert!(word.starts_with("table `revision`, row `recipe/Not An Id 1`:"), "{word}");
    meddle(&path, "UPDATE entry SET body_digest = x'00'").await;
    let Err(HubError::Damaged(word)) = hub.entries(&View::Whole, 0, PAGE).await else {
        panic!("an odd digest was shown")
    };
    assert_eq!(word, "table `entry`, row `1`: a digest has not 32 bytes");
}

#[tokio::test]
async fn a_check_finds_what_has_changed_or_gone() {
    for (meddling, expected) in [
        ("UPDATE revision SET bytes = x'00'", "the bytes of recipe/pear 1"),
        ("UPDATE entry SET body = x'00'", "the body of the entry at position 1 has changed"),
        ("UPDATE entry SET previous_position = 7", "entries before position 1 are gone"),
        ("DELETE FROM revision", "which an entry needs, is gone"),
        ("UPDATE replica SET position = 0", "the cursor stands at 0"),
    ] {
        let folder = tempdir().unwrap();
        let path = folder.path().join("kitchen.db");
        let replica = synced(&path).await;
        replica.check().await.unwrap();
        meddle(&path, meddling).await;
        let Err(ReplicaError::Damaged(word)) = replica.check().await else {
            panic!("not found: {meddling}")
        };
        assert!(word.contains(expected), "{word}");
    }
}

#[tokio::test]
async fn a_broken_file_is_found_removed_and_made_anew() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("kitchen.db");
    synced(&path).await.close().await;
    let mut bytes = std::fs::read(&path).unwrap();
    bytes[4096..].fill(0xa5);
    std::fs::write(&path, bytes).unwrap();
    let result = match SqliteReplica::open(&path).await {
        Ok(replica) => replica.check().await.map(|_| ()),
        Err(error) => Err(error),
    };
    assert!(matches!(result, Err(ReplicaError::Damaged(_))), "{result:?}");
    SqliteReplica::remove(&path).await.unwrap();
    SqliteReplica::remove(&path).await.unwrap();
    synced(&path).await.check().await.unwrap();
}
