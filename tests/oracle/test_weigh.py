"""The weigh-up at a site, worked by hand."""

import unittest
from fractions import Fraction

from .book import Scale, Site
from .fixtures import book, recipe, scaled
from .weigh import weigh


def site(*scales):
    made = tuple(Scale(name, Fraction(c), Fraction(i)) for name, c, i in scales)
    return Site("harbour", "EUR", None, made, ())


BENCH = ("bench", 6000, 1)
FINE = ("fine", 200, "0.1")
TWO_PERCENT = Fraction(2, 100)


class Choice(unittest.TestCase):
    def test_finest_that_carries_it_and_full_capacity_counts(self):
        for mass, name in ((200, "fine"), ("200.0001", "bench")):
            self.assertEqual(weigh(site(BENCH, FINE), Fraction(mass), TWO_PERCENT).scale, name)

    def test_equal_increments_take_the_smaller_capacity(self):
        got = weigh(site(("big", 9000, 1), BENCH), Fraction(100), TWO_PERCENT)
        self.assertEqual(got.scale, "bench")

    def test_equal_weighings_when_nothing_carries_it(self):
        got = weigh(site(BENCH, FINE), Fraction(12001), TWO_PERCENT)
        # 12001 / 3 = 4000 1/3 reads 4000; off by 1 g of 12001
        self.assertEqual((got.scale, got.weighings, got.reading_g), ("bench", 3, 4000))
        self.assertEqual(got.error, Fraction(1, 12001))


class Readings(unittest.TestCase):
    def test_half_an_increment_reads_up(self):
        self.assertEqual(weigh(site(BENCH), Fraction("2.5"), 1).reading_g, 3)
        self.assertEqual(weigh(site(("c", 100, 2)), Fraction(5), 1).reading_g, 6)

    def test_reading_zero_is_flagged(self):
        got = weigh(site(BENCH), Fraction("0.49"), TWO_PERCENT)
        self.assertEqual((got.reading_g, got.error, got.flag), (0, 1, "reads-zero"))

    def test_error_equal_to_the_tolerance_passes(self):
        # 24.5 reads 25: error 1/49
        self.assertIsNone(weigh(site(BENCH), Fraction("24.5"), Fraction(1, 49)).flag)
        self.assertEqual(weigh(site(BENCH), Fraction("24.5"), Fraction(1, 50)).flag, "over-tolerance")

    def test_nothing_to_weigh(self):
        self.assertIsNone(weigh(site(BENCH), Fraction(0), TWO_PERCENT))
        self.assertIsNone(weigh(site(), Fraction(5), TWO_PERCENT))
        self.assertIsNone(weigh(None, Fraction(5), TWO_PERCENT))


class InThePlan(unittest.TestCase):
    def test_json_of_a_flagged_line(self):
        made = book(recipe("r", ("flour", "100 g"), ("salt", "0.05 g"), ("milk", "to taste")))
        _, by_id = scaled(made, "factor", "0.9", site="harbour")
        flour, salt, milk = (line["weigh"] for line in by_id["r"]["lines"])
        self.assertEqual(flour["reading_g"], {"exact": "90", "rounded": "90.000"})
        self.assertEqual(
            salt,
            {
                "scale": "fine",
                "weighings": 1,
                "reading_g": {"exact": "0", "rounded": "0.000"},
                "error_percent": {"exact": "100", "rounded": "100.00"},
                "flag": "reads-zero",
            },
        )
        self.assertIsNone(milk)
        codes = [w["code"] for w in by_id["r"]["warnings"]]
        self.assertEqual(codes, ["over-tolerance", "to-taste"])

    def test_default_and_stated_tolerance(self):
        made = book(recipe("r", ("flour", "1.24 g", 'tolerance = "5 %"'), ("salt", "1.24 g")))
        _, by_id = scaled(made, "factor", 1, site="harbour")
        # 1.24 reads 1.2: 3.23 %
        self.assertEqual([x["weigh"]["flag"] for x in by_id["r"]["lines"]], [None, "over-tolerance"])
        self.assertEqual(by_id["r"]["lines"][0]["weigh"]["error_percent"]["rounded"], "3.23")
