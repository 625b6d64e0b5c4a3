"""The ways to ask for an amount (rules 4)."""

from ..build import PANTRY, asking, book, line, recipe

TITLE = "Targets"

LOSS = [{"kind": "water", "fraction": "10 %"}]
RECIPES = [
    recipe("tart", line("flour", "300 g"), line("butter", "150 g"), yields={"pieces": 12, "piece_mass": "36 g"}),
    recipe("syrup", line("sugar", "500 g"), line("milk", "500 g"), loss=LOSS),
    recipe("glaze", line("honey", "100 g"), line("salt", "4 g", scaling="per-batch"), loss=[{"residue": "10 g"}]),
    recipe("dip", line("honey", "100 g"), line("salt", "20 g", scaling="per-batch")),
    recipe("baguette", line("flour", "1 kg", base=True), line("milk", "67 %"), line("salt", "2 %"), line("honey", "1 %")),
]
BOOKS = {"targets": book(PANTRY, RECIPES)}
_scale = asking("scale", "targets")
BAGUETTE = "baker's percentage worksheet, 73 baguettes of 390 g; it prints 16747.058 g of flour, cut off, not rounded"

CASES = [
    _scale("pieces of a declared mass", "4.1 pieces", "tart", pieces="30"),
    _scale("a fraction of a piece", "4.1 pieces", "tart", pieces="2 1/2"),
    _scale("a net mass", "4.1 net mass", "tart", mass="1 kg"),
    _scale("a net mass through losses", "4.1 net mass", "syrup", mass="2 lb"),
    _scale("a net mass of a formula in shares", "4.1 net mass", "baguette", mass="28.47 kg", source=BAGUETTE),
    _scale("a factor of the written yield", "4.1 factor", "tart", factor="7/3"),
    _scale("a factor below one", "4.1 factor", "syrup", factor="0.125"),
    _scale("a factor is one batch where no bowl is known", "4.1 factor", "glaze", factor="3"),
    _scale("written batches are so many batches", "4.4 written batches", "glaze", batches="3"),
    _scale("a part of a written batch begins another", "4.4 written batches", "glaze", batches="2 1/2"),
    _scale("less than a written batch is one", "4.4 written batches", "glaze", batches="1/2"),
    _scale("a recipe made as written has the factor 1", "4.1 factor", "glaze", factor="1"),
    _scale("pieces of a recipe by mass are refused", "4.1 pieces", "syrup", pieces="3"),
    _scale("nothing is refused", "4.1 demand", "tart", pieces="0"),
    _scale("a hair more than the amounts per batch", "4.6 factor of the lines", "dip", mass="20.001 g"),
    _scale("no more than the amounts per batch is refused", "4.6 factor of the lines", "dip", mass="20 g"),
]
