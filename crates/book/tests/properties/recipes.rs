//! Any recipe that reads without an error.

use chablon_model::{
    Amount, Batch, Condition, Content, Control, DeclaredContent, Labour, Language, Line, Loss,
    LossKind, Measure, Nutrient, Recipe, Scaling, SetPoint, Step, Storage, Uses, Yield,
};
use chablon_quantity::{Authored, MassUnit, Number, TemperatureUnit, TimeUnit};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};

use crate::documents::{OF_EACH, nth, text, words};
use crate::quantities::{any_of, mass_volume_or_count, share, whole};
use crate::shapes::{outline, shape_amount, sheet_yield};

/// A recipe of this number; it uses those with smaller ones.
pub(crate) fn recipe(
    index: usize,
    languages: &[Language],
) -> impl Strategy<Value = Recipe> + use<> {
    let languages = languages.to_vec();
    (0_usize..4).prop_flat_map(move |steps| {
        let head = (text(&languages), option::of(any_of()), option::of(words()));
        // Boxed, since trees of strategies stand on a test's small stack.
        let made =
            (option::of(yields()).boxed(), batch().boxed(), option::of(storage()), declared());
        let all_steps: Vec<_> = (0..steps).map(|step| self::step(step, &languages)).collect();
        (head, made, lines(index, steps).boxed(), vec(loss(), 0..3), all_steps).prop_map(
            move |(
                (title, density, note),
                (yields, batch, storage, declared),
                lines,
                losses,
                steps,
            )| {
                Recipe {
                    id: nth("recipe", index),
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
            },
        )
    })
}

fn yields() -> BoxedStrategy<Yield> {
    let pieces = (any_of(), option::of(any_of()), option::of(outline()))
        .prop_map(|(count, piece_mass, outline)| Yield::Pieces { count, piece_mass, outline });
    let sheet = sheet_yield().prop_map(|made| Yield::Sheet(Box::new(made)));
    prop_oneof![any_of().prop_map(Yield::Mass), pieces, sheet].boxed()
}

fn batch() -> impl Strategy<Value = Batch> {
    let bounds = (
        option::of(whole(MassUnit::Kilogram, 1..=60)),
        option::of(whole(MassUnit::Gram, 1..=1000)),
    );
    let equipment = option::of((0..3_usize).prop_map(|index| nth("class", index)));
    (bounds, equipment).prop_map(|((max, min), equipment)| Batch { max, min, equipment })
}

/// Little enough of each to fit into 100 g.
fn declared() -> BoxedStrategy<DeclaredContent> {
    let grams = || option::of(whole(MassUnit::Gram, 0..=12));
    let energy = || option::of((1..4000_i64).prop_map(Number::whole));
    (grams(), grams(), energy(), energy())
        .prop_map(|(fat, protein, energy_kj, energy_kcal)| {
            let fat = fat.map(|mass| (Nutrient::Fat, mass));
            let protein = protein.map(|mass| (Nutrient::Protein, mass));
            let content = Content(fat.into_iter().chain(protein).collect());
            DeclaredContent { content, energy_kj, energy_kcal }
        })
        .boxed()
}

fn storage() -> impl Strategy<Value = Storage> {
    (select(Condition::ALL), option::of(any_of()))
        .prop_map(|(condition, keeps)| Storage { condition, keeps })
}

/// The first line is a base, so that the others may be shares.
fn lines(recipe: usize, steps: usize) -> impl Strategy<Value = Vec<Line>> {
    let base = (line(recipe, steps), any_of()).prop_map(|(line, mass)| Line {
        amount: Amount::Mass(mass),
        base: true,
        ..line
    });
    (base, vec(line(recipe, steps), 0..4))
        .prop_map(|(base, others)| std::iter::once(base).chain(others).collect())
}

fn line(recipe: usize, steps: usize) -> impl Strategy<Value = Line> {
    let component = (0..recipe.max(1)).prop_map(|index| Uses::Component(nth("recipe", index)));
    let ingredient = (0..OF_EACH).prop_map(|index| Uses::Ingredient(nth("ingredient", index)));
    let uses =
        if recipe == 0 { ingredient.boxed() } else { prop_oneof![ingredient, component].boxed() };
    let step = (0..steps.max(1)).prop_map(move |index| (steps > 0).then(|| nth("step", index)));
    let step = option::of(step).prop_map(Option::flatten);
    (uses, amount(), any::<bool>(), select(Scaling::ALL), option::of(share(100)), step).prop_map(
        |(uses, amount, base, scaling, tolerance, step)| {
            let weighed = !matches!(amount, Amount::Share(_) | Amount::ToTaste);
            Line { uses, amount, base: base && weighed, scaling, tolerance, step }
        },
    )
}

fn amount() -> impl Strategy<Value = Amount> {
    prop_oneof![
        mass_volume_or_count(Amount::Mass, Amount::Volume, Amount::Count),
        share(200).prop_map(Amount::Share),
        shape_amount().prop_map(|shape| Amount::Shape(Box::new(shape))),
        Just(Amount::ToTaste),
    ]
}

fn loss() -> impl Strategy<Value = Loss> {
    let stage = (option::of(words()), select(LossKind::ALL), share(99))
        .prop_map(|(stage, kind, fraction)| Loss::Stage { stage, kind, fraction });
    let residue =
        (option::of(words()), any_of()).prop_map(|(stage, mass)| Loss::Residue { stage, mass });
    prop_oneof![stage, residue]
}

/// A step of this number; it waits for those with smaller ones.
fn step(index: usize, languages: &[Language]) -> impl Strategy<Value = Step> + use<> {
    let earlier: Vec<usize> = (0..index).collect();
    let after = option::of(subsequence(earlier, 0..=index));
    let times = (option::of(any_of()), option::of(any_of()), select(Labour::ALL));
    let equipment = option::of((0..3_usize).prop_map(|index| nth("class", index)));
    (text(languages), times, equipment, after, vec(control(), 0..3)).prop_map(
        move |(text, (active, passive, labour), equipment, after, controls)| Step {
            id: nth("step", index),
            text,
            active,
            passive,
            labour,
            equipment,
            after: after.map(|steps| steps.into_iter().map(|step| nth("step", step)).collect()),
            controls,
        },
    )
}

fn control() -> impl Strategy<Value = Control> {
    let observed = (words(), any::<bool>()).prop_map(|(words, critical)| Control {
        measure: Measure::Observation,
        target: Some(SetPoint::Observation(words)),
        min: None,
        max: None,
        critical,
    });
    prop_oneof![
        observed,
        measured(-40..=300, |degrees| SetPoint::Temperature(Authored::new(
            degrees,
            TemperatureUnit::Fahrenheit
        ))),
        measured(0..=300, |minutes| SetPoint::Time(Authored::new(minutes, TimeUnit::Minute))),
        measured(0..=300, |grams| SetPoint::Mass(Authored::new(grams, MassUnit::Gram))),
    ]
}

/// Set points in order, one of them at least.
fn measured(
    range: std::ops::RangeInclusive<i64>,
    point: fn(Number) -> SetPoint,
) -> impl Strategy<Value = Control> {
    let stated = select(vec![[true, true, true], [true, false, false], [false, true, true]]);
    ([range.clone(), range.clone(), range], stated, any::<bool>()).prop_map(
        move |(mut sizes, stated, critical)| {
            sizes.sort_unstable();
            let at = |index: usize| stated[index].then(|| point(Number::whole(sizes[index])));
            let (min, target, max) = (at(0), at(1), at(2));
            let measure = point(Number::whole(0)).measure();
            Control { measure, target, min, max, critical }
        },
    )
}
