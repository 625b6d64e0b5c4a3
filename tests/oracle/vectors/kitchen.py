"""Operations on an authored book: scale, cost, plan, standard cost."""

from datetime import date

from .. import book as authored
from .. import products, render, run
from ..quantities import expect, figure, money, number
from ..resolve import resolve_tree
from ..targets import Target

SHARE, UNIT_COST, MASS, PERCENT = "share", 4, 3, 2


def read_book(documents):
    """A book from documents by path, whose days are texts as JSON has them."""
    return authored.from_documents({path: _with_days(doc) for path, doc in documents.items()})


def _with_days(value):
    if isinstance(value, dict):
        return {key: _with_days(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_with_days(item) for item in value]
    return date.fromisoformat(value) if _is_day(value) else value


def _is_day(value):
    """A text such as 2026-10-01; nothing else in a book looks like one."""
    shape = "".join("0" if c.isdigit() else c for c in value) if isinstance(value, str) else ""
    return shape == "0000-00-00"


def target(doc):
    """A target from authored texts, `{"pieces": "120"}` and so on."""
    ((kind, value),) = doc.items()
    if kind == "on_hand":
        return Target(kind, expect(value["mass"], "mass"), value["ingredient"])
    if kind == "mass":
        return Target("mass_g", expect(value, "mass"))
    return Target(kind, number(value))


def _asked(given):
    return [(one["recipe"], target(one["target"])) for one in given["products"]]


def _day(given):
    return date.fromisoformat(given["on"])


def scale(book, given):
    """What to weigh for one product."""
    return run.scale(book, given["recipe"], target(given["target"]), given.get("site"))


def cost(book, given):
    """What one product costs."""
    asked = given["recipe"], target(given["target"])
    return run.cost_of(book, *asked, given["site"], _day(given))


def plan(book, given):
    """What to weigh for several products."""
    return products.plan_json(book, _asked(given), given.get("site"))


def cost_plan(book, given):
    """What several products cost together."""
    return products.cost_json(book, _asked(given), given["site"], _day(given))


def standard_cost(book, given):
    """The figure that is compared between sites and revisions."""
    return render.unit_cost_json(run.standard_unit_cost(book, given["recipe"], given["site"], _day(given)))


def written_batch(book, given):
    """What one written batch comes to."""
    written = resolve_tree(book, given["recipe"])[given["recipe"]].written
    pieces = {}
    if written.piece_g is not None:
        pieces = {"pieces": figure(written.pieces, MASS), "piece_g": figure(written.piece_g, MASS)}
    return {
        "input_g": figure(written.scaling_g + written.fixed_g, MASS),
        "net_g": figure(written.net_g, MASS),
        **pieces,
        "unexplained_percent": figure(written.unexplained * 100, PERCENT),
        "warnings": [{"code": "unexplained-loss"}] if written.warns else [],
    }


def price_for_share(given):
    """The price of which the food is a share."""
    food = money(given["food"])
    price = food.value / expect(given["share"], SHARE)
    return {"price": figure(price, UNIT_COST), "currency": food.currency}
