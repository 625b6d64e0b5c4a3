"""All that a purchased mass of one ingredient makes (rule 4.11)."""

from ..build import PANTRY, asking, book, line, recipe

TITLE = "What is on hand"

RECIPES = [
    recipe("compote", line("pear", "1 kg"), line("sugar", "100 g"), loss=[{"kind": "water", "fraction": "20 %"}]),
    recipe("tart", line("flour", "300 g"), line(">compote", "200 g"), line("pear", "50 g"), yields={"pieces": 10}),
    recipe("jar", line("pear", "300 g"), line("salt", "3 g", scaling="per-batch"), yields={"pieces": 1, "piece_mass": "290 g"}, loss=[{"residue": "10 g"}], batch={"max": "1 kg"}),
    recipe("stepped", line("flour", "900 g"), line("salt", "100 g", scaling="per-batch"), batch={"max": "2 kg"}),
    recipe("whole", line("egg", "3 pieces", scaling="whole"), line("flour", "100 g"), yields={"pieces": 6}),
]
BOOKS = {"on-hand": book(PANTRY, RECIPES)}
_scale = asking("scale", "on-hand")


def _on_hand(name, recipe_id, ingredient, mass):
    target = {"ingredient": ingredient, "mass": mass}
    return _scale(name, "4.11 on hand", recipe_id, on_hand=target)


CASES = [
    _on_hand("the largest whole number of pieces, over the whole tree", "tart", "pear", "3.2 kg"),
    _on_hand("what is on hand is as purchased: the edible part counts", "tart", "pear", "1 kg"),
    _on_hand("a recipe by mass makes whole grams", "compote", "pear", "3.2 kg"),
    _on_hand("exactly enough is enough", "jar", "pear", "15 kg"),
    _on_hand("each batch takes its fixed amount", "stepped", "salt", "450 g"),
    _on_hand("a batch more may take less of what scales", "stepped", "flour", "5 kg"),
    _on_hand("whole eggs are not rounded up", "whole", "egg", "1 kg"),
    _on_hand("an ingredient that isn't used is refused", "tart", "milk", "1 kg"),
    _on_hand("too little for one piece is refused", "jar", "pear", "10 g"),
]
