//! Arbitrary documents and revisions.

use std::collections::BTreeMap;
use std::num::NonZeroU32;

use chablon_model::{
    Allergen, AllergenState, Book, BoundKind, Constituent, Content, ControlBound, ControlRole,
    ControlSettings, Day, Detail, Details, DocumentContent, Equipment, ExchangeRate, Ingredient,
    Jurisdiction, LabelRegime, Load, Nutrient, OwnLimit, Pack, Price, PriceList, ReviewRule,
    Reviewer, Revision, RevisionRef, Scale, Site, Tray,
};
use chablon_quantity::{Authored, TemperatureUnit, TimeUnit};
use proptest::collection::{btree_map, vec};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};

use super::quantity::{
    currency, density, hourly_rate, mass, money, part, per_100_g, positive, reading,
};
use super::recipe::recipe;
use super::shape::sheet_yield;
use super::{digest, distinct, id, language, text, words};

/// A revision of any kind, pinned as it must be.
pub(crate) fn revision() -> BoxedStrategy<Revision> {
    let content = prop_oneof![
        book().prop_map(DocumentContent::Book),
        ingredient().prop_map(DocumentContent::Ingredient),
        recipe().prop_map(DocumentContent::Recipe),
        site().prop_map(DocumentContent::Site),
        price_list().prop_map(DocumentContent::Prices),
    ];
    (1..=u32::MAX, content)
        .prop_flat_map(|(number, content)| {
            let used = content.uses();
            let pins = vec((1..=u32::MAX, digest()), used.len()).prop_map(move |named| {
                let pin = |(key, (number, digest))| RevisionRef { key, number, digest };
                used.iter().cloned().zip(named).map(pin).collect()
            });
            (Just(number), pins, Just(content)).prop_map(|(number, pins, content)| Revision {
                number,
                pins,
                content,
            })
        })
        .boxed()
}

fn book() -> impl Strategy<Value = Book> {
    let labels = subsequence(LabelRegime::ALL.to_vec(), 0..=2);
    let languages = distinct(language(), 4).prop_filter("at least one", |all| !all.is_empty());
    let rules = (labels.prop_shuffle(), option::of(review()), control());
    (words(), currency(), languages, rules).prop_map(
        |(name, currency, languages, (labels, review, control))| Book {
            name,
            currency,
            languages,
            labels,
            review,
            control,
        },
    )
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

fn control() -> impl Strategy<Value = ControlSettings> {
    let figures = (reading(), reading(), positive(), words());
    let limits = btree_map(select(ControlRole::ALL), figures, 0..5);
    let exempt = btree_map(id(), words(), 0..3);
    (option::of(select(Jurisdiction::ALL)), limits, exempt).prop_map(
        |(published, limits, exempt)| {
            let own = limits.into_iter().filter_map(|(role, (one, other, time, reason))| {
                Some((role, OwnLimit { bound: bound(role, one, other, time)?, reason }))
            });
            ControlSettings { published, limits: own.collect(), exempt }
        },
    )
}

/// A limit of the kind that is wanted; none where it would cool from the cold to the hot.
fn bound(
    role: ControlRole,
    one: Authored<TemperatureUnit>,
    other: Authored<TemperatureUnit>,
    time: Authored<TimeUnit>,
) -> Option<ControlBound> {
    Some(match role.kind() {
        BoundKind::AtMost => ControlBound::AtMost(one),
        BoundKind::AtLeast => ControlBound::AtLeast(one),
        BoundKind::Within => ControlBound::Within(time),
        BoundKind::Heat => ControlBound::Heat { at_least: one, held: time },
        BoundKind::Cool => {
            let falls = one.quantity().celsius() > other.quantity().celsius();
            return falls.then_some(ControlBound::Cool { from: one, to: other, within: time });
        }
    })
}

fn ingredient() -> BoxedStrategy<Ingredient> {
    let texts = (id(), text(1), text(0), option::of(words()));
    let quantities = (option::of(density()), option::of(mass()), option::of(part()));
    let state = || select(AllergenState::ALL);
    let allergens = (btree_map(allergen(), state(), 0..8), option::of(state()));
    let details = btree_map(select(Detail::ALL), per_100_g(), 0..8).prop_map(Details);
    (texts, quantities, allergens, (content(), details), vec(constituent(), 0..4))
        .prop_map(|(texts, quantities, (allergens, other_allergens), content, made_of)| {
            let (content, details) = content;
            let (id, name, label_name, note) = texts;
            let (density, piece_mass, edible_yield) = quantities;
            Ingredient {
                id,
                name,
                label_name,
                density,
                piece_mass,
                edible_yield,
                allergens: BTreeMap::from_iter(allergens),
                other_allergens,
                content,
                details,
                made_of,
                note,
            }
        })
        .prop_filter("not of itself", |one| {
            one.made_of.iter().all(|part| part.ingredient != one.id)
        })
        .boxed()
}

pub(super) fn content() -> impl Strategy<Value = Content> {
    btree_map(select(Nutrient::ALL), per_100_g(), 0..8).prop_map(Content)
}

fn allergen() -> impl Strategy<Value = Allergen> {
    select(Allergen::codes()).prop_map(|code| code.parse().unwrap())
}

fn constituent() -> impl Strategy<Value = Constituent> {
    (id(), option::of(part())).prop_map(|(ingredient, amount)| Constituent { ingredient, amount })
}

fn site() -> BoxedStrategy<Site> {
    let named = (id(), words(), distinct(id(), 4), option::of(language()));
    let zone = select(vec!["Europe/Paris", "Etc/GMT+1"]).prop_map(|name| name.parse().unwrap());
    let terms = (
        option::of(zone),
        option::of(select(LabelRegime::ALL.to_vec())),
        option::of(currency()),
        option::of(hourly_rate()),
    );
    let equipment = (id(), mass(), option::of(load()))
        .prop_map(|(class, capacity, load)| Equipment { class, capacity, load });
    (named, terms, vec(scale(), 0..4), vec(equipment, 0..4))
        .prop_map(
            |(
                (id, name, groups, language),
                (time_zone, label, currency, labour_rate),
                scales,
                equipment,
            )| {
                Site {
                    id,
                    name,
                    groups,
                    time_zone,
                    language,
                    label,
                    currency,
                    labour_rate,
                    scales,
                    equipment,
                }
            },
        )
        .boxed()
}

fn load() -> impl Strategy<Value = Load> {
    let whole = || (1_u32..=u32::MAX).prop_map(|whole| NonZeroU32::new(whole).unwrap());
    let tray = prop_oneof![
        whole().prop_map(Tray::Pieces),
        sheet_yield().prop_map(|made| Tray::Sides(made.sheet))
    ];
    (whole(), tray).prop_map(|(trays, tray)| Load { trays, tray })
}

fn scale() -> BoxedStrategy<Scale> {
    (words(), mass(), mass())
        .prop_map(|(name, one, other)| {
            let (increment, capacity) =
                if one.quantity() > other.quantity() { (other, one) } else { (one, other) };
            Scale { name, capacity, increment }
        })
        .boxed()
}

fn price_list() -> BoxedStrategy<PriceList> {
    (id(), option::of(id()), vec(price(), 0..5), vec(rate(), 0..3))
        .prop_map(|(id, site, prices, rates)| PriceList { id, site, prices, rates })
        .boxed()
}

fn price() -> BoxedStrategy<Price> {
    let pack = prop_oneof![
        mass().prop_map(Pack::Mass),
        positive().prop_map(Pack::Volume),
        positive().prop_map(Pack::Count),
    ];
    (id(), pack, money(), day(), option::of(id()), any::<bool>())
        .prop_map(|(ingredient, pack, price, from, supplier, preferred)| Price {
            ingredient,
            pack,
            price,
            from,
            supplier,
            preferred,
        })
        .boxed()
}

fn day() -> impl Strategy<Value = Day> {
    (1..=9999_u16, 1..=12_u8, 1..=31_u8)
        .prop_filter_map("in the calendar", |(year, month, day)| Day::new(year, month, day).ok())
}

fn rate() -> BoxedStrategy<ExchangeRate> {
    let two = (currency(), currency()).prop_filter("different", |(from, to)| from != to);
    (two, mass(), day())
        .prop_map(|((from, to), mass, on)| ExchangeRate { from, to, rate: mass.number, on })
        .boxed()
}
