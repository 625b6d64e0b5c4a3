"""The on-hand target: worked by hand, and against a plain scan."""

import random
import unittest
from fractions import Fraction

from .errors import Refused
from .fixtures import book, exact, recipe, scaled
from .onhand import largest_makeable
from .plan import batch_limits, ingredient_masses, make_plan
from .resolve import resolve_tree


class WorkedByHand(unittest.TestCase):
    def test_pieces_down_to_the_whole(self):
        made = book(recipe("r", ("flour", "1 kg"), yields="pieces = 10"))
        result, by_id = scaled(made, "on_hand", "1299", ingredient="flour")
        self.assertEqual(exact(by_id["r"]["pieces"]), "12")
        asked = {"ingredient": "flour", "mass_g": {"exact": "1299", "rounded": "1299.000"}}
        self.assertEqual(result["target"], {"on_hand": asked})

    def test_equality_counts(self):
        made = book(recipe("r", ("flour", "1 kg"), yields="pieces = 10"))
        _, by_id = scaled(made, "on_hand", 1300, ingredient="flour")
        self.assertEqual(exact(by_id["r"]["pieces"]), "13")

    def test_on_hand_is_purchased_mass(self):
        # 80 % of 1000 g of eggs is 800 g: 16 pieces of 50 g
        made = book(recipe("r", ("egg", "1 pieces"), yields="pieces = 1"))
        _, by_id = scaled(made, "on_hand", 1000, ingredient="egg")
        self.assertEqual(exact(by_id["r"]["pieces"]), "16")

    def test_whole_grams_over_the_whole_tree(self):
        made = book(
            recipe("a", ("honey", "500 g"), ("milk", "500 g")),
            recipe("r", ("component:a", "300 g"), ("honey", "700 g")),
        )
        _, by_id = scaled(made, "on_hand", 1000, ingredient="honey")
        # 0.85 g of honey a gram
        self.assertEqual(exact(by_id["r"]["net_g"]), "1176")

    def test_demand_that_falls_at_a_split_is_seen_beyond_it(self):
        # F 1, I_p 600 flour, I_f 400 salt, C 1000. Flour is M - 400 B: 600 g at
        # 1000 g, then 601.. only from 1401 g on; with 600 g on hand 1400 g.
        tail = '[batch]\nmax = "1 kg"\n'
        lines = ("flour", "600 g"), ("salt", "400 g", 'scaling = "per-batch"')
        _, by_id = scaled(book(recipe("r", *lines, tail=tail)), "on_hand", 600, ingredient="flour")
        self.assertEqual((exact(by_id["r"]["net_g"]), by_id["r"]["batches"]), ("1400", 2))

    def test_what_can_not_be_planned_is_no_candidate(self):
        # Flour is M - 700 B; C 1000. 2050 g would be 3 batches with 50 g less than
        # nothing; 2101 g are 3 batches with 1 g; from 3001 g on it is 201 g or more.
        tail = '[batch]\nmax = "1 kg"\n'
        lines = ("flour", "300 g"), ("salt", "700 g", 'scaling = "per-batch"')
        made = book(recipe("r", *lines, tail=tail))
        with self.assertRaises(Refused):
            scaled(made, "mass_g", 2050)
        for on_hand, net in ((1, "2101"), (150, "2250"), (201, "3001")):
            _, by_id = scaled(made, "on_hand", on_hand, ingredient="flour")
            self.assertEqual(exact(by_id["r"]["net_g"]), net)


def demand(tree, limits, ingredient, net):
    try:
        return ingredient_masses(make_plan(tree, limits, net))[ingredient]
    except Refused:
        return None


def by_scan(tree, limits, ingredient, unit, on_hand, end):
    best = 0
    for d in range(1, end):
        found = demand(tree, limits, ingredient, d * unit)
        if found is not None and found <= on_hand:
            best = d
    return best


def random_book(rng):
    """Three levels with small bowls, large per-batch lines and residues, so
    that demand jumps both ways."""

    def one(recipe_id, *components):
        lines = [("flour", f"{rng.randint(20, 90)} g"), ("salt", f"{rng.randint(1, 30)} g", 'scaling = "per-batch"')]
        lines += [("honey", f"{rng.randint(5, 40)} g", f'scaling = "{rng.choice(["per-batch", "proportional"])}"')]
        lines += [(f"component:{c}", f"{rng.randint(5, 60)} g") for c in components]
        rng.shuffle(lines)
        tail = f'[batch]\nmax = "{rng.randint(60, 160)} g"\n' if rng.random() < 0.8 else ""
        if rng.random() < 0.5:
            tail += f'[[loss]]\nstage = "bag"\nresidue = "{rng.randint(1, 12)} g"\n'
        return recipe(recipe_id, *lines, yields=rng.choice(["", "pieces = 7"]), tail=tail)

    return book(one("a"), one("b", "a"), one("r", "a", "b"))


class AgainstAScan(unittest.TestCase):
    def test_the_largest_is_found(self):
        rng, found = random.Random(7), 0
        for _ in range(60):
            tree = resolve_tree(random_book(rng), "r")
            limits, unit = batch_limits(tree, None), tree["r"].written.piece_g or Fraction(1)
            ingredient, on_hand = rng.choice(["flour", "honey"]), Fraction(rng.randint(10, 500))
            end = int(1500 / unit) + 2
            expected = by_scan(tree, limits, ingredient, unit, on_hand, end)
            try:
                got = largest_makeable(tree, limits, ingredient, on_hand)
            except Refused as refusal:
                self.assertIn(refusal.kind, ("on-hand-too-little", "on-hand-no-limit"))
                got = 0 if refusal.kind == "on-hand-too-little" else expected
            if got < end:
                self.assertEqual(got, expected)
                found += expected > 0
        self.assertGreater(found, 30)
