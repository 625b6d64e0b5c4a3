//! Chefs who release, withdraw and let kitchens deviate, whatever happens on the way.

use std::time::{Duration, Instant};

use chablon_sdk::deviations::DecisionDraft;
use chablon_sdk::model::{Audience, Entry, EntryBody, RevisionRef};
use chablon_sdk::publish::{Draft, GoOn, Taking, Terms, WithdrawalDraft};
use chablon_sdk::{Client, Error, Recorded, now};
use rand::RngExt as _;
use rand::rngs::StdRng;
use tokio_util::sync::CancellationToken;

use crate::group::{audience, deviation, granted, recipe};
use crate::history::Acknowledged;

/// How many chefs release at once.
pub(crate) const WRITERS: usize = 16;

/// How long a chef rests between two releases, on the average.
const REST: Duration = Duration::from_secs(6);

/// How long a chef goes on with one release at most.
const PATIENCE: Duration = Duration::from_mins(2);

/// A chef with a recipe.
pub(crate) struct Writer {
    number: usize,
    client: Client,
    random: StdRng,
    begun: Instant,
    /// What it released, as far as it has not withdrawn it since.
    standing: Vec<Entry>,
}

impl Writer {
    pub(crate) fn new(number: usize, client: Client, random: StdRng, begun: Instant) -> Self {
        Self { number, client, random, begun, standing: Vec::new() }
    }

    /// Releases one version after the other, and now and then grants a kitchen something else or
    /// withdraws instead, until it is told to stop; gives what was acknowledged.
    pub(crate) async fn write(mut self, stop: CancellationToken) -> Vec<Acknowledged> {
        let mut acknowledged = Vec::new();
        for version in 0.. {
            let rest = REST.mul_f64(2.0 * self.random.random::<f64>());
            if stop.run_until_cancelled(tokio::time::sleep(rest)).await.is_none() {
                break;
            }
            acknowledged.push(match (version % 5, self.standing.last()) {
                (3, Some(last)) => self.grant(version, last).await,
                (4, Some(_)) => self.withdraw(version).await,
                _ => self.release(version).await,
            });
        }
        acknowledged
    }

    /// Sends one draft until it is answered.
    async fn release(&mut self, version: u32) -> Acknowledged {
        let note = format!("Writer {}, version {version}", self.number);
        let documents = [recipe(self.number, version)];
        let terms = Terms::new(now(), &note, "A chef").to(audience(version));
        let draft: Draft = insist(|| self.client.draft(&documents, &terms)).await;
        let acknowledged = self.acknowledged(note, || self.client.release(&draft)).await;
        let [manifest] = draft.parts() else { panic!("one part: {draft:?}") };
        let body = EntryBody::Release(manifest.clone());
        self.standing.push(Entry { position: acknowledged.position, body });
        acknowledged
    }

    /// Withdraws what stands last from whom it was released to: for nothing, or for the one before it
    /// that all have.
    async fn withdraw(&mut self, version: u32) -> Acknowledged {
        let last = self.standing.pop().expect("it released something");
        let note = format!("Writer {}, withdrawal {version}", self.number);
        let (item, audience) = released(&last);
        let to_all = |one: &&Entry| *released(one).1 == Audience::All;
        let before = self.standing.iter().rfind(to_all).filter(|_| version.is_multiple_of(2));
        let go_on = before.map_or(GoOn::WithNone, |one| GoOn::WithRevision(released(one).0.number));
        let taking = Taking::back(item.key.clone(), go_on, now(), &note, "A chef")
            .revision(item.number)
            .from(audience.clone());
        let known: Vec<Entry> = self.standing.iter().cloned().chain([last]).collect();
        let request = WithdrawalDraft::random_request();
        let draft = WithdrawalDraft::new(taking, &known, request).expect("it was released");
        self.acknowledged(note, || self.client.withdraw(&draft)).await
    }

    /// Grants a kitchen what it asks of what was released last.
    async fn grant(&self, version: u32, last: &Entry) -> Acknowledged {
        let note = format!("Writer {}, deviation {version}", self.number);
        let id = format!("writer-{}-{version}", self.number);
        let asked = deviation(&id, version, released(last).0.clone(), &note);
        insist(|| self.client.ask_deviation(&asked)).await;
        let submitted = insist(|| self.client.deviation(&asked.id)).await;
        let draft = DecisionDraft::new(&submitted, granted(asked)).expect("it is decided");
        self.acknowledged(note, || self.client.decide_deviation(&draft)).await
    }

    /// Sends something until it is answered.
    async fn acknowledged<F>(&self, note: String, send: impl FnMut() -> F) -> Acknowledged
    where
        F: Future<Output = Result<Recorded, Error>>,
    {
        let began = self.begun.elapsed();
        let recorded = insist(send).await;
        let ended = self.begun.elapsed();
        Acknowledged { note, position: recorded.first_position, began, ended }
    }
}

/// The one revision that an entry releases, and to whom.
fn released(entry: &Entry) -> (&RevisionRef, &Audience) {
    match &entry.body {
        EntryBody::Release(manifest) => (&manifest.items[0], &manifest.audience),
        other => panic!("a chef keeps what was released, not {other:?}"),
    }
}

/// Asks until there is an answer. Whatever trying again doesn't mend is a fault of ours.
pub(crate) async fn insist<T, F>(mut ask: impl FnMut() -> F) -> T
where
    F: Future<Output = Result<T, Error>>,
{
    let asking = async {
        loop {
            match ask().await {
                Ok(answer) => return answer,
                Err(error) if error.may_retry() || error.outcome_unknown() => {}
                Err(error) => panic!("refused: {error:?}"),
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    };
    tokio::time::timeout(PATIENCE, asking).await.expect("an answer at last")
}
