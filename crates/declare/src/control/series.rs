//! A cooling record held to a limit.

use chablon_quantity::Exact;

use super::points::Limit;

/// Why a record doesn't show that something was cooled in time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CoolingFailure {
    /// It took too long.
    TooSlow {
        /// Minutes that it took.
        took: Exact,
    },
    /// The record ends before the temperature is reached.
    NotReached,
    /// The limit is none of cooling.
    OtherLimit,
}

/// Whether a record of (minutes, degrees Celsius), in the order of time, meets a limit of cooling.
///
/// The time counts from the last reading at or above the first temperature, or from the first
/// reading where none is; what happens between two readings isn't guessed.
pub fn cools_in_time(record: &[(Exact, Exact)], limit: &Limit) -> Result<(), CoolingFailure> {
    let Limit::Cool { from, to, within, strictly } = limit else {
        return Err(CoolingFailure::OtherLimit);
    };
    let (from, to, within) = (from.exact(), to.exact(), within.exact());
    let start = record.iter().rposition(|(_, celsius)| *celsius >= from).unwrap_or(0);
    let record = record.get(start..).unwrap_or_default();
    let reached = record.iter().find(|(_, celsius)| *celsius <= to);
    let (Some((begun, _)), Some((ended, _))) = (record.first(), reached) else {
        return Err(CoolingFailure::NotReached);
    };
    let took = ended - begun;
    let in_time = if *strictly { took < within } else { took <= within };
    if in_time { Ok(()) } else { Err(CoolingFailure::TooSlow { took }) }
}
