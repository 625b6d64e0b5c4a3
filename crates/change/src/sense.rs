//! What authored values mean, however they are written: two that mean the same have one sense.

use chablon_model::{
    Amount, Constituent, Control, Equipment, ExchangeRate, Line, Load, Loss, Pack, PieceSize,
    Price, Scale, SetPoint, Shape, ShapeAmount, Sheet, SheetYield, Sizes, Step, StepId, Storage,
    Tray, Yield,
};
use chablon_quantity::{
    Authored, Exact, Grams, LengthUnit, MassUnit, Millilitres, Millimetres, MoneyAmount, Seconds,
    ShareUnit, TimeUnit, Unit,
};

/// A quantity in its base unit, or what stands in the place of one. A volume isn't the mass that
/// it weighs.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Quantity<'a> {
    Grams(Exact),
    Millilitres(Exact),
    Pieces(Exact),
    Part(Exact),
    Seconds(Exact),
    Celsius(Exact),
    Shape(Box<Shaped>),
    Words(&'a str),
    ToTaste,
}

/// So many of a shape: its sizes by their names, and what stands beside them.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Shaped {
    sizes: Vec<(&'static str, Vec<Exact>)>,
    /// How thick a flat piece is.
    thickness: Option<Exact>,
    /// To which part a mould is filled.
    filled: Option<Exact>,
    count: Exact,
}

impl Quantity<'_> {
    /// The number, where there is one.
    pub(crate) fn number(&self) -> Option<&Exact> {
        match self {
            Self::Grams(number)
            | Self::Millilitres(number)
            | Self::Pieces(number)
            | Self::Part(number)
            | Self::Seconds(number)
            | Self::Celsius(number) => Some(number),
            Self::Shape(_) | Self::Words(_) | Self::ToTaste => None,
        }
    }

    /// What it is multiplied by to be the other, where both are of one sort.
    pub(crate) fn ratio(&self, other: &Self) -> Option<Exact> {
        let alike = std::mem::discriminant(self) == std::mem::discriminant(other);
        other.number()?.checked_div(self.number()?).filter(|_| alike)
    }
}

/// Whether two quantities that may be left out are the same.
pub(crate) fn same<U: Unit>(one: Option<Authored<U>>, other: Option<Authored<U>>) -> bool {
    one.map(|one| one.quantity()) == other.map(|other| other.quantity())
}

fn grams(mass: &Authored<MassUnit>) -> Exact {
    mass.quantity().grams()
}

fn part(share: &Authored<ShareUnit>) -> Exact {
    share.quantity().0
}

fn seconds(time: &Authored<TimeUnit>) -> Exact {
    time.quantity().seconds()
}

/// A line's amount.
pub(crate) fn amount(amount: &Amount) -> Quantity<'static> {
    match amount {
        Amount::Mass(mass) => Quantity::Grams(grams(mass)),
        Amount::Volume(volume) => Quantity::Millilitres(volume.quantity().millilitres()),
        Amount::Count(count) => Quantity::Pieces(count.quantity().0),
        Amount::Share(share) => Quantity::Part(part(share)),
        Amount::Shape(shape) => Quantity::Shape(Box::new(shaped(shape))),
        Amount::ToTaste => Quantity::ToTaste,
    }
}

fn shaped(amount: &ShapeAmount) -> Shaped {
    let (named, thickness, filled) = match &amount.shape {
        Shape::Flat { outline, thickness } => (outline.sizes(), Some(millimetres(thickness)), None),
        Shape::Fill { mould, share } => {
            (mould.sizes(), None, Some(share.as_ref().map_or_else(one, part)))
        }
    };
    let count = amount.count.map_or_else(one, |count| count.quantity().0);
    Shaped { sizes: sizes(named), thickness, filled, count }
}

fn one() -> Exact {
    Exact::from(1)
}

fn sizes(named: Sizes) -> Vec<(&'static str, Vec<Exact>)> {
    let of = |sizes: Vec<Authored<LengthUnit>>| sizes.iter().map(millimetres).collect();
    named.into_iter().map(|(name, sizes)| (name, of(sizes))).collect()
}

fn millimetres(length: &Authored<LengthUnit>) -> Exact {
    length.quantity().millimetres()
}

/// A line, given what the step that uses it is called.
pub(crate) fn line<'a>(line: &'a Line, step: Option<&'a StepId>) -> impl Ord + use<'a> {
    let Line { uses, amount: taken, base, scaling, tolerance, step: _ } = line;
    (uses, amount(taken), *base, *scaling, tolerance.as_ref().map(part), step)
}

/// A loss.
pub(crate) fn loss(loss: &Loss) -> impl Ord + use<'_> {
    match loss {
        Loss::Stage { stage, kind, fraction } => {
            (stage.as_deref(), Some(*kind), Quantity::Part(part(fraction)))
        }
        Loss::Residue { stage, mass } => (stage.as_deref(), None, Quantity::Grams(grams(mass))),
    }
}

/// A yield.
pub(crate) fn yields(yields: &Yield) -> impl Ord + use<> {
    match yields {
        Yield::Mass(mass) => (Some(Quantity::Grams(grams(mass))), None, None, None),
        Yield::Pieces { count, piece_mass, outline } => {
            let outline = outline.map(|outline| sizes(outline.sizes()));
            let count = Quantity::Pieces(count.quantity().0);
            (Some(count), piece_mass.as_ref().map(grams), outline, None)
        }
        Yield::Sheet(sheet) => (None, None, None, Some(sheet_yield(sheet))),
    }
}

fn sheet_yield(yields: &SheetYield) -> impl Ord + use<> {
    let SheetYield { sheet: cut, piece, layout, sheets, each } = yields;
    let sides = sheet(cut);
    let each = each.as_ref().map(|each| match each {
        PieceSize::Mass(mass) => (Some(grams(mass)), None),
        PieceSize::Thickness(thickness) => (None, Some(millimetres(thickness))),
    });
    (sides, sizes(piece.sizes()), *layout, *sheets, each)
}

fn sheet(sheet: &Sheet) -> [Exact; 4] {
    let free = |side: &Option<Authored<LengthUnit>>| {
        side.as_ref().map_or_else(|| Exact::from(0), millimetres)
    };
    let Sheet { length, width, gap, edge } = sheet;
    [millimetres(length), millimetres(width), free(gap), free(edge)]
}

/// How a result is kept.
pub(crate) fn storage(storage: &Storage) -> impl Ord + use<> {
    (storage.condition, storage.keeps.as_ref().map(seconds))
}

/// What is aimed at or allowed.
pub(crate) fn set_point(point: &SetPoint) -> Quantity<'_> {
    match point {
        SetPoint::Temperature(one) => Quantity::Celsius(one.quantity().celsius()),
        SetPoint::Time(time) => Quantity::Seconds(seconds(time)),
        SetPoint::Mass(mass) => Quantity::Grams(grams(mass)),
        SetPoint::Observation(words) => Quantity::Words(words),
    }
}

/// A control.
pub(crate) fn control(control: &Control) -> impl Ord + use<'_> {
    let Control { measure, target, min, max, critical } = control;
    let [target, min, max] = [target, min, max].map(|point| point.as_ref().map(set_point));
    (*measure, *critical, target, min, max)
}

/// What a step says, whatever it is called and waits for.
pub(crate) fn step(step: &Step) -> impl Ord + use<'_> {
    let Step { id: _, text, active, passive, labour, equipment, after: _, controls } = step;
    let times = (active.as_ref().map(seconds), passive.as_ref().map(seconds));
    let controls: Vec<_> = controls.iter().map(control).collect();
    (&text.0, times, *labour, equipment.as_ref(), controls)
}

/// Constituents, whose order is that of their amounts.
pub(crate) fn made_of(parts: &[Constituent]) -> impl Ord + use<'_> {
    let of = |one: &'_ Constituent| one.amount.as_ref().map(part);
    parts.iter().map(|one| (&one.ingredient, of(one))).collect::<Vec<_>>()
}

/// Money.
pub(crate) fn money(amount: &MoneyAmount) -> impl Ord + use<> {
    (amount.currency, amount.exact())
}

/// A price.
pub(crate) fn price(price: &Price) -> impl Ord + use<'_> {
    let Price { ingredient, pack, price: paid, from, supplier, preferred } = price;
    let pack = match pack {
        Pack::Mass(mass) => Quantity::Grams(grams(mass)),
        Pack::Volume(volume) => Quantity::Millilitres(volume.quantity().millilitres()),
        Pack::Count(count) => Quantity::Pieces(count.quantity().0),
    };
    (ingredient, pack, money(paid), *from, supplier.as_ref(), *preferred)
}

/// An exchange rate.
pub(crate) fn rate(rate: &ExchangeRate) -> impl Ord + use<> {
    (rate.from, rate.to, rate.on, rate.rate.exact())
}

/// A scale.
pub(crate) fn scale(scale: &Scale) -> impl Ord + use<'_> {
    (scale.name.as_str(), grams(&scale.capacity), grams(&scale.increment))
}

/// A piece of equipment.
pub(crate) fn equipment(one: &Equipment) -> impl Ord + use<'_> {
    let Equipment { class, capacity, load } = one;
    let load = load.map(|Load { trays, tray }| match tray {
        Tray::Pieces(pieces) => (trays, Some(pieces), None),
        Tray::Sides(sides) => (trays, None, Some(sheet(&sides))),
    });
    (class, grams(capacity), load)
}

#[cfg(test)]
mod tests {
    use chablon_model::{Mould, Outline};

    use super::*;

    fn size(text: &str) -> Authored<LengthUnit> {
        text.parse().unwrap()
    }

    fn disc(diameter: &str, count: Option<&str>) -> Amount {
        let outline = Outline::Disc { diameter: size(diameter) };
        let shape = Shape::Flat { outline, thickness: size("6 mm") };
        let count = count.map(|count| count.parse().unwrap());
        Amount::Shape(Box::new(ShapeAmount { shape, count }))
    }

    #[test]
    fn one_thing_has_one_sense_however_it_is_written() {
        let amount = |text: &str| amount(&Amount::Mass(text.parse().unwrap()));
        assert_eq!(amount("1/2 kg"), amount("500 g"));
        assert_ne!(amount("500 g"), amount("501 g"));
    }

    #[test]
    fn a_shape_is_its_sizes_and_their_number() {
        assert_eq!(amount(&disc("10 cm", None)), amount(&disc("100 mm", Some("1 pieces"))));
        assert_ne!(amount(&disc("10 cm", None)), amount(&disc("10 cm", Some("2 pieces"))));
        assert_ne!(amount(&disc("10 cm", None)), amount(&disc("11 cm", None)));
    }

    #[test]
    fn a_mould_is_full_unless_it_says_to_which_part() {
        let filled = |share: Option<&str>| {
            let mould = Mould::HalfSphere { diameter: size("6 cm") };
            let fill = Shape::Fill { mould, share: share.map(|share| share.parse().unwrap()) };
            amount(&Amount::Shape(Box::new(ShapeAmount { shape: fill, count: None })))
        };
        assert_eq!(filled(None), filled(Some("100 %")));
        assert_ne!(filled(None), filled(Some("90 %")));
    }

    #[test]
    fn amounts_of_two_sorts_have_no_ratio() {
        let (mass, volume) =
            (Quantity::Grams(Exact::from(2)), Quantity::Millilitres(Exact::from(4)));
        assert_eq!(mass.ratio(&volume), None);
        assert_eq!(mass.ratio(&Quantity::Grams(Exact::from(4))), Some(Exact::from(2)));
        assert_eq!(Quantity::Grams(Exact::from(0)).ratio(&mass), None);
    }
}
