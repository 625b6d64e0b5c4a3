"""Baker's percentages, hydration, blends, eggs."""

from ..build import case

TITLE = "Formulas, blends and eggs"
LESSON = "math baking lesson 6: 51.43, 2.86, 2.86, 7.14, 8.57, 0.36; 173.21 in all"
PIZZA = "how to work with a formula expressed in baker's percent: 1.75, 2, 1.5, 3, 58"
WORKSHEET = "baker's percentage worksheet, 73 baguettes of 390 g"
SQUARE = "USDA Standard Reference 28: cream of 36.08 % and milk of 3.25 % fat to 10.39 %"
SR28 = "USDA National Nutrient Database for Standard Reference, release 28, household weights"
BANDS = "EU egg weight bands as quoted; that a bound belongs to the class above it is from memory"


def _lines(*masses):
    return [{"mass": masses[0], "base": True}, *({"mass": mass} for mass in masses[1:])]


def _eggs(name, **given):
    return case(name, "eggs US sizes", "eggs", SR28, **given)


def _class(name, in_shell):
    return case(name, "eggs EU classes", "egg-class", BANDS, in_shell=in_shell)


def _blend(name, source=None, **given):
    return case(name, "formula blend", "blend", source, **given)


CASES = [
    case(
        "each line over the flour", "formula percentages", "percentages", LESSON,
        lines=_lines("350 g", "180 g", "10 g", "10 g", "25 g", "30 g", "1.25 g"),
    ),
    case(
        "in ounces as well", "formula percentages", "percentages", PIZZA,
        lines=_lines("640 oz", "11.2 oz", "12.8 oz", "9.6 oz", "19.2 oz", "371.2 oz"),
    ),
    case(
        "two flours are the base together", "formula percentages", "percentages",
        lines=[{"mass": "800 g", "base": True}, {"mass": "650 g"}, {"mass": "200 g", "base": True}],
    ),
    case("without a base refused", "formula percentages", "percentages", lines=[{"mass": "1 kg"}]),
    case("weights for a total", "formula weights", "weights", WORKSHEET, percent=["100 %", "67 %", "2 %", "1 %"], total="28.47 kg"),
    case("weights for a mass of flour", "formula weights", "weights", percent=["100 %", "65 %", "1/3 %"], base="5 kg"),
    case("percentages of nothing are refused", "formula weights", "weights", percent=["0 %"], total="1 kg"),
    case(
        "hydration counts the water of every line", "formula hydration", "hydration",
        lines=[{"mass": "1 kg", "base": True}, {"mass": "600 g", "water": "100 %"}, {"mass": "100 g", "water": "87.5 %"}, {"mass": "20 g"}],
    ),
    case("hydration without a base is refused", "formula hydration", "hydration", lines=[{"mass": "1 kg", "water": "100 %"}]),
    _blend("two creams to a fat between theirs", SQUARE, first="36.08 %", second="3.25 %", target="10.39 %", total="1 kg"),
    _blend("the weaker first", first="3.5 %", second="35 %", target="20 %", total="1 kg"),
    _blend("all of the one", first="35 %", second="3.5 %", target="35 %", total="1 kg"),
    _blend("a strength outside the two is refused", first="35 %", second="3.5 %", target="36 %", total="1 kg"),
    _eggs("large eggs for a shelled mass", size="large", mass="1 kg"),
    _eggs("small eggs", size="small", mass="190 g"),
    _eggs("medium eggs", size="medium", mass="1 kg"),
    _eggs("extra large eggs", size="extra-large", mass="1 kg"),
    _eggs("jumbo eggs", size="jumbo", mass="1 kg"),
    _eggs("whites of large eggs", part="white", mass="500 g"),
    _eggs("yolks of large eggs", part="yolk", mass="500 g"),
    _class("a small egg", "52.999 g"),
    _class("a bound belongs to the class above", "53 g"),
    _class("a large egg", "63 g"),
    _class("an extra large egg", "73 g"),
]
