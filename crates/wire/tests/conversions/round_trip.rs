//! Out and back is equal, and the bytes depend on nothing but the value.

use bytes::Bytes;
use chablon_model::{Allergen, LotEvent, LotNote};
use chablon_quantity::{
    Authored, CountUnit, DensityUnit, LengthUnit, MassUnit, Number, ShareUnit, TemperatureUnit,
    TimeUnit, Unit, VolumeUnit,
};
use chablon_wire::{
    Acknowledgement, Adoption, BodyKind, Demand, FeedCursor, FeedEntry, Frozen, InForce, Standard,
    StandardState, Statement, TakenBack, Wire, decode_checkpoint, decode_deviation,
    decode_manifest, decode_revision, decode_root, decode_withdrawal, encode_checkpoint,
    encode_deviation, encode_manifest, encode_revision, encode_root, encode_withdrawal,
};
use proptest::option;
use proptest::prelude::*;

use crate::values;

fn out_and_back<T: Wire + PartialEq + std::fmt::Debug>(value: &T) {
    assert_eq!(T::from_pb(value.to_pb()).as_ref(), Ok(value));
}

fn in_every_unit<U: Unit>(number: Number)
where
    Authored<U>: Wire + PartialEq,
{
    for unit in U::all() {
        out_and_back(&Authored::new(number, unit));
    }
}

proptest! {
    #[test]
    fn revisions(revision in values::revision()) {
        let bytes = encode_revision(&revision);
        let back = decode_revision(&bytes);
        prop_assert_eq!(back.as_ref(), Ok(&revision));
        prop_assert_eq!(encode_revision(&back.unwrap()), bytes);
    }

    #[test]
    fn manifests(manifest in values::manifest()) {
        let bytes = encode_manifest(&manifest);
        let back = decode_manifest(&bytes);
        prop_assert_eq!(back.as_ref(), Ok(&manifest));
        prop_assert_eq!(encode_manifest(&back.unwrap()), bytes);
    }

    #[test]
    fn withdrawals(withdrawal in values::withdrawal()) {
        let bytes = encode_withdrawal(&withdrawal);
        let back = decode_withdrawal(&bytes);
        prop_assert_eq!(back.as_ref(), Ok(&withdrawal));
        prop_assert_eq!(encode_withdrawal(&back.unwrap()), bytes);
    }

    #[test]
    fn deviations(deviation in values::deviation()) {
        let bytes = encode_deviation(&deviation);
        let back = decode_deviation(&bytes);
        prop_assert_eq!(back.as_ref(), Ok(&deviation));
        prop_assert_eq!(encode_deviation(&back.unwrap()), bytes);
    }

    #[test]
    fn entries(
        (previous_position, step) in (0..1_000_000_u64, 1..1_000_u64),
        recorded_at in values::moment(),
        kind in proptest::sample::select(vec![
            BodyKind::Release, BodyKind::Withdrawal, BodyKind::Deviation,
        ]),
        body in proptest::collection::vec(any::<u8>(), 1..100),
        digest in values::digest(),
        signatures in values::signatures(),
    ) {
        let position = previous_position + step;
        let body = Frozen { bytes: Bytes::from(body), digest, signatures };
        out_and_back(&FeedEntry { position, previous_position, recorded_at, kind, body });
    }

    #[test]
    fn roots(root in values::root()) {
        let bytes = encode_root(&root);
        let back = decode_root(&bytes);
        prop_assert_eq!(back.as_ref(), Ok(&root));
        prop_assert_eq!(encode_root(&back.unwrap()), bytes);
    }

    #[test]
    fn checkpoints(checkpoint in values::checkpoint()) {
        let bytes = encode_checkpoint(&checkpoint);
        let back = decode_checkpoint(&bytes);
        prop_assert_eq!(back.as_ref(), Ok(&checkpoint));
        prop_assert_eq!(encode_checkpoint(&back.unwrap()), bytes);
    }

    #[test]
    fn cursors(epoch in "[!-~]{1,128}", view in option::of(values::digest()), position: u64) {
        out_and_back(&FeedCursor { epoch, view, position, snapshot: position / 2 });
    }

    #[test]
    fn statements(
        site in values::id(),
        position in 1..=u64::MAX,
        body_digest in values::digest(),
        at in values::moment(),
        received_at in option::of(values::moment()),
        in_use_at in option::of(values::moment()),
        refused in option::of((values::moment(), values::words())),
        why in values::words(),
    ) {
        for statement in [Statement::Received, Statement::InUse, Statement::Refused] {
            let site = chablon_model::SiteId::clone(&site);
            let reason = (statement == Statement::Refused).then(|| why.clone());
            out_and_back(&Acknowledgement { site, position, body_digest, statement, at, reason });
        }
        out_and_back(&Adoption { site, position, body_digest, received_at, in_use_at, refused });
    }

    #[test]
    fn lot_notes(
        (site, ingredient, supplier) in (values::id(), values::id(), option::of(values::id())),
        (lot, author) in ("[!-~]{1,200}", values::words()),
        event in proptest::sample::select(LotEvent::ALL.to_vec()),
        at in values::moment(),
    ) {
        out_and_back(&LotNote { site, ingredient, supplier, lot, event, at, author });
    }

    #[test]
    fn standards(
        revision in values::reference(),
        release in values::id(),
        position in 1..=u64::MAX,
        holds_from in values::moment(),
        (note, reason, author) in (values::words(), values::words(), values::words()),
        stopped: bool,
        fallen_back: bool,
    ) {
        let taken_back = TakenBack { withdrawn: revision.clone(), holds_from, reason, author };
        let document = revision.key.clone();
        let because = fallen_back.then(|| taken_back.clone());
        let in_force = InForce { revision, release, position, holds_from, note, because };
        let state = if stopped {
            StandardState::Stopped(taken_back)
        } else {
            StandardState::InForce(in_force)
        };
        out_and_back(&Standard { document, state });
    }

    #[test]
    fn demands(
        pieces in values::positive(),
        mass in values::mass(),
        ingredient in values::id(),
    ) {
        out_and_back(&Demand::Pieces(pieces));
        out_and_back(&Demand::Mass(mass));
        out_and_back(&Demand::Factor(mass.number));
        out_and_back(&Demand::Batches(mass.number));
        out_and_back(&Demand::OnHand { ingredient, mass });
    }

    #[test]
    fn numbers_of_every_unit(number in values::number()) {
        out_and_back(&number);
        in_every_unit::<TemperatureUnit>(number);
        if !number.is_negative() {
            in_every_unit::<MassUnit>(number);
            in_every_unit::<VolumeUnit>(number);
            in_every_unit::<LengthUnit>(number);
            in_every_unit::<TimeUnit>(number);
            in_every_unit::<DensityUnit>(number);
            in_every_unit::<ShareUnit>(number);
            in_every_unit::<CountUnit>(number);
        }
    }
}

#[test]
fn every_allergen_code_is_a_group_or_a_kind() {
    use chablon_model::{AllergenState, Ingredient};
    let every = Allergen::codes().iter().map(|code| code.parse().unwrap());
    let ingredient = Ingredient {
        id: "everything".parse().unwrap(),
        name: chablon_model::Text([("en".parse().unwrap(), "Everything".to_owned())].into()),
        label_name: chablon_model::Text::default(),
        density: None,
        piece_mass: None,
        edible_yield: None,
        allergens: every.map(|allergen| (allergen, AllergenState::MayContain)).collect(),
        other_allergens: None,
        content: chablon_model::Content::default(),
        details: chablon_model::Details::default(),
        made_of: Vec::new(),
        note: None,
    };
    let content = chablon_model::DocumentContent::Ingredient(ingredient);
    let revision = chablon_model::Revision { number: 1, pins: Vec::new(), content };
    assert_eq!(decode_revision(&encode_revision(&revision)), Ok(revision));
}

#[test]
fn the_start_of_a_feed_needs_no_epoch() {
    out_and_back(&FeedCursor { epoch: String::new(), view: None, position: 0, snapshot: 0 });
}
