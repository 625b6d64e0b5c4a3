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

/// What a change says of critical limits and storage.
pub const LIMITS: &str = "A limit here is the one that the recipe states. The kitchen's approved \
    food-safety plan, local law and licensed practice decide.";

/// A change by which a kitchen leaves a group.
pub const LEAVING: &str = "A kitchen that leaves a group no longer sees what addressed that group \
    alone. What was withdrawn from the group and released to more is in force there again, unless it \
    is withdrawn from the kitchen, too, or from everybody.";

/// One of these in French; any other as it is.
pub fn in_french(caution: &str) -> &str {
    match caution {
        DECLARED => {
            "Calculé d'après les déclarations. Vérifier les étiquettes des produits livrés et celle \
             qui est imprimée ; le droit local et la pratique agréée l'emportent."
        }
        ALLERGENS => {
            "Une cuisine où l'on travaille un allergène peut en porter des traces dans tout ce qu'elle \
             fait ; ce qui est déclaré pour un ingrédient ne couvre pas cela."
        }
        SHELF_LIFE => {
            "Une estimation. La durée de conservation se décide par une mesure et un plan de \
             maîtrise sanitaire, jamais par ce chiffre."
        }
        FOOD_SAFETY => {
            "Seulement les limites publiées, comparées à ce que dit la recette. Le plan de maîtrise \
             sanitaire agréé de la cuisine, le droit local et la pratique agréée l'emportent."
        }
        LIMITS => {
            "Une limite indiquée ici est celle de la recette. Le plan de maîtrise sanitaire agréé de la \
             cuisine, le droit local et la pratique agréée l'emportent."
        }
        LEAVING => {
            "Une cuisine qui quitte un groupe ne voit plus ce qui s'adressait à ce seul groupe. Ce qui y \
             était retiré, mais publié plus largement, est de nouveau en vigueur chez elle, sauf à le \
             retirer aussi pour cette cuisine, ou pour toutes."
        }
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_caution_is_said_in_french_too() {
        for caution in [DECLARED, ALLERGENS, SHELF_LIFE, FOOD_SAFETY, LIMITS, LEAVING] {
            assert_ne!(in_french(caution), caution);
        }
    }
}
