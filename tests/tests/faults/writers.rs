//! Chefs who release, whatever happens on the way.

use std::time::{Duration, Instant};

use chablon_sdk::publish::{Draft, Terms};
use chablon_sdk::{Client, Error, now};
use rand::RngExt as _;
use rand::rngs::StdRng;
use tokio_util::sync::CancellationToken;

use crate::group::{audience, recipe};
use crate::history::Acknowledged;

/// How many chefs release at once.
pub(crate) const WRITERS: usize = 16;

/// How long a chef rests between two releases, on the average.
const REST: Duration = Duration::from_secs(6);

/// How long a chef goes on with one release at most.
const PATIENCE: Duration = Duration::from_mins(2);

/// A chef with a recipe.
pub(crate) struct Writer {
    pub(crate) number: usize,
    pub(crate) client: Client,
    pub(crate) random: StdRng,
    pub(crate) begun: Instant,
}

impl Writer {
    /// Releases one version after the other until it is told to stop; gives what was acknowledged.
    pub(crate) async fn write(mut self, stop: CancellationToken) -> Vec<Acknowledged> {
        let mut acknowledged = Vec::new();
        for version in 0.. {
            let rest = REST.mul_f64(2.0 * self.random.random::<f64>());
            if stop.run_until_cancelled(tokio::time::sleep(rest)).await.is_none() {
                break;
            }
            acknowledged.push(self.release(version).await);
        }
        acknowledged
    }

    /// Sends one draft until it is answered.
    async fn release(&self, version: u32) -> Acknowledged {
        let note = format!("Writer {}, version {version}", self.number);
        let documents = [recipe(self.number, version)];
        let terms = Terms::new(now(), &note, "A chef").to(audience(version));
        let draft: Draft = insist(|| self.client.draft(&documents, &terms)).await;
        let began = self.begun.elapsed();
        let recorded = insist(|| self.client.release(&draft)).await;
        let ended = self.begun.elapsed();
        Acknowledged { note, position: recorded.first_position, began, ended }
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
