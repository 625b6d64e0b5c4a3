//! What can be dissolved in a formula's water.

use chablon_model::Detail;
use chablon_quantity::Number;

use crate::number::dec;

/// A sugar or a sugar alcohol.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Solute {
    /// Sucrose.
    Sucrose,
    /// Glucose (dextrose).
    Glucose,
    /// Fructose.
    Fructose,
    /// Glucose and fructose in equal parts.
    InvertSugar,
    /// Maltose.
    Maltose,
    /// Lactose.
    Lactose,
    /// Glycerol.
    Glycerol,
    /// Sorbitol (glucitol).
    Sorbitol,
    /// Xylitol.
    Xylitol,
    /// Erythritol.
    Erythritol,
    /// Mannitol.
    Mannitol,
}

/// What is published of a solute.
pub(super) struct Figures {
    /// The constant K of Norrish's equation with mole fractions and the natural logarithm.
    pub(super) norrish: Number,
    /// Grams per mole.
    pub(super) molar_mass: Number,
    /// Sweetness against sucrose, where it is published.
    pub(super) sweetness: Option<Number>,
}

const fn figures(norrish: Number, molar_mass: Number, sweetness: Option<Number>) -> Figures {
    Figures { norrish, molar_mass, sweetness }
}

impl Solute {
    /// Every one.
    pub const ALL: [Self; 11] = [
        Self::Sucrose,
        Self::Glucose,
        Self::Fructose,
        Self::InvertSugar,
        Self::Maltose,
        Self::Lactose,
        Self::Glycerol,
        Self::Sorbitol,
        Self::Xylitol,
        Self::Erythritol,
        Self::Mannitol,
    ];

    /// Those that a book counts as sugars.
    pub const SUGARS: [Self; 6] = [
        Self::Sucrose,
        Self::Glucose,
        Self::Fructose,
        Self::InvertSugar,
        Self::Maltose,
        Self::Lactose,
    ];

    /// Its name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Sucrose => "sucrose",
            Self::Glucose => "glucose",
            Self::Fructose => "fructose",
            Self::InvertSugar => "invert-sugar",
            Self::Maltose => "maltose",
            Self::Lactose => "lactose",
            Self::Glycerol => "glycerol",
            Self::Sorbitol => "sorbitol",
            Self::Xylitol => "xylitol",
            Self::Erythritol => "erythritol",
            Self::Mannitol => "mannitol",
        }
    }

    /// The solute that a detail is of.
    pub fn of(detail: Detail) -> Option<Self> {
        Some(match detail {
            Detail::Sucrose => Self::Sucrose,
            Detail::Glucose => Self::Glucose,
            Detail::Fructose => Self::Fructose,
            Detail::InvertSugar => Self::InvertSugar,
            Detail::Maltose => Self::Maltose,
            Detail::Lactose => Self::Lactose,
            Detail::Glycerol => Self::Glycerol,
            Detail::Sorbitol => Self::Sorbitol,
            Detail::Xylitol => Self::Xylitol,
            Detail::Erythritol => Self::Erythritol,
            Detail::Mannitol => Self::Mannitol,
            Detail::MilkFat | Detail::CocoaButter | Detail::DryCocoa => return None,
        })
    }

    /// Norrish's K: sugar alcohols and glycerol after the table of alditols at 25 °C, constant K of
    /// aw = x1 exp(-K x2²) (PMC2836749, table 3); sugars from memory. Molar masses from memory.
    /// Sweetness of 10 % solutions after Belitz, Grosch and Schieberle, Food Chemistry, from memory;
    /// published figures differ by a fifth and more.
    pub(super) fn figures(self) -> Figures {
        let sweet = |percent| Some(dec(percent, -2));
        match self {
            Self::Sucrose => figures(dec(647, -2), dec(342_296, -3), sweet(100)),
            Self::Glucose => figures(dec(225, -2), dec(180_156, -3), sweet(69)),
            Self::Fructose => figures(dec(225, -2), dec(180_156, -3), sweet(114)),
            Self::InvertSugar => figures(dec(225, -2), dec(180_156, -3), sweet(95)),
            Self::Maltose => figures(dec(454, -2), dec(342_296, -3), sweet(46)),
            Self::Lactose => figures(dec(102, -1), dec(342_296, -3), sweet(39)),
            Self::Glycerol => figures(dec(116, -2), dec(92_094, -3), None),
            Self::Sorbitol => figures(dec(165, -2), dec(182_172, -3), sweet(51)),
            Self::Xylitol => figures(dec(166, -2), dec(15_215, -2), sweet(102)),
            Self::Erythritol => figures(dec(134, -2), dec(12_212, -2), None),
            Self::Mannitol => figures(dec(906, -3), dec(182_172, -3), sweet(69)),
        }
    }
}
