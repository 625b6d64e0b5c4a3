//! Values as they stand in the tables, and back.

use std::fmt::Display;
use std::str::FromStr;

use chablon_model::{Digest, DocumentKey, DocumentKind, RevisionRef};
use chablon_store::backend::signatures_from_bytes;
use chablon_store::{EntryKind, FeedEntry, Frozen, Statement};

use crate::fault::Damage;

/// A position for SQL, whose integers are signed. No feed reaches what is cut off here.
pub(crate) fn sql(position: u64) -> i64 {
    i64::try_from(position).unwrap_or(i64::MAX)
}

/// Digests as one parameter for `json_each`, however many there are.
pub(crate) fn json(digests: impl IntoIterator<Item = Digest>) -> String {
    let quoted: Vec<String> = digests.into_iter().map(|digest| format!("\"{digest}\"")).collect();
    format!("[{}]", quoted.join(","))
}

/// Digests as they stand in a row, one after the other.
pub(crate) fn to_bytes(digests: impl IntoIterator<Item = Digest>) -> Vec<u8> {
    digests.into_iter().flat_map(|digest| digest.0).collect()
}

/// The digests that stand in a row.
pub(crate) fn digests_of(place: Place<'_>, bytes: &[u8]) -> Result<Vec<Digest>, Damage> {
    bytes.chunks(32).map(|digest| place.digest(digest)).collect()
}

/// The revisions of a list and all that they use, directly or not.
pub(crate) const CLOSURE: &str = "WITH RECURSIVE reached (digest) AS ( \
         SELECT unhex(value) FROM json_each(?1) \
         UNION SELECT p.pinned FROM reached JOIN pin p ON p.revision = reached.digest \
     ) \
     SELECT r.kind, r.id, r.number, r.digest FROM reached JOIN revision r USING (digest)";

/// Where a value stands, for the word about one that makes no sense.
#[derive(Clone, Copy)]
pub(crate) struct Place<'p> {
    table: &'static str,
    key: &'p dyn Display,
}

impl<'p> Place<'p> {
    pub(crate) fn new(table: &'static str, key: &'p dyn Display) -> Self {
        Self { table, key }
    }

    pub(crate) fn damage(self, what: impl Display) -> Damage {
        Damage::at(self.table, self.key, what)
    }

    pub(crate) fn position(self, value: i64) -> Result<u64, Damage> {
        u64::try_from(value).map_err(|_| self.damage(format!("`{value}` is not a position")))
    }

    pub(crate) fn digest(self, bytes: &[u8]) -> Result<Digest, Damage> {
        let bytes = <[u8; 32]>::try_from(bytes);
        bytes.map(Digest).map_err(|_| self.damage("a digest has not 32 bytes"))
    }

    pub(crate) fn id<T: FromStr<Err: Display>>(self, text: &str) -> Result<T, Damage> {
        text.parse().map_err(|error| self.damage(error))
    }

    /// Bytes with their digest and signatures.
    pub(crate) fn frozen(
        self,
        digest: &[u8],
        bytes: Vec<u8>,
        signatures: &[u8],
    ) -> Result<Frozen, Damage> {
        let broken = || self.damage("the signatures are broken");
        let signatures = signatures_from_bytes(signatures).ok_or_else(broken)?;
        Ok(Frozen { digest: self.digest(digest)?, bytes: bytes.into(), signatures })
    }

    pub(crate) fn statement(self, name: &str) -> Result<Statement, Damage> {
        let unknown = || self.damage(format!("`{name}` is not a statement"));
        Statement::parse(name).ok_or_else(unknown)
    }
}

/// Documents as JSON, as [`latest`] takes them.
pub(crate) fn keys<'k>(documents: impl IntoIterator<Item = &'k DocumentKey>) -> String {
    let keys: Vec<String> = documents.into_iter().map(|key| format!("\"{key}\"")).collect();
    format!("[{}]", keys.join(","))
}

/// Where the latest revision `r` of each document is found that is `asked` for.
macro_rules! latest {
    ($documents:literal) => {
        concat!(
            "FROM json_each(",
            $documents,
            ") asked JOIN revision r \
             ON r.kind = substr(asked.value, 1, instr(asked.value, '/') - 1) \
             AND r.id = substr(asked.value, instr(asked.value, '/') + 1) \
             AND r.number = (SELECT max(m.number) FROM revision m WHERE m.kind = r.kind AND m.id = r.id)"
        )
    };
}
pub(crate) use latest;

/// The columns that name a revision.
#[derive(sqlx::FromRow)]
pub(crate) struct ReferenceRow {
    kind: String,
    id: String,
    number: i64,
    digest: Vec<u8>,
}

impl ReferenceRow {
    pub(crate) fn value(&self) -> Result<RevisionRef, Damage> {
        let key = format!("{}/{} {}", self.kind, self.id, self.number);
        let place = Place::new("revision", &key);
        let unknown = || place.damage("the kind is unknown");
        Ok(RevisionRef {
            key: DocumentKey {
                kind: DocumentKind::parse(&self.kind).ok_or_else(unknown)?,
                id: place.id(&self.id)?,
            },
            number: u32::try_from(self.number).map_err(|error| place.damage(error))?,
            digest: place.digest(&self.digest)?,
        })
    }
}

pub(crate) fn references(rows: &[ReferenceRow]) -> Result<Vec<RevisionRef>, Damage> {
    rows.iter().map(ReferenceRow::value).collect()
}

/// The columns of an entry as a view shows it.
#[derive(sqlx::FromRow)]
pub(crate) struct EntryRow {
    position: i64,
    previous_position: i64,
    recorded_at: i64,
    kind: String,
    body_digest: Vec<u8>,
    body: Vec<u8>,
    signatures: Vec<u8>,
}

impl EntryRow {
    pub(crate) fn value(self) -> Result<FeedEntry, Damage> {
        let key = self.position;
        let place = Place::new("entry", &key);
        let unknown = || place.damage("the kind is unknown");
        Ok(FeedEntry {
            position: place.position(self.position)?,
            previous_position: place.position(self.previous_position)?,
            recorded_at: chablon_model::Moment(self.recorded_at),
            kind: EntryKind::parse(&self.kind).ok_or_else(unknown)?,
            body: place.frozen(&self.body_digest, self.body, &self.signatures)?,
        })
    }
}

pub(crate) fn entries(rows: Vec<EntryRow>) -> Result<Vec<FeedEntry>, Damage> {
    rows.into_iter().map(EntryRow::value).collect()
}
