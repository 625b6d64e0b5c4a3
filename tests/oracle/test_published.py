"""Figures printed by others, each with its source."""

import unittest
from datetime import date
from fractions import Fraction

from . import run
from .fixtures import HARBOUR, book, exact, recipe, scaled, target

POUND = Fraction("453.59237")


def price(ingredient, pack, money):
    return f'[[price]]\ningredient = "{ingredient}"\npack = "{pack}"\nprice = "{money} EUR"\nfrom = 2026-01-01\n'


def costed(made, kind="factor", value=1):
    return run.cost_of(made, "r", target(kind, value), "harbour", date(2026, 1, 1))


class Published(unittest.TestCase):
    def test_factor_method(self):
        # US Armed Forces Recipe Service, General Information No. 1: 1.25 lb for
        # 100 portions is 4.35 lb for 348.
        made = book(recipe("r", ("flour", "1.25 lb"), yields="pieces = 100"))
        _, by_id = scaled(made, "pieces", 348)
        self.assertEqual(Fraction(exact(by_id["r"]["lines"][0]["mass_g"])), Fraction("4.35") * POUND)

    def test_shares_to_a_wanted_dough_mass(self):
        # Baker's percentage worksheet, 73 baguettes of 390 g: it prints 16747.058,
        # 11220.528, 334.941 and 167.47 g (cut off, not rounded).
        shares = ("milk", "67 %"), ("salt", "2 %"), ("honey", "1 %")
        made = book(recipe("r", ("flour", "1 kg", "base = true"), *shares))
        _, by_id = scaled(made, "mass_g", 73 * 390)
        rounded = [line["mass_g"]["rounded"] for line in by_id["r"]["lines"]]
        self.assertEqual(rounded, ["16747.059", "11220.529", "334.941", "167.471"])

    def test_purchased_from_edible(self):
        # Bakery and Business Math (open textbook), ch. 25: 32 oz of pears at 78 %
        # edible yield are 41.03 oz as purchased.
        pantry = '[[ingredient]]\nid = "pear"\nname = { en = "Pear" }\nedible_yield = "78 %"\n'
        prices = {"group": price("pear", "1 kg", "1")}
        got = costed(book(recipe("r", ("pear", "32 oz")), prices=prices, pantry=pantry))
        ounces = Fraction(exact(got["ingredients"][0]["purchased_g"])) / (POUND / 16)
        self.assertEqual(round(ounces, 2), Fraction("41.03"))

    def test_cost_of_edible_from_a_case(self):
        # Bakeshop math lesson: a 15 lb case at 25.00 and 75 % edible yield. Its
        # 2.23 a pound comes from 1.67 rounded on the way; exact is 2.2222.
        pantry = '[[ingredient]]\nid = "mango"\nname = { en = "Mango" }\nedible_yield = "75 %"\n'
        prices = {"group": price("mango", "15 lb", "25.00")}
        got = costed(book(recipe("r", ("mango", "1 lb"), yields="pieces = 1"), prices=prices, pantry=pantry))
        self.assertEqual(got["per_piece"], {"exact": "20/9", "rounded": "2.2222"})

    def test_cost_of_a_recipe(self):
        # Bakery math drills TH2001, brioche cost sheet: total 110.67, 55.335 for
        # each of two portions of 300 g.
        pantry = "".join(
            f'[[ingredient]]\nid = "{i}"\nname = {{ en = "{i}" }}\npiece_mass = "50 g"\n'
            for i in ("flour", "milk-dry", "sugar", "butter", "egg")
        )
        amounts = {"flour": "326 g", "milk-dry": "35 g", "sugar": "35 g", "butter": "142 g", "egg": "3 pieces"}
        packs = [("flour", "800 g", "81.75"), ("milk-dry", "1 kg", "240"), ("sugar", "1 kg", "46")]
        packs += [("butter", "200 g", "60"), ("egg", "1 pieces", "8.25")]
        site = HARBOUR.replace("24 EUR/h", "0 EUR/h")
        made = book(
            recipe("r", *amounts.items(), yields='pieces = 2\npiece_mass = "300 g"'),
            prices={"group": "".join(price(*p) for p in packs)},
            sites=(site,),
            pantry=pantry,
        )
        got = costed(made)
        self.assertEqual(got["food"]["rounded"], "110.67")
        costs = {i["ingredient"]: i["cost"]["rounded"] for i in got["ingredients"]}
        printed = {"flour": "33.31", "milk-dry": "8.40", "sugar": "1.61", "butter": "42.60", "egg": "24.75"}
        self.assertEqual(costs, printed)
