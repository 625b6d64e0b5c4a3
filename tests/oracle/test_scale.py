"""Line masses, yields and plans, worked by hand."""

import unittest

from .fixtures import book, exact, masses, recipe, scaled


class LineMasses(unittest.TestCase):
    def test_every_kind_of_amount(self):
        made = book(
            recipe("piece", ("flour", "300 g"), ("milk", "300 g"), yields="pieces = 10", head='density = "0.5 g/mL"'),
            recipe(
                "r",
                ("flour", "400 g", "base = true"),
                ("milk", "100 mL", "base = true"),  # 103 g
                ("egg", "2 pieces"),  # 100 g
                ("honey", "10 %"),  # 50.3 g of 503
                ("salt", "to taste"),
                ("component:piece", "2 pieces"),  # 2 x 60 g
                ("component:piece", "1 L"),  # 500 g
                ("component:piece", "10 %"),  # 50.3 g
            ),
        )
        _, by_id = scaled(made, "factor", 2)
        self.assertEqual(masses(by_id["r"]), ["800", "206", "200", "503/5", "0", "240", "1000", "503/5"])
        self.assertEqual(exact(by_id["piece"]["net_g"]), "6703/5")

    def test_component_yielding_pieces_without_piece_mass_after_losses(self):
        # (0.9 x 1000 - 20) / 8 = 110 g a piece
        tail = '[[loss]]\nstage="bake"\nkind="water"\nfraction="10 %"\n[[loss]]\nstage="tip"\nresidue="20 g"\n'
        made = book(
            recipe("part", ("flour", "1 kg"), yields="pieces = 8", tail=tail),
            recipe("r", ("component:part", "3 pieces")),
        )
        result, by_id = scaled(made, "factor", 1)
        self.assertEqual(masses(by_id["r"]), ["330"])
        self.assertEqual(exact(by_id["part"]["pieces"]), "3")
        # input = (330 + 20) / 0.9
        self.assertEqual(exact(by_id["part"]["input_g"]), "3500/9")
        self.assertEqual([c["recipe"] for c in result["components"]], ["part", "r"])


class Yields(unittest.TestCase):
    def test_declared_mass_sets_the_effective_factor(self):
        # F = (980 + 0) / 1000; P = 1; unexplained 2 %: no warning
        made = book(recipe("r", ("flour", "1 kg"), yields='mass = "980 g"'))
        _, by_id = scaled(made, "mass_g", 490)
        self.assertEqual(exact(by_id["r"]["factor"]), "1/2")
        self.assertEqual(by_id["r"]["warnings"], [])

    def test_unexplained_loss_warns_above_three_percent_only(self):
        for mass, codes in (("970 g", []), ("969.9 g", ["unexplained-loss"]), ("1030.1 g", ["unexplained-loss"])):
            made = book(recipe("r", ("flour", "1 kg"), yields=f'mass = "{mass}"'))
            _, by_id = scaled(made, "factor", 1)
            self.assertEqual([w["code"] for w in by_id["r"]["warnings"]], codes, mass)

    def test_twenty_percent_is_still_allowed(self):
        made = book(recipe("r", ("flour", "1 kg"), yields='mass = "800 g"'))
        scaled(made, "factor", 1)

    def test_pieces_with_a_piece_mass(self):
        made = book(recipe("r", ("flour", "1100 g"), yields='pieces = 48\npiece_mass = "22 g"'))
        _, by_id = scaled(made, "pieces", 120)
        # F = 1056 / 1100 = 0.96; input = 120 x 22 / 0.96
        self.assertEqual(exact(by_id["r"]["input_g"]), "2750")
        self.assertEqual(exact(by_id["r"]["net_g"]), "2640")
        self.assertEqual(by_id["r"]["pieces"], {"exact": "120", "rounded": "120.000"})

    def test_pieces_are_null_for_a_recipe_by_mass(self):
        _, by_id = scaled(book(recipe("r", ("flour", "1 kg"))), "mass_g", 1)
        self.assertIsNone(by_id["r"]["pieces"])


class Batches(unittest.TestCase):
    MAX = '[batch]\nmax = "1 kg"\n'

    def test_exactly_full_batches_are_not_split_further(self):
        made = book(recipe("r", ("flour", "500 g"), tail=self.MAX))
        for mass, batches in ((2000, 2), ("20000001/10000", 3), (1, 1)):
            _, by_id = scaled(made, "mass_g", mass)
            self.assertEqual(by_id["r"]["batches"], batches)

    def test_residue_and_per_batch_lines(self):
        # I_p 900, I_f 100, r 50, F 1; C 1000 gives 950 net a batch; M 1800: B 2
        # phi = (1800 + 100 - 200) / 900 = 17/9
        tail = self.MAX + '[[loss]]\nstage = "bag"\nresidue = "50 g"\n'
        made = book(recipe("r", ("flour", "900 g"), ("salt", "100 g", 'scaling = "per-batch"'), tail=tail))
        _, by_id = scaled(made, "mass_g", 1800)
        got = by_id["r"]
        self.assertEqual((got["batches"], exact(got["factor"]), exact(got["input_g"])), (2, "17/9", "1900"))
        self.assertEqual(masses(got), ["1700", "200"])
        self.assertEqual([exact(x["per_batch_g"]) for x in got["lines"]], ["850", "100"])

    def test_site_equipment_and_recipe_maximum_the_smaller_counts(self):
        mixer = '[batch]\nequipment = "mixer"\n'
        made = book(recipe("r", ("flour", "1 kg"), tail=mixer))
        for site, batches in ((None, 1), ("harbour", 3)):
            _, by_id = scaled(made, "mass_g", 10000, site=site)
            self.assertEqual(by_id["r"]["batches"], batches)
        made = book(recipe("r", ("flour", "1 kg"), tail=mixer + 'max = "2500 g"\n'))
        _, by_id = scaled(made, "mass_g", 10000, site="harbour")
        self.assertEqual(by_id["r"]["batches"], 4)

    def test_below_the_minimum_is_a_warning(self):
        made = book(recipe("r", ("flour", "1 kg"), tail='[batch]\nmin = "800 g"\n'))
        for mass, codes in ((800, []), (799, ["below-minimum-batch"])):
            _, by_id = scaled(made, "mass_g", mass)
            self.assertEqual([w["code"] for w in by_id["r"]["warnings"]], codes)

    def test_whole_lines_keep_their_exact_mass(self):
        made = book(recipe("r", ("flour", "100 g"), ("egg", "2 pieces", 'scaling = "whole"')))
        _, by_id = scaled(made, "factor", "1.3")
        self.assertEqual(masses(by_id["r"]), ["130", "130"])


class SharedComponents(unittest.TestCase):
    def made(self):
        return book(
            recipe("syrup", ("honey", "300 g"), tail='[batch]\nmax = "500 g"\n'),
            recipe("cream", ("milk", "700 g"), ("component:syrup", "300 g")),
            recipe("r", ("component:cream", "1 kg"), ("component:syrup", "200 g"), ("salt", "to taste")),
        )

    def test_demands_are_summed_before_the_split(self):
        # cream 1000 needs 300 of syrup; with 200 of its own 500: one batch
        result, by_id = scaled(self.made(), "factor", 1)
        self.assertEqual(exact(by_id["syrup"]["net_g"]), "500")
        self.assertEqual(by_id["syrup"]["batches"], 1)
        self.assertEqual([c["recipe"] for c in result["components"]], ["syrup", "cream", "r"])

    def test_ingredient_totals_by_id_with_to_taste(self):
        result, by_id = scaled(self.made(), "factor", 2)
        totals = [(i["ingredient"], exact(i["mass_g"])) for i in result["ingredients"]]
        self.assertEqual(totals, [("honey", "1000"), ("milk", "1400"), ("salt", "0")])
        self.assertEqual([w["code"] for w in by_id["r"]["warnings"]], ["to-taste"])

    def test_making_order_takes_the_smallest_ready_id(self):
        made = book(
            recipe("r", ("component:a", "1 g"), ("component:z", "1 g")),
            recipe("a", ("component:y", "1 g")),
            recipe("y", ("flour", "1 g")),
            recipe("z", ("flour", "1 g")),
        )
        result, _ = scaled(made, "factor", 1)
        self.assertEqual([c["recipe"] for c in result["components"]], ["y", "a", "z", "r"])


class Targets(unittest.TestCase):
    def made(self):
        return book(recipe("r", ("flour", "1 kg"), yields='pieces = 10\npiece_mass = "96 g"'))

    def test_factor_and_batches_multiply_the_written_yield(self):
        result, by_id = scaled(self.made(), "factor", "3/2")
        self.assertEqual(exact(by_id["r"]["net_g"]), "1440")
        self.assertEqual(result["target"], {"factor": {"exact": "3/2", "rounded": "1.500000"}})
        _, by_id = scaled(self.made(), "batches", "5/2")
        self.assertEqual((exact(by_id["r"]["net_g"]), by_id["r"]["batches"]), ("2400", 3))

    def test_batches_yield_to_a_known_capacity(self):
        made = book(recipe("r", ("flour", "1 kg"), tail='[batch]\nmax = "3 kg"\n'))
        _, by_id = scaled(made, "batches", 4)
        self.assertEqual(by_id["r"]["batches"], 2)

    def test_factor_without_a_yield_uses_the_net_mass(self):
        tail = '[[loss]]\nstage = "cook"\nkind = "water"\nfraction = "10 %"\n[[loss]]\nstage = "pan"\nresidue = "100 g"\n'
        _, by_id = scaled(book(recipe("r", ("flour", "1 kg"), tail=tail)), "factor", 2)
        self.assertEqual(exact(by_id["r"]["net_g"]), "1600")
        # one batch leaves its residue once: (1600 + 100) / 0.9
        self.assertEqual(exact(by_id["r"]["input_g"]), "17000/9")

    def test_mass_on_a_recipe_with_pieces(self):
        _, by_id = scaled(self.made(), "mass_g", 100)
        self.assertEqual(by_id["r"]["pieces"], {"exact": "25/24", "rounded": "1.042"})

    def test_site_is_echoed(self):
        result, _ = scaled(self.made(), "pieces", "3/2", site="harbour")
        self.assertEqual((result["recipe"], result["site"]), ("r", "harbour"))
        self.assertEqual(result["target"]["pieces"], {"exact": "3/2", "rounded": "1.500"})
