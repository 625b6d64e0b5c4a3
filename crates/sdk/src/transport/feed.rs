//! The feed.

use chablon_model::View;
use chablon_wire::pb::feed_service_client::FeedServiceClient;
use chablon_wire::{FeedCursor, FeedEntry, Frozen, Wire, pb};

use super::figures::replica_state;
use super::{Grpc, Link, MAX_ANSWER_BYTES, Turn, each, given, reader};
use crate::error::Kind;
use crate::hub::Answers;
use crate::{Change, Changes, Error, FeedHead};

fn client(link: Link) -> FeedServiceClient<Link> {
    FeedServiceClient::new(link).max_decoding_message_size(MAX_ANSWER_BYTES)
}

pub(super) async fn head(hub: &Grpc, view: &View) -> Result<FeedHead, Error> {
    let request = hub.request(pb::GetFeedStateRequest { site: reader(view) });
    let answer =
        hub.attempt(|link| async move { client(link).get_feed_state(request).await }).await?;
    let cursor = cursor(answer.head, "head")?;
    let (oldest_position, replica) = (answer.oldest_position, replica_state(answer.replica));
    Ok(FeedHead { cursor, oldest_position, replica })
}

pub(super) async fn changes(
    hub: &Grpc,
    view: &View,
    after: Option<&FeedCursor>,
    limit: u32,
) -> Result<Changes, Error> {
    let request = hub.request(pb::ListChangesRequest {
        site: reader(view),
        after: after.map(Wire::to_pb),
        page_size: limit,
    });
    let answer =
        hub.attempt(|link| async move { client(link).list_changes(request).await }).await?;
    read(answer.entries, answer.next, answer.more, answer.checkpoint)
}

pub(super) async fn watch(
    hub: &Grpc,
    view: &View,
    after: Option<&FeedCursor>,
) -> Result<Answers<Changes>, Error> {
    let request = pb::WatchChangesRequest { site: reader(view), after: after.map(Wire::to_pb) };
    let turn = Turn::of(&hub.addresses);
    let mut client = client(turn.channel_apart());
    let messages = turn.within(hub.options.deadline, client.watch_changes(request)).await?;
    let read = |answer: pb::WatchChangesResponse| {
        read(answer.entries, answer.next, false, answer.checkpoint)
    };
    Ok(turn.endless_answers(messages, hub.options.silence, read))
}

fn read(
    entries: Vec<pb::FeedEntry>,
    next: Option<pb::FeedCursor>,
    more: bool,
    checkpoint: Option<pb::FrozenBytes>,
) -> Result<Changes, Error> {
    if let Some(unknown) = entries.iter().find(|entry| entry.body.is_none()) {
        return Err(of_unknown_kind(unknown.position));
    }
    let entries = each(entries, FeedEntry::from_pb)?;
    let entries = entries.into_iter().map(Change::checked).collect::<Result<_, _>>()?;
    let checkpoint = checkpoint.map(Frozen::from_pb).transpose();
    let checkpoint = checkpoint.map_err(|violation| Error::of_answer(&violation))?;
    Ok(Changes { entries, next: cursor(next, "next")?, more, checkpoint })
}

/// What this program doesn't know must not be passed over: it may take something back.
fn of_unknown_kind(position: u64) -> Error {
    let message = format!(
        "the entry at position {position} is of a kind that this program doesn't know; bring it up \
         to date"
    );
    Error::new(Kind::Unsupported, message)
}

fn cursor(cursor: Option<pb::FeedCursor>, name: &str) -> Result<FeedCursor, Error> {
    FeedCursor::from_pb(given(cursor, name)?).map_err(|violation| Error::of_answer(&violation))
}
