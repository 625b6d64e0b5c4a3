//! Ingredients: what is bought.

use std::collections::BTreeMap;

use chablon_quantity::{Authored, DensityUnit, MassUnit, ShareUnit};

use crate::{IngredientId, Text};

/// Something bought, as every kitchen of the group knows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ingredient {
    /// The id.
    pub id: IngredientId,
    /// The name by language.
    pub name: Text,
    /// How it stands in a list of ingredients, where that differs from the name.
    pub label_name: Text,
    /// Mass over volume, needed by lines and packs in volumes.
    pub density: Option<Authored<DensityUnit>>,
    /// The edible part of one piece, needed by lines and packs in pieces.
    pub piece_mass: Option<Authored<MassUnit>>,
    /// How much of what is purchased is edible; all of it where unstated.
    pub edible_yield: Option<Authored<ShareUnit>>,
    /// Stated allergen states; what isn't stated here or below is unknown.
    pub allergens: BTreeMap<Allergen, AllergenState>,
    /// The state of every allergen that isn't named above.
    pub other_allergens: Option<AllergenState>,
    /// What 100 g of the edible part hold.
    pub content: Content,
    /// Which sugars, whose fat: what of the content is stated more closely.
    pub details: Details,
    /// The constituents of a compound ingredient, in descending order.
    pub made_of: Vec<Constituent>,
    /// For people.
    pub note: Option<String>,
}

/// One constituent of a compound ingredient.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Constituent {
    /// What it is.
    pub ingredient: IngredientId,
    /// Its share, where declared.
    pub amount: Option<Authored<ShareUnit>>,
}

/// Declared content in grams per 100 g edible part; what isn't stated is not known.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Content(
    /// Mass per 100 g.
    pub BTreeMap<Nutrient, Authored<MassUnit>>,
);

/// What 100 g of the edible part hold of single sugars and sugar alcohols, milk fat and cocoa.
///
/// What is stated of two things is stated whole: where one sugar is named, the others that aren't
/// are part of the sugars of unknown kind; where milk fat, cocoa butter or dry cocoa is named, the
/// others that aren't are none.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Details(
    /// Mass per 100 g.
    pub BTreeMap<Detail, Authored<MassUnit>>,
);

macro_rules! named {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident $text:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $($(#[$vdoc])* $variant,)+
        }

        impl $name {
            /// Every one, in the order in which they are listed.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The name in a book.
            pub fn as_str(self) -> &'static str {
                match self {
                    $(Self::$variant => $text,)+
                }
            }

            /// The one of this name.
            pub fn parse(name: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|one| one.as_str() == name)
            }
        }
    };
}
pub(crate) use named;

named!(
    /// What content is declared of.
    Nutrient {
        /// Water.
        Water "water",
        /// Fat.
        Fat "fat",
        /// Of the fat, saturated fatty acids.
        Saturates "saturates",
        /// Metabolised carbohydrate, fibre left out.
        Carbohydrate "carbohydrate",
        /// Of the carbohydrate, mono- and disaccharides.
        Sugars "sugars",
        /// Of the carbohydrate, sugar alcohols.
        Polyols "polyols",
        /// Fibre.
        Fibre "fibre",
        /// Protein.
        Protein "protein",
        /// Salt equivalent: sodium x 2.5.
        Salt "salt",
        /// Ethanol.
        Alcohol "alcohol",
    }
);

named!(
    /// What of the content is stated more closely.
    Detail {
        /// Of the sugars, sucrose.
        Sucrose "sucrose",
        /// Of the sugars, glucose (dextrose).
        Glucose "glucose",
        /// Of the sugars, fructose.
        Fructose "fructose",
        /// Of the sugars, glucose and fructose in equal parts.
        InvertSugar "invert_sugar",
        /// Of the sugars, maltose.
        Maltose "maltose",
        /// Of the sugars, lactose.
        Lactose "lactose",
        /// Of the polyols, glycerol.
        Glycerol "glycerol",
        /// Of the polyols, sorbitol.
        Sorbitol "sorbitol",
        /// Of the polyols, xylitol.
        Xylitol "xylitol",
        /// Of the polyols, erythritol.
        Erythritol "erythritol",
        /// Of the polyols, mannitol.
        Mannitol "mannitol",
        /// Of the fat, that of milk.
        MilkFat "milk_fat",
        /// Of the fat, that of the cocoa bean, in cocoa mass and chocolate too.
        CocoaButter "cocoa_butter",
        /// All that comes from the cocoa bean, dry, its butter included.
        DryCocoa "dry_cocoa",
    }
);

impl Detail {
    /// What it is a part of; nothing where it is a part of the whole.
    pub fn part_of(self) -> Option<Nutrient> {
        match self {
            Self::Sucrose
            | Self::Glucose
            | Self::Fructose
            | Self::InvertSugar
            | Self::Maltose
            | Self::Lactose => Some(Nutrient::Sugars),
            Self::Glycerol | Self::Sorbitol | Self::Xylitol | Self::Erythritol | Self::Mannitol => {
                Some(Nutrient::Polyols)
            }
            Self::MilkFat | Self::CocoaButter => Some(Nutrient::Fat),
            Self::DryCocoa => None,
        }
    }
}

named!(
    /// What is known of one allergen in one ingredient.
    AllergenState {
        /// It is free of it.
        Free "free",
        /// Traces can't be ruled out.
        MayContain "may-contain",
        /// It isn't known. Worse than may-contain, since it can hide a contains.
        Unknown "unknown",
        /// It contains it.
        Contains "contains",
    }
);

/// An allergen: one of the 14 groups of Annex II to Regulation (EU) No 1169/2011, or a kind
/// within a group: `gluten`, `gluten.wheat`, `nuts.almond`.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Allergen(&'static str);

/// The codes a book may use: groups first, then kinds.
///
/// Kinds of cereals and nuts after Annex II; `pine-nut` after the US list of tree nuts.
const CODES: &[&str] = &[
    "gluten",
    "crustaceans",
    "egg",
    "fish",
    "peanuts",
    "soya",
    "milk",
    "nuts",
    "celery",
    "mustard",
    "sesame",
    "sulphites",
    "lupin",
    "molluscs",
    "gluten.wheat",
    "gluten.spelt",
    "gluten.khorasan",
    "gluten.rye",
    "gluten.barley",
    "gluten.oats",
    "nuts.almond",
    "nuts.hazelnut",
    "nuts.walnut",
    "nuts.cashew",
    "nuts.pecan",
    "nuts.brazil",
    "nuts.pistachio",
    "nuts.macadamia",
    "nuts.pine-nut",
];

/// How many of [`CODES`] are groups.
const GROUPS: usize = 14;

/// Why a text names no allergen.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{0}` is not an allergen code; groups are `gluten`, `egg`, `milk` and so on, kinds `gluten.wheat`, `nuts.almond`"
)]
pub struct UnknownAllergen(pub String);

impl Allergen {
    /// Every code a book may use.
    pub fn codes() -> &'static [&'static str] {
        CODES
    }

    /// The same, as allergens.
    pub fn all() -> impl Iterator<Item = Self> {
        CODES.iter().map(|code| Self(code))
    }

    /// The 14 groups.
    pub fn groups() -> impl Iterator<Item = Self> {
        CODES[..GROUPS].iter().map(|code| Self(code))
    }

    /// The code.
    pub fn code(&self) -> &'static str {
        self.0
    }

    /// The group that this kind belongs to; a group belongs to itself.
    #[must_use]
    pub fn group(&self) -> Self {
        self.0.split_once('.').map_or_else(|| self.clone(), |(group, _)| Self(group))
    }

    /// The kinds within a group, in the order of the codes; a kind has none.
    pub fn kinds(&self) -> impl Iterator<Item = Self> + use<> {
        let group = self.0;
        let within =
            move |code: &&&str| code.strip_prefix(group).is_some_and(|rest| rest.starts_with('.'));
        CODES[GROUPS..].iter().filter(within).map(|code| Self(code))
    }
}

impl std::str::FromStr for Allergen {
    type Err = UnknownAllergen;
    fn from_str(code: &str) -> Result<Self, UnknownAllergen> {
        let known = CODES.iter().find(|known| **known == code);
        known.map(|known| Self(known)).ok_or_else(|| UnknownAllergen(code.to_owned()))
    }
}

impl std::fmt::Display for Allergen {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.0)
    }
}

impl std::fmt::Debug for Allergen {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.0)
    }
}
