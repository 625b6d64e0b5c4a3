"""Shapes of an authored book: amounts by their sizes, and pieces cut from sheets.

An amount by shape is a volume: the line weighs it as any other. A sheet gives so
many pieces; what of it is in none is a loss that the sizes state.
"""

from dataclasses import dataclass
from fractions import Fraction

from . import geometry
from .errors import Refused
from .quantities import Quantity, expect

WHOLE = Fraction(1)


def _sizes(value):
    """One length, or the lengths of a list."""
    texts = value if isinstance(value, list) else [value]
    return [expect(text, "length") for text in texts]


# Each takes the table and the lengths under the key that names the shape.
OUTLINES = {
    "disc": lambda d, s: geometry.Disc(*s),
    "ring": lambda d, s: geometry.ring(*s),
    "rectangle": lambda d, s: geometry.Rectangle(*s),
    "strip_around": lambda d, s: geometry.strip_around(*s, *_sizes(d["height"])),
}
MOULDS = {
    "cylinder": lambda d, s: geometry.straight(geometry.Disc(*s), *_sizes(d["height"])),
    "ring": lambda d, s: geometry.straight(geometry.ring(*s), *_sizes(d["height"])),
    "frame": lambda d, s: geometry.straight(geometry.Rectangle(*s), *_sizes(d["height"])),
    "half_sphere": lambda d, s: geometry.half_sphere(*s),
    "cone_frustum": lambda d, s: geometry.cone_frustum(*s, *_sizes(d["height"])),
    "loaf": lambda d, s: geometry.loaf(tuple(s), tuple(_sizes(d["bottom"])), *_sizes(d["height"])),
    "half_cylinder": lambda d, s: geometry.half_cylinder(*s, *_sizes(d["length"])),
    "savarin": lambda d, s: geometry.savarin(*s, *_sizes(d["tube"])),
}


def _named(doc, forms):
    (key,) = [key for key in forms if key in doc]
    return forms[key](doc, _sizes(doc[key]))


def outline(doc):
    """The flat shape that a table names."""
    return _named(doc, OUTLINES)


def has_outline(doc):
    """Whether a table names a flat shape."""
    return any(key in doc for key in OUTLINES)


@dataclass(frozen=True, slots=True)
class Tray:
    """A sheet or a tray, with what is kept free on it."""

    sides: geometry.Rectangle
    gap: Fraction
    edge: Fraction

    def layouts(self, piece):
        """Every way to lay pieces on it."""
        return geometry.layouts(self.sides, piece, self.gap, self.edge)


def tray(doc):
    """A sheet or a tray by its keys."""
    sides = geometry.Rectangle(expect(doc["length"], "length"), expect(doc["width"], "length"))
    gap, edge = (expect(doc.get(key, "0 mm"), "length") for key in ("gap", "edge"))
    return Tray(sides, gap, edge)


def amount(doc):
    """The volume of an amount by shape, in millilitres."""
    if "fill" in doc:
        share = expect(doc.get("share", "100 %"), "share")
        one = geometry.fill(_named(doc["fill"], MOULDS), share, WHOLE)
    else:
        one = geometry.volume(outline(doc), expect(doc["thickness"], "length"))
    return Quantity("volume", one * expect(doc.get("count", "1 pieces"), "count"))


@dataclass(frozen=True, slots=True)
class Cut:
    """What sheets give: the pieces, the part of the sheets that is in none, the area of one in
    square centimetres and, where its thickness is stated, its volume in millilitres."""

    pieces: Fraction
    offcut: Fraction
    area: Fraction
    piece_ml: Fraction | None


def cut(yields):
    """The pieces of a yield from sheets."""
    piece = outline(yields)
    laid = _laid(tray(yields["sheet"]).layouts(piece), yields.get("layout", "best"))
    thickness = expect(yields["thickness"], "length") if "thickness" in yields else None
    return Cut(
        pieces=Fraction(laid.pieces * yields.get("sheets", 1)),
        offcut=laid.offcut,
        area=piece.area,
        piece_ml=None if thickness is None else geometry.volume(piece, thickness),
    )


def _laid(layouts, wanted):
    """The layout with the most pieces of those of the pattern that is asked for."""
    fitting = [one for one in layouts if wanted in ("best", one.pattern)]
    if not fitting:
        raise Refused("not-staggered", "only discs and rings lie staggered")
    return geometry.best(fitting)
