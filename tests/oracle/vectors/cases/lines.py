"""What each line of a written batch weighs (rules 2)."""

from ..build import PANTRY, asking, book, line, recipe

TITLE = "The mass of a line"

RECIPES = [
    recipe("by-mass", line("flour", "1 lb"), line("sugar", "250 g"), line("salt", "1/3 oz")),
    recipe("by-volume", line("milk", "1/2 cup"), line("honey", "2 tbsp"), line("flour", "100 g")),
    recipe("by-count", line("egg", "2 pieces"), line("egg", "1 1/2 pieces"), line("flour", "100 g")),
    recipe(
        "by-share",
        line("flour", "900 g", base=True),
        line("egg", "2 pieces", base=True),
        line("salt", "2 %"),
        line("sugar", "1/3 %"),
        line("butter", "250 g"),
    ),
    recipe("to-taste", line("flour", "100 g"), line("salt", "to taste")),
    recipe(
        "disc",
        line("flour", "60 g"),
        line("butter", "40 g"),
        yields={"pieces": 8, "piece_mass": "12 g"},
        density="0.8 g/mL",
    ),
    recipe("of-pieces", line(">disc", "3 pieces"), line("sugar", "10 g")),
    recipe("of-a-volume", line(">disc", "50 mL"), line("sugar", "10 g")),
    recipe("pieces-of-what-is-left", line("flour", "90 g"), yields={"pieces": 7}, loss=[{"residue": "6 g"}]),
    recipe("of-such-pieces", line(">pieces-of-what-is-left", "2 pieces")),
    recipe(
        "of-a-component-in-the-base",
        line(">disc", "200 g", base=True),
        line("sugar", "12.5 %"),
    ),
    recipe("whole-eggs", line("egg", "3 pieces", scaling="whole"), line("flour", "125 g")),
]
REFUSED = {
    "volume-without-density": recipe("r", line("flour", "1 cup"), line("milk", "1 kg")),
    "count-without-piece-mass": recipe("r", line("flour", "2 pieces"), line("milk", "1 kg")),
    "share-without-base": recipe("r", line("flour", "1 kg"), line("salt", "2 %")),
    "share-in-the-base": recipe("r", line("flour", "1 kg", base=True), line("salt", "2 %", base=True)),
}
COMPONENTS = {
    "component-by-volume": recipe("part", line("flour", "1 kg")),
    "component-by-count": recipe("part", line("flour", "1 kg")),
}
USERS = {
    "component-by-volume": recipe("r", line(">part", "10 mL")),
    "component-by-count": recipe("r", line(">part", "2 pieces")),
}
BOOKS = {"lines": book(PANTRY, RECIPES)}
BOOKS |= {name: book(PANTRY, [one]) for name, one in REFUSED.items()}
BOOKS |= {name: book(PANTRY, [COMPONENTS[name], USERS[name]]) for name in USERS}
BOOKS["cycle"] = book(
    PANTRY,
    [
        recipe("r", line("flour", "100 g"), line(">s", "100 g")),
        recipe("s", line("flour", "100 g"), line(">r", "100 g")),
    ],
)
BOOKS["nothing-weighs"] = book(PANTRY, [recipe("r", line("salt", "to taste"))])
BOOKS["nothing-scales"] = book(PANTRY, [recipe("r", line("salt", "10 g", scaling="per-batch"))])

_scale = asking("scale", "lines")


def _one(name, rule, recipe_id):
    return _scale(name, rule, recipe_id, factor="1")


def _refused(name, rule, book_name):
    return asking("scale", book_name)(name, rule, "r", factor="1")


CASES = [
    _one("a mass is itself, in any unit", "2.1 mass", "by-mass"),
    _one("a volume times the density", "2.1 volume", "by-volume"),
    _one("a count times the piece mass", "2.1 pieces of an ingredient", "by-count"),
    _one("a share is of the base lines' sum, whatever they are measured in", "2.1 share", "by-share"),
    _one("to taste weighs nothing and is listed", "2.1 to taste", "to-taste"),
    _one("a component counted by its declared piece mass", "2.1 pieces of a component", "of-pieces"),
    _one("a component by volume takes its own density", "2.1 volume", "of-a-volume"),
    _one("a component's piece is what is left by the pieces", "2.1 pieces of a component", "of-such-pieces"),
    _one("a component may be in the base", "2.1 share", "of-a-component-in-the-base"),
    _one("whole eggs keep their exact mass", "4.7 whole pieces", "whole-eggs"),
    _scale("whole eggs keep their exact mass when scaled", "4.7 whole pieces", "whole-eggs", factor="1/2"),
    _refused("a volume without a density is refused", "2.2 volume", "volume-without-density"),
    _refused("a count without a piece mass is refused", "2.2 pieces of an ingredient", "count-without-piece-mass"),
    _refused("a share without a base is refused", "2.3 share", "share-without-base"),
    _refused("a share in the base is refused", "2.3 share", "share-in-the-base"),
    _refused("a component by volume without a density is refused", "2.2 volume", "component-by-volume"),
    _refused("a count of a component without pieces is refused", "2.2 pieces of a component", "component-by-count"),
    _refused("a recipe that contains itself is refused", "3.7 loop", "cycle"),
    _refused("a recipe that weighs nothing is refused", "3.1 input", "nothing-weighs"),
    _refused("a recipe of fixed amounts alone is refused", "3.1 input", "nothing-scales"),
]
