"""Prices, cost, labour and orders, worked by hand."""

import unittest
from datetime import date

from . import run
from .fixtures import HARBOUR, book, exact, recipe, target
from .prices import Market

DAY = date(2026, 11, 1)
PLAIN = recipe("r", ("flour", "1 kg"), yields="pieces = 10")


def price(ingredient, pack, money, start="2026-10-01", *more):
    return "\n".join(
        [f'[[price]]\ningredient = "{ingredient}"\npack = "{pack}"\nprice = "{money}"\nfrom = {start}', *more, ""]
    )


def rate(source, to, value, start="2026-10-01"):
    return f'[[rate]]\nfrom = "{source}"\nto = "{to}"\nrate = "{value}"\non = {start}\n'


def costed(made, factor=1, day=DAY, site="harbour"):
    return run.cost_of(made, "r", target("factor", factor), site, day)


def chosen(*prices, day=DAY, **lists):
    """The pack and money of the price used for flour."""
    texts = {"group": "".join(prices)} | lists
    made = book(PLAIN, prices=texts)
    offer = Market(made, made.sites["harbour"], day).offer("flour")
    return None if offer is None else str(offer.price.price.value)


class Choice(unittest.TestCase):
    def test_newest_day_that_holds(self):
        old, new = price("flour", "1 kg", "2 EUR", "2026-01-01"), price("flour", "1 kg", "3 EUR")
        self.assertEqual(chosen(new, old), "3")
        self.assertEqual(chosen(new, old, day=date(2026, 9, 30)), "2")
        self.assertEqual(chosen(new, old, day=date(2026, 10, 1)), "3")
        self.assertIsNone(chosen(new, old, day=date(2025, 12, 31)))

    def test_own_list_before_the_groups_however_old(self):
        own = 'site = "harbour"\n' + price("flour", "1 kg", "9 EUR", "2025-01-01")
        other = 'site = "station"\n' + price("flour", "1 kg", "1 EUR")
        self.assertEqual(chosen(price("flour", "1 kg", "2 EUR"), own=own, other=other), "9")

    def test_preferred_then_cheapest_per_gram(self):
        dear = price("flour", "1 kg", "3 EUR", "2026-10-01", "preferred = true")
        cheap, small = price("flour", "10 kg", "20 EUR"), price("flour", "500 g", "1.20 EUR")
        self.assertEqual(chosen(cheap, dear), "3")
        self.assertEqual(chosen(small, cheap), "20")

    def test_supplier_breaks_a_tie_and_none_comes_first(self):
        b = price("flour", "2 kg", "4 EUR", "2026-10-01", 'supplier = "b"')
        a = price("flour", "1 kg", "2 EUR", "2026-10-01", 'supplier = "a"')
        none = price("flour", "3 kg", "6 EUR")
        self.assertEqual(chosen(b, a), "2")
        self.assertEqual(chosen(b, a, none), "6")
        self.assertEqual(chosen(none, price("flour", "4 kg", "8 EUR")), "6")


class Currency(unittest.TestCase):
    GBP = price("flour", "1 kg", "2 GBP")

    def cost(self, *rates, **lists):
        made = book(PLAIN, prices={"group": self.GBP + "".join(rates)} | lists)
        found = costed(made)["ingredients"][0]["cost"]
        return None if found is None else exact(found)

    def test_newest_direct_rate(self):
        old, late = rate("GBP", "EUR", "1.1", "2026-01-01"), rate("GBP", "EUR", "9", "2026-12-01")
        self.assertEqual(self.cost(rate("GBP", "EUR", "1.2"), old, late), "12/5")

    def test_of_one_day_the_last_written(self):
        self.assertEqual(self.cost(rate("GBP", "EUR", "1.2"), rate("GBP", "EUR", "1.3")), "13/5")

    def test_own_rate_first(self):
        own = 'site = "harbour"\n' + rate("GBP", "EUR", "1.5", "2025-01-01")
        self.assertEqual(self.cost(rate("GBP", "EUR", "1.2"), own=own), "3")

    def test_inverse_only_without_a_direct_one(self):
        self.assertEqual(self.cost(rate("EUR", "GBP", "0.8")), "5/2")
        own = 'site = "harbour"\n' + rate("EUR", "GBP", "0.5")
        self.assertEqual(self.cost(rate("GBP", "EUR", "1.2"), own=own), "12/5")

    def test_without_a_rate_the_price_is_missing(self):
        self.assertIsNone(self.cost(rate("GBP", "USD", "1.3"), rate("USD", "EUR", "0.9")))

    def test_a_price_that_cannot_be_converted_is_passed_over(self):
        own = 'site = "harbour"\n' + price("flour", "1 kg", "7 USD")
        euro = price("flour", "1 kg", "5 EUR", "2026-01-01")
        self.assertEqual(self.cost(euro, own=own), "5")


class Packs(unittest.TestCase):
    def test_count_and_volume_packs(self):
        lines = [("egg", "10 pieces"), ("milk", "515 g"), ("flour", "1 kg")]
        prices = price("egg", "20 pieces", "5 EUR") + price("milk", "1 L", "2 EUR") + price("flour", "2 lb", "1 EUR")
        got = costed(book(recipe("r", *lines), prices={"group": prices}))
        egg, flour, milk = got["ingredients"]
        # 10 eggs of 50 g at 80 %: 625 g purchased, of a pack of 1250 g
        self.assertEqual((exact(egg["purchased_g"]), exact(egg["price"]["pack_g"])), ("625", "1250"))
        self.assertEqual(exact(egg["cost"]), "5/2")
        self.assertEqual(exact(milk["cost"]), "1")
        self.assertEqual(exact(flour["price"]["pack_g"]), "45359237/50000")
        self.assertEqual([(o["ingredient"], o["packs"]) for o in got["order"]], [("egg", 1), ("flour", 2), ("milk", 1)])

    def test_whole_eggs_are_rounded_up_on_the_order_only(self):
        line = ("egg", "3 pieces", 'scaling = "whole"')
        made = book(recipe("r", line, ("flour", "100 g")), prices={"group": price("egg", "4 pieces", "1 EUR")})
        got = costed(made, "1.35")  # 4.05 eggs: 5 to order, 2 packs
        self.assertEqual(exact(got["ingredients"][0]["cost"]), "81/80")
        self.assertEqual(got["order"], [{"ingredient": "egg", "packs": 2, "cost": {"exact": "2", "rounded": "2.00"}}])

    def test_whole_rounding_can_cost_a_pack(self):
        for scaling, packs in (("whole", 2), ("proportional", 1)):
            line = ("egg", "3 pieces", f'scaling = "{scaling}"')
            made = book(recipe("r", line), prices={"group": price("egg", "3.5 pieces", "1 EUR")})
            self.assertEqual(costed(made, "7/6")["order"][0]["packs"], packs)


class Sums(unittest.TestCase):
    PRICES = {"group": price("flour", "1 kg", "1.005 EUR")}
    STEPS = (
        '[[step]]\nid = "mix"\ntext = { en = "Mix." }\nactive = "10 min"\npassive = "1 h"\n'
        '[[step]]\nid = "fill"\ntext = { en = "Fill." }\nactive = "30 s"\nlabour = "per-piece"\n'
        '[[step]]\nid = "weigh"\ntext = { en = "Weigh." }\nactive = "4 min"\nlabour = "with-mass"\n'
        '[[step]]\nid = "rest"\ntext = { en = "Rest." }\npassive = "1 h"\n'
    )

    def test_food_labour_and_units(self):
        tail = '[batch]\nmax = "1 kg"\n' + self.STEPS
        made = book(recipe("r", ("flour", "1 kg"), yields="pieces = 10", tail=tail), prices=self.PRICES)
        got = costed(made, "1.5")
        # minutes: 2 batches x 10 + 15 pieces x 0.5 + 1.5 x 4 = 33.5 at 0.40 EUR
        self.assertEqual(exact(got["labour"]), "67/5")
        self.assertEqual(got["food"], {"exact": "603/400", "rounded": "1.51"})
        self.assertEqual(got["total"], {"exact": "5963/400", "rounded": "14.91"})
        self.assertEqual(got["per_piece"], {"exact": "5963/6000", "rounded": "0.9938"})
        self.assertEqual(got["per_kg"], {"exact": "5963/600", "rounded": "9.9383"})
        self.assertEqual((got["complete"], got["missing"], got["currency"]), (True, [], "EUR"))

    def test_money_rounds_half_away_at_the_minor_unit(self):
        made = book(PLAIN, prices=self.PRICES)
        self.assertEqual(costed(made)["food"], {"exact": "201/200", "rounded": "1.01"})

    def test_yen_have_no_minor_unit(self):
        site = HARBOUR.replace('"EUR"', '"JPY"').replace("EUR/h", "JPY/h")
        prices = {"group": price("flour", "1 kg", "150 EUR") + rate("EUR", "JPY", "1.67")}
        got = costed(book(PLAIN, prices=prices, sites=(site,)))
        self.assertEqual((got["food"]["rounded"], got["currency"]), ("251", "JPY"))

    def test_site_without_currency_uses_the_books(self):
        site = HARBOUR.replace('currency = "EUR"\n', "")
        self.assertEqual(costed(book(PLAIN, prices=self.PRICES, sites=(site,)))["currency"], "EUR")

    def test_missing_price_gives_a_lower_bound(self):
        made = book(recipe("r", ("flour", "1 kg"), ("honey", "1 kg")), prices=self.PRICES)
        got = costed(made)
        self.assertEqual((got["complete"], got["missing"]), (False, ["honey"]))
        self.assertEqual(exact(got["total"]), "201/200")
        self.assertEqual(got["ingredients"][1]["price"], None)
        self.assertEqual(got["ingredients"][1]["cost"], None)
        self.assertEqual([o["ingredient"] for o in got["order"]], ["flour"])

    def test_missing_labour_rate_is_named(self):
        site = HARBOUR.replace('labour_rate = "24 EUR/h"\n', "")
        step = '[[step]]\nid = "mix"\ntext = { en = "Mix" }\nactive = "10 min"\n'
        busy = recipe("r", ("flour", "1 kg"), tail=step)
        got = costed(book(busy, prices=self.PRICES, sites=(site,)))
        self.assertEqual((got["complete"], got["missing"]), (False, ["labour_rate"]))
        self.assertEqual(exact(got["labour"]), "0")

    def test_without_busy_hands_no_labour_rate_is_missing(self):
        site = HARBOUR.replace('labour_rate = "24 EUR/h"\n', "")
        got = costed(book(PLAIN, prices=self.PRICES, sites=(site,)))
        self.assertEqual((got["complete"], got["missing"]), (True, []))

    def test_price_as_printed(self):
        text = price("flour", "1 kg", "2.5 EUR", "2026-10-01", 'supplier = "mill-1"')
        got = costed(book(PLAIN, prices={"autumn": text}))["ingredients"][0]["price"]
        self.assertEqual(
            got,
            {
                "pack_g": {"exact": "1000", "rounded": "1000.000"},
                "price": {"exact": "5/2", "rounded": "2.50"},
                "currency": "EUR",
                "from": "2026-10-01",
                "supplier": "mill-1",
                "list": "autumn",
            },
        )


class StandardUnitCost(unittest.TestCase):
    def test_from_written_batches_all_the_way_down(self):
        # syrup: 1 kg honey at 8 EUR gives 800 g: 0.01 EUR/g; r: 100 g of it + 1 kg flour, 10 pieces
        loss = '[[loss]]\nstage = "cook"\nkind = "water"\nfraction = "20 %"\n[batch]\nmax = "100 g"\n'
        made = book(
            recipe("syrup", ("honey", "1 kg"), tail=loss),
            recipe("r", ("flour", "1 kg"), ("component:syrup", "100 g"), yields="pieces = 10"),
            prices={"group": price("honey", "1 kg", "8 EUR") + price("flour", "1 kg", "2 EUR")},
        )
        got = run.standard_unit_cost(made, "r", "harbour", DAY)
        self.assertEqual((got.per, got.complete), ("piece", True))
        self.assertEqual(str(got.food), "3/10")
        got = run.standard_unit_cost(made, "syrup", "harbour", DAY)
        self.assertEqual((got.per, str(got.food)), ("gram", "1/100"))
        got = run.standard_unit_cost(made, "syrup", "harbour", date(2025, 1, 1))
        self.assertEqual((str(got.food), got.complete), ("0", False))
