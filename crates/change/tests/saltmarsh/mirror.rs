//! A change seen from the other side.

use chablon_change::{
    AllergenChange, Change, ContentFigure, Cost, DeclaredFigure, LabelFigure, LineSetting, NotTold,
    SettingsChange, SiteChange, StatedContent, What,
};
use chablon_declare::allergens::StateChange;

pub(crate) fn mirrored(change: &Change) -> Change {
    Change { place: change.place.clone(), what: what(change.what.clone()) }
}

fn what(what: What) -> What {
    match what {
        What::Allergens(AllergenChange { allergens, state, because }) => {
            let (state, because) = (state.swapped(), because.swapped());
            What::Allergens(AllergenChange { allergens, state, because })
        }
        What::Statement(changes) => {
            let swapped = |one: StateChange| StateChange {
                before: one.after,
                after: one.before,
                allergen: one.allergen,
            };
            What::Statement(changes.into_iter().map(swapped).collect())
        }
        What::Understated { constituent, allergen, says } => {
            What::Understated { constituent, allergen, says: says.swapped() }
        }
        What::NotTold(NotTold { what, why }) => What::NotTold(NotTold { what, why: why.swapped() }),
        What::Limit(limit) => What::Limit(limit.swapped()),
        What::Storage(storage) => What::Storage(storage.swapped()),
        What::Step(step) => What::Step(step.swapped()),
        What::StepOrder(order) => What::StepOrder(order.swapped()),
        What::Instruction { step, text } => What::Instruction { step, text: text.swapped() },
        What::StepTime { step, hands, time } => {
            What::StepTime { step, hands, time: time.swapped() }
        }
        What::StepLabour { step, labour } => What::StepLabour { step, labour: labour.swapped() },
        What::StepEquipment { step, equipment } => {
            What::StepEquipment { step, equipment: equipment.swapped() }
        }
        What::StepAfter { step, after } => What::StepAfter { step, after: after.swapped() },
        What::Control { step, control } => What::Control { step, control: control.swapped() },
        What::Lines(lines) => What::Lines(lines.swapped()),
        What::LineSetting { uses, number, setting } => What::LineSetting {
            uses: uses.swapped(),
            number: number.swapped(),
            setting: line_setting(setting),
        },
        What::Base(base) => What::Base(base.swapped()),
        What::Density(density) => What::Density(density.swapped()),
        What::PieceMass(mass) => What::PieceMass(mass.swapped()),
        What::EdibleYield(share) => What::EdibleYield(share.swapped()),
        What::Yield(yields) => What::Yield(yields.swapped()),
        What::Makes(makes) => What::Makes(makes.swapped()),
        What::Loss(loss) => What::Loss(loss.swapped()),
        What::Batch { bound, mass } => What::Batch { bound, mass: mass.swapped() },
        What::BatchEquipment(equipment) => What::BatchEquipment(equipment.swapped()),
        What::Stated(content) => {
            let swapped = |one: StatedContent| StatedContent { mass: one.mass.swapped(), ..one };
            What::Stated(content.into_iter().map(swapped).collect())
        }
        What::Declared(figures) => {
            let swapped =
                |one: DeclaredFigure| DeclaredFigure { figure: one.figure.swapped(), ..one };
            What::Declared(figures.into_iter().map(swapped).collect())
        }
        What::MadeOf(parts) => What::MadeOf(parts.swapped()),
        What::LabelName { language, name } => What::LabelName { language, name: name.swapped() },
        What::Content(figures) => {
            let swapped =
                |one: ContentFigure| ContentFigure { amount: one.amount.swapped(), ..one };
            What::Content(figures.into_iter().map(swapped).collect())
        }
        What::Label { regime, figures } => {
            let figures = figures.into_iter().map(label_figure).collect();
            What::Label { regime, figures }
        }
        What::IngredientList { regime, language, text } => {
            What::IngredientList { regime, language, text: text.swapped() }
        }
        What::Cost(Cost { site, unit }) => What::Cost(Cost { site, unit: unit.swapped() }),
        What::Price(price) => What::Price(price.swapped()),
        What::Rate(rate) => What::Rate(rate.swapped()),
        What::PricesOf(site) => What::PricesOf(site.swapped()),
        What::Document(presence) => What::Document(presence.swapped()),
        What::Site(change) => What::Site(site(change)),
        What::Settings(change) => What::Settings(settings(change)),
        What::StepRenamed(id) => What::StepRenamed(id.swapped()),
        What::Wording { of, language, text } => {
            What::Wording { of, language, text: text.swapped() }
        }
        What::Order(_) | What::Rewritten => what,
    }
}

fn label_figure(figure: LabelFigure) -> LabelFigure {
    LabelFigure {
        shown: figure.shown.swapped(),
        exact: figure.exact.swapped(),
        missing: figure.missing.swapped(),
        ..figure
    }
}

fn line_setting(setting: LineSetting) -> LineSetting {
    match setting {
        LineSetting::Scaling(scaling) => LineSetting::Scaling(scaling.swapped()),
        LineSetting::Base(base) => LineSetting::Base(base.swapped()),
        LineSetting::Tolerance(tolerance) => LineSetting::Tolerance(tolerance.swapped()),
        LineSetting::Step(step) => LineSetting::Step(step.swapped()),
    }
}

fn site(change: SiteChange) -> SiteChange {
    match change {
        SiteChange::Groups(groups) => SiteChange::Groups(groups.swapped()),
        SiteChange::TimeZone(zone) => SiteChange::TimeZone(zone.swapped()),
        SiteChange::Language(language) => SiteChange::Language(language.swapped()),
        SiteChange::Label(label) => SiteChange::Label(label.swapped()),
        SiteChange::Currency(currency) => SiteChange::Currency(currency.swapped()),
        SiteChange::LabourRate(rate) => SiteChange::LabourRate(rate.swapped()),
        SiteChange::Scale(scale) => SiteChange::Scale(scale.swapped()),
        SiteChange::Equipment(one) => SiteChange::Equipment(one.swapped()),
    }
}

fn settings(change: SettingsChange) -> SettingsChange {
    match change {
        SettingsChange::Currency(currency) => SettingsChange::Currency(currency.swapped()),
        SettingsChange::Languages(all) => SettingsChange::Languages(all.swapped()),
        SettingsChange::Labels(all) => SettingsChange::Labels(all.swapped()),
        SettingsChange::Control(plan) => SettingsChange::Control(Box::new(plan.swapped())),
        SettingsChange::Review(rule) => SettingsChange::Review(rule.swapped()),
    }
}
