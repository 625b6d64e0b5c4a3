"""Gelatine and overrun."""

from ..build import case

TITLE = "Set and air"
LINEAR = "gelatin conversion factors (linear rule), sheet weights"
ROOT = "gelatin conversion table by Bloom (square-root rule); it prints factors of two decimals, cut loosely"
GUELPH = "University of Guelph ice cream pages: 94.6 %"
PARTS = "overrun calculations after the University of Guelph"


def _gelatine(name, rule, mass, recipe, own):
    source = LINEAR if rule == "linear" else ROOT
    return case(name, f"set {rule} rule", "gelatine", source, rule=rule, mass=mass, recipe_bloom=recipe, own_bloom=own)


def _sheets(name, grade, **given):
    return case(name, "set sheets", "gelatine-sheets", LINEAR, grade=grade, **given)


CASES = [
    _gelatine("the linear rule is mass times strength", "linear", "10 g", "240", "200"),
    _gelatine("the linear rule at its ends", "linear", "10 g", "265", "125"),
    _gelatine("the linear rule above its range is refused", "linear", "10 g", "240", "266"),
    _gelatine("the linear rule below its range is refused", "linear", "10 g", "124", "200"),
    _gelatine("the root rule is no exact mass, its square is", "root", "10 g", "200", "160"),
    _gelatine("the root rule where the root is rational", "root", "10 g", "240", "60"),
    _gelatine("the two rules disagree: linear", "linear", "1 g", "240", "160"),
    _gelatine("the two rules disagree: root", "root", "1 g", "240", "160"),
    _gelatine("stronger gelatine, less of it", "root", "7.5 g", "160", "240"),
    _gelatine("equal strengths change nothing", "root", "7 g", "180", "180"),
    _gelatine("a root's digits are those of the root itself", "root", "1 kg", "61", "260"),
    _gelatine("the root rule below its range is refused", "root", "10 g", "59", "200"),
    _sheets("a mass in gold sheets", "gold", mass="15 g"),
    _sheets("a mass is seldom whole sheets", "bronze", mass="10 g"),
    _sheets("what silver sheets weigh", "silver", sheets="7"),
    _sheets("what platinum sheets weigh", "platinum", sheets="2 1/2"),
    case("overrun by the weight of one measure", "air overrun", "overrun", GUELPH, mix="1090 g", product="560 g"),
    case("no air is 0 %", "air overrun", "overrun", mix="1 kg", product="1 kg"),
    case("a product heavier than its mix is refused", "air overrun", "overrun", mix="1 kg", product="1001 g"),
    case("what a measure weighs at 5 %", "air aerated", "aerated", PARTS, mass="110 g", overrun="5 %"),
    case("what a measure weighs at 10 %", "air aerated", "aerated", PARTS, mass="110 g", overrun="10 %"),
    case("what a litre weighs at 100 %", "air aerated", "aerated", PARTS, mass="1100 g", overrun="100 %"),
    case("a density with air in it", "air aerated", "aerated", density="1.1 g/mL", overrun="85 %"),
    case("the density of the mix behind a product", "air before air", "before-air", density="0.62 g/mL", overrun="75 %"),
]
