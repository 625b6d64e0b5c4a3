//! Numbers and quantities, as authored.

use chablon_quantity::{
    Authored, CountUnit, Currency, DensityUnit, Exact, HourlyRate, LengthUnit, MassUnit,
    MoneyAmount, Number, ShareUnit, TemperatureUnit, TimeUnit, Unit, VolumeUnit,
};

use crate::form::{Coded, Wire, code, coded, parsed, required};
use crate::{At, Violation, pb};

impl Wire for Number {
    type Pb = pb::Number;

    fn to_pb(&self) -> pb::Number {
        let form = match *self {
            Self::Decimal { coefficient, exponent } => {
                pb::number::Form::Decimal(pb::Decimal { coefficient, exponent: exponent.into() })
            }
            Self::Fraction { whole, numerator, denominator } => {
                pb::number::Form::Fraction(pb::Fraction { whole, numerator, denominator })
            }
        };
        pb::Number { form: Some(form) }
    }

    fn from_pb(number: pb::Number) -> Result<Self, Violation> {
        match number.form.ok_or_else(Violation::required)? {
            pb::number::Form::Decimal(form) => decimal(form).at("decimal"),
            pb::number::Form::Fraction(form) => fraction(form).at("fraction"),
        }
    }
}

fn decimal(form: pb::Decimal) -> Result<Number, Violation> {
    let pb::Decimal { coefficient, exponent } = form;
    let out_of_range = || {
        Violation::new(format!(
            "{coefficient} x 10^{exponent} is out of range: at most 18 digits, and an exponent \
             from -18 to 18"
        ))
    };
    let exponent = i8::try_from(exponent).map_err(|_| out_of_range())?;
    Number::decimal(coefficient, exponent).ok_or_else(out_of_range)
}

fn fraction(form: pb::Fraction) -> Result<Number, Violation> {
    let pb::Fraction { whole, numerator, denominator } = form;
    if denominator == 0 {
        return Err(Violation::new("must be 1 or more").at("denominator"));
    }
    Number::fraction(whole, numerator, denominator).ok_or_else(|| {
        Violation::new(format!(
            "{whole} {numerator}/{denominator} is out of range: at most 18 digits, and a proper \
             fraction beside a whole part"
        ))
    })
}

coded!(MassUnit = pb::MassUnit { Milligram, Gram, Kilogram, Ounce, Pound });
coded!(
    VolumeUnit = pb::VolumeUnit {
        Millilitre,
        Centilitre,
        Decilitre,
        Litre,
        Teaspoon,
        Tablespoon,
        FluidOunce,
        Cup,
        Pint,
        Quart,
        Gallon,
        ImperialFluidOunce,
        ImperialPint,
        ImperialGallon,
    }
);
coded!(LengthUnit = pb::LengthUnit { Millimetre, Centimetre, Metre, Inch });
coded!(TemperatureUnit = pb::TemperatureUnit { Celsius, Fahrenheit });
coded!(TimeUnit = pb::DurationUnit { Second, Minute, Hour, Day });

/// A number of a unit, unless it is below 0 where that has no meaning.
fn authored<U: Unit>(number: Number, unit: U) -> Result<Authored<U>, Violation> {
    if number.is_negative() && !U::allows_negative() {
        let reason = format!("`{number}` is below zero, which {} can't be", U::DIMENSION);
        return Err(Violation::new(reason).at("number"));
    }
    Ok(Authored::new(number, unit))
}

/// Quantities that are a number and a unit.
macro_rules! quantities {
    ($($unit:ty => $pb:ident),+ $(,)?) => {$(
        impl Wire for Authored<$unit> {
            type Pb = pb::$pb;

            fn to_pb(&self) -> pb::$pb {
                pb::$pb { number: Some(self.number.to_pb()), unit: self.unit.code() }
            }

            fn from_pb(quantity: pb::$pb) -> Result<Self, Violation> {
                let unit = code(quantity.unit, "unit")?;
                authored(required(quantity.number, "number")?, unit)
            }
        }
    )+};
}
quantities!(
    MassUnit => Mass,
    VolumeUnit => Volume,
    LengthUnit => Length,
    TemperatureUnit => Temperature,
    TimeUnit => Duration,
);

/// Quantities whose unit goes without saying.
macro_rules! unitless {
    ($($unit:ident => $pb:ident),+ $(,)?) => {$(
        impl Wire for Authored<$unit> {
            type Pb = pb::$pb;

            fn to_pb(&self) -> pb::$pb {
                pb::$pb { number: Some(self.number.to_pb()) }
            }

            fn from_pb(quantity: pb::$pb) -> Result<Self, Violation> {
                authored(required(quantity.number, "number")?, $unit)
            }
        }
    )+};
}
unitless!(ShareUnit => Percent, CountUnit => Count);

impl Wire for Authored<DensityUnit> {
    type Pb = pb::Density;

    fn to_pb(&self) -> pb::Density {
        pb::Density {
            number: Some(self.number.to_pb()),
            mass_unit: self.unit.mass.code(),
            volume_unit: self.unit.volume.code(),
        }
    }

    fn from_pb(density: pb::Density) -> Result<Self, Violation> {
        let unit = DensityUnit {
            mass: code(density.mass_unit, "mass_unit")?,
            volume: code(density.volume_unit, "volume_unit")?,
        };
        authored(required(density.number, "number")?, unit)
    }
}

impl Wire for MoneyAmount {
    type Pb = pb::Money;

    fn to_pb(&self) -> pb::Money {
        pb::Money { number: Some(self.number.to_pb()), currency: self.currency.to_string() }
    }

    fn from_pb(money: pb::Money) -> Result<Self, Violation> {
        let currency: Currency = parsed(&money.currency).at("currency")?;
        let number: Number = required(money.number, "number")?;
        if number.is_negative() {
            let reason = format!("`{number}` is below zero, which an amount of money can't be");
            return Err(Violation::new(reason).at("number"));
        }
        Ok(Self { number, currency })
    }
}

impl Wire for HourlyRate {
    type Pb = pb::HourlyRate;

    fn to_pb(&self) -> pb::HourlyRate {
        let pb::Money { number, currency } = self.0.to_pb();
        pb::HourlyRate { number, currency }
    }

    fn from_pb(rate: pb::HourlyRate) -> Result<Self, Violation> {
        let pb::HourlyRate { number, currency } = rate;
        MoneyAmount::from_pb(pb::Money { number, currency }).map(Self)
    }
}

/// What is a number, with a unit or alone.
pub(crate) trait Numeric {
    /// The field that holds the number; empty where the value is the number itself.
    const PLACE: &'static str;
    /// The number as written.
    fn number(&self) -> &Number;
}

impl Numeric for Number {
    const PLACE: &'static str = "";

    fn number(&self) -> &Number {
        self
    }
}

impl<U> Numeric for Authored<U> {
    const PLACE: &'static str = "number";

    fn number(&self) -> &Number {
        &self.number
    }
}

/// Refuses 0 and below.
pub(crate) fn above_zero<N: Numeric>(quantity: N) -> Result<N, Violation> {
    if quantity.number().is_positive() {
        Ok(quantity)
    } else {
        Err(Violation::new("must be more than 0").at(N::PLACE))
    }
}

/// A quantity that must be set and more than 0.
pub(crate) fn some<N: Numeric + Wire>(pb: Option<N::Pb>, field: &str) -> Result<N, Violation> {
    required(pb, field).and_then(|quantity: N| above_zero(quantity).at(field))
}

/// A quantity that may be unset, and is more than 0 where it is set.
pub(crate) fn some_or_unset<N: Numeric + Wire>(
    pb: Option<N::Pb>,
    field: &str,
) -> Result<Option<N>, Violation> {
    pb.map(|pb| some(Some(pb), field)).transpose()
}

/// A share that must be set, more than 0 and no more than the whole.
pub(crate) fn part(
    share: Option<pb::Percent>,
    field: &str,
) -> Result<Authored<ShareUnit>, Violation> {
    let share: Authored<ShareUnit> = some(share, field)?;
    if share.number.exact() > Exact::from(100) {
        return Err(Violation::new("must be at most 100").at("number").at(field));
    }
    Ok(share)
}
