"""Shapes as amounts, and yields from sheets (rules 2 and 3)."""

from ..build import PANTRY, asking, book, case, ingredient, line, recipe

TITLE = "Shapes in a recipe"

SHELVES = [*PANTRY, ingredient("sponge", density="0.45 g/mL"), ingredient("mousse", density="0.62 g/mL")]
TRAY = {"length": "60 cm", "width": "40 cm", "gap": "5 mm", "edge": "1 cm"}
WHOLE = {"length": "60 cm", "width": "40 cm"}
DOUGH = line("flour", "1600 g")
DISC = {"disc": "16 cm", "thickness": "4 mm"}
FLAT = {
    "disc": DISC,
    "discs": DISC | {"count": "48 pieces"},
    "ring": {"ring": ["18 cm", "14 cm"], "thickness": "1/4 in"},
    "plaque": {"rectangle": ["60 cm", "0.4 m"], "thickness": "5 mm"},
    "strip": {"strip_around": "16 cm", "height": "4.5 cm", "thickness": "3 mm"},
}
FILLS = {
    "cylinder": {"cylinder": "16 cm", "height": "4.5 cm"},
    "ring": {"ring": ["24 cm", "18 cm"], "height": "4 cm"},
    "frame": {"frame": ["60 cm", "40 cm"], "height": "4 cm"},
    "half-sphere": {"half_sphere": "70 mm"},
    "cone": {"cone_frustum": ["70 mm", "50 mm"], "height": "35 mm"},
    "tin": {"loaf": ["22 cm", "11 cm"], "bottom": ["20 cm", "8 cm"], "height": "7 cm"},
    "log": {"half_cylinder": "8 cm", "length": "50 cm"},
    "savarin": {"savarin": "18 cm", "tube": "5 cm"},
}
SHEETS = {
    "a-sheet-of-discs": {"sheet": TRAY, "disc": "7.5 cm"},
    "in-rows": {"sheet": TRAY, "disc": "7.5 cm", "layout": "rows"},
    "staggered": {"sheet": TRAY, "disc": "7.5 cm", "layout": "staggered"},
    "several-sheets": {"sheet": WHOLE, "rectangle": ["11 cm", "11 cm"], "sheets": 3},
    "no-offcut": {"sheet": WHOLE, "rectangle": ["12 cm", "4 cm"]},
    "a-piece-of-a-mass": {"sheet": WHOLE, "rectangle": ["11 cm", "11 cm"], "piece_mass": "80 g"},
}
THICK = {"sheet": WHOLE, "rectangle": ["11 cm", "11 cm"], "thickness": "5 mm"}
LOSSES = [{"kind": "water", "fraction": "12 %"}, {"residue": "25 g"}]
RECIPES = [
    *(recipe(f"flat-{name}", line("sponge", amount)) for name, amount in FLAT.items()),
    *(recipe(f"fill-{name}", line("mousse", {"fill": mould, "share": "85 %"})) for name, mould in FILLS.items()),
    recipe("part-of-one", line("mousse", {"fill": FILLS["half-sphere"], "count": "1/2 pieces"})),
    recipe("of-a-component", line(">mix", DISC), line("mousse", {"fill": FILLS["cylinder"]})),
    recipe("mix", line("flour", "300 g"), line("milk", "300 g"), density="1.1 g/mL"),
    recipe("shape-in-the-base", line("sponge", DISC, base=True), line("sugar", "10 %")),
    *(recipe(name, DOUGH, yields=yields) for name, yields in SHEETS.items()),
    recipe("after-losses", DOUGH, yields=SHEETS["several-sheets"], loss=LOSSES),
    recipe("a-piece-of-a-thickness", DOUGH, yields=THICK, density="1.3 g/mL"),
    recipe("cut-pieces", line(">several-sheets", "2 pieces"), line("mousse", "40 g"), yields={"pieces": 1}),
]
BOOKS = {
    "shapes": book(SHELVES, RECIPES),
    "no-density": book(PANTRY, [recipe("r", line("flour", DISC))]),
    "thickness-without-density": book(PANTRY, [recipe("r", DOUGH, yields=THICK)]),
}
_scale = asking("scale", "shapes")


def _line(name, recipe_id):
    return _scale(name, "2.1 shape", recipe_id, factor="1")


def _batch(name, recipe_id, book_name="shapes"):
    return case(name, "3.3 yield from sheets", "written-batch", book=book_name, recipe=recipe_id)


CASES = [
    _line("a disc weighs its volume times the density", "flat-disc"),
    _line("so many discs", "flat-discs"),
    _line("a ring", "flat-ring"),
    _line("a plaque", "flat-plaque"),
    _line("a strip around a frame", "flat-strip"),
    *(_line(f"a share of what a {name} holds", f"fill-{name}") for name in FILLS),
    _line("half of a mould, to the rim", "part-of-one"),
    _line("a shape of a component takes the component's density", "of-a-component"),
    _line("a shape may be in the base", "shape-in-the-base"),
    asking("scale", "no-density")("a shape without a density is refused", "2.2 shape", "r", factor="1"),
    _batch("a sheet gives as many pieces as fit; the offcut is a loss", "a-sheet-of-discs"),
    _batch("laid in rows because the recipe says so", "in-rows"),
    _batch("laid staggered because the recipe says so", "staggered"),
    _batch("several sheets of one batch", "several-sheets"),
    _batch("a sheet without offcut loses nothing", "no-offcut"),
    _batch("the offcut comes after the stated losses, the residue off what is left", "after-losses"),
    _batch("a stated piece is held against what the offcut leaves", "a-piece-of-a-mass"),
    _batch("a thickness and the recipe's density give the piece's mass", "a-piece-of-a-thickness"),
    _batch("a thickness without the recipe's density is refused", "r", "thickness-without-density"),
    _scale("pieces of sheets are made as any others", "4.1 pieces", "several-sheets", pieces="100"),
    _scale("cut pieces in another recipe", "2.1 pieces of a component", "cut-pieces", pieces="24"),
]
