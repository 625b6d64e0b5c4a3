//! Rounding as a table: up to which figure what is shown.

use chablon_quantity::{Exact, Number, Rounded};

use crate::number::ratio;

/// A rounding rule: bands in ascending order, the last without a limit.
#[derive(Debug)]
pub struct Rounding {
    /// The bands.
    pub bands: &'static [Band],
}

/// What figures up to a limit are shown as.
#[derive(Clone, Copy, Debug)]
pub struct Band {
    /// Up to where.
    pub limit: Limit,
    /// As what.
    pub shows: Shows,
}

/// The end of a band.
#[derive(Clone, Copy, Debug)]
pub enum Limit {
    /// Up to and with this.
    AtMost(Number),
    /// Below this.
    Below(Number),
    /// All the rest.
    Rest,
}

/// How a band shows a figure.
#[derive(Clone, Copy, Debug)]
pub enum Shows {
    /// As nothing.
    Zero,
    /// As below this; a figure of exactly 0 as nothing.
    Below(Number),
    /// As the nearest multiple of this, an exact half up.
    Nearest(Number),
}

/// A figure as a label shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shown {
    /// Nothing.
    Zero,
    /// Below this.
    Below(Rounded),
    /// This.
    Figure(Rounded),
}

impl Limit {
    pub(super) fn holds(self, value: &Exact) -> bool {
        match self {
            Self::AtMost(limit) => *value <= limit.exact(),
            Self::Below(limit) => *value < limit.exact(),
            Self::Rest => true,
        }
    }
}

impl Rounding {
    /// Rounds once, from the exact figure.
    pub fn shown(&self, value: &Exact) -> Shown {
        match self.band(value) {
            Shows::Zero => Shown::Zero,
            Shows::Below(_) if !value.is_positive() => Shown::Zero,
            Shows::Below(limit) => Shown::Below(limit.exact().round(decimals(limit))),
            Shows::Nearest(step) => {
                let nearest = (value / step.exact() + ratio(1, 2)).floor() * step.exact();
                Shown::Figure(nearest.round(self.decimals(step, &nearest)))
            }
        }
    }

    fn band(&self, value: &Exact) -> Shows {
        let band = self.bands.iter().find(|band| band.limit.holds(value));
        band.or(self.bands.last()).map_or(Shows::Zero, |band| band.shows)
    }

    /// The decimals of a figure rounded to a step. One that has risen into the next band has
    /// those of that band: 9.96 is shown as 10, not as 10.0. A step of a half shows its decimal
    /// only where there is one.
    fn decimals(&self, step: Number, nearest: &Exact) -> u32 {
        let step = match self.band(nearest) {
            Shows::Nearest(risen) => risen,
            Shows::Zero | Shows::Below(_) => step,
        };
        if is_power_of_ten(step) || !nearest.is_integer() { decimals(step) } else { 0 }
    }
}

fn decimals(of: Number) -> u32 {
    match of {
        Number::Decimal { exponent, .. } if exponent < 0 => u32::from(exponent.unsigned_abs()),
        _ => 0,
    }
}

fn is_power_of_ten(step: Number) -> bool {
    matches!(step, Number::Decimal { coefficient: 1, .. })
}

impl Shown {
    /// The figure in it: the limit where it is below one.
    pub fn figure(&self) -> Rounded {
        match self {
            Self::Zero => Rounded::from_units(0, 0),
            Self::Below(figure) | Self::Figure(figure) => figure.clone(),
        }
    }
}
