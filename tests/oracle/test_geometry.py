"""Shapes by hand, and against a count of every place a disc can have."""

import unittest
from fractions import Fraction as F

from . import geometry as g
from .errors import Refused


class Shapes(unittest.TestCase):
    def test_areas(self):
        self.assertEqual(g.Disc(F(2)).area, g.PI)
        self.assertEqual(g.ring(F(4), F(2)).area, 3 * g.PI)
        self.assertEqual(g.Rectangle(F(60), F(40)).area, 2400)
        self.assertEqual(g.strip_around(F(16), F(4)).area, 64 * g.PI)

    def test_thickness_undoes_mass(self):
        disc, density = g.Disc(F(16)), F("0.62")
        mass = g.volume(disc, F("1.2")) * density
        self.assertEqual(g.thickness(disc, mass, density), F("1.2"))

    def test_a_cone_with_equal_ends_is_a_cylinder(self):
        self.assertEqual(g.cone_frustum(F(7), F(7), F(3)), g.straight(g.Disc(F(7)), F(3)))

    def test_a_cone_is_what_is_left_of_a_whole_one(self):
        # A cone of 6 high and 4 across, less its upper half.
        whole, tip = g.PI / 12 * 16 * 6, g.PI / 12 * 4 * 3
        self.assertEqual(g.cone_frustum(F(4), F(2), F(3)), whole - tip)

    def test_a_tin_in_proportion_is_a_cut_pyramid(self):
        # A pyramid of 10 x 20 and 15 high, less one of half its sides.
        self.assertEqual(g.loaf((F(10), F(20)), (F(5), F(10)), F("7.5")), F(1000) * F(7, 8))

    def test_a_tin_is_the_sum_of_thin_slices(self):
        exact = g.loaf((F(22), F(11)), (F(20), F(8)), F(7))
        slices = 4000
        middle = [F(2 * n + 1, 2 * slices) for n in range(slices)]
        summed = sum((20 + 2 * t) * (8 + 3 * t) for t in middle) * F(7, slices)
        self.assertLess(abs(exact - summed), F(1, 10**6))

    def test_half_of_each_solid(self):
        self.assertEqual(2 * g.half_sphere(F(6)), g.PI * 36)
        self.assertEqual(2 * g.half_cylinder(F(4), F(9)), g.straight(g.Disc(F(4)), F(9)))
        # A torus of tube 4 whose middle is 10 across.
        self.assertEqual(2 * g.savarin(F(14), F(4)), (g.PI * 4) * (g.PI * 10))

    def test_what_has_no_volume_is_refused(self):
        for make in (
            lambda: g.Disc(F(0)),
            lambda: g.ring(F(3), F(3)),
            lambda: g.savarin(F(10), F("5.1")),
            lambda: g.fill(F(100), F(0), F(1)),
            lambda: g.fill(F(100), F("1.01"), F(1)),
            lambda: g.loaf((F(1), F(0)), (F(1), F(1)), F(1)),
        ):
            self.assertRaises(Refused, make)


def centres(layout, step):
    """Where a staggered layout puts its discs, in units of half a step and of a row."""
    for row in range(layout.rows):
        count, start = (layout.moved, step / 2) if row % 2 else (layout.per_row, F(0))
        yield from ((start + n * step, row) for n in range(count))


class Layouts(unittest.TestCase):
    SHEETS = [(60, 40), (53, 32), (40, 30), (32, 10), (17, 90)]

    def test_rows_are_as_many_as_fit(self):
        for room in range(1, 60):
            for size, gap in ((F(7), F(1)), (F(5, 2), F(0)), (F(10), F(1, 2))):
                n = g.in_a_row(F(room), size, gap)
                self.assertTrue(n == 0 or n * size + (n - 1) * gap <= room)
                self.assertGreater((n + 1) * size + n * gap, room)

    def test_staggered_discs_keep_their_gap_and_stay_on_the_sheet(self):
        for length, width in self.SHEETS:
            sheet = g.Rectangle(F(length), F(width))
            for diameter, gap in ((F(7), F(1, 5)), (F(4), F(0)), (F(9), F(1, 2))):
                step = diameter + gap
                for layout in g.layouts(sheet, g.Disc(diameter), gap, F(0)):
                    if layout.moved is None:
                        continue
                    room, across = (sheet.length, sheet.width)
                    if layout.along == "width":
                        room, across = across, room
                    found = list(centres(layout, step))
                    self.assertEqual(len(found), layout.pieces)
                    self.assertTrue(all(x + diameter <= room for x, _ in found))
                    rise = step * g.HALF_ROOT_THREE
                    self.assertLessEqual((layout.rows - 1) * rise + diameter, across)
                    self.assertGreater(layout.rows * rise + diameter, across)

    def test_neighbours_of_a_moved_row_are_one_step_away(self):
        # Half a step along and sqrt(3)/2 of one across.
        distance = F(1, 4) + g.HALF_ROOT_THREE**2
        self.assertLess(abs(distance - 1), F(1, 10**15))

    def test_the_offcut_and_the_pieces_are_the_sheet(self):
        sheet = g.Rectangle(F(60), F(40))
        for layout in g.layouts(sheet, g.Disc(F(7)), F(0), F(0)):
            self.assertEqual(layout.offcut * 2400 + layout.pieces * g.Disc(F(7)).area, 2400)

    def test_what_does_not_fit_is_refused(self):
        sheet = g.Rectangle(F(60), F(40))
        for piece, edge in ((g.Disc(F(41)), F(0)), (g.Disc(F(1)), F(20))):
            self.assertRaises(Refused, g.layouts, sheet, piece, F(0), edge)


class Ovens(unittest.TestCase):
    def test_against_a_count(self):
        for pieces in range(60):
            for per_tray, per_load in ((12, 4), (5, 1), (1, 7)):
                filled = [min(per_tray, pieces - n) for n in range(0, pieces, per_tray)]
                loads = [filled[n : n + per_load] for n in range(0, len(filled), per_load)]
                last = (filled or [0])[-1], len((loads or [[]])[-1])
                expected = g.Oven(len(filled), last[0], len(loads), last[1])
                self.assertEqual(g.oven(pieces, per_tray, per_load), expected)
