"""Dough, set, air, formulas: figures printed by others, each with its source, and laws."""

import unittest
from fractions import Fraction as F

from . import dough
from .errors import Refused
from .quantities import difference, fixed, temperature

POUND = F("453.59237")


def fahrenheit(celsius):
    return celsius * F(9, 5) + 32


def bowl(*texts):
    return dough.Bowl(*(temperature(text) for text in texts))


class Water(unittest.TestCase):
    def test_published(self):
        # Pizza Today, June 2018; course notes on the base temperature; total temperature factor.
        rows = [("80 °F", "65 °F", "75 °F", "35 °F", 65), ("75 °F", "65 °F", "65 °F", "8 °F", 87), ("78 °F", "60 °F", "70 °F", "16 °F", 88)]
        for target, flour, room, friction, printed in rows:
            water = bowl(flour, room).water(temperature(target), difference(friction))
            self.assertEqual(fahrenheit(water), printed)

    def test_in_either_scale_the_sum_is_the_same(self):
        # The published method adds degrees of one scale: 4 x 75 - 66 - 68 - 64 - 20 °F.
        made = bowl("66 °F", "68 °F", "64 °F")
        self.assertEqual(fahrenheit(made.water(temperature("75 °F"), difference("20 °F"))), 4 * 75 - 66 - 68 - 64 - 20)

    def test_friction_undoes_water(self):
        made = dough.Bowl(F(21), F(23))
        self.assertEqual(made.friction(F(25), made.water(F(25), F(12))), 12)

    def test_what_is_not_liquid_is_refused(self):
        self.assertRaises(Refused, dough.Bowl(F(25), F(25)).water, F(20), F("10.1"))
        self.assertRaises(Refused, dough.Bowl(F(1), F(1)).water, F(40), F(0))


class Ice(unittest.TestCase):
    def test_the_heat_balances(self):
        for melting in dough.MELTING.values():
            ice, water = dough.ice_in_place(F(40), F(20), F(10), melting)
            self.assertEqual(ice * (melting + 10), water * 10)
            ice, water = dough.ice_on_top(F(40), F(20), F(10), melting)
            self.assertEqual(ice * (melting + 10), water * 10)

    def test_published(self):
        # Professional baking texts, from memory: 10 lb of water from 65 to 45 °F take 1.13 lb.
        ice, _ = dough.ice_in_place(F(10), temperature("65 °F"), temperature("45 °F"), F(80))
        self.assertEqual(fixed(ice, 2), "1.13")
        # "A simple calculation (ice)" prints 4.4; computed, in place 4.003 and on top 4.448.
        melting = dough.MEASURED_MELTING
        self.assertEqual(fixed(dough.ice_in_place(F(40), F(20), F(10), melting)[0], 3), "4.003")
        self.assertEqual(fixed(dough.ice_on_top(F(40), F(20), F(10), melting)[0], 3), "4.448")

    def test_ice_does_not_warm(self):
        self.assertRaises(Refused, dough.ice_in_place, F(1), F(10), F(11), F(80))
        self.assertRaises(Refused, dough.ice_in_place, F(1), F(10), F(-1), F(80))


class Gelatine(unittest.TestCase):
    # Gelatin conversion table by Bloom; it prints two decimals, cut loosely: within 0.02.
    PRINTED = [
        (240, 60, "2"), (200, 160, "1.11"), (160, 200, "0.89"), (240, 200, "1.09"), (200, 240, "0.91"), (100, 200, "0.7"),
        (200, 100, "1.41"), (160, 240, "0.81"), (220, 180, "1.1"), (260, 60, "2.08"), (120, 60, "1.41"), (180, 160, "1.06"),
    ]

    def test_the_root_rule_as_printed(self):
        for recipe, own, printed in self.PRINTED:
            square = dough.exchange_gelatine("root", F(1), F(recipe), F(own))
            found = F(dough.root_rounded(square, 6))
            self.assertLess(abs(found - F(printed)), F("0.02"), (recipe, own))

    def test_the_linear_rule(self):
        square = dough.exchange_gelatine("linear", F(10), F(240), F(200))
        self.assertEqual(dough.rational_root(square), 12)

    def test_roots_are_rounded_rightly(self):
        self.assertEqual(dough.root_rounded(F(2), 3), "1.414")
        self.assertEqual(dough.root_rounded(F(5, 4), 3), "1.118")
        # The root is exactly 0.0005: a half goes away from zero.
        self.assertEqual(dough.root_rounded(F(25, 10**8), 3), "0.001")
        self.assertEqual(dough.root_rounded(F(25, 10**8) - F(1, 10**30), 3), "0.000")
        for n in range(1, 400):
            shown = F(dough.root_rounded(F(n, 7), 2))
            self.assertLessEqual((shown - F(1, 200)) ** 2, F(n, 7))
            self.assertGreater((shown + F(1, 200)) ** 2, F(n, 7))

    def test_ranges(self):
        self.assertRaises(Refused, dough.exchange_gelatine, "linear", F(1), F(124), F(200))
        self.assertRaises(Refused, dough.exchange_gelatine, "root", F(1), F(200), F(261))


class Air(unittest.TestCase):
    def test_published(self):
        # University of Guelph ice cream pages, and calculations after them.
        self.assertEqual(fixed(dough.overrun(F(1090), F(560)) * 100, 1), "94.6")
        self.assertEqual(fixed(dough.aerated(F(110), F("0.05")), 1), "104.8")
        self.assertEqual(dough.aerated(F(110), F("0.1")), 100)
        self.assertEqual(dough.aerated(F(1100), F(1)), 550)

    def test_there_and_back(self):
        self.assertEqual(dough.before_air(dough.aerated(F("1.1"), F("0.85")), F("0.85")), F("1.1"))
        self.assertRaises(Refused, dough.overrun, F(1), F(2))


class Formulas(unittest.TestCase):
    def test_published(self):
        # Math baking lesson 6: 350 g of flour and the rest, 173.21 % in all.
        masses = ["350", "180", "10", "10", "25", "30", "1.25"]
        _, shares, total = dough.percentages([(F(m), n == 0) for n, m in enumerate(masses)])
        shown = [fixed(s * 100, 2) for s in shares]
        self.assertEqual(shown[1:], ["51.43", "2.86", "2.86", "7.14", "8.57", "0.36"])
        self.assertEqual(fixed(total * 100, 2), "173.21")

    def test_weights_undo_percentages(self):
        base, masses = dough.weights_for_total([F(1), F("0.67"), F("0.02"), F("0.01")], F(28470))
        self.assertEqual((base, sum(masses)), (F(28470) / F("1.7"), 28470))
        self.assertEqual(dough.weights_for_base([F(1), F("0.67")], base), masses[:2])

    def test_hydration(self):
        lines = [(F(1000), True, F(0)), (F(600), False, F(1)), (F(100), False, F("0.875"))]
        self.assertEqual(dough.hydration(lines), F("0.6875"))

    def test_a_blend_holds_what_its_parts_hold(self):
        first, second = dough.blend(F("0.3608"), F("0.0325"), F("0.1039"))
        self.assertEqual(first * F("0.3608") + second * F("0.0325"), F("0.1039"))
        self.assertEqual(first + second, 1)
        # USDA Standard Reference 28, half and half of cream and milk: 21.75 % cream.
        self.assertEqual(fixed(first * 100, 2), "21.75")
        self.assertRaises(Refused, dough.blend, F("0.35"), F("0.035"), F("0.36"))

    def test_eggs(self):
        self.assertEqual([dough.egg_class(F(m)) for m in ("52.9", "53", "63", "73")], ["S", "M", "L", "XL"])
        # White and yolk of a large egg are the egg.
        self.assertEqual(sum(dough.EGG_PARTS.values()), dough.EGGS["large"])
