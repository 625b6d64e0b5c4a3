//! What the small sums of the bench rest on: the rule, who published it, and how far it goes.

use crate::dough::sources;

/// What a calculation rests on, in words for people.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct About {
    /// The rule.
    pub rule: &'static str,
    /// Where the rule or its figures are published.
    pub source: &'static str,
    /// Within what it holds. Beyond that there is an error and no figure.
    pub range: &'static str,
}

/// The water temperature for a dough.
pub const DOUGH_WATER: About = About {
    rule: "target x 3 - flour - room - friction; with a preferment target x 4, less that too",
    source: "worked examples in Pizza Today, June 2018, and in quoted course notes on the base \
             temperature",
    range: "water from 0 to 100 °C; no other range is published",
};

/// The friction of a mixer.
pub const FRICTION: About = About {
    rule: "dough x 3 - flour - room - water; with a preferment dough x 4, less that too",
    source: "the rule for the water's temperature, solved for the friction",
    range: "none is published",
};

/// Ice by the bakers' round figure for its melting.
pub const ICE_BAKERS: About = About {
    rule: "in place of water: water x (tap - wanted) / (tap + 80); on top of it: over (wanted + \
           80); in °C",
    source: "professional baking texts, from memory: melting takes as much as 80 °C of water",
    range: "tap and wanted water from 0 to 100 °C, the wanted not above the tap's",
};

/// Ice by the measured heat of its melting.
pub const ICE_MEASURED: About = About {
    rule: "in place of water: water x (tap - wanted) / (tap + 334.6/4.186); on top of it: over \
           (wanted + 334.6/4.186); in °C",
    source: "\"A simple calculation (ice)\", article with a worked example: 334.6 kJ/kg and 4.186 \
             kJ/(kg K)",
    range: "tap and wanted water from 0 to 100 °C, the wanted not above the tap's",
};

/// Gelatine exchanged in proportion to its strength.
pub const GELATINE_PROPORTIONAL: About = About {
    rule: "mass x recipe's Bloom / own Bloom",
    source: sources::BLOOM_PROPORTIONAL,
    range: "125 to 265 Bloom",
};

/// Gelatine exchanged by the root of its strength.
pub const GELATINE_SQUARE_ROOT: About = About {
    rule: "mass x square root of (recipe's Bloom / own Bloom)",
    source: sources::BLOOM_SQUARE_ROOT,
    range: "60 to 260 Bloom",
};

/// Leaves of gelatine.
pub const GELATINE_LEAVES: About = About {
    rule: "mass / mass of one leaf: bronze 3.3 g, silver 2.5 g, gold 2 g, platinum 1.7 g",
    source: "gelatin conversion factors (linear rule) and sheet weights; a maker's own weight \
             governs",
    range: "any mass",
};

/// Air in an ice cream, a mousse, a cream.
pub const OVERRUN: About = About {
    rule: "(mix - product) / product, in the same measure",
    source: "University of Guelph ice cream pages, overrun by weight",
    range: "0 % and more",
};

/// The strength of a syrup.
pub const SYRUP_STRENGTH: About = About {
    rule: "100 x sugar / (sugar + water)",
    source: "by definition of degrees Brix, of plain sucrose",
    range: "0 to 100 Brix",
};

/// A syrup thinned, sweetened or boiled down.
pub const SYRUP_CHANGE: About = About {
    rule: "sugar and water both stay: water to add is syrup x (from / to - 1), sugar to add is \
           syrup x (to - from) / (100 - to), what is left of boiling is syrup x from / to",
    source: "a balance of mass, of plain sucrose",
    range: "0 to 100 Brix; what can't be reached is refused",
};

/// At what temperature a syrup boils.
pub const SYRUP_BOILING: About = About {
    rule: "the published table, straight between two rows",
    source: sources::BOILING,
    range: "50 to 90 Brix, 102 to 127.8 °C",
};

/// How much sugar water holds.
pub const SYRUP_SATURATION: About = About {
    rule: "the published table, straight between two rows",
    source: sources::SATURATION,
    range: "0 to 100 °C, 64.18 to 82.87 Brix",
};

/// The stages of cooked sugar.
pub const SUGAR_STAGES: About = About {
    rule: "the published ranges, 1 °C less for every 305 m above the sea",
    source: "McGee, On Food and Cooking: sugar stages; altitude by New Mexico State University \
             Guide E-215",
    range: "102 to 190 °C at sea level; 0 to 3048 m",
};

/// Baker's percentages.
pub const BAKERS_PERCENT: About = About {
    rule: "base = total / sum of the percentages; a line = base x its percentage",
    source: "by definition",
    range: "percentages of 0 and more that don't add up to 0",
};

/// Two of a kind blended.
pub const BLEND: About = About {
    rule: "of the first (target - second) / (first - second)",
    source: "Pearson square, a balance of mass",
    range: "0 to 100 %, the target between the two",
};

/// Eggs of a US size.
pub const EGGS: About = About {
    rule: "mass / edible mass of one: small 38 g, medium 44 g, large 50 g, extra large 56 g, jumbo \
           63 g; of a large one the white 33 g, the yolk 17 g",
    source: "USDA National Nutrient Database for Standard Reference, release 28, household weights",
    range: "any mass",
};

/// Areas and volumes.
pub const SHAPES: About = About {
    rule: "area x thickness x density; pi is 3.141592653589793 by agreement",
    source: "elementary geometry",
    range: "sizes above 0",
};

/// Pieces on a sheet.
pub const SHEET: About = About {
    rule: "floor((side + gap) / (piece + gap)) in a row; staggered rows are sqrt(3)/2 of a step \
           apart, 0.8660254037844386 by agreement",
    source: "elementary geometry",
    range: "patterns of one kind throughout; a mixed one may hold a piece more",
};

/// Trays and oven loads.
pub const OVEN: About = About {
    rule: "tray after tray and load after load, only the last part filled",
    source: "counting",
    range: "at least 1 piece to a tray and 1 tray to a load",
};
