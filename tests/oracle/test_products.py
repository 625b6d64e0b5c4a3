"""Several products in one plan, by hand."""

import unittest
from datetime import date

from . import products
from .errors import Refused
from .fixtures import book, recipe, target

CREAM = recipe("cream", ("milk", "100 g"), tail='[[line]]\ningredient = "salt"\namount = "2 g"\nscaling = "per-batch"\n[batch]\nmax = "200 g"')
TART = recipe("tart", ("component:cream", "50 g"), ("flour", "50 g"), yields="pieces = 10")
CAKE = recipe("cake", ("component:cream", "30 g"), ("flour", "70 g"))


def planned(*asked, **more):
    return products.plan_json(book(CREAM, TART, CAKE, **more), [(r, target(k, v)) for r, k, v in asked])


def by_id(plan):
    return {c["recipe"]: c for c in plan["components"]}


class Plans(unittest.TestCase):
    def test_a_shared_component_is_made_once(self):
        # 20 tarts take 100 g of cream, 400 g of cake 120 g: 220 g, in two batches of 200 g at most.
        plan = planned(("tart", "pieces", 20), ("cake", "mass_g", 400))
        cream = by_id(plan)["cream"]
        self.assertEqual((cream["net_g"]["exact"], cream["batches"]), ("220", 2))
        self.assertEqual([line["mass_g"]["exact"] for line in cream["lines"]], ["216", "4"])
        self.assertEqual([c["recipe"] for c in plan["components"]], ["cream", "cake", "tart"])
        self.assertEqual([p["net_g"]["exact"] for p in plan["products"]], ["200", "400"])

    def test_a_product_that_another_uses(self):
        plan = planned(("cream", "mass_g", 80), ("tart", "factor", 1))
        self.assertEqual(by_id(plan)["cream"]["net_g"]["exact"], "130")

    def test_the_same_product_twice(self):
        plan = planned(("tart", "pieces", 5), ("tart", "pieces", 7))
        self.assertEqual(by_id(plan)["tart"]["pieces"]["exact"], "12")
        self.assertEqual(len(plan["products"]), 2)

    def test_written_batches_of_a_sum(self):
        # No bowl is known for the tart: one and a half written batches and 5 pieces are two.
        plan = planned(("tart", "batches", "3/2"), ("tart", "pieces", 5))
        self.assertEqual(by_id(plan)["tart"]["batches"], 2)
        self.assertEqual(by_id(planned(("tart", "factor", 2)))["tart"]["batches"], 1)

    def test_refusals(self):
        made = book(CREAM, TART, CAKE)
        on_hand = ("tart", target("on_hand", 100, "flour"))
        for asked, kind in (([], "nothing-asked"), ([on_hand, ("cake", target("factor", 1))], "on-hand-among-others")):
            with self.assertRaises(Refused) as refused:
                products.plan_json(made, asked)
            self.assertEqual(refused.exception.kind, kind)

    def test_cost(self):
        prices = {"group": "".join(f'[[price]]\ningredient = "{i}"\npack = "1 kg"\nprice = "10 EUR"\nfrom = 2026-01-01\n' for i in ("milk", "flour", "salt"))}
        made = book(CREAM, TART, CAKE, prices=prices)
        asked = [("tart", target("pieces", 20)), ("cake", target("mass_g", 400))]
        cost = products.cost_json(made, asked, "harbour", date(2026, 6, 1))
        # 600 g of product from 600 g of ingredients at 10 EUR a kilogram.
        self.assertEqual((cost["food"]["exact"], cost["per_piece"]), ("6", None))
        self.assertEqual(cost["per_kg"]["exact"], "10")
        alone = products.cost_json(made, asked[:1], "harbour", date(2026, 6, 1))
        self.assertEqual(alone["per_piece"]["exact"], "1/10")
