//! The log of changes.

use chablon_sdk::AuditRecord;

use super::listing::paragraph;
use crate::clock;

/// Who did what, the newest first.
pub(crate) fn audit(records: &[AuditRecord], width: usize) -> String {
    records.iter().map(|record| paragraph(&told(record), 0, width)).collect()
}

/// `2026-10-01 09:30 Imogen Vale (chef): withdraw recipe/honey-bavarois 3: too soft`
fn told(record: &AuditRecord) -> String {
    let AuditRecord { by, role, act, subject, detail, .. } = record;
    // A name without a role is one that nobody has checked.
    let who = role.map_or_else(|| by.clone(), |role| format!("{by} ({role})"));
    // What it was done to names its kind already: `draft/less-honey`.
    let verb = act.split('-').next().unwrap_or(act);
    let said = if detail.is_empty() { String::new() } else { format!(": {detail}") };
    format!("{} {who}: {verb} {subject}{said}", clock::show(record.at))
}
