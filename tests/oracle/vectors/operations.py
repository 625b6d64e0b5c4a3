"""What a case may ask for, by name."""

from ..errors import Refused
from . import bench, kitchen, numbers, shapes

# On plain values.
PLAIN = {
    "number": numbers.read_number,
    "quantity": numbers.read_quantity,
    "money": numbers.read_money,
    "round": numbers.round_number,
    "price-for-share": kitchen.price_for_share,
    "area": shapes.area,
    "outline-mass": shapes.outline_mass,
    "outline-thickness": shapes.outline_thickness,
    "mould": shapes.mould_fill,
    "mould-factor": shapes.mould_factor,
    "fit": shapes.fit,
    "oven": shapes.oven,
    "dough-water": bench.dough_water,
    "dough-friction": bench.dough_friction,
    "ice": bench.ice,
    "gelatine": bench.gelatine,
    "gelatine-sheets": bench.gelatine_sheets,
    "overrun": bench.overrun,
    "aerated": bench.aerated,
    "before-air": bench.before_air,
    "syrup-of": bench.syrup_of,
    "syrup-mix": bench.syrup_mix,
    "syrup-bring-to": bench.syrup_bring_to,
    "syrup-boil-down": bench.syrup_boil_down,
    "syrup-boils-at": bench.syrup_boils_at,
    "syrup-that-boils-at": bench.syrup_that_boils_at,
    "syrup-saturated-at": bench.syrup_saturated_at,
    "syrup-crystallises-below": bench.syrup_crystallises_below,
    "sugar-stage": bench.sugar_stage,
    "sugar-stage-range": bench.sugar_stage_range,
    "percentages": bench.percentages,
    "weights": bench.weights,
    "hydration": bench.hydration,
    "blend": bench.blend,
    "eggs": bench.eggs,
    "egg-class": bench.egg_class,
}
# On a book of the file.
ON_A_BOOK = {
    "written-batch": kitchen.written_batch,
    "scale": kitchen.scale,
    "plan": kitchen.plan,
    "cost": kitchen.cost,
    "cost-plan": kitchen.cost_plan,
    "standard-cost": kitchen.standard_cost,
}


def result(operation, given, books):
    """What a case must give; a refusal by its kind."""
    try:
        if operation in PLAIN:
            return PLAIN[operation](given)
        book = kitchen.read_book(books[given["book"]])
        return ON_A_BOOK[operation](book, given)
    except Refused as refusal:
        return {"refused": refusal.kind}
