"""Several products in one plan; a tree made once (rules 4)."""

from ..build import PANTRY, book, case, line, price, recipe, site

TITLE = "Trees and several products"

RECIPES = [
    recipe("cream", line("milk", "500 g"), line("egg", "2 pieces"), loss=[{"kind": "water", "fraction": "4 %"}, {"residue": "20 g"}], batch={"max": "2 kg"}),
    recipe("dough", line("flour", "500 g", base=True), line("butter", "50 %"), line("salt", "2 g", scaling="per-batch")),
    recipe("tart", line(">dough", "300 g"), line(">cream", "400 g"), yields={"pieces": 10, "piece_mass": "68 g"}),
    recipe("choux", line("flour", "150 g"), line("egg", "5 pieces"), line(">cream", "100 g"), yields={"pieces": 24}),
    recipe("loaf", line("flour", "1 kg"), line("milk", "650 g"), line("salt", "20 g"), yields={"pieces": 3, "piece_mass": "500 g"}, loss=[{"kind": "water", "fraction": "10 %"}]),
    recipe("platter", line(">tart", "4 pieces"), line(">choux", "6 pieces"), line(">cream", "50 g"), yields={"pieces": 1}),
    recipe("tasting", line("flour", "100 g"), line(">cream", "to taste")),
]
HARBOUR = site("harbour", currency="EUR", labour_rate="24 EUR/h")
PRICES = [
    price("milk", "1 L", "1.10 EUR", "2026-01-01"),
    price("egg", "30 pieces", "7.20 EUR", "2026-01-01"),
    price("flour", "25 kg", "21.50 EUR", "2026-01-01"),
    price("butter", "10 kg", "78.40 EUR", "2026-01-01"),
    price("salt", "1 kg", "0.90 EUR", "2026-01-01"),
]
BOOKS = {"products": book(PANTRY, RECIPES, [HARBOUR], {"group": {"price": PRICES}})}


def _plan(name, rule, *asked, operation="plan", **more):
    products = [{"recipe": r, "target": {kind: amount}} for r, kind, amount in asked]
    return case(name, rule, operation, book="products", products=products, **more)


def _scale(name, rule, recipe_id, **target):
    return case(name, rule, "scale", book="products", recipe=recipe_id, target=target)


SUMMED, ORDER = "4.2 summed demand", "4.9 making order"
CASES = [
    _scale("a component used in several places is made once", SUMMED, "platter", pieces="50"),
    _scale("a component to taste is not planned", ORDER, "tasting", factor="1"),
    _plan("one product is planned as alone", SUMMED, ("tart", "pieces", "120")),
    _plan("what two products use is made once", SUMMED, ("tart", "pieces", "120"), ("choux", "pieces", "240")),
    _plan("products without anything in common", SUMMED, ("tart", "pieces", "12"), ("loaf", "pieces", "40")),
    _plan("a product that another uses is made once", SUMMED, ("platter", "pieces", "10"), ("tart", "pieces", "30")),
    _plan("the same product twice adds up", SUMMED, ("loaf", "pieces", "7"), ("loaf", "mass", "2 kg")),
    _plan("written batches bound batches of the sum", "4.4 written batches", ("dough", "batches", "2"), ("tart", "pieces", "10")),
    _plan("nothing asked is refused", "4.2 several products"),
    _plan(
        "what is on hand beside another product is refused", "4.11 on hand",
        ("tart", "on_hand", {"ingredient": "butter", "mass": "1 kg"}), ("loaf", "pieces", "3"),
    ),
    _plan(
        "several products cost and are ordered together", "6.6 cost",
        ("tart", "pieces", "120"), ("loaf", "pieces", "40"),
        operation="cost-plan", site="harbour", on="2026-06-01",
    ),
]
