"""What hands-on time costs (rule 6.7)."""

from ..build import PANTRY, asking, book, line, price, rate, recipe, site

TITLE = "Labour"


def _step(active, labour=None, **more):
    return {"id": "work", "text": {"en": "Work"}, "active": active, **({"labour": labour} if labour else {}), **more}


FLOUR = line("flour", "1 kg")
RECIPES = [
    recipe("by-batch", FLOUR, yields={"pieces": 10}, batch={"max": "2 kg"}, step=[_step("20 min")]),
    recipe("by-piece", FLOUR, yields={"pieces": 10}, batch={"max": "2 kg"}, step=[_step("90 s", "per-piece")]),
    recipe("with-mass", FLOUR, yields={"pieces": 10}, batch={"max": "2 kg"}, step=[_step("1/3 h", "with-mass")]),
    recipe("passive-only", FLOUR, step=[{"id": "rest", "text": {"en": "Rest"}, "passive": "12 h"}]),
    recipe("component", FLOUR, step=[_step("5 min")]),
    recipe("tree", line(">component", "400 g"), line("milk", "100 g"), step=[_step("10 min"), _step("7 min", "with-mass", id="fold")]),
]
SITES = [
    site("harbour", currency="EUR", labour_rate="24.50 EUR/h"),
    site("millrace", currency="EUR", labour_rate="21 GBP/h"),
    site("station", currency="EUR", labour_rate="30 USD/h"),
    site("pier", currency="EUR"),
]
GROUP = {
    "price": [price("flour", "25 kg", "21.50 EUR", "2026-01-01"), price("milk", "1 L", "1 EUR", "2026-01-01")],
    "rate": [rate("GBP", "EUR", "1.17", "2026-01-01")],
}
BOOKS = {
    "labour": book(PANTRY, RECIPES, SITES, {"group": GROUP}),
    "by-piece-without-pieces": book(PANTRY, [recipe("r", FLOUR, step=[_step("1 min", "per-piece")])], SITES),
}


def _cost(name, recipe_id, site_id="harbour", **target):
    return asking("cost", "labour", site_id, "2026-06-01")(name, "6.7 labour", recipe_id, **target)


CASES = [
    _cost("by the batch: minutes times batches", "by-batch", pieces="45"),
    _cost("by the piece: minutes times pieces, of which there may be a part", "by-piece", pieces="45/2"),
    _cost("with the mass: minutes times the factor", "with-mass", pieces="45"),
    _cost("passive time costs nothing", "passive-only", factor="2"),
    _cost("the labour of a whole tree", "tree", mass="2 kg"),
    _cost("a rate in another currency is converted", "by-batch", "millrace", pieces="45"),
    _cost("a rate without a rate of exchange is missing", "by-batch", "station", pieces="45"),
    _cost("a site without a rate: labour is missing", "by-batch", "pier", pieces="45"),
    _cost("where hands aren't busy no rate is missing", "passive-only", "pier", factor="2"),
    asking("scale", "by-piece-without-pieces")("labour by the piece without pieces is refused", "6.7 labour", "r", factor="1"),
]
