"""Amounts by shape, and sheets with what is cut from them."""

DISCS = ("16 cm", "160 mm", "7.5 cm", "2 1/2 in", "6 cm", "18 cm", "22 cm")
THICK = ("4 mm", "0.5 cm", "3 mm", "1/4 in", "12 mm", "1 1/2 cm")
FLAT = (
    [{"disc": text} for text in DISCS]
    + [{"ring": [a, b]} for a, b in (("18 cm", "14 cm"), ("80 mm", "3 cm"), ("7 in", "160 mm"))]
    + [{"rectangle": [a, b]} for a, b in (("60 cm", "40 cm"), ("12 cm", "4 cm"), ("1/2 m", "9.5 cm"))]
    + [{"strip_around": a, "height": b} for a, b in (("16 cm", "4.5 cm"), ("60 mm", "3 cm"))]
)
MOULDS = (
    {"cylinder": "16 cm", "height": "4.5 cm"},
    {"cylinder": "7 cm", "height": "40 mm"},
    {"ring": ["24 cm", "18 cm"], "height": "4 cm"},
    {"frame": ["36 cm", "26 cm"], "height": "2 cm"},
    {"half_sphere": "70 mm"},
    {"cone_frustum": ["70 mm", "50 mm"], "height": "35 mm"},
    {"loaf": ["22 cm", "11 cm"], "bottom": ["20 cm", "8 cm"], "height": "7 cm"},
    {"loaf": ["20 cm", "10 cm"], "bottom": ["16 cm", "8 cm"], "height": "75 mm"},
    {"half_cylinder": "8 cm", "length": "50 cm"},
    {"savarin": "18 cm", "tube": "5 cm"},
    {"savarin": "10 cm", "tube": "1 3/4 in"},
)
SHARES = ("90 %", "85 %", "66 2/3 %", "100 %", "1/2 %")
COUNTS = ("12 pieces", "48 pieces", "2 pieces", "1/2 pieces", "2.5 pieces", "1 pieces")

SHEETS = (
    {"length": "60 cm", "width": "40 cm"},
    {"length": "60 cm", "width": "40 cm", "gap": "5 mm", "edge": "1 cm"},
    {"length": "600 mm", "width": "400 mm", "gap": "2 mm"},
    {"length": "18 in", "width": "13 in", "edge": "1/2 in"},
    {"length": "53 cm", "width": "32.5 cm", "gap": "0 mm", "edge": "15 mm"},
)
ROUND = (
    [{"disc": text} for text in ("7.5 cm", "60 mm", "16 cm", "3 in", "4 cm", "2 1/2 cm")]
    + [{"ring": [a, b]} for a, b in (("8 cm", "3 cm"), ("70 mm", "1 in"))]
)
CORNERED = (
    [{"rectangle": [a, b]} for a, b in (("12 cm", "4 cm"), ("10 cm", "10 cm"), ("28 cm", "3 cm"))]
    + [{"strip_around": "6 cm", "height": "3 cm"}]
)


def amount(rng):
    """An amount by shape."""
    if rng.random() < 0.5:
        doc = rng.choice(FLAT) | {"thickness": rng.choice(THICK)}
    else:
        doc = {"fill": rng.choice(MOULDS)}
        doc |= {"share": rng.choice(SHARES)} if rng.random() < 0.6 else {}
    return doc | ({"count": rng.choice(COUNTS)} if rng.random() < 0.6 else {})


def sheet_yield(rng):
    """A yield from sheets that doesn't say what a piece weighs."""
    is_round = rng.random() < 0.75
    yields = {"sheet": rng.choice(SHEETS)} | rng.choice(ROUND if is_round else CORNERED)
    if rng.random() < 0.6:
        yields["layout"] = rng.choice(["best", "rows"] + ["staggered"] * 2 * is_round)
    if rng.random() < 0.5:
        yields["sheets"] = rng.choice([1, 2, 2, 3, 12])
    return yields
