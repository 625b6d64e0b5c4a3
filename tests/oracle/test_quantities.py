"""Numbers, units and the one rounding."""

import unittest
from fractions import Fraction

from . import quantities as q
from .errors import Refused


class Numbers(unittest.TestCase):
    def test_the_four_ways_to_write_a_number(self):
        cases = {"250": 250, "0.5": Fraction(1, 2), "1/2": Fraction(1, 2), "1 1/2": Fraction(3, 2)}
        for text, value in cases.items():
            self.assertEqual(q.number(text), value, text)

    def test_what_is_no_number(self):
        for text in ("", "-1", "1e3", ".5", "1.", "1/0", "1,5", "1 1"):
            with self.assertRaises(Refused, msg=text):
                q.number(text)


class Units(unittest.TestCase):
    def test_mass_and_volume_are_exact_by_law(self):
        # Definitions: 1 lb = 453.59237 g; 1 US gallon = 231 in3; 1 imperial gallon = 4.54609 L.
        cases = {
            "1 lb": "453.59237",
            "16 oz": "453.59237",
            "1 mg": "0.001",
            "1 cup": "236.5882365",
            "48 tsp": "236.5882365",
            "16 tbsp": "236.5882365",
            "1 floz": "29.5735295625",
            "1 gal": "3785.411784",
            "2 pt": "946.352946",
            "1 qt": "946.352946",
            "1 imp-pt": "568.26125",
            "20 imp-floz": "568.26125",
            "1/8 imp-gal": "568.26125",
            "2 dL": "200",
            "3 cL": "30",
        }
        for text, value in cases.items():
            self.assertEqual(q.quantity(text).value, Fraction(value), text)

    def test_dimensions_are_told_apart(self):
        cases = {"1 kg": "mass", "1 L": "volume", "2 pieces": "count", "5 %": "share", "1 h": "time"}
        for text, dimension in cases.items():
            self.assertEqual(q.quantity(text).dimension, dimension)
        with self.assertRaises(Refused) as refused:
            q.expect("1 L", "mass")
        self.assertEqual(refused.exception.kind, "wrong-dimension")

    def test_density_money_and_rate(self):
        self.assertEqual(q.density("1.03 g/mL"), Fraction(103, 100))
        self.assertEqual(q.density("1030 g/L"), Fraction(103, 100))
        self.assertEqual(q.money("12.50 EUR"), q.Money(Fraction(25, 2), "EUR"))
        self.assertEqual(q.hourly_rate("24.50 EUR/h"), q.Money(Fraction(49, 2), "EUR"))


class Rounding(unittest.TestCase):
    def test_halves_go_away_from_zero(self):
        cases = [("0.0005", 3, "0.001"), ("0.0015", 3, "0.002"), ("2.5", 0, "3"), ("-2.5", 0, "-3")]
        for value, places, text in cases:
            self.assertEqual(q.fixed(Fraction(value), places), text)

    def test_all_decimals_are_shown(self):
        self.assertEqual(q.figure(1, 3), {"exact": "1", "rounded": "1.000"})
        self.assertEqual(q.figure(Fraction(2, 6), 2), {"exact": "1/3", "rounded": "0.33"})
        self.assertEqual(q.fixed(Fraction("0.4999"), 0), "0")
