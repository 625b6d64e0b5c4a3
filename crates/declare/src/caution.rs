//! What every result says of itself.

/// Every declaration: of allergens, content, label or ingredients.
pub const DECLARED: &str = "Computed from declared data. Check the labels of what is supplied and \
    the label that is printed; local law and licensed practice decide.";

/// Allergens.
pub const ALLERGENS: &str = "A kitchen in which an allergen is handled can carry it into anything \
    it makes; what is declared for an ingredient doesn't cover that.";

/// Water activity and all that is estimated from it.
pub const SHELF_LIFE: &str = "An estimate. How long something keeps is decided by a measurement \
    and a food-safety plan, never by this figure.";

/// Control points.
pub const FOOD_SAFETY: &str = "Published control points only, checked against what the recipe \
    states. The kitchen's approved food-safety plan, local law and licensed practice decide.";
