//! Bundles: a site's standards in one file.

use bytes::Bytes;
use chablon_model::{Digest, Moment, RevisionRef, SiteId};
use prost::Message;

use crate::bytes::{SCHEMA_VERSION, check_head};
use crate::common::moment;
use crate::form::{Wire, parsed, required};
use crate::{At, FeedCursor, FeedEntry, Frozen, Violation, WireError, digest, pb};

/// The text with which a bundle begins.
const BEGINNING: &[u8] = b"chablon bundle 1\n";

/// The most bytes of a record.
const MAX_RECORD_BYTES: usize = 2 << 20;

/// How many bytes the last record has, with its length: it holds one digest.
const END_BYTES: usize = 37;

/// What bundles are called in messages.
const WHAT: &str = "a bundle";

/// What a bundle holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bundle {
    /// Whose standards it carries.
    pub site: SiteId,
    /// The cursor of a reader that has taken all of it.
    pub cursor: FeedCursor,
    /// When it was written.
    pub written_at: Moment,
    /// The versions of the root of trust, in order.
    pub roots: Vec<Frozen>,
    /// The entries of the site's view, from the first.
    pub entries: Vec<FeedEntry>,
    /// Every revision that they need.
    pub revisions: Vec<(RevisionRef, Frozen)>,
    /// What the hub vouches for by the cursor.
    pub checkpoint: Option<Frozen>,
}

/// The bytes of a bundle: equal bundles give equal bytes.
pub fn encode_bundle(bundle: &Bundle) -> Vec<u8> {
    use pb::bundle_record::Record;
    let mut bytes = BEGINNING.to_vec();
    let roots = bundle.roots.iter().map(|root| Record::Root(root.to_pb()));
    let entries = bundle.entries.iter().map(|entry| Record::Entry(entry.to_pb()));
    let revisions = bundle.revisions.iter().map(|(reference, frozen)| {
        let (revision, frozen) = (Some(reference.to_pb()), Some(frozen.to_pb()));
        Record::Revision(pb::StoredRevision { revision, frozen })
    });
    let checkpoint = bundle.checkpoint.iter().map(|one| Record::Checkpoint(one.to_pb()));
    let head = std::iter::once(Record::Head(head(bundle)));
    for record in head.chain(roots).chain(entries).chain(revisions).chain(checkpoint) {
        push(&mut bytes, record);
    }
    let digest = digest(&bytes).to_pb();
    push(&mut bytes, Record::End(pb::BundleEnd { digest }));
    bytes
}

fn push(bytes: &mut Vec<u8>, record: pb::bundle_record::Record) {
    bytes.extend(pb::BundleRecord { record: Some(record) }.encode_length_delimited_to_vec());
}

fn head(bundle: &Bundle) -> pb::BundleHead {
    pb::BundleHead {
        schema_version: SCHEMA_VERSION,
        required_features: Vec::new(),
        site: bundle.site.to_string(),
        cursor: Some(bundle.cursor.to_pb()),
        written_at_ms: bundle.written_at.0,
    }
}

/// The bundle that the bytes hold, if not one of them has changed and all rules are kept.
///
/// Digests of what is in it and signatures are not verified here.
pub fn decode_bundle(bytes: &Bytes) -> Result<Bundle, WireError> {
    let records = records(whole(bytes)?)?;
    let mut records = records.into_iter().enumerate();
    let first = records.next().and_then(|(_, record)| record.record);
    let Some(pb::bundle_record::Record::Head(head)) = first else {
        return Err(malformed("its first record is no head"));
    };
    check_head(head.schema_version, &head.required_features, WHAT)?;
    let mut bundle = begin(head).at("head")?;
    let mut last = Order::Root;
    for (index, record) in records {
        last = take(&mut bundle, last, record).at_index(index).at("records")?;
    }
    Ok(bundle)
}

/// The bytes before the end, if the end says that they are whole.
fn whole(bytes: &Bytes) -> Result<Bytes, WireError> {
    if !bytes.starts_with(BEGINNING) {
        return Err(malformed("it doesn't begin as one"));
    }
    let at = bytes.len().checked_sub(END_BYTES).filter(|at| *at >= BEGINNING.len());
    let at = at.ok_or_else(|| malformed("it is cut off"))?;
    let (content, end) = (bytes.slice(..at), &bytes[at..]);
    let mut expected = Vec::with_capacity(END_BYTES);
    let digest = digest(&content).to_pb();
    push(&mut expected, pb::bundle_record::Record::End(pb::BundleEnd { digest }));
    if end == expected {
        Ok(content.slice(BEGINNING.len()..))
    } else {
        Err(malformed("it was cut off or changed on the way; have it written and copied anew"))
    }
}

fn records(mut bytes: Bytes) -> Result<Vec<pb::BundleRecord>, WireError> {
    let mut records = Vec::new();
    while !bytes.is_empty() {
        let length = prost::decode_length_delimiter(bytes.clone());
        let length = length.map_err(|error| malformed(&error.to_string()))?;
        if length > MAX_RECORD_BYTES {
            let (what, limit) = ("a record of a bundle", MAX_RECORD_BYTES);
            return Err(WireError::TooLarge { what, limit, size: length });
        }
        let record = pb::BundleRecord::decode_length_delimited(&mut bytes);
        records.push(record.map_err(|error| malformed(&error.to_string()))?);
    }
    Ok(records)
}

fn begin(head: pb::BundleHead) -> Result<Bundle, Violation> {
    Ok(Bundle {
        site: parsed(&head.site).at("site")?,
        cursor: required(head.cursor, "cursor")?,
        written_at: moment(head.written_at_ms).at("written_at_ms")?,
        roots: Vec::new(),
        entries: Vec::new(),
        revisions: Vec::new(),
        checkpoint: None,
    })
}

/// Which records may still come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Order {
    Root,
    Entry,
    Revision,
    Checkpoint,
    Nothing,
}

/// Takes a record, if its kind may come now.
fn take(bundle: &mut Bundle, last: Order, record: pb::BundleRecord) -> Result<Order, Violation> {
    use pb::bundle_record::Record;
    let unknown = || Violation::new("is missing, or of a kind that this version doesn't know");
    let record = record.record.ok_or_else(unknown)?;
    let kind = match &record {
        Record::Root(_) => Order::Root,
        Record::Entry(_) => Order::Entry,
        Record::Revision(_) => Order::Revision,
        Record::Checkpoint(_) => Order::Checkpoint,
        Record::Head(_) | Record::End(_) => return Err(Violation::new("stands in a wrong place")),
    };
    if kind < last {
        return Err(Violation::new("stands in a wrong place"));
    }
    match record {
        Record::Root(root) => bundle.roots.push(Frozen::from_pb(root)?),
        Record::Entry(entry) => bundle.entries.push(FeedEntry::from_pb(entry)?),
        Record::Revision(stored) => bundle.revisions.push(revision(stored)?),
        Record::Checkpoint(one) => bundle.checkpoint = Some(Frozen::from_pb(one)?),
        Record::Head(_) | Record::End(_) => {}
    }
    Ok(if kind == Order::Checkpoint { Order::Nothing } else { kind })
}

fn revision(stored: pb::StoredRevision) -> Result<(RevisionRef, Frozen), Violation> {
    let reference: RevisionRef = required(stored.revision, "revision")?;
    let frozen: Frozen = required(stored.frozen, "frozen")?;
    let same: Digest = frozen.digest;
    if same != reference.digest {
        return Err(Violation::new("is not the digest of the reference").at("frozen.digest"));
    }
    Ok((reference, frozen))
}

fn malformed(reason: &str) -> WireError {
    WireError::Malformed { what: WHAT, reason: reason.to_owned() }
}
