//! Eggs by size and by mass.

use chablon_quantity::{Exact, Grams, Mass, Pieces};

use super::{DoughError, check};

/// A US size of shell egg.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EggSize {
    /// Small.
    Small,
    /// Medium.
    Medium,
    /// Large.
    Large,
    /// Extra large.
    ExtraLarge,
    /// Jumbo.
    Jumbo,
}

impl EggSize {
    /// What a raw egg weighs without its shell.
    ///
    /// Source: USDA National Nutrient Database for Standard Reference, release 28, household
    /// weights of "Egg, whole, raw, fresh" (01123).
    pub fn edible(self) -> Mass {
        Mass::of_grams(match self {
            Self::Small => 38,
            Self::Medium => 44,
            Self::Large => 50,
            Self::ExtraLarge => 56,
            Self::Jumbo => 63,
        })
    }

    /// How many eggs a mass of shelled egg takes; seldom a whole number.
    pub fn eggs_for(self, mass: &Mass) -> Result<Pieces, DoughError> {
        eggs(mass, &self.edible())
    }
}

/// A part of a large US egg.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EggPart {
    /// The white.
    White,
    /// The yolk.
    Yolk,
}

impl EggPart {
    /// What the part of one large egg weighs.
    ///
    /// Source: same release, household weights of raw white (01124) and yolk (01125); other sizes
    /// have no published figure.
    pub fn of_large(self) -> Mass {
        Mass::of_grams(match self {
            Self::White => 33,
            Self::Yolk => 17,
        })
    }

    /// How many large eggs a mass of the part takes.
    pub fn large_eggs_for(self, mass: &Mass) -> Result<Pieces, DoughError> {
        eggs(mass, &self.of_large())
    }
}

/// A European class of shell egg by its mass in the shell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum EggClass {
    /// S: below 53 g.
    Small,
    /// M: 53 g and more.
    Medium,
    /// L: 63 g and more.
    Large,
    /// XL: 73 g and more.
    VeryLarge,
}

impl EggClass {
    /// The class of an egg that weighs this much in its shell.
    ///
    /// Source: EU egg weight bands as quoted (Delegated Regulation (EU) 2023/2465); that a bound
    /// belongs to the class above it is from memory.
    pub fn of(in_shell: &Mass) -> Result<Self, DoughError> {
        check::some_mass("egg in its shell", in_shell)?;
        let at_least = |grams: u8| in_shell.grams() >= Exact::from(grams);
        Ok(match () {
            () if at_least(73) => Self::VeryLarge,
            () if at_least(63) => Self::Large,
            () if at_least(53) => Self::Medium,
            () => Self::Small,
        })
    }
}

fn eggs(mass: &Mass, one: &Mass) -> Result<Pieces, DoughError> {
    check::mass("egg", mass)?;
    Ok(Pieces(mass.grams() / one.grams()))
}
