//! Gelatine of one strength for gelatine of another.

use chablon_quantity::{Exact, Grams, Mass, Pieces};

use super::error::with_unit;
use super::{DoughError, Root, check, sources};

/// The rule by which gelatine is exchanged. Two published rules disagree, by a fifth and more
/// (from 240 to 160 Bloom: 1.5 against 1.225), so whoever asks says which one a recipe means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BloomRule {
    /// Mass x recipe's Bloom / own Bloom. Sheets of a grade are weighed so that one sheet takes
    /// the place of one of another grade, which this rule comes close to.
    ///
    /// Source: gelatin conversion factors (linear rule), sheet weights. Its grades span 125 to
    /// 265 Bloom.
    Proportional,
    /// Mass x the square root of recipe's Bloom / own Bloom: concentration x root of Bloom stays.
    ///
    /// Source: gelatin conversion table by Bloom (square-root rule), which spans 60 to 260 Bloom.
    /// That the rule is the gelatine makers' own handbook's is from memory.
    SquareRoot,
}

impl BloomRule {
    /// The weakest and the strongest gelatine that the rule is published for, in grams Bloom.
    pub fn range(self) -> (u32, u32) {
        match self {
            Self::Proportional => (125, 265),
            Self::SquareRoot => (60, 260),
        }
    }

    /// Where the rule is published.
    pub fn source(self) -> &'static str {
        match self {
            Self::Proportional => sources::BLOOM_PROPORTIONAL,
            Self::SquareRoot => sources::BLOOM_SQUARE_ROOT,
        }
    }

    fn covers(self, what: &'static str, bloom: &Bloom) -> Result<(), DoughError> {
        let (low, high) = self.range();
        if bloom.0 >= Exact::from(low) && bloom.0 <= Exact::from(high) {
            return Ok(());
        }
        Err(DoughError::OutOfRange {
            what,
            value: with_unit(&bloom.0, "Bloom"),
            low: low.to_string(),
            high: format!("{high} Bloom"),
            source_title: self.source(),
        })
    }

    fn factor(self, recipe: &Bloom, own: &Bloom) -> Root {
        let ratio = &recipe.0 / &own.0;
        match self {
            Self::Proportional => Root::rational(&ratio),
            Self::SquareRoot => Root::of(&ratio),
        }
    }
}

/// The strength of a gelatine in grams Bloom.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Bloom(
    /// Grams Bloom.
    pub Exact,
);

/// An amount of gelatine in place of the recipe's.
#[derive(Clone, Debug, PartialEq)]
pub struct Exchanged {
    /// The rule that was asked for.
    pub rule: BloomRule,
    /// The mass of the own gelatine for 1 g of the recipe's.
    pub factor: Root,
    /// The own gelatine in grams.
    pub grams: Root,
}

impl Exchanged {
    /// The mass to weigh: grams rounded to this many decimals. It is the figure to write into a
    /// recipe, since a root is no exact mass.
    pub fn to_weigh(&self, decimals: u32) -> Mass {
        Mass::of_grams(self.grams.round(decimals).exact())
    }
}

/// The own gelatine that sets as the recipe's does, by a rule that the caller names. Both
/// strengths must be within [`BloomRule::range`].
pub fn exchange_gelatine(
    mass: &Mass,
    recipe: &Bloom,
    own: &Bloom,
    rule: BloomRule,
) -> Result<Exchanged, DoughError> {
    check::mass("gelatine", mass)?;
    rule.covers("recipe's gelatine", recipe)?;
    rule.covers("own gelatine", own)?;
    let factor = rule.factor(recipe, own);
    Ok(Exchanged { rule, grams: factor.times(&mass.grams()), factor })
}

/// A grade of leaf gelatine.
///
/// Source: gelatin conversion factors (linear rule), sheet weights. A maker's own weight governs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetGrade {
    /// 3.3 g a sheet, 125 to 155 Bloom.
    Bronze,
    /// 2.5 g a sheet, 160 Bloom.
    Silver,
    /// 2.0 g a sheet, 190 to 220 Bloom.
    Gold,
    /// 1.7 g a sheet, 235 to 265 Bloom.
    Platinum,
}

impl SheetGrade {
    /// Every grade, the weakest first.
    pub const ALL: [Self; 4] = [Self::Bronze, Self::Silver, Self::Gold, Self::Platinum];

    /// What one sheet weighs.
    pub fn sheet(self) -> Mass {
        let tenths = match self {
            Self::Bronze => 33,
            Self::Silver => 25,
            Self::Gold => 20,
            Self::Platinum => 17,
        };
        Mass::of_grams(Exact::ratio(tenths, 10).expect("a constant denominator"))
    }

    /// The weakest and the strongest of the grade, in grams Bloom.
    pub fn blooms(self) -> (Bloom, Bloom) {
        let (low, high) = match self {
            Self::Bronze => (125, 155),
            Self::Silver => (160, 160),
            Self::Gold => (190, 220),
            Self::Platinum => (235, 265),
        };
        (Bloom(Exact::from(low)), Bloom(Exact::from(high)))
    }

    /// What so many sheets weigh.
    pub fn mass_of(self, sheets: &Pieces) -> Result<Mass, DoughError> {
        let mass = self.sheet() * sheets.0.clone();
        check::mass("gelatine", &mass)?;
        Ok(mass)
    }

    /// How many sheets a mass is; seldom a whole number. The inverse of [`SheetGrade::mass_of`].
    pub fn sheets_for(self, mass: &Mass) -> Result<Pieces, DoughError> {
        check::mass("gelatine", mass)?;
        Ok(Pieces(mass.grams() / self.sheet().grams()))
    }
}
