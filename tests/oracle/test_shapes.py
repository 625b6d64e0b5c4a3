"""Amounts by shape and yields from sheets, worked by hand."""

import unittest
from fractions import Fraction

from . import book, shapes
from .errors import Refused
from .geometry import PI
from .resolve import resolve_recipe

SHEET = {"length": "60 cm", "width": "40 cm"}


def _recipe(yields, density=None, loss=()):
    doc = {"id": "r", "yield": yields, "line": [{"ingredient": "flour", "amount": "1600 g"}], "loss": list(loss)}
    return book.recipe(doc | ({"density": density} if density else {}))


def _written(*args, **more):
    larder = {"flour": book.ingredient({"id": "flour", "name": {}})}
    known = book.Book("EUR", ("en",), larder, {}, {}, (), ())
    return resolve_recipe(known, {}, _recipe(*args, **more)).written


class Amounts(unittest.TestCase):
    def _ml(self, **doc):
        return shapes.amount(doc).value

    def test_flat_shapes(self):
        self.assertEqual(self._ml(disc="16 cm", thickness="4 mm"), PI * Fraction(256, 10))
        self.assertEqual(self._ml(disc="160 mm", thickness="0.4 cm", count="48 pieces"), PI * Fraction(12288, 10))
        self.assertEqual(self._ml(ring=["18 cm", "14 cm"], thickness="1 cm"), PI * 32)
        self.assertEqual(self._ml(rectangle=["60 cm", "0.4 m"], thickness="5 mm"), 1200)
        self.assertEqual(self._ml(strip_around="16 cm", height="4.5 cm", thickness="3 mm"), PI * Fraction(216, 10))

    def test_fills(self):
        self.assertEqual(self._ml(fill={"cylinder": "16 cm", "height": "4.5 cm"}, share="90 %"), PI * Fraction(2592, 10))
        self.assertEqual(self._ml(fill={"ring": ["10 cm", "6 cm"], "height": "2 cm"}), PI * 32)
        self.assertEqual(self._ml(fill={"frame": ["60 cm", "40 cm"], "height": "4 cm"}), 9600)
        self.assertEqual(self._ml(fill={"half_sphere": "6 cm"}, count="1/2 pieces"), PI * 9)
        self.assertEqual(self._ml(fill={"cone_frustum": ["4 cm", "2 cm"], "height": "6 cm"}), PI * 14)
        loaf = {"loaf": ["20 cm", "10 cm"], "bottom": ["18 cm", "8 cm"], "height": "6 cm"}
        self.assertEqual(self._ml(fill=loaf), 1028)
        self.assertEqual(self._ml(fill={"half_cylinder": "8 cm", "length": "50 cm"}), PI * 400)
        self.assertEqual(self._ml(fill={"savarin": "18 cm", "tube": "4 cm"}), PI * PI * 28)


class Sheets(unittest.TestCase):
    SQUARES = {"sheet": SHEET, "rectangle": ["11 cm", "11 cm"]}

    def test_the_offcut_is_a_stated_loss(self):
        loss = [{"kind": "whole", "fraction": "10 %"}, {"residue": "9 g"}]
        written = _written(self.SQUARES | {"sheets": 2}, loss=loss)
        self.assertEqual(written.factor, Fraction(1089, 1600))
        self.assertEqual((written.net_g, written.pieces, written.piece_g), (1080, 30, 36))
        self.assertEqual(written.unexplained, 0)

    def test_a_stated_piece_is_held_against_what_the_offcut_leaves(self):
        self.assertEqual(_written(self.SQUARES | {"piece_mass": "242/3 g"}).unexplained, 0)
        self.assertEqual(_written(self.SQUARES | {"piece_mass": "80 g"}).unexplained, Fraction(1, 121))
        self.assertTrue(_written(self.SQUARES | {"piece_mass": "78 g"}).warns)
        with self.assertRaises(Refused) as caught:
            _written(self.SQUARES | {"piece_mass": "60 g"})
        self.assertEqual(caught.exception.kind, "unexplained-loss")

    def test_a_thickness_weighs_by_the_density_of_the_recipe(self):
        thick = self.SQUARES | {"thickness": "10 mm"}
        self.assertEqual(_written(thick, density="2/3 g/mL").piece_g, Fraction(242, 3))
        with self.assertRaises(Refused) as caught:
            _written(thick)
        self.assertEqual(caught.exception.kind, "missing-density")

    def test_layouts(self):
        def cut(**more):
            return shapes.cut({"sheet": SHEET, "disc": "5 cm"} | more).pieces

        self.assertEqual([cut(layout="rows"), cut(layout="staggered"), cut(), cut(sheets=3)], [96, 104, 104, 312])
        with self.assertRaises(Refused) as caught:
            shapes.cut(self.SQUARES | {"layout": "staggered"})
        self.assertEqual(caught.exception.kind, "not-staggered")
