"""Shapes: areas, masses and volumes, layouts on a sheet, trays and oven loads.

Lengths are in centimetres, so that a volume is in millilitres. Elementary solid
geometry, kept rational by two agreed decimals for pi and for half the root of 3.
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from .errors import Refused
from .quantities import ceiling

PI = Fraction("3.141592653589793")
HALF_ROOT_THREE = Fraction("0.8660254037844386")


def positive(value, what):
    """A size, which is above 0."""
    if value <= 0:
        raise Refused("not-above-0", f"{what} must be above 0")
    return value


@dataclass(frozen=True, slots=True)
class Disc:
    """A disc, or with a hole a ring."""

    diameter: Fraction
    hole: Fraction = Fraction(0)

    def __post_init__(self):
        positive(self.diameter, "a diameter")
        if self.hole >= self.diameter:
            raise Refused("hole-reaches-rim", "the hole of a ring is smaller than the ring")

    @property
    def area(self):
        return PI / 4 * (self.diameter**2 - self.hole**2)


def ring(outer, inner):
    """A disc with a round hole in its middle."""
    return Disc(outer, positive(inner, "a hole"))


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A sheet, a strip, a plaque."""

    length: Fraction
    width: Fraction

    def __post_init__(self):
        positive(self.length, "a length")
        positive(self.width, "a width")

    @property
    def area(self):
        return self.length * self.width


def strip_around(diameter, width):
    """The strip that lines a round frame once, without an overlap."""
    return Rectangle(PI * positive(diameter, "a diameter"), width)


def volume(outline, thickness):
    """Millilitres of an outline at a thickness."""
    return outline.area * positive(thickness, "a thickness")


def thickness(outline, mass, density):
    """How thick a mass of it comes out."""
    return positive(mass, "a mass") / (positive(density, "a density") * outline.area)


# Moulds: the volume of what is inside, in millilitres.


def straight(outline, height):
    """A frame or ring with upright walls."""
    return outline.area * positive(height, "a height")


def half_sphere(diameter):
    """Half of pi/6 d^3."""
    return PI / 12 * positive(diameter, "a diameter") ** 3


def cone_frustum(top, bottom, height):
    """A cone cut level: a third of the height times the sum of the two end areas and of their
    geometric mean, which for circles is pi/4 times the product of the diameters."""
    ends = positive(top, "a diameter"), positive(bottom, "a diameter")
    means = ends[0] ** 2 + ends[0] * ends[1] + ends[1] ** 2
    return positive(height, "a height") / 3 * PI / 4 * means


def loaf(top, bottom, height):
    """A tin with four sloping walls. Its sides grow evenly from the bottom to the top, so the
    volume is the integral over the height of (l0 + (l1 - l0) t) (w0 + (w1 - w0) t)."""
    (l1, w1), (l0, w0) = top, bottom
    for side in (l1, w1, l0, w0):
        positive(side, "a side")
    constant, linear, square = l0 * w0, l0 * (w1 - w0) + w0 * (l1 - l0), (l1 - l0) * (w1 - w0)
    return positive(height, "a height") * (constant + linear / 2 + square / 3)


def half_cylinder(diameter, length):
    """A log mould: half of a cylinder laid down."""
    return PI / 8 * positive(diameter, "a diameter") ** 2 * positive(length, "a length")


def savarin(outer, tube):
    """Half of a torus: half of a circle's area, taken once round at the middle of the tube
    (Pappus's second theorem)."""
    if positive(tube, "a tube") * 2 > positive(outer, "a diameter"):
        raise Refused("tube-too-thick", "the channel of a ring is at most half of the ring wide")
    return PI / 8 * tube**2 * PI * (outer - tube)


def fill(volume_ml, share, density):
    """Grams that fill a part of a mould."""
    if not 0 < share <= 1:
        raise Refused("bad-fill", "a mould is filled to more than 0 % and at most 100 %")
    return volume_ml * share * positive(density, "a density")


# Layouts.


@dataclass(frozen=True, slots=True)
class Layout:
    """One way to lay pieces on a sheet; `moved` is how many a moved row holds, where there are
    moved rows."""

    pattern: str
    along: str
    rows: int
    per_row: int
    moved: int | None
    pieces: int
    offcut: Fraction


def in_a_row(room, size, gap):
    """n pieces need n sizes and n - 1 gaps."""
    return max(0, math.floor((room + gap) / (size + gap)))


def _grid(room, across, sizes, gap):
    rows, per_row = in_a_row(across, sizes[1], gap), in_a_row(room, sizes[0], gap)
    return rows, per_row, None, rows * per_row


def _staggered(room, across, diameter, gap):
    """Every second row moved by half a step. Centres of neighbours are one step apart, so rows
    are the height of an equilateral triangle apart: sqrt(3)/2 of a step."""
    step = diameter + gap
    per_row, moved = in_a_row(room, diameter, gap), in_a_row(room - step / 2, diameter, gap)
    rows = 0 if across < diameter else 1 + math.floor((across - diameter) / (step * HALF_ROOT_THREE))
    return rows, per_row, moved, ceiling(Fraction(rows, 2)) * per_row + rows // 2 * moved


def _tried(piece, room, gap):
    """(pattern, along, counts) in the order in which they are compared. A disc has no length, so
    turning its plain rows makes no other layout."""
    length, width = room
    if isinstance(piece, Rectangle):
        sizes = piece.length, piece.width
        yield "rows", "length", _grid(length, width, sizes, gap)
        yield "rows", "width", _grid(width, length, sizes, gap)
        return
    diameter = piece.diameter
    yield "rows", "length", _grid(length, width, (diameter, diameter), gap)
    yield "staggered", "length", _staggered(length, width, diameter, gap)
    yield "staggered", "width", _staggered(width, length, diameter, gap)


def layouts(sheet, piece, gap, edge):
    """Every layout that holds a piece."""
    room = sheet.length - 2 * edge, sheet.width - 2 * edge
    if min(room) <= 0:
        raise Refused("no-room", "the edges leave nothing of the sheet")
    found = []
    for pattern, along, (rows, per_row, moved, pieces) in _tried(piece, room, gap):
        if pieces:
            offcut = 1 - pieces * piece.area / sheet.area
            found.append(Layout(pattern, along, rows, per_row, moved, pieces, offcut))
    if not found:
        raise Refused("does-not-fit", "not even one piece fits")
    return found


def best(found):
    """The most pieces; of equals the first."""
    return max(found, key=lambda layout: layout.pieces)


# Trays and ovens.


@dataclass(frozen=True, slots=True)
class Oven:
    """Trays and loads; what the last of each holds."""

    trays: int
    last_tray: int
    loads: int
    last_load: int


def _groups(count, size):
    """How many groups, and how many are in the last."""
    groups = ceiling(Fraction(count, size))
    return groups, count - (groups - 1) * size if groups else 0


def oven(pieces, per_tray, per_load):
    """Fills tray after tray and load after load."""
    if per_tray < 1 or per_load < 1:
        raise Refused("not-above-0", "a tray takes a piece and an oven a tray")
    trays, last_tray = _groups(pieces, per_tray)
    return Oven(trays, last_tray, *_groups(trays, per_load))
