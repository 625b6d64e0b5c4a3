//! Single figures, and what they rest on.

use std::collections::BTreeSet;

use chablon_arith::RULES_VERSION;
use chablon_exchange::{Caution, Laid};
use chablon_model::Digest;
use chablon_quantity::{Currency, Exact};
use chablon_wire::pb::ErrorReason;
use chablon_wire::{Wire, pb};
use tonic::Code;

use crate::status::Refusal;

/// A figure, exact and rounded once to this many decimals.
fn figure(exact: &Exact, decimals: u32) -> pb::Figure {
    pb::Figure { exact: exact.to_string(), rounded: exact.round(decimals).to_string() }
}

/// Grams.
pub(super) fn grams(exact: &Exact) -> pb::Figure {
    figure(exact, 3)
}

/// Kilojoules or kilocalories.
pub(super) fn energy_figure(exact: &Exact) -> pb::Figure {
    figure(exact, 3)
}

/// Seconds.
pub(super) fn seconds(exact: &Exact) -> pb::Figure {
    figure(exact, 3)
}

/// Pieces.
pub(super) fn pieces(exact: &Exact) -> pb::Figure {
    figure(exact, 3)
}

/// A factor.
pub(super) fn factor(exact: &Exact) -> pb::Figure {
    figure(exact, 6)
}

/// Percent.
pub(super) fn percent(exact: &Exact) -> pb::Figure {
    figure(exact, 2)
}

/// What one of something costs.
pub(super) fn unit_cost(exact: &Exact) -> pb::Figure {
    figure(exact, 4)
}

/// A total in a currency.
pub(super) fn total(exact: &Exact, currency: Currency) -> pb::Figure {
    figure(exact, currency.minor_decimals())
}

/// A whole number that somebody has to count to.
pub(super) fn counted(number: &Exact, what: &str) -> Result<u64, Refusal> {
    number.to_u64().ok_or_else(|| {
        let message = format!("{number} {what} are too many; ask for less");
        Refusal::new(Code::FailedPrecondition, ErrorReason::NotComputable, message)
    })
}

/// What figures were computed from.
pub(super) fn basis(digests: &BTreeSet<Digest>, replica: Option<pb::ReplicaState>) -> pb::Basis {
    pb::Basis {
        digests: digests.iter().map(Wire::to_pb).collect(),
        rules_version: RULES_VERSION.parse().expect("the version of the rules is a number"),
        replica,
    }
}

/// The deviations that lie over a standard.
pub(super) fn laid(deviations: Vec<Laid>) -> Vec<pb::LaidDeviation> {
    let each = |laid: Laid| pb::LaidDeviation {
        deviation_id: laid.id.to_string(),
        recipe: laid.recipe.to_string(),
        departures: laid.departures,
        falls_away_ms: laid.until.0,
        granted_by: laid.by,
        note: laid.note.unwrap_or_default(),
    };
    deviations.into_iter().map(each).collect()
}

/// What the kitchen must be told.
pub(super) fn told(cautions: &[Caution]) -> Vec<pb::Caution> {
    let each = |one: &Caution| pb::Caution { code: one.code().to_owned(), text: one.to_string() };
    cautions.iter().map(each).collect()
}
