//! A group that signs: a hub with a checkpoint key, a root, and kitchens that have pinned it.

use std::path::Path;

use chablon_sdk::model::{DocumentContent, Moment, Root};
use chablon_sdk::publish::{GoOn, Taking};
use chablon_sdk::trust::TrustError;
use chablon_sdk::{Client, Error, Pin, Recorded, Replica, SignedBytes};
use chablon_testkit::trust::{HUB_KEY, key, root, signed_root};
use chablon_testkit::{Keeping, TestHub, sample};

use crate::common::{NOW, client, kitchen, site, terms};

pub(crate) const DAY: i64 = 24 * 60 * 60 * 1000;

/// The first root, signed by two of its three keys.
pub(crate) fn first_root() -> SignedBytes {
    signed_root(&root(1), &[1, 2])
}

/// A hub that signs with a key.
pub(crate) async fn hub_with_key(keeping: Keeping, byte: u8) -> TestHub {
    TestHub::builder(keeping).checkpoint_key(key(byte)).start().await
}

/// A hub with the first root and the small book, released and signed.
pub(crate) async fn signed_hub(keeping: Keeping) -> (TestHub, Client) {
    let hub = hub_with_key(keeping, HUB_KEY).await;
    let client = client(&hub);
    assert_eq!(client.add_root(&first_root()).await.unwrap(), 1);
    release_signed(&client, &sample::book().documents(), &[11]).await.unwrap();
    (hub, client)
}

/// Such a hub in a file, and a copy of the file as it is now.
pub(crate) async fn hub_beside_a_copy(file: &Path, copy: &Path) -> TestHub {
    let (hub, _) = signed_hub(Keeping::SqliteAt(file.to_owned())).await;
    hub.stop().await;
    std::fs::copy(file, copy).unwrap();
    hub_with_key(Keeping::SqliteAt(file.to_owned()), HUB_KEY).await
}

/// Releases what has changed, signed by keys.
pub(crate) async fn release_signed(
    client: &Client,
    documents: &[DocumentContent],
    keys: &[u8],
) -> Result<Recorded, Error> {
    let mut draft = client.draft(documents, &terms("A release")).await?;
    for byte in keys {
        draft.sign(&key(*byte));
    }
    client.release(&draft).await
}

/// Withdraws the custard, signed by keys.
pub(crate) async fn withdraw_signed(client: &Client, keys: &[u8]) -> Result<Recorded, Error> {
    let document = "recipe/custard".parse().unwrap();
    let taking = Taking::back(document, GoOn::WithNone, NOW, "Too sweet", "Group pastry chef");
    let mut draft = client.draft_withdrawal(taking).await?;
    for byte in keys {
        draft.sign(&key(*byte));
    }
    client.withdraw(&draft).await
}

/// A kitchen that has pinned the first root, and has taken nothing yet.
pub(crate) async fn pinned(id: &str, client: &Client) -> Replica {
    let replica = kitchen(id).await;
    replica.pin(client, &Pin::Digest(first_root().digest)).await.unwrap();
    replica
}

/// The same in a file, whose clock says a moment.
pub(crate) async fn pinned_at(path: &Path, client: &Client, now: Moment) -> Replica {
    let replica = Replica::open(path, site("harbour")).await.unwrap().with_clock(move || now);
    replica.pin(client, &Pin::Digest(first_root().digest)).await.unwrap();
    replica
}

/// The next version of the root, in which a hub's key is replaced.
pub(crate) fn root_with_hub_key(version: u32, byte: u8) -> SignedBytes {
    let checkpoint = chablon_testkit::trust::role(1, &[byte]);
    signed_root(&Root { checkpoint, ..root(version) }, &[1, 2])
}

/// Which rule of trust an error names.
#[track_caller]
pub(crate) fn rule(error: &Error) -> &TrustError {
    error.untrusted().unwrap_or_else(|| panic!("not a matter of trust: {error:?}"))
}
