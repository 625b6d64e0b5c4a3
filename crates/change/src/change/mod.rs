//! What changes, with its values on both sides.

mod amounts;
mod code;
mod figures;
mod method;
mod others;
mod rank;

use chablon_declare::allergens::StateChange;
use chablon_model::{
    Allergen, AllergenState, Constituent, Control, DocumentKey, EquipmentClass, ExchangeRate,
    IngredientId, LabelRegime, Labour, Language, Loss, Price, SiteId, Step, StepId, Storage, Uses,
    Yield,
};
use chablon_quantity::{Authored, DensityUnit, Exact, MassUnit, ShareUnit, TimeUnit};

use crate::Pair;

pub use amounts::{LineFigure, LineSetting, LinesChange, Makes};
pub use figures::{
    AllergenChange, ContentFigure, Cost, CostUnit, DeclaredFigure, LabelFigure, NotTold,
    StatedContent, Told, UnitFigure,
};
pub use method::{Bound, Hands, Limit, Shift};
pub use others::{Listed, Presence, SettingsChange, SiteChange, Worded};
pub use rank::Group;

/// One change: what changes and where. Shown as a sentence without a full stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// Where: the document that says otherwise, or the finished piece whose figure is another.
    pub place: DocumentKey,
    /// What.
    pub what: What,
}

/// What changes. Shown as a sentence without its place and without a full stop.
///
/// Where one side has nothing, it was added or taken away.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// A recipe has another state of allergens.
    Allergens(AllergenChange),
    /// An ingredient states allergens otherwise.
    Statement(Vec<StateChange>),
    /// A compound ingredient says less of an allergen than a constituent contains.
    Understated {
        /// The constituent.
        constituent: IngredientId,
        /// The allergen that it contains.
        allergen: Allergen,
        /// What the compound ingredient says, where that is less.
        says: Pair<Option<AllergenState>>,
    },
    /// What is in a finished piece can't be told.
    NotTold(NotTold),
    /// A critical limit; of a finished piece, one that its components bring or take away.
    Limit(Pair<Option<Box<Limit>>>),
    /// How the result is kept.
    Storage(Pair<Option<Storage>>),

    /// A step.
    Step(Pair<Option<Box<Step>>>),
    /// The order of the steps that both sides have.
    StepOrder(Pair<Vec<StepId>>),
    /// What a step says in the language that the group writes first.
    Instruction {
        /// The step.
        step: StepId,
        /// What it says.
        text: Pair<Option<String>>,
    },
    /// How long a step takes.
    StepTime {
        /// The step.
        step: StepId,
        /// Whether hands are busy.
        hands: Hands,
        /// How long.
        time: Pair<Option<Authored<TimeUnit>>>,
    },
    /// How a step's hands-on time follows what is made.
    StepLabour {
        /// The step.
        step: StepId,
        /// How it follows.
        labour: Pair<Labour>,
    },
    /// What a step occupies.
    StepEquipment {
        /// The step.
        step: StepId,
        /// What.
        equipment: Pair<Option<EquipmentClass>>,
    },
    /// What a step waits for.
    StepAfter {
        /// The step.
        step: StepId,
        /// The steps that come before it.
        after: Pair<Vec<StepId>>,
    },
    /// A control that isn't critical.
    Control {
        /// The step.
        step: StepId,
        /// The control.
        control: Pair<Option<Box<Control>>>,
    },

    /// Lines: added, removed, of another amount, replaced, split, merged, or of another mass for
    /// the same amount.
    Lines(Pair<Vec<LineFigure>>),
    /// How a line is taken.
    LineSetting {
        /// What it takes.
        uses: Pair<Uses>,
        /// Its number.
        number: Pair<usize>,
        /// What of it.
        setting: LineSetting,
    },
    /// What the 100 % weigh that shares are of.
    Base(Pair<Exact>),
    /// Mass over volume.
    Density(Pair<Option<Authored<DensityUnit>>>),
    /// The edible part of one piece of an ingredient.
    PieceMass(Pair<Option<Authored<MassUnit>>>),
    /// How much of what is purchased is edible.
    EdibleYield(Pair<Option<Authored<ShareUnit>>>),

    /// What a written batch is declared to make.
    Yield(Pair<Option<Yield>>),
    /// What a written batch makes where that follows from its lines and losses.
    Makes(Pair<Makes>),
    /// A loss.
    Loss(Pair<Option<Loss>>),
    /// A bound of a batch.
    Batch {
        /// Which.
        bound: Bound,
        /// Input mass.
        mass: Pair<Option<Authored<MassUnit>>>,
    },
    /// The equipment that bounds a batch.
    BatchEquipment(Pair<Option<EquipmentClass>>),

    /// An ingredient states its content otherwise.
    Stated(Vec<StatedContent>),
    /// A recipe is declared otherwise elsewhere, such as by an analysis.
    Declared(Vec<DeclaredFigure>),
    /// What a compound ingredient is made of.
    MadeOf(Pair<Vec<Constituent>>),
    /// How an ingredient stands in a list of ingredients.
    LabelName {
        /// In which language.
        language: Language,
        /// The name.
        name: Pair<Option<String>>,
    },
    /// What 100 g of a finished piece hold.
    Content(Vec<ContentFigure>),
    /// The figures of a finished piece's label.
    Label {
        /// The label's rules.
        regime: LabelRegime,
        /// The figures that are shown otherwise.
        figures: Vec<LabelFigure>,
    },
    /// A finished piece's list of ingredients.
    IngredientList {
        /// The label's rules.
        regime: LabelRegime,
        /// The language.
        language: Language,
        /// The list.
        text: Pair<String>,
    },

    /// The standard unit cost of a finished piece at a site.
    Cost(Cost),
    /// A price.
    Price(Pair<Option<Box<Price>>>),
    /// An exchange rate.
    Rate(Pair<Option<ExchangeRate>>),
    /// Whose price list it is.
    PricesOf(Pair<Option<SiteId>>),

    /// A whole document.
    Document(Pair<Option<Presence>>),
    /// A site.
    Site(SiteChange),
    /// The group's settings.
    Settings(SettingsChange),

    /// A step has another id and is the same for the rest.
    StepRenamed(Pair<StepId>),
    /// A text.
    Wording {
        /// Of what.
        of: Worded,
        /// In which language, where it is in one.
        language: Option<Language>,
        /// The text.
        text: Pair<Option<String>>,
    },
    /// Something stands in another order, and is the same for the rest.
    Order(Listed),
    /// It is written otherwise and means the same.
    Rewritten,
}
