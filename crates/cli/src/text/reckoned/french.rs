//! The small sums of the bench in French.

use chablon_arith::dough::HOT_SUGAR_CAUTION;

/// Titles, labels, rules and ranges, each after its English.
const WORDS: &[(&str, &str)] = &[
    ("Water for the dough", "Eau de coulage"),
    ("water", "eau"),
    ("Friction of the mixer", "Échauffement du batteur"),
    ("friction, as a difference", "échauffement, en écart"),
    ("Ice for the water", "Glace pour l’eau"),
    ("ice, at 0 °C", "glace, à 0 °C"),
    ("water from the tap", "eau du robinet"),
    ("Gelatine in place of the recipe's", "Gélatine à la place de celle de la recette"),
    ("own gelatine", "gélatine à employer"),
    ("for 1 g of the recipe's", "pour 1 g de celle de la recette"),
    ("Leaves of gelatine", "Feuilles de gélatine"),
    ("leaves", "feuilles"),
    ("Overrun", "Foisonnement"),
    ("overrun", "foisonnement"),
    ("Density at the overrun", "Masse volumique foisonnée"),
    ("density", "masse volumique"),
    ("a litre weighs", "un litre pèse"),
    ("Syrup", "Sirop"),
    ("strength", "concentration"),
    ("sugar to 100 g of water", "sucre pour 100 g d’eau"),
    ("boils at", "bout à"),
    ("crystallises below", "cristallise en dessous de"),
    ("Syrup that boils", "Sirop à l’ébullition"),
    ("Syrup brought to a strength", "Sirop ramené à une concentration"),
    ("water to add", "eau à ajouter"),
    ("sugar to add", "sucre à ajouter"),
    ("syrup then", "sirop obtenu"),
    ("Syrup boiled down", "Sirop réduit"),
    ("left in the pan", "reste dans la casserole"),
    ("water that leaves", "eau évaporée"),
    ("Cooked sugar", "Sucre cuit"),
    ("stage", "stade"),
    ("the last that is over", "le dernier dépassé"),
    ("the next", "le suivant"),
    ("Mass of the piece", "Masse de la pièce"),
    ("mass", "masse"),
    ("volume", "volume"),
    ("Thickness of the piece", "Épaisseur de la pièce"),
    ("thickness", "épaisseur"),
    ("Fill of the mould", "Remplissage du moule"),
    ("From one mould to another", "D’un moule à l’autre"),
    ("times the recipe", "fois la recette"),
    ("Pieces of a sheet", "Pièces d’une plaque"),
    ("pieces", "pièces"),
    ("laid", "disposition"),
    ("offcut", "chutes"),
    ("in plain rows only", "en rangées simples seulement"),
    ("Trays and oven loads", "Plaques et fournées"),
    ("pieces to a tray", "pièces par plaque"),
    ("trays", "plaques"),
    ("pieces on the last tray", "pièces sur la dernière plaque"),
    ("oven loads", "fournées"),
    ("trays in the last load", "plaques dans la dernière fournée"),
    ("Weights of the formula", "Pesées de la formule"),
    ("the base, 100 %", "la base, 100 %"),
    ("all of it", "le tout"),
    ("Blend", "Mélange"),
    ("of the first", "du premier"),
    ("of the second", "du second"),
    ("the first", "le premier"),
    ("the second", "le second"),
    ("Eggs", "Œufs"),
    ("eggs", "œufs"),
    ("to open", "à casser"),
    (
        "target x 3 - flour - room - friction; with a preferment target x 4, less that too",
        "température visée x 3 - farine - fournil - échauffement ; avec un préferment visée x 4, moins celui-ci aussi",
    ),
    (
        "water from 0 to 100 °C; no other range is published",
        "eau de 0 à 100 °C ; aucun autre domaine n’est publié",
    ),
    (
        "dough x 3 - flour - room - water; with a preferment dough x 4, less that too",
        "pâte x 3 - farine - fournil - eau ; avec un préferment pâte x 4, moins celui-ci aussi",
    ),
    ("none is published", "aucun n’est publié"),
    (
        "in place of water: water x (tap - wanted) / (tap + 80); on top of it: over (wanted + 80); in °C",
        "à la place d’eau : eau x (robinet - voulue) / (robinet + 80) ; en plus : sur (voulue + 80) ; en °C",
    ),
    (
        "in place of water: water x (tap - wanted) / (tap + 334.6/4.186); on top of it: over (wanted + 334.6/4.186); in °C",
        "à la place d’eau : eau x (robinet - voulue) / (robinet + 334,6/4,186) ; en plus : sur (voulue + 334,6/4,186) ; en °C",
    ),
    (
        "tap and wanted water from 0 to 100 °C, the wanted not above the tap's",
        "eau du robinet et eau voulue de 0 à 100 °C, la voulue pas au-dessus de celle du robinet",
    ),
    ("mass x recipe's Bloom / own Bloom", "masse x Bloom de la recette / Bloom employé"),
    ("125 to 265 Bloom", "125 à 265 Bloom"),
    (
        "mass x square root of (recipe's Bloom / own Bloom)",
        "masse x racine carrée de (Bloom de la recette / Bloom employé)",
    ),
    ("60 to 260 Bloom", "60 à 260 Bloom"),
    (
        "mass / mass of one leaf: bronze 3.3 g, silver 2.5 g, gold 2 g, platinum 1.7 g",
        "masse / masse d’une feuille : bronze 3,3 g, argent 2,5 g, or 2 g, platine 1,7 g",
    ),
    ("any mass", "toute masse"),
    (
        "(mix - product) / product, in the same measure",
        "(mix - produit) / produit, dans la même mesure",
    ),
    ("0 % and more", "0 % et plus"),
    ("100 x sugar / (sugar + water)", "100 x sucre / (sucre + eau)"),
    ("0 to 100 Brix", "0 à 100 Brix"),
    (
        "sugar and water both stay: water to add is syrup x (from / to - 1), sugar to add is syrup x (to - from) / (100 - to), what is left of boiling is syrup x from / to",
        "sucre et eau restent : l’eau à ajouter est sirop x (départ / visée - 1), le sucre à ajouter sirop x (visée - départ) / (100 - visée), ce qui reste à la cuisson sirop x départ / visée",
    ),
    (
        "0 to 100 Brix; what can't be reached is refused",
        "0 à 100 Brix ; ce qui ne peut être atteint est refusé",
    ),
    (
        "the published table, straight between two rows",
        "la table publiée, en ligne droite entre deux rangs",
    ),
    ("50 to 90 Brix, 102 to 127.8 °C", "50 à 90 Brix, 102 à 127,8 °C"),
    ("0 to 100 °C, 64.18 to 82.87 Brix", "0 à 100 °C, 64,18 à 82,87 Brix"),
    (
        "the published ranges, 1 °C less for every 305 m above the sea",
        "les plages publiées, 1 °C de moins tous les 305 m au-dessus de la mer",
    ),
    ("102 to 190 °C at sea level; 0 to 3048 m", "102 à 190 °C au niveau de la mer ; 0 à 3048 m"),
    (
        "base = total / sum of the percentages; a line = base x its percentage",
        "base = total / somme des pourcentages ; une ligne = base x son pourcentage",
    ),
    (
        "percentages of 0 and more that don't add up to 0",
        "pourcentages de 0 et plus dont la somme n’est pas 0",
    ),
    (
        "of the first (target - second) / (first - second)",
        "du premier (visée - second) / (premier - second)",
    ),
    ("0 to 100 %, the target between the two", "0 à 100 %, la visée entre les deux"),
    (
        "mass / edible mass of one: small 38 g, medium 44 g, large 50 g, extra large 56 g, jumbo 63 g; of a large one the white 33 g, the yolk 17 g",
        "masse / masse sans coquille d’un œuf (calibres des États-Unis) : small 38 g, medium 44 g, large 50 g, extra large 56 g, jumbo 63 g ; d’un large le blanc 33 g, le jaune 17 g",
    ),
    (
        "area x thickness x density; pi is 3.141592653589793 by agreement",
        "aire x épaisseur x masse volumique ; pi vaut 3,141592653589793 par convention",
    ),
    ("sizes above 0", "mesures supérieures à 0"),
    (
        "floor((side + gap) / (piece + gap)) in a row; staggered rows are sqrt(3)/2 of a step apart, 0.8660254037844386 by agreement",
        "partie entière de (côté + écart) / (pièce + écart) par rangée ; en quinconce les rangées sont distantes de racine(3)/2 d’un pas, 0,8660254037844386 par convention",
    ),
    (
        "patterns of one kind throughout; a mixed one may hold a piece more",
        "disposition d’une seule sorte ; une disposition mixte peut contenir une pièce de plus",
    ),
    (
        "tray after tray and load after load, only the last part filled",
        "plaque après plaque et fournée après fournée, seule la dernière incomplète",
    ),
    (
        "at least 1 piece to a tray and 1 tray to a load",
        "au moins 1 pièce par plaque et 1 plaque par fournée",
    ),
    (
        HOT_SUGAR_CAUTION,
        "Attention : sirop bouillant et sucre cuit collent à la peau et brûlent profondément. Ce sont des chiffres, non une façon sûre de travailler : laisser le sucre chaud au personnel formé ; les règles de sécurité du site et le droit local passent d’abord.",
    ),
];

/// Parts of words that are put together, each after its English; longer ones first.
const PHRASES: &[(&str, &str)] = &[
    ("between two stages", "entre deux stades"),
    ("rows of", "rangées de"),
    ("row of", "rangée de"),
    (" by turns, along the ", " en alternance, dans la "),
    (" along the ", " dans la "),
    ("length", "longueur"),
    ("width", "largeur"),
    (" and ", " et "),
    ("thread", "filé"),
    ("soft ball", "petit boulé"),
    ("firm ball", "boulé"),
    ("hard ball", "gros boulé"),
    ("soft crack", "petit cassé"),
    ("hard crack", "grand cassé"),
    ("light caramel", "caramel clair"),
    ("medium caramel", "caramel blond"),
    ("dark caramel", "caramel foncé"),
    (" to ", " à "),
    (".", ","),
];

/// Fixed words, where they are known.
pub(super) fn of(english: &str) -> Option<&'static str> {
    WORDS.iter().find(|(known, _)| *known == english).map(|(_, french)| *french)
}

/// Words that are put together of known ones and numbers.
pub(super) fn words(english: &str) -> String {
    let said = |text: String, (from, to): &(&str, &str)| text.replace(from, to);
    PHRASES.iter().fold(english.to_owned(), said)
}

#[cfg(test)]
mod tests {
    use chablon_arith::about;

    use super::{of, words};

    #[test]
    fn every_rule_and_range_has_its_french() {
        let all = [
            about::DOUGH_WATER,
            about::FRICTION,
            about::ICE_BAKERS,
            about::ICE_MEASURED,
            about::GELATINE_PROPORTIONAL,
            about::GELATINE_SQUARE_ROOT,
            about::GELATINE_LEAVES,
            about::OVERRUN,
            about::SYRUP_STRENGTH,
            about::SYRUP_CHANGE,
            about::SYRUP_BOILING,
            about::SYRUP_SATURATION,
            about::SUGAR_STAGES,
            about::BAKERS_PERCENT,
            about::BLEND,
            about::EGGS,
            about::SHAPES,
            about::SHEET,
            about::OVEN,
        ];
        for about in all {
            assert!(of(about.rule).is_some(), "{}", about.rule);
            assert!(of(about.range).is_some(), "{}", about.range);
        }
    }

    #[test]
    fn words_are_put_together_likewise() {
        assert_eq!(words("soft ball, 112.0 to 116.0 °C"), "petit boulé, 112,0 à 116,0 °C");
        let laid = "8 rows of 5 and 4 by turns, along the length";
        assert_eq!(words(laid), "8 rangées de 5 et 4 en alternance, dans la longueur");
    }
}
