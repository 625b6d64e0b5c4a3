//! What is reached from revisions along their pins.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::sync::{Arc, Mutex, PoisonError};

use chablon_model::Digest;
use chablon_store::NewHeldRevision;
use sqlx::SqliteConnection;

use super::Fault;
use crate::values::{Place, digests_of, json};

/// How many revisions are looked up in one statement.
const AT_ONCE: usize = 1_000;

/// How many are looked up without asking first whether anything is held at all: a kitchen that begins
/// asks for everything.
const FEW: usize = 100;

/// How many pins are kept at hand: 8 MiB of them.
const MOST_AT_HAND: usize = 1 << 18;

/// What is reached, each once.
#[derive(Debug)]
pub(super) struct Reached {
    pub(super) held: Vec<Digest>,
    /// What isn't held, sorted.
    pub(super) missing: Vec<Digest>,
}

/// What revisions that are held pin, as far as it was stored or read since the file was opened. It
/// never changes, and a revision never goes away.
#[derive(Clone, Debug, Default)]
pub(super) struct Pins(Arc<Mutex<AtHand>>);

#[derive(Debug, Default)]
struct AtHand {
    by_revision: HashMap<Digest, Box<[Digest]>>,
    count: usize,
}

impl AtHand {
    fn insert(&mut self, revision: Digest, pins: Box<[Digest]>) {
        self.count += pins.len() + 1;
        if self.count > MOST_AT_HAND {
            *self = Self { count: pins.len() + 1, ..Self::default() };
        }
        self.by_revision.insert(revision, pins);
    }
}

impl Pins {
    /// Notes what revisions pin that are stored now.
    pub(super) fn stored(&self, revisions: &[NewHeldRevision]) {
        let pins = |one: &NewHeldRevision| one.pins.iter().map(|pin| pin.digest).collect();
        self.with(|at_hand| {
            for one in revisions {
                at_hand.insert(one.reference.digest, pins(one));
            }
        });
    }

    /// Goes from some revisions along pins: those that they pin, those that these pin, and on.
    pub(super) async fn reached(
        &self,
        connection: &mut SqliteConnection,
        from: impl IntoIterator<Item = Digest>,
    ) -> Result<Reached, Fault> {
        let mut seen: HashSet<Digest> = from.into_iter().collect();
        let mut ahead: Vec<Digest> = seen.iter().copied().collect();
        let mut missing = BTreeSet::new();
        while !ahead.is_empty() {
            let unknown = self.go_on(ahead, &mut seen);
            let (pinned, unheld) = self.look_up(connection, &unknown).await?;
            missing.extend(unheld);
            ahead = pinned.into_iter().filter(|digest| seen.insert(*digest)).collect();
        }
        seen.retain(|digest| !missing.contains(digest));
        Ok(Reached { held: seen.into_iter().collect(), missing: missing.into_iter().collect() })
    }

    /// Goes on as far as what is at hand leads, and gives of which nothing is.
    fn go_on(&self, mut ahead: Vec<Digest>, seen: &mut HashSet<Digest>) -> Vec<Digest> {
        let mut unknown = Vec::new();
        self.with(|at_hand| {
            while let Some(digest) = ahead.pop() {
                match at_hand.by_revision.get(&digest) {
                    Some(pins) => ahead.extend(pins.iter().filter(|pin| seen.insert(**pin))),
                    None => unknown.push(digest),
                }
            }
        });
        unknown
    }

    /// What some revisions pin, and which of them aren't held.
    async fn look_up(
        &self,
        connection: &mut SqliteConnection,
        asked: &[Digest],
    ) -> Result<(Vec<Digest>, Vec<Digest>), Fault> {
        if asked.len() > FEW && !holds_any(connection).await? {
            return Ok((Vec::new(), asked.to_vec()));
        }
        let mut found: HashMap<Digest, Box<[Digest]>> = HashMap::new();
        for some in asked.chunks(AT_ONCE) {
            let rows: Vec<(Vec<u8>, Vec<u8>)> = sqlx::query_as(
                "SELECT r.digest, r.pins \
                 FROM json_each(?1) asked JOIN revision r ON r.digest = unhex(asked.value)",
            )
            .bind(json(some.iter().copied()))
            .fetch_all(&mut *connection)
            .await?;
            for (digest, pins) in rows {
                let place = Place::new("revision", &"pins");
                found.insert(place.digest(&digest)?, digests_of(place, &pins)?.into());
            }
        }
        let unheld = asked.iter().filter(|digest| !found.contains_key(digest)).copied().collect();
        let pinned = found.values().flat_map(|pins| pins.iter().copied()).collect();
        self.with(|at_hand| {
            for (digest, pins) in found {
                at_hand.insert(digest, pins);
            }
        });
        Ok((pinned, unheld))
    }

    fn with<T>(&self, what: impl FnOnce(&mut AtHand) -> T) -> T {
        // An entry is inserted whole or not, so the lock of a thread that panicked guards sound ones.
        what(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

async fn holds_any(connection: &mut SqliteConnection) -> Result<bool, Fault> {
    let any = sqlx::query_scalar("SELECT EXISTS (SELECT 1 FROM revision)");
    Ok(any.fetch_one(connection).await?)
}
