//! The conversions between model and schema: equal both ways, and closed to what breaks a rule.

mod hostile;
#[expect(clippy::unnecessary_wraps, reason = "message fields are options in the generated types")]
mod refusals;
mod round_trip;
mod schema;
mod values;
