//! Recipes: lines, losses, steps, yield.

use chablon_quantity::{
    Authored, CountUnit, DensityUnit, MassUnit, Number, ShareUnit, TemperatureUnit, TimeUnit,
    VolumeUnit,
};

use crate::ingredient::named;
use crate::{
    Content, EquipmentClass, IngredientId, Outline, RecipeId, ShapeAmount, SheetYield, StepId, Text,
};

/// A recipe; a component is a recipe that another uses.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recipe {
    /// The id.
    pub id: RecipeId,
    /// The title by language.
    pub title: Text,
    /// Mass over volume of what it makes, needed where another recipe uses it by volume.
    pub density: Option<Authored<DensityUnit>>,
    /// For people.
    pub note: Option<String>,
    /// What one written batch makes; where unstated, what the losses leave.
    pub yields: Option<Yield>,
    /// Bounds of a batch.
    pub batch: Batch,
    /// What goes in, in the written order.
    pub lines: Vec<Line>,
    /// What is lost on the way, in order.
    pub losses: Vec<Loss>,
    /// What is done.
    pub steps: Vec<Step>,
    /// How the result is kept.
    pub storage: Option<Storage>,
    /// What is declared elsewhere of 100 g of it, which is held to what is computed.
    pub declared: DeclaredContent,
}

/// What an analysis or a label in print says of 100 g of what is finished. Nothing is computed
/// from it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DeclaredContent {
    /// Mass per 100 g.
    pub content: Content,
    /// Kilojoules per 100 g.
    pub energy_kj: Option<Number>,
    /// Kilocalories per 100 g.
    pub energy_kcal: Option<Number>,
}

impl DeclaredContent {
    /// Whether nothing is declared.
    pub fn is_empty(&self) -> bool {
        self.content.0.is_empty() && self.energy_kj.is_none() && self.energy_kcal.is_none()
    }
}

/// What one written batch makes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Yield {
    /// A mass.
    Mass(Authored<MassUnit>),
    /// Pieces, of a declared net mass or of what the losses leave.
    Pieces {
        /// How many.
        count: Authored<CountUnit>,
        /// The net mass of one.
        piece_mass: Option<Authored<MassUnit>>,
        /// What one takes of a tray, where that is stated.
        outline: Option<Outline>,
    },
    /// As many pieces as sheets give.
    Sheet(Box<SheetYield>),
}

/// Bounds of a batch's input mass.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Batch {
    /// The most that is made at once.
    pub max: Option<Authored<MassUnit>>,
    /// The least that turns out well.
    pub min: Option<Authored<MassUnit>>,
    /// The equipment whose capacity at a site bounds a batch.
    pub equipment: Option<EquipmentClass>,
}

/// What a line takes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Uses {
    /// Something bought.
    Ingredient(IngredientId),
    /// Another recipe.
    Component(RecipeId),
}

impl Uses {
    /// The id, whichever kind it is.
    pub fn id(&self) -> &str {
        match self {
            Self::Ingredient(id) => id.as_str(),
            Self::Component(id) => id.as_str(),
        }
    }
}

/// How much of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Amount {
    /// A mass.
    Mass(Authored<MassUnit>),
    /// A volume, weighed by density.
    Volume(Authored<VolumeUnit>),
    /// Pieces, weighed by piece mass.
    Count(Authored<CountUnit>),
    /// A share of the sum of the base lines.
    Share(Authored<ShareUnit>),
    /// A volume by its sizes, weighed by density.
    Shape(Box<ShapeAmount>),
    /// As the cook tastes: weighs nothing, and is flagged.
    ToTaste,
}

named!(
    /// How a line follows the size of a batch.
    Scaling {
        /// In proportion.
        Proportional "proportional",
        /// A fixed amount for every batch.
        PerBatch "per-batch",
        /// In proportion, but ordered in whole pieces.
        Whole "whole",
    }
);

/// One line of a recipe.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// What it takes.
    pub uses: Uses,
    /// How much.
    pub amount: Amount,
    /// Whether it is in the 100 % of shares.
    pub base: bool,
    /// How it follows the batch.
    pub scaling: Scaling,
    /// How far a weighed amount may be off; 2 % where unstated.
    pub tolerance: Option<Authored<ShareUnit>>,
    /// The step that uses it.
    pub step: Option<StepId>,
}

named!(
    /// What leaves at a stage.
    LossKind {
        /// Water alone: boiling, baking.
        Water "water",
        /// The mix itself: trimming, transfer.
        Whole "whole",
    }
);

/// Something that is lost on the way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Loss {
    /// A fraction of the mass at a stage.
    Stage {
        /// What the stage is called.
        stage: Option<String>,
        /// What leaves.
        kind: LossKind,
        /// Which part of the mass.
        fraction: Authored<ShareUnit>,
    },
    /// A mass per batch that stays behind in bowl and bag.
    Residue {
        /// Where it stays, for people.
        stage: Option<String>,
        /// How much of every batch.
        mass: Authored<MassUnit>,
    },
}

named!(
    /// How a step's hands-on time follows what is made.
    Labour {
        /// Once a batch.
        PerBatch "per-batch",
        /// Once a piece.
        PerPiece "per-piece",
        /// In proportion to the amount.
        WithMass "with-mass",
    }
);

/// One step of the method.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The id, unique within the recipe.
    pub id: StepId,
    /// What to do, by language.
    pub text: Text,
    /// Time in which hands are busy.
    pub active: Option<Authored<TimeUnit>>,
    /// Time in which nobody is needed.
    pub passive: Option<Authored<TimeUnit>>,
    /// How the hands-on time follows what is made.
    pub labour: Labour,
    /// The equipment it occupies.
    pub equipment: Option<EquipmentClass>,
    /// The steps it waits for; where unstated, the one above.
    pub after: Option<Vec<StepId>>,
    /// What is watched during it.
    pub controls: Vec<Control>,
}

named!(
    /// What a control watches.
    Measure {
        /// A temperature.
        Temperature "temperature",
        /// A time.
        Time "time",
        /// A mass.
        Mass "mass",
        /// Something seen, smelt or felt.
        Observation "observation",
    }
);

/// A set point in the dimension of its control.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SetPoint {
    /// A temperature.
    Temperature(Authored<TemperatureUnit>),
    /// A time.
    Time(Authored<TimeUnit>),
    /// A mass.
    Mass(Authored<MassUnit>),
    /// Words.
    Observation(String),
}

impl SetPoint {
    /// The measure that this set point belongs to.
    pub fn measure(&self) -> Measure {
        match self {
            Self::Temperature(_) => Measure::Temperature,
            Self::Time(_) => Measure::Time,
            Self::Mass(_) => Measure::Mass,
            Self::Observation(_) => Measure::Observation,
        }
    }
}

/// Something watched during a step, with its limits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Control {
    /// What is watched; every set point is of this measure.
    pub measure: Measure,
    /// What to aim at.
    pub target: Option<SetPoint>,
    /// The lowest that is right. Never an observation.
    pub min: Option<SetPoint>,
    /// The highest that is right. Never an observation.
    pub max: Option<SetPoint>,
    /// Whether it is a food-safety limit.
    pub critical: bool,
}

named!(
    /// Where something is kept.
    Condition {
        /// At room temperature.
        Ambient "ambient",
        /// In the refrigerator.
        Chilled "chilled",
        /// In the freezer.
        Frozen "frozen",
    }
);

/// How a result is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Storage {
    /// Where.
    pub condition: Condition,
    /// How long.
    pub keeps: Option<Authored<TimeUnit>>,
}
