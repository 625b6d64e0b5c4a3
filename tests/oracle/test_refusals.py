"""What is refused, and by which name."""

import unittest

from .errors import Refused
from .fixtures import book, recipe, scaled

RESIDUE = '[[loss]]\nstage = "bag"\nresidue = "{}"\n'


class Refusals(unittest.TestCase):
    def refused(self, kind, made, target="factor", value=1, **options):
        with self.assertRaises(Refused) as caught:
            scaled(made, target, value, **options)
        self.assertEqual(caught.exception.kind, kind)

    def test_unexplained_loss_either_way(self):
        for mass in ("799.9 g", "1200.1 g"):
            made = book(recipe("r", ("flour", "1 kg"), yields=f'mass = "{mass}"'))
            self.refused("unexplained-loss", made)

    def test_below_what_the_per_batch_amounts_allow(self):
        made = book(recipe("r", ("flour", "900 g"), ("salt", "100 g", 'scaling = "per-batch"')))
        self.refused("below-per-batch", made, "mass_g", 100)
        scaled(made, "mass_g", "1001/10")

    def test_residue_that_takes_the_bowl(self):
        tail = RESIDUE.format("100 g") + '[batch]\nmax = "100 g"\n'
        self.refused("residue-exceeds-batch", book(recipe("r", ("flour", "1 kg"), tail=tail)))
        scaled(book(recipe("r", ("flour", "1 kg"), tail=tail.replace('"100 g"\n[', '"99 g"\n['))), "factor", 1)

    def test_missing_density(self):
        self.refused("missing-density", book(recipe("r", ("flour", "1 cup"))))
        made = book(recipe("a", ("flour", "1 g")), recipe("r", ("component:a", "1 cup")))
        self.refused("missing-density", made)

    def test_missing_piece_mass(self):
        self.refused("missing-piece-mass", book(recipe("r", ("flour", "1 pieces"))))

    def test_cycles_of_any_length(self):
        self.refused("cycle", book(recipe("r", ("component:r", "1 g"))))
        made = book(
            recipe("r", ("component:a", "1 g")),
            recipe("a", ("component:b", "1 g")),
            recipe("b", ("component:a", "1 g")),
        )
        self.refused("cycle", made)

    def test_pieces_of_a_recipe_by_mass(self):
        self.refused("no-pieces", book(recipe("r", ("flour", "1 kg"))), "pieces", 3)
        made = book(recipe("a", ("flour", "1 g")), recipe("r", ("component:a", "2 pieces")))
        self.refused("no-pieces", made)

    def test_on_hand(self):
        made = book(recipe("r", ("flour", "1 kg"), yields="pieces = 2"))
        self.refused("on-hand-not-used", made, "on_hand", 5000, ingredient="milk")
        self.refused("on-hand-too-little", made, "on_hand", 499, ingredient="flour")
        made = book(recipe("r", ("flour", "1 kg"), ("salt", "5 g", 'scaling = "per-batch"')))
        self.refused("on-hand-no-limit", made, "on_hand", 5, ingredient="salt")
        self.refused("on-hand-too-little", made, "on_hand", 4, ingredient="salt")

    def test_shares_need_a_base(self):
        self.refused("bad-base", book(recipe("r", ("flour", "1 kg"), ("salt", "2 %"))))

    def test_labour_per_piece_needs_pieces(self):
        step = '[[step]]\nid = "s"\ntext = { en = "s" }\nactive = "1 min"\nlabour = "per-piece"\n'
        self.refused("labour-needs-pieces", book(recipe("r", ("flour", "1 kg"), tail=step)))

    def test_nothing_that_scales(self):
        made = book(recipe("r", ("salt", "5 g", 'scaling = "per-batch"')))
        self.refused("nothing-scales", made)
