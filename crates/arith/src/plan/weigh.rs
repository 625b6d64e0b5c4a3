//! The weigh-up of a line at a site (section 6).

use chablon_quantity::Exact;

use crate::ScaleKit;

/// How a line of one batch is weighed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Weighing {
    /// The scale's name.
    pub scale: String,
    /// `w`: in how many equal weighings. A whole number from 1.
    pub weighings: Exact,
    /// Grams that the scale shows at each.
    pub reading: Exact,
    /// How far all readings together are off, as a part of the mass.
    pub error: Exact,
    /// Why the site can't weigh the line as the standard asks, if it can't.
    pub flag: Option<WeighFlag>,
}

/// Why a site can't weigh a line as the standard asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WeighFlag {
    /// The scale would show nothing.
    ReadsZero,
    /// The reading is further off than the line allows.
    OverTolerance,
}

impl WeighFlag {
    /// A short name that stays the same when the wording changes.
    pub fn code(self) -> &'static str {
        match self {
            Self::ReadsZero => "reads-zero",
            Self::OverTolerance => "over-tolerance",
        }
    }
}

impl Weighing {
    /// The error in per cent.
    pub fn error_percent(&self) -> Exact {
        &self.error * Exact::from(100)
    }
}

/// The scale for a mass: the finest that reaches it, of several the smaller; where none reaches
/// it, the largest, of several the finer. Equal scales are taken in the written order. What weighs
/// nothing, or whose reading has no step, is no scale.
pub(crate) fn scale_for<'a>(scales: &'a [ScaleKit], mass: &Exact) -> Option<&'a ScaleKit> {
    let usable = |one: &&ScaleKit| one.capacity.is_positive() && one.increment.is_positive();
    let scales = scales.iter().filter(usable);
    let reaches = |scale: &&ScaleKit| scale.capacity >= *mass;
    let finest = scales.clone().filter(reaches).min_by_key(|one| (&one.increment, &one.capacity));
    let largest = || {
        let reverse = std::cmp::Reverse;
        scales.min_by_key(|one| (reverse(&one.capacity), &one.increment))
    };
    finest.or_else(largest)
}

/// A number rounded half away from zero to a whole one.
fn nearest(value: &Exact) -> Exact {
    value.round(0).exact()
}

/// How a mass above 0 is weighed, or nothing where the site has no scale.
pub(crate) fn weigh(scales: &[ScaleKit], mass: &Exact, tolerance: &Exact) -> Option<Weighing> {
    let scale = scale_for(scales, mass)?;
    let weighings = (mass / &scale.capacity).ceil().max(Exact::from(1));
    let steps = nearest(&(mass / &weighings / &scale.increment));
    let reading = steps * &scale.increment;
    let error = (&weighings * &reading - mass).abs() / mass;
    let flag = if reading.is_positive() {
        (error > *tolerance).then_some(WeighFlag::OverTolerance)
    } else {
        Some(WeighFlag::ReadsZero)
    };
    Some(Weighing { scale: scale.name.clone(), weighings, reading, error, flag })
}
