//! The published sources of tables and rules, as a result and a refusal name them.

/// Boiling points by strength.
pub(crate) const BOILING: &str =
    "boiling point elevation of sucrose solutions (Brown 1912), tabulated, at sea level";
/// Strength at saturation by temperature.
pub(crate) const SATURATION: &str =
    "sucrose solubility and saturated density by temperature, tabulated";
/// Stages of cooked sugar by temperature.
pub(crate) const STAGES: &str = "McGee, On Food and Cooking: sugar stages";
/// Boiling points by altitude.
pub(crate) const ALTITUDE: &str =
    "New Mexico State University Guide E-215, pressure and boiling facts by altitude";
/// The proportional rule for gelatine.
pub(crate) const BLOOM_PROPORTIONAL: &str =
    "gelatin conversion factors (linear rule) and sheet weights, tabulated";
/// The square root rule for gelatine.
pub(crate) const BLOOM_SQUARE_ROOT: &str = "gelatin conversion table by Bloom (square-root rule)";
