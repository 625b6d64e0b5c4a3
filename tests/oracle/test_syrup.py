"""Syrup against printed figures, balances of sugar and water, and its tables' ends."""

import unittest
from fractions import Fraction as F

from . import syrup
from .errors import Refused
from .quantities import fixed


class Tables(unittest.TestCase):
    def test_rows_rise(self):
        for rows in (syrup.BOILING, syrup.SATURATION):
            for (a, b), (c, d) in zip(rows, rows[1:]):
                self.assertTrue(a < c and b < d)

    def test_rows_and_the_line_between(self):
        self.assertEqual(syrup.boiling_point(F("0.8")), 112)
        self.assertEqual(syrup.boiling_point(F("0.85")), (F("116.3") + F("119.3")) / 2)
        self.assertEqual(syrup.saturation(F(20)), F("0.6709"))
        # 2 of 5 degrees on from 67.09 to 67.89.
        self.assertEqual(syrup.saturation(F(22)), F("0.6741"))

    def test_there_and_back(self):
        for strength in range(50, 91):
            self.assertEqual(syrup.boiling_strength(syrup.boiling_point(F(strength, 100))), F(strength, 100))
        for celsius in range(0, 101, 3):
            self.assertEqual(syrup.saturation_temperature(syrup.saturation(F(celsius))), celsius)

    def test_nothing_beyond_the_ends(self):
        for call, value in (
            (syrup.boiling_point, F("0.4999")), (syrup.boiling_point, F("0.9001")),
            (syrup.boiling_strength, F("101.9")), (syrup.saturation, F(-1)),
            (syrup.saturation_temperature, F("0.83")),
        ):
            self.assertRaises(Refused, call, value)


class Balances(unittest.TestCase):
    def test_published(self):
        # The solubility table's own second column: 67.09 % are 203.9 g for 100 g of water.
        self.assertEqual(fixed(syrup.per_100_of_water(F("0.6709")), 1), "203.9")

    def test_what_is_brought_to_a_strength_has_it(self):
        for start, end in ((F("0.65"), F("0.5")), (F("0.2"), F("0.3")), (F(0), F("0.5"))):
            add, mass = syrup.bring_to(F(1000), start, end)
            other = F(0) if add == "water" else F(1)
            self.assertEqual(syrup.mix([(F(1000), start), (mass, other)]), end)

    def test_what_is_boiled_down_keeps_its_sugar(self):
        water, left = syrup.boil_down(F(1000), F("0.5"), F("0.67"))
        self.assertEqual((left * F("0.67"), water + left), (500, 1000))

    def test_out_of_reach(self):
        for call, start, end in ((syrup.bring_to, "0.3", "0"), (syrup.bring_to, "0.3", "1"), (syrup.boil_down, "0.5", "0.4"), (syrup.boil_down, "0", "0.4")):
            self.assertRaises(Refused, call, F(1), F(start), F(end))


class Stages(unittest.TestCase):
    def test_at_sea_level(self):
        self.assertEqual(syrup.stage_at(F(113), F(0)), (["thread", "soft ball"], None, "firm ball"))
        self.assertEqual(syrup.stage_at(F(117), F(0)), ([], "soft ball", "firm ball"))
        self.assertEqual(syrup.stage_at(F(190), F(0)), (["dark caramel"], "medium caramel", None))

    def test_a_degree_for_every_305_metres(self):
        self.assertEqual(syrup.stages(F(305 * 100))[0], ("thread", 101, 112))
        self.assertRaises(Refused, syrup.stages, F("304800.1"))
