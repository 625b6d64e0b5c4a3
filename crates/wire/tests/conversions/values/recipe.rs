//! Arbitrary recipes.

use chablon_model::{
    Amount, Batch, Condition, Control, DeclaredContent, Labour, Line, Loss, LossKind, Measure,
    Recipe, Scaling, SetPoint, Step, StepId, Storage, Uses, Yield,
};
use chablon_quantity::{MassUnit, TemperatureUnit};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};

use super::document::content;
use super::quantity::{any_of, ascending, density, lost, mass, positive, reading};
use super::shape::{outline, shape_amount, sheet_yield};
use super::{distinct, id, text, words};

pub(crate) fn recipe() -> BoxedStrategy<Recipe> {
    distinct(id(), 4)
        .prop_flat_map(|steps| {
            let head = (id(), text(1), option::of(density()), option::of(words()));
            let size = (option::of(yields()), batch());
            let lines = vec(line(&steps), 1..6);
            let rest = (vec(loss(), 0..4), all_steps(&steps), option::of(storage()), declared());
            (head, size, lines, rest)
                .prop_map(|((id, title, density, note), (yields, batch), lines, rest)| {
                    let (losses, steps, storage, declared) = rest;
                    Recipe {
                        id,
                        title,
                        density,
                        note,
                        yields,
                        batch,
                        lines,
                        losses,
                        steps,
                        storage,
                        declared,
                    }
                })
                .prop_filter("not of itself", |recipe| {
                    recipe.lines.iter().all(|line| line.uses != Uses::Component(recipe.id.clone()))
                })
        })
        .boxed()
}

fn declared() -> impl Strategy<Value = DeclaredContent> {
    let energy = || option::of(positive::<MassUnit>().prop_map(|mass| mass.number));
    (content(), energy(), energy()).prop_map(|(content, energy_kj, energy_kcal)| DeclaredContent {
        content,
        energy_kj,
        energy_kcal,
    })
}

fn yields() -> impl Strategy<Value = Yield> {
    prop_oneof![
        mass().prop_map(Yield::Mass),
        (positive(), option::of(mass()), option::of(outline()))
            .prop_map(|(count, piece_mass, outline)| Yield::Pieces { count, piece_mass, outline }),
        sheet_yield().prop_map(|sheet| Yield::Sheet(Box::new(sheet))),
    ]
}

fn batch() -> BoxedStrategy<Batch> {
    (ascending(mass()), option::of(id()))
        .prop_map(|([min, max, _], equipment)| Batch { max, min, equipment })
        .boxed()
}

pub(crate) fn uses() -> impl Strategy<Value = Uses> {
    prop_oneof![id().prop_map(Uses::Ingredient), id().prop_map(Uses::Component)]
}

/// An amount that isn't a share.
pub(crate) fn fixed() -> impl Strategy<Value = Amount> {
    prop_oneof![
        mass().prop_map(Amount::Mass),
        positive().prop_map(Amount::Volume),
        positive().prop_map(Amount::Count),
        shape_amount().prop_map(|shape| Amount::Shape(Box::new(shape))),
        Just(Amount::ToTaste),
    ]
}

fn line(steps: &[StepId]) -> BoxedStrategy<Line> {
    let amount =
        prop_oneof![(fixed(), any::<bool>()), (positive().prop_map(Amount::Share), Just(false)),];
    let step = subsequence(steps.to_vec(), 0..=steps.len().min(1)).prop_map(|mut some| some.pop());
    (uses(), amount, select(Scaling::ALL), option::of(any_of()), step)
        .prop_map(|(uses, (amount, base), scaling, tolerance, step)| Line {
            uses,
            amount,
            base,
            scaling,
            tolerance,
            step,
        })
        .boxed()
}

fn loss() -> BoxedStrategy<Loss> {
    prop_oneof![
        (option::of(words()), select(LossKind::ALL), lost())
            .prop_map(|(stage, kind, fraction)| Loss::Stage { stage, kind, fraction }),
        (option::of(words()), any_of()).prop_map(|(stage, mass)| Loss::Residue { stage, mass }),
    ]
    .boxed()
}

/// A step for each id; each waits for some of those above it.
fn all_steps(ids: &[StepId]) -> impl Strategy<Value = Vec<Step>> + use<> {
    let step = |index: usize| {
        let above = ids[..index].to_vec();
        let after = subsequence(above, 0..=index).prop_shuffle();
        step(ids[index].clone(), option::of(after))
    };
    (0..ids.len()).map(step).collect::<Vec<_>>()
}

fn step(
    id: StepId,
    after: impl Strategy<Value = Option<Vec<StepId>>> + 'static,
) -> BoxedStrategy<Step> {
    let times = (option::of(any_of()), option::of(any_of()));
    let rest = (select(Labour::ALL), option::of(super::id()), vec(control(), 0..3));
    (text(1), times, rest, after)
        .prop_map(move |(text, (active, passive), (labour, equipment, controls), after)| Step {
            id: id.clone(),
            text,
            active,
            passive,
            labour,
            equipment,
            after,
            controls,
        })
        .boxed()
}

pub(crate) fn control() -> BoxedStrategy<Control> {
    let temperature = ascending(reading::<TemperatureUnit>())
        .prop_map(|points| (Measure::Temperature, points.map(|p| p.map(SetPoint::Temperature))));
    let time = ascending(any_of())
        .prop_map(|points| (Measure::Time, points.map(|p| p.map(SetPoint::Time))));
    let mass = ascending(any_of())
        .prop_map(|points| (Measure::Mass, points.map(|p| p.map(SetPoint::Mass))));
    let observation = option::of(words())
        .prop_map(|target| (Measure::Observation, [None, target.map(SetPoint::Observation), None]));
    (prop_oneof![temperature, time, mass, observation], any::<bool>())
        .prop_map(|((measure, [min, target, max]), critical)| Control {
            measure,
            target,
            min,
            max,
            critical,
        })
        .boxed()
}

fn storage() -> impl Strategy<Value = Storage> {
    (select(Condition::ALL), option::of(positive()))
        .prop_map(|(condition, keeps)| Storage { condition, keeps })
}
