"""Trays and loads for the pieces of a plan (rule 7.8)."""

from ..build import PANTRY, asking, book, line, recipe, site

TITLE = "Trays and loads"

TRAY = {"length": "60 cm", "width": "40 cm"}
BAKED = {"step": [{"id": "bake", "text": {"en": "Bake."}, "equipment": "oven"}]}
FLOUR = line("flour", "1 kg")


def _pieces(recipe_id, yields, **keys):
    return recipe(recipe_id, FLOUR, yields={"pieces": 10} | yields, **(BAKED | keys))


RECIPES = [
    _pieces("roll", {}),
    _pieces("tart", {"piece_mass": "100 g", "disc": "8 cm"}),
    _pieces("finger", {"rectangle": ["12 cm", "4 cm"]}),
    _pieces("wide", {"disc": "41 cm"}),
    _pieces("proved", {"disc": "8 cm"}, batch={"equipment": "prover"}),
    recipe("mousse", FLOUR, yields={"mass": "1 kg"}, **BAKED),
    recipe("cut", FLOUR, yields={"sheet": TRAY, "disc": "7 cm"}, **BAKED),
    recipe("box", line(">tart", "7 pieces"), line(">roll", "2.5 pieces"), yields={"pieces": 1}),
]


def _oven(site_id, **trays):
    made = site(site_id)
    made["equipment"] = [{"class": "oven", "capacity": "20 kg", **trays}]
    return made


PROVED = _oven("station", trays=4, tray=TRAY | {"gap": "2 cm", "edge": "1 cm"})
PROVED["equipment"].append({"class": "prover", "capacity": "30 kg", "trays": 10, "tray_pieces": 24})
SITES = [
    _oven("harbour", trays=2, tray_pieces=24),
    _oven("millrace", trays=3, tray=TRAY),
    PROVED,
    _oven("pier"),
]
BOOKS = {"trays": book(PANTRY, RECIPES, SITES)}


def _scale(name, recipe_id, site_id, **target):
    return asking("scale", "trays", site_id)(name, "7.8 trays", recipe_id, **target)


CASES = [
    _scale("so many pieces on a tray, full trays and loads", "roll", "harbour", pieces="96"),
    _scale("one piece more begins a tray, and that a load", "roll", "harbour", pieces="97"),
    _scale("one tray that isn't full", "roll", "harbour", pieces="5"),
    _scale("a part of a piece takes the room of one", "roll", "harbour", pieces="48 1/2"),
    _scale("a tray by its sides takes what lies on it", "tart", "millrace", pieces="120"),
    _scale("gaps and edges are kept free", "tart", "station", pieces="120"),
    _scale("a rectangle lies the way that gives most", "finger", "millrace", pieces="200"),
    _scale("a tray by its sides says nothing of pieces without an outline", "roll", "millrace", pieces="96"),
    _scale("a tray too small for a piece is a warning", "wide", "millrace", pieces="3"),
    _scale("the equipment of the batch, then that of the steps", "proved", "station", pieces="120"),
    _scale("what is cut from a sheet lies on trays by its outline", "cut", "millrace", pieces="300"),
    _scale("a recipe without pieces takes no trays", "mousse", "harbour", mass="9 kg"),
    _scale("a site that states no trays says nothing", "roll", "pier", pieces="96"),
    _scale("without a site nothing is said", "roll", None, pieces="96"),
    _scale("every component has its own", "box", "harbour", pieces="13"),
]
