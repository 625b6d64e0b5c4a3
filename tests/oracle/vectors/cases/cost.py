"""What a plan costs: edible yield, totals, missing, standard unit cost (rules 6)."""

from ..build import asking, book, case, ingredient, line, price, recipe, site

TITLE = "Cost"

PANTRY = [
    ingredient("butter", piece_mass="50 g"),
    ingredient("egg", piece_mass="50 g"),
    ingredient("flour", piece_mass="50 g"),
    ingredient("milk-dry"),
    ingredient("pear", edible_yield="78 %"),
    ingredient("mango", edible_yield="75 %"),
    ingredient("salt"),
    ingredient("sugar"),
    ingredient("vanilla"),
]
BRIOCHE = recipe(
    "brioche",
    line("flour", "326 g"),
    line("milk-dry", "35 g"),
    line("sugar", "35 g"),
    line("butter", "142 g"),
    line("egg", "3 pieces"),
    yields={"pieces": 2, "piece_mass": "300 g"},
)
RECIPES = [
    BRIOCHE,
    recipe("pears", line("pear", "32 oz")),
    recipe("mango", line("mango", "1 lb"), yields={"pieces": 1}),
    recipe("thirds", line("salt", "1 g"), line("sugar", "1 g"), line("flour", "1 g")),
    recipe("filling", line("pear", "1 kg"), line("sugar", "150 g"), loss=[{"kind": "water", "fraction": "12 %"}, {"residue": "20 g"}], batch={"max": "2 kg"}),
    recipe("tart", line(">filling", "600 g"), line("flour", "250 g"), line("butter", "125 g"), yields={"pieces": 8}),
    recipe("with-vanilla", line("sugar", "100 g"), line("vanilla", "3 g"), yields={"pieces": 4}),
    recipe("vanilla-to-taste", line("sugar", "100 g"), line("vanilla", "to taste")),
    recipe("salt-to-taste", line("sugar", "100 g"), line("salt", "to taste")),
]
SITES = [site("harbour", currency="EUR"), site("kiosk", currency="JPY")]
PRICES = [
    price("flour", "800 g", "81.75 EUR", "2026-01-01"),
    price("milk-dry", "1 kg", "240 EUR", "2026-01-01"),
    price("sugar", "1 kg", "46 EUR", "2026-01-01"),
    price("butter", "200 g", "60 EUR", "2026-01-01"),
    price("egg", "1 pieces", "8.25 EUR", "2026-01-01"),
    price("pear", "1 kg", "2.40 EUR", "2026-01-01"),
    price("mango", "15 lb", "25 EUR", "2026-01-01"),
    price("salt", "3 kg", "10 EUR", "2026-01-01"),
]
RATES = [{"from": "EUR", "to": "JPY", "rate": "163.4", "on": "2026-01-01"}]
BOOKS = {"cost": book(PANTRY, RECIPES, SITES, {"group": {"price": PRICES, "rate": RATES}})}
_cost = asking("cost", "cost", "harbour", "2026-06-01")


def _standard(name, recipe_id):
    return case(name, "6.10 standard unit cost", "standard-cost", book="cost", recipe=recipe_id, site="harbour", on="2026-06-01")


SHEET = "bakery math drills TH2001, brioche cost sheet: total 110.67, 55.335 a portion"
PEARS = "Bakery and Business Math (open textbook), chapter 25: 32 oz of pears are 41.03 oz as purchased"
CASE = "bakeshop math lesson, 15 lb at 25.00 and 75 %; exact is 2.2222, its own 2.23 was rounded on the way"
CASES = [
    _cost("a cost sheet", "6.6 cost", "brioche", SHEET, factor="1"),
    _cost("purchased mass is edible mass by the edible yield", "6.6 edible yield", "pears", PEARS, factor="1"),
    _cost("nothing is rounded on the way to the unit cost", "1.3 rounding", "mango", CASE, factor="1"),
    _cost("a total is rounded once, its lines apart", "1.4 totals", "thirds", factor="1"),
    _cost("a tree costs what its plan takes", "6.6 cost", "tart", pieces="40"),
    _cost("a missing price is named and the rest is a lower bound", "6.8 missing", "with-vanilla", pieces="10"),
    _cost("an ingredient to taste without a price is missing", "6.8 missing", "vanilla-to-taste", factor="1"),
    _cost("an ingredient to taste with a price costs nothing", "6.8 missing", "salt-to-taste", factor="1"),
    _cost("totals have the decimals of their currency", "1.3 rounding", "tart", site="kiosk", pieces="40"),
    _standard("a standard unit cost by the piece", "brioche"),
    _standard("by the net gram where there are no pieces", "filling"),
    _standard("through components at their own standard", "tart"),
    _standard("with a missing price it is incomplete", "with-vanilla"),
    case("the price of which the food is a share", "6.11 price for a share", "price-for-share", food="3.20 EUR", share="28 %"),
    case("a share of 100 % is the food itself", "6.11 price for a share", "price-for-share", food="3.20 EUR", share="100 %"),
]
