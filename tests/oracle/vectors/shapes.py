"""Operations on shapes, from authored sizes."""

from .. import geometry
from ..quantities import density, expect, figure

AREA = VOLUME = MASS = LENGTH = 3
PERCENT, FACTOR = 2, 6


def _length(text):
    return expect(text, "length")


def _lengths(doc, *keys):
    return (_length(doc[key]) for key in keys)


OUTLINES = {
    "disc": lambda d: geometry.Disc(*_lengths(d, "diameter")),
    "ring": lambda d: geometry.ring(*_lengths(d, "outer", "inner")),
    "rectangle": lambda d: geometry.Rectangle(*_lengths(d, "length", "width")),
    "strip-around": lambda d: geometry.strip_around(*_lengths(d, "diameter", "width")),
}
MOULDS = {
    "straight": lambda d: geometry.straight(outline(d["outline"]), _length(d["height"])),
    "half-sphere": lambda d: geometry.half_sphere(*_lengths(d, "diameter")),
    "cone-frustum": lambda d: geometry.cone_frustum(*_lengths(d, "top", "bottom", "height")),
    "loaf": lambda d: geometry.loaf(_sides(d["top"]), _sides(d["bottom"]), _length(d["height"])),
    "half-cylinder": lambda d: geometry.half_cylinder(*_lengths(d, "diameter", "length")),
    "savarin": lambda d: geometry.savarin(*_lengths(d, "outer", "tube")),
}


def _sides(texts):
    return tuple(_length(text) for text in texts)


def outline(doc):
    """A flat shape."""
    return OUTLINES[doc["shape"]](doc)


def mould(doc):
    """The volume of a mould."""
    return MOULDS[doc["shape"]](doc)


def area(given):
    return {"area_cm2": figure(outline(given["outline"]).area, AREA)}


def outline_mass(given):
    """What an outline weighs at a thickness."""
    volume = geometry.volume(outline(given["outline"]), _length(given["thickness"]))
    mass = volume * geometry.positive(density(given["density"]), "a density")
    return {"volume_ml": figure(volume, VOLUME), "mass_g": figure(mass, MASS)}


def outline_thickness(given):
    """How thick a mass of an outline comes out."""
    mass = expect(given["mass"], "mass")
    found = geometry.thickness(outline(given["outline"]), mass, density(given["density"]))
    return {"thickness_mm": figure(found * 10, LENGTH)}


def mould_fill(given):
    """What a mould holds, and what fills a part of it."""
    volume, share = mould(given["mould"]), expect(given.get("fill", "100 %"), "share")
    found = {"volume_ml": figure(volume, VOLUME)}
    if "density" in given:
        found["mass_g"] = figure(geometry.fill(volume, share, density(given["density"])), MASS)
    return found


def mould_factor(given):
    """By what a recipe for one mould is multiplied for another."""
    return {"factor": figure(mould(given["to"]) / mould(given["from"]), FACTOR)}


def _layout(layout):
    moved = {} if layout.moved is None else {"moved_row": layout.moved}
    return {
        "pattern": layout.pattern,
        "along": layout.along,
        "rows": layout.rows,
        "row": layout.per_row,
        **moved,
        "pieces": layout.pieces,
        "offcut_percent": figure(layout.offcut * 100, PERCENT),
    }


def fit(given):
    """How many of an outline a sheet gives."""
    sheet = geometry.Rectangle(*_lengths(given["sheet"], "length", "width"))
    gap, edge = _length(given.get("gap", "0 mm")), _length(given.get("edge", "0 mm"))
    found = geometry.layouts(sheet, outline(given["piece"]), gap, edge)
    return {"best": _layout(geometry.best(found)), "layouts": [_layout(one) for one in found]}


def oven(given):
    """Trays and loads."""
    found = geometry.oven(given["pieces"], given["per_tray"], given["per_load"])
    return {
        "trays": found.trays,
        "last_tray": found.last_tray,
        "loads": found.loads,
        "last_load": found.last_load,
    }
