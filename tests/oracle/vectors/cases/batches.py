"""Batches: bowls, equipment, residues, minimum (rules 4)."""

from ..build import PANTRY, asking, book, line, recipe, site

TITLE = "Batches"

PER_BATCH = line("salt", "5 g", scaling="per-batch")
RESIDUE = [{"residue": "30 g"}]
RECIPES = [
    recipe("plain", line("flour", "800 g"), line("sugar", "200 g"), batch={"max": "4 kg"}),
    recipe("full", line("flour", "800 g"), PER_BATCH, loss=RESIDUE, batch={"max": "4 kg"}),
    recipe("mixed", line("flour", "1 kg"), PER_BATCH, batch={"max": "6 kg", "equipment": "mixer"}),
    recipe("machine-only", line("flour", "1 kg"), batch={"equipment": "mixer"}),
    recipe("with-minimum", line("flour", "1 kg"), batch={"min": "800 g", "max": "2 kg"}),
    recipe("inner", line("flour", "100 g"), PER_BATCH, loss=[{"residue": "10 g"}], batch={"max": "500 g"}),
    recipe("outer", line(">inner", "300 g"), line("milk", "100 g"), batch={"max": "1 kg"}),
    recipe("all-residue", line("flour", "1 kg"), loss=RESIDUE, batch={"max": "30 g"}),
]
SITES = [
    site("harbour", equipment=[("mixer", "4 kg"), ("oven", "1 kg")]),
    site("millrace", equipment=[("mixer", "12 kg")]),
    site("station", equipment=[("oven", "1 kg")]),
]
BOOKS = {"batches": book(PANTRY, RECIPES, SITES)}
_scale = asking("scale", "batches")

BOWLS, PHI, MINIMUM = "4.5 batches", "4.6 factor of the lines", "4.8 least batch"
CASES = [
    _scale("a bowl that is just filled is one batch", BOWLS, "plain", mass="4 kg"),
    _scale("a milligram more is two equal batches", BOWLS, "plain", mass="4000.001 g"),
    _scale("each batch is an equal part", BOWLS, "plain", mass="9 kg"),
    _scale("a demand below a bowl is one batch", BOWLS, "plain", mass="1 g"),
    _scale("each batch loses its residue and takes its fixed amounts", PHI, "full", mass="7940 g"),
    _scale("a residue makes room for less: one batch more", BOWLS, "full", mass="7940.001 g"),
    _scale("written batches give way to bowls", "4.4 written batches", "full", batches="20"),
    _scale("without a site the recipe's own maximum counts", "4.3 capacity", "mixed", mass="9 kg"),
    _scale("the site's machine is the smaller", "4.3 capacity", "mixed", site="harbour", mass="9 kg"),
    _scale("the recipe's maximum is the smaller", "4.3 capacity", "mixed", site="millrace", mass="9 kg"),
    _scale("a class that a site doesn't list sets no limit", "4.3 capacity", "machine-only", site="station", mass="90 kg"),
    _scale("without a site a machine sets no limit", "4.3 capacity", "machine-only", mass="90 kg"),
    _scale("a machine alone sets the limit", "4.3 capacity", "machine-only", site="harbour", mass="9 kg"),
    _scale("a batch below the minimum warns", MINIMUM, "with-minimum", mass="799.999 g"),
    _scale("a batch of the minimum doesn't warn", MINIMUM, "with-minimum", mass="800 g"),
    _scale("equal batches may fall below the minimum", MINIMUM, "with-minimum", mass="2.1 kg"),
    _scale("a component is split by the whole demand", "4.2 summed demand", "outer", mass="3 kg"),
    _scale("a residue as large as the bowl is refused", "4.4 full batch", "all-residue", mass="100 g"),
]
