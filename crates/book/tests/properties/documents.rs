//! Any book that reads without an error, its documents referring to each other.

use std::collections::BTreeMap;
use std::num::NonZeroU32;

use chablon_book::AuthoredBook;
use chablon_model::{
    Allergen, AllergenState, Book, BoundKind, Constituent, Content, ControlBound, ControlRole,
    ControlSettings, Day, Detail, Details, Equipment, ExchangeRate, Ingredient, Jurisdiction,
    LabelRegime, Language, Load, Nutrient, OwnLimit, Pack, Price, PriceList, ReviewRule, Reviewer,
    Scale, Site, Text, Tray,
};
use chablon_quantity::{Authored, MassUnit, TemperatureUnit, TimeUnit};
use proptest::collection::{btree_map, vec};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};

use crate::quantities::{any_of, hourly_rate, mass_volume_or_count, money, number, share, whole};
use crate::recipes::recipe;
use crate::shapes::sheet_yield;

/// How many ingredients and recipes a book has.
pub(crate) const OF_EACH: usize = 3;

/// The id of one of several.
pub(crate) fn nth<T: std::str::FromStr<Err: std::fmt::Debug>>(stem: &str, index: usize) -> T {
    format!("{stem}-{index}").parse().unwrap()
}

/// A text that says something, however odd its letters.
pub(crate) fn words() -> BoxedStrategy<String> {
    let odd = select(vec![
        "\"quoted\" and 'quoted'",
        "back\\slash",
        "two\nlines",
        "\r\n\ttabs\r",
        "'''\"\"\"",
        "\u{0}\u{1b}[31m\u{7f}",
        " # no comment ",
        "Œuf « 35 % »",
    ]);
    prop_oneof![odd.prop_map(str::to_owned), "\\PC{0,12}x", "x[\\s\"'\\\\]{0,6}"].boxed()
}

fn languages() -> BoxedStrategy<Vec<Language>> {
    let orders = vec![vec!["en"], vec!["en", "fr"], vec!["fr", "en", "deu"]];
    let parse = |codes: Vec<&str>| codes.into_iter().map(|code| code.parse().unwrap()).collect();
    select(orders).prop_map(parse).boxed()
}

/// A text with a wording in the fallback at least.
pub(crate) fn text(languages: &[Language]) -> BoxedStrategy<Text> {
    let (fallback, others) = languages.split_first().unwrap();
    let others = subsequence(others.to_vec(), 0..=others.len());
    let chosen = (Just(fallback.clone()), others)
        .prop_map(|(fallback, others)| std::iter::once(fallback).chain(others).collect::<Vec<_>>());
    let worded = chosen.prop_flat_map(|languages| {
        vec(words(), languages.len()).prop_map(move |words| {
            Text(languages.iter().cloned().zip(words).collect::<BTreeMap<_, _>>())
        })
    });
    worded.boxed()
}

/// A whole book.
pub(crate) fn book() -> BoxedStrategy<AuthoredBook> {
    languages().prop_flat_map(|languages| book_in(&languages)).boxed()
}

fn book_in(languages: &[Language]) -> impl Strategy<Value = AuthoredBook> + use<> {
    let ingredients: Vec<_> = (0..OF_EACH).map(|index| ingredient(index, languages)).collect();
    let recipes: Vec<_> = (0..OF_EACH).map(|index| recipe(index, languages)).collect();
    let parts = (
        settings(languages),
        ingredients,
        recipes,
        site(languages),
        vec(price_list(), 1).prop_map(|lists| lists.into_iter().collect()),
    );
    parts.prop_map(|(settings, ingredients, recipes, site, price_lists)| AuthoredBook {
        settings,
        ingredients,
        recipes,
        sites: vec![site],
        price_lists,
    })
}

fn settings(languages: &[Language]) -> impl Strategy<Value = Book> + use<> {
    let languages = languages.to_vec();
    let labels = subsequence(LabelRegime::ALL.to_vec(), 0..=2);
    let parts = (words(), "[A-Z]{3}", labels, option::of(review()), control());
    parts.prop_map(move |(name, currency, labels, review, control)| Book {
        name,
        currency: currency.parse().unwrap(),
        languages: languages.clone(),
        labels,
        review,
        control,
    })
}

fn review() -> impl Strategy<Value = ReviewRule> {
    let by = subsequence(Reviewer::ALL.to_vec(), 1..=2).prop_shuffle();
    (0..=9u32, 0..=9u32, 0..=9u32, 0..=9u32, by, any::<bool>()).prop_map(
        |(safety, recipe, cost, text, by, direct)| ReviewRule {
            safety,
            recipe,
            cost,
            text,
            by,
            direct,
        },
    )
}

/// A plan with any of the limits, which cool from 60 °C and above to 20 °C and below.
fn control() -> impl Strategy<Value = ControlSettings> {
    let hot = || whole(TemperatureUnit::Celsius, 60..=99);
    let cold = || whole(TemperatureUnit::Celsius, 0..=20);
    let figures = (hot(), cold(), whole(TimeUnit::Minute, 1..=600), words());
    let limits = vec(figures, ControlRole::ALL.len());
    let roles = subsequence(ControlRole::ALL.to_vec(), 0..=ControlRole::ALL.len());
    let exempt = btree_map((0..OF_EACH).prop_map(|at| nth("recipe", at)), words(), 0..3);
    (option::of(select(Jurisdiction::ALL)), roles, limits, exempt).prop_map(
        |(published, roles, limits, exempt)| {
            let own = |(role, (hot, cold, time, reason)): (ControlRole, _)| {
                (role, OwnLimit { bound: bound(role, hot, cold, time), reason })
            };
            let limits = roles.into_iter().zip(limits).map(own).collect();
            ControlSettings { published, limits, exempt }
        },
    )
}

fn bound(
    role: ControlRole,
    hot: Authored<TemperatureUnit>,
    cold: Authored<TemperatureUnit>,
    time: Authored<TimeUnit>,
) -> ControlBound {
    match role.kind() {
        BoundKind::AtMost => ControlBound::AtMost(cold),
        BoundKind::AtLeast => ControlBound::AtLeast(hot),
        BoundKind::Within => ControlBound::Within(time),
        BoundKind::Heat => ControlBound::Heat { at_least: hot, held: time },
        BoundKind::Cool => ControlBound::Cool { from: hot, to: cold, within: time },
    }
}

fn ingredient(index: usize, languages: &[Language]) -> impl Strategy<Value = Ingredient> + use<> {
    let names = (text(languages), option::of(text(languages)), option::of(words()));
    let figures = (
        option::of(any_of()),
        option::of(any_of()),
        option::of(share(100)),
        option::of(select(AllergenState::ALL)),
    );
    (names, figures, allergens(), content(), made_of(index)).prop_map(
        move |((name, label, note), figures, allergens, (content, details), made_of)| Ingredient {
            id: nth("ingredient", index),
            name,
            label_name: label.unwrap_or_default(),
            density: figures.0,
            piece_mass: figures.1,
            edible_yield: figures.2,
            allergens,
            other_allergens: figures.3,
            content,
            details,
            made_of,
            note,
        },
    )
}

fn allergens() -> impl Strategy<Value = BTreeMap<Allergen, AllergenState>> {
    let code = select(Allergen::codes()).prop_map(|code| code.parse().unwrap());
    btree_map(code, select(AllergenState::ALL), 0..4)
}

/// Each of the parts is at most half of what it is a part of, and all come to 98 g at most.
fn content() -> impl Strategy<Value = (Content, Details)> {
    let stated = subsequence(Nutrient::ALL.to_vec(), 0..=Nutrient::ALL.len());
    let masses = (
        vec(whole(MassUnit::Gram, 10..=14), Nutrient::ALL.len()),
        vec(whole(MassUnit::Milligram, 0..=5000), Nutrient::ALL.len()),
    );
    (stated, masses).prop_map(|(stated, (wholes, parts))| {
        let mass = |(index, nutrient): (usize, Nutrient)| {
            let part =
                matches!(nutrient, Nutrient::Saturates | Nutrient::Sugars | Nutrient::Polyols);
            (nutrient, if part { parts[index] } else { wholes[index] })
        };
        let content = Content(stated.into_iter().enumerate().map(mass).collect());
        let details = details(&content);
        (content, details)
    })
}

/// Of what is stated, a part more closely.
fn details(content: &Content) -> Details {
    let stated = Detail::ALL.iter().filter_map(|detail| {
        let whole = content.0.get(&detail.part_of()?)?;
        // One alone of each, so that no sum goes beyond the whole.
        let first = matches!(detail, Detail::Lactose | Detail::Sorbitol | Detail::MilkFat);
        first.then_some((*detail, *whole))
    });
    Details(stated.collect())
}

/// Of ingredients with a smaller number, so that none is made of itself.
fn made_of(index: usize) -> impl Strategy<Value = Vec<Constituent>> {
    let of: Vec<usize> = (0..index).collect();
    let amounts = vec(option::of(share(30)), of.len());
    (subsequence(of.clone(), 0..=of.len()), amounts).prop_map(|(of, amounts)| {
        let constituent =
            |(index, amount)| Constituent { ingredient: nth("ingredient", index), amount };
        of.into_iter().zip(amounts).map(constituent).collect()
    })
}

fn site(languages: &[Language]) -> impl Strategy<Value = Site> + use<> {
    let groups = subsequence(vec!["coast", "pilot", "town"], 0..=3);
    let stated = (
        option::of(select(vec!["Europe/Paris", "Asia/Kathmandu", "UTC"])),
        option::of(select(languages.to_vec())),
        option::of(select(&LabelRegime::ALL[..])),
        option::of("[A-Z]{3}".prop_map(|code| code.parse().unwrap())),
        option::of(hourly_rate()),
    );
    (words(), groups, stated, scales(), equipment()).prop_map(
        |(name, groups, (zone, language, label, currency, labour_rate), scales, equipment)| Site {
            id: "harbour".parse().unwrap(),
            name,
            groups: groups.into_iter().map(|group| group.parse().unwrap()).collect(),
            time_zone: zone.map(|name| name.parse().unwrap()),
            language,
            label,
            currency,
            labour_rate,
            scales,
            equipment,
        },
    )
}

fn scales() -> impl Strategy<Value = Vec<Scale>> {
    let figures = (whole(MassUnit::Kilogram, 1..=60), whole(MassUnit::Gram, 1..=1000));
    vec(figures, 0..3).prop_map(|figures| {
        let scale = |(index, (capacity, increment)): (usize, (Authored<_>, Authored<_>))| Scale {
            name: format!("scale {index}"),
            capacity,
            increment,
        };
        figures.into_iter().enumerate().map(scale).collect()
    })
}

fn equipment() -> BoxedStrategy<Vec<Equipment>> {
    vec((any_of(), option::of(load())), 0..3)
        .prop_map(|machines| {
            let one = |(index, (capacity, load))| {
                let class = nth("class", index);
                Equipment { class, capacity, load }
            };
            machines.into_iter().enumerate().map(one).collect()
        })
        .boxed()
}

fn load() -> BoxedStrategy<Load> {
    let whole = || (1..=u32::MAX).prop_map(|whole| NonZeroU32::new(whole).unwrap());
    let sides = sheet_yield().prop_map(|made| Tray::Sides(made.sheet));
    let tray = prop_oneof![whole().prop_map(Tray::Pieces), sides];
    (whole(), tray).prop_map(|(trays, tray)| Load { trays, tray }).boxed()
}

fn day() -> impl Strategy<Value = Day> {
    (1_u16..=9999, 1_u8..=12, 1_u8..=28).prop_map(|(y, m, d)| Day::new(y, m, d).unwrap())
}

fn price_list() -> impl Strategy<Value = PriceList> {
    let site = option::of(Just("harbour".parse().unwrap()));
    (site, vec(price(), 0..4), vec(rate(), 0..2)).prop_map(|(site, prices, rates)| PriceList {
        id: "group".parse().unwrap(),
        site,
        prices,
        rates,
    })
}

fn price() -> impl Strategy<Value = Price> {
    let pack = mass_volume_or_count(Pack::Mass, Pack::Volume, Pack::Count);
    let supplier = option::of((0..3_usize).prop_map(|index| nth("supplier", index)));
    (0..OF_EACH, pack, money(), day(), supplier, any::<bool>()).prop_map(
        |(ingredient, pack, price, from, supplier, preferred)| Price {
            ingredient: nth("ingredient", ingredient),
            pack,
            price,
            from,
            supplier,
            preferred,
        },
    )
}

fn rate() -> impl Strategy<Value = ExchangeRate> {
    ("[A-M]{3}", "[N-Z]{3}", number(), day()).prop_map(|(from, to, rate, on)| ExchangeRate {
        from: from.parse().unwrap(),
        to: to.parse().unwrap(),
        rate,
        on,
    })
}
