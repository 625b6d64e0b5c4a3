"""Whole packs to order (rule 6.9)."""

from ..build import PANTRY, asking, book, line, price, recipe, site

TITLE = "Order"

RECIPES = [
    recipe("custard", line("egg", "3 pieces", scaling="whole"), line("milk", "500 g"), line("sugar", "90 g")),
    recipe("sponge", line("egg", "140 g"), line("flour", "90 g"), line(">custard", "100 g")),
    recipe("sweet", line("sugar", "1 kg"), line("salt", "1 g"), line("honey", "to taste")),
]
SITES = [site("harbour", currency="EUR")]
GROUP = {
    "price": [
        price("egg", "30 pieces", "7.20 EUR", "2026-01-01"),
        price("milk", "1 L", "1.10 EUR", "2026-01-01"),
        price("sugar", "1 kg", "1.19 EUR", "2026-01-01"),
        price("honey", "1 kg", "9.90 EUR", "2026-01-01"),
        price("flour", "25 kg", "30 GBP", "2026-01-01"),
    ],
    "rate": [{"from": "GBP", "to": "EUR", "rate": "1.17", "on": "2026-01-01"}],
}
BOOKS = {"order": book(PANTRY, RECIPES, SITES, {"group": GROUP})}


def _cost(name, recipe_id, **target):
    return asking("cost", "order", "harbour", "2026-06-01")(name, "6.9 order", recipe_id, **target)


CASES = [
    _cost("a part of a pack is a whole pack on the order", "sweet", factor="1/2"),
    _cost("exactly one pack is one", "sweet", factor="1"),
    _cost("a hair more is two; what is unpriced isn't ordered, to taste is no pack", "sweet", factor="1001/1000"),
    _cost("whole eggs are rounded up to pieces, then to packs", "custard", factor="3.4"),
    _cost("31 eggs where 30.03 are used: two packs", "custard", factor="10.01"),
    _cost("one whole line makes the whole plan's eggs whole", "sponge", factor="10"),
]
