"""Yield and losses of one written batch (rules 3)."""

from ..build import PANTRY, book, case, line, recipe

TITLE = "Yield and losses of a written batch"


def _loss(*stages):
    """Losses from (kind, fraction) pairs and residues."""
    return [{"residue": s} if isinstance(s, str) else {"kind": s[0], "fraction": s[1]} for s in stages]


FLOUR = line("flour", "1 kg")
RECIPES = [
    recipe("no-yield", FLOUR),
    recipe("one-loss", FLOUR, loss=_loss(("water", "10 %"))),
    recipe("stages-in-order", FLOUR, loss=_loss(("water", "10 %"), ("whole", "5 %"), ("water", "1/3 %"))),
    recipe("residue", FLOUR, loss=_loss("30 g")),
    recipe("two-residues", FLOUR, loss=_loss("30 g", ("water", "10 %"), "12.5 g")),
    recipe("declared-mass", FLOUR, yields={"mass": "980 g"}),
    recipe("declared-mass-with-residue", FLOUR, yields={"mass": "960 g"}, loss=_loss("20 g")),
    recipe("declared-pieces", FLOUR, yields={"pieces": 48, "piece_mass": "20.5 g"}),
    recipe("pieces-alone", FLOUR, yields={"pieces": 7}, loss=_loss(("water", "12 %"), "40 g")),
    recipe("per-batch-counts", line("flour", "900 g"), line("salt", "100 g", scaling="per-batch"), yields={"mass": "1 kg"}),
    recipe("exactly-three-percent", FLOUR, yields={"mass": "970 g"}),
    recipe("above-three-percent", FLOUR, yields={"mass": "969.999 g"}),
    recipe("a-gain-above-three-percent", FLOUR, yields={"mass": "1030.001 g"}),
    recipe("exactly-twenty-percent", FLOUR, yields={"mass": "800 g"}),
    recipe("beside-the-stated-losses", FLOUR, yields={"mass": "880 g"}, loss=_loss(("water", "10 %"))),
    recipe("to-taste-and-whole", line("egg", "3 pieces", scaling="whole"), line("salt", "to taste"), line("flour", "150 g")),
]
REFUSED = {
    "above-twenty-percent": recipe("r", FLOUR, yields={"mass": "799.999 g"}),
    "a-gain-above-twenty-percent": recipe("r", FLOUR, yields={"mass": "1200.001 g"}),
    "loss-of-all": recipe("r", FLOUR, loss=_loss(("whole", "100 %"))),
    "residue-takes-all": recipe("r", FLOUR, loss=_loss("1 kg")),
}
BOOKS = {"yields": book(PANTRY, RECIPES)} | {name: book(PANTRY, [one]) for name, one in REFUSED.items()}


def _batch(name, recipe_id, rule="3.2 losses", book_name="yields"):
    return case(name, rule, "written-batch", book=book_name, recipe=recipe_id)


DECLARED, UNEXPLAINED = "3.3 declared yield", "3.6 unexplained loss"
CASES = [
    _batch("without a yield and losses all of it is left", "no-yield", "3.3 no yield"),
    _batch("a loss is a share of what is there", "one-loss"),
    _batch("losses follow each other", "stages-in-order"),
    _batch("a residue is a mass of each batch", "residue"),
    _batch("residues add up, wherever they stand", "two-residues"),
    _batch("a declared mass is what is left", "declared-mass", DECLARED),
    _batch("a declared mass is net of the residue", "declared-mass-with-residue", DECLARED),
    _batch("declared pieces of a declared mass", "declared-pieces", DECLARED),
    _batch("pieces without a mass share what the losses leave", "pieces-alone", "3.5 pieces"),
    _batch("amounts per batch are part of the input", "per-batch-counts"),
    _batch("exactly 3 % unexplained doesn't warn", "exactly-three-percent", UNEXPLAINED),
    _batch("more than 3 % unexplained warns", "above-three-percent", UNEXPLAINED),
    _batch("a gain above 3 % warns too", "a-gain-above-three-percent", UNEXPLAINED),
    _batch("exactly 20 % unexplained is not refused", "exactly-twenty-percent", UNEXPLAINED),
    _batch("what stated losses explain doesn't count", "beside-the-stated-losses", UNEXPLAINED),
    _batch("whole lines count, to taste weighs nothing", "to-taste-and-whole"),
    _batch("more than 20 % unexplained is refused", "r", UNEXPLAINED, "above-twenty-percent"),
    _batch("a gain above 20 % is refused", "r", UNEXPLAINED, "a-gain-above-twenty-percent"),
    _batch("a loss of all of it is refused", "r", "3.2 losses", "loss-of-all"),
    _batch("a residue that takes the batch is refused", "r", "3.3 no yield", "residue-takes-all"),
]
