//! Who is on what, for programs.

use chablon_model::SiteId;
use chablon_sdk::change::departure_words;
use chablon_sdk::deviations::ByLeave;
use chablon_sdk::{Adopted, GoesBy, HowFar, Listed, StandardState, TakenBack};
use serde_json::{Value, json};

use super::SiteStandings;

/// Every standard of every site, with how far its kitchen is.
pub(crate) fn standards_json(all: &[SiteStandings]) -> Value {
    let rows = all.iter().flat_map(|one| one.rows.iter().map(|row| of_row(&one.site.id, row)));
    json!({ "standards": rows.collect::<Value>() })
}

/// What is in force by a replica. How far the hub knows its kitchen to be, the hub says.
pub(crate) fn replica_standards_json(
    site: &SiteId,
    standards: &[(&Listed, Vec<ByLeave>)],
) -> Value {
    let rows = standards.iter().map(|(listed, leaves)| of_standard(site, listed, leaves));
    json!({ "standards": rows.collect::<Value>() })
}

fn of_row(site: &SiteId, row: &Adopted) -> Value {
    let mut value = of_standard(site, &row.standard, &row.by_leave);
    value["kitchen"] = of_kitchen(row);
    value
}

fn of_standard(site: &SiteId, listed: &Listed, leaves: &[ByLeave]) -> Value {
    let (revision, since, because) = match &listed.state {
        StandardState::InForce(one) => {
            let since = one.because.as_ref().map_or(one.holds_from, |because| because.holds_from);
            (Some(one.revision.number), since, one.because.as_ref())
        }
        StandardState::Stopped(because) => (None, because.holds_from, Some(because)),
    };
    json!({
        "site": site.to_string(),
        "document": listed.document.to_string(),
        "revision": revision,
        "since_ms": since.0,
        "withdrawn": because.map(of_withdrawal),
        "by_leave": leaves.iter().map(of_leave).collect::<Value>(),
    })
}

fn of_leave(ByLeave { deviation, state, .. }: &ByLeave) -> Value {
    json!({
        "deviation": deviation.id.to_string(),
        "state": state.as_str(),
        "revision": deviation.based_on.number,
        "from_ms": deviation.from.0,
        "until_ms": deviation.until.0,
        "departures": deviation.departures.iter().map(departure_words).collect::<Vec<_>>(),
    })
}

fn of_withdrawal(TakenBack { withdrawn, reason, .. }: &TakenBack) -> Value {
    json!({ "revision": withdrawn.number, "reason": reason })
}

fn of_kitchen(row: &Adopted) -> Value {
    let stale_since = row.stale_since().map(|since| since.0);
    match &row.kitchen {
        HowFar::InUse { since } => json!({ "state": "in_use", "since_ms": since.0 }),
        HowFar::Received { since } => json!({ "state": "received", "since_ms": since.0 }),
        HowFar::Refused { since, reason } => {
            json!({ "state": "refused", "since_ms": since.0, "reason": reason })
        }
        HowFar::Behind { by, .. } => {
            json!({ "state": "behind", "goes_by": goes_by(*by), "stale_since_ms": stale_since })
        }
    }
}

/// A revision's number, `"make_none"`, or nothing where the kitchen has nothing of it.
fn goes_by(by: GoesBy) -> Value {
    match by {
        GoesBy::Revision(number) => json!(number),
        GoesBy::MakeNone => json!("make_none"),
        GoesBy::Nothing => Value::Null,
    }
}
