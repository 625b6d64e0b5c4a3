"""Allergen states, content, label and list, worked by hand."""

import unittest
from fractions import Fraction

from . import label
from .allergens import of_ingredient
from .book import ingredient
from .declare import declare
from .errors import Refused
from .fixtures import book, exact, recipe

# USDA National Nutrient Database for Standard Reference, release 28: 01123, 19335, 20081, 01145,
# 01124, 01125; salt is sodium x 2.5, carbohydrate is without fibre (Regulation (EU) No 1169/2011).
SHELF = {
    "egg": "76.15 9.51 3.126 0.72 0.37 0 12.56 0.355",
    "sugar": "0.02 0 0 99.98 99.8 0 0 0.0025",
    "flour": "11.92 0.98 0.155 73.61 0.27 2.7 10.33 0.005",
    "butter": "17.94 81.11 50.489 0.06 0.06 0 0.85 0.0275",
    "white": "87.57 0.17 0 0.73 0.71 0 10.9 0.415",
    "yolk": "52.31 26.54 9.551 3.59 0.56 0 15.86 0.12",
    "water": "100 0 0 0 0 0 0 0",
}
KEYS = "water fat saturates carbohydrate sugars fibre protein salt".split()
BAKED = '[[loss]]\nstage = "bake"\nkind = "water"\nfraction = "{}"\n'


def shelf(**allergens):
    """The shelf as TOML, free of everything but what is given by ingredient."""
    items = []
    for name, figures in SHELF.items():
        content = "".join(f'{k} = "{v} g"\n' for k, v in zip(KEYS, figures.split()))
        items.append(
            f'[[ingredient]]\nid = "{name}"\nname = {{ en = "{name}" }}\n'
            + allergens.get(name, 'other_allergens = "free"')
            + f'\n[ingredient.content]\n{content}polyols = "0 g"\nalcohol = "0 g"\n'
        )
    return "".join(items)


def made(*recipes, pantry=None):
    return book(*recipes, pantry=pantry or shelf())


def states(**keys):
    return of_ingredient(ingredient({"id": "x", "name": {}, **keys}))


class Ingredients(unittest.TestCase):
    def test_unstated_is_unknown(self):
        self.assertEqual(set(states().values()), {"unknown"})
        self.assertEqual(set(states(other_allergens="free").values()), {"free"})

    def test_a_group_is_the_worst_of_its_own_and_its_kinds(self):
        found = states(other_allergens="free", allergens={"gluten.wheat": "contains"})
        self.assertEqual((found["gluten"], found["gluten.rye"]), ("contains", "free"))
        # One kind is free, but nothing is said of the others.
        self.assertEqual(states(allergens={"gluten.wheat": "free"})["gluten"], "unknown")
        self.assertEqual(states(allergens={"gluten.wheat": "may-contain"})["gluten"], "unknown")
        found = states(allergens={"gluten": "free", "gluten.wheat": "contains"})
        self.assertEqual((found["gluten"], found["gluten.oats"]), ("contains", "free"))

    def test_a_statement_of_a_group_covers_its_kinds(self):
        found = states(allergens={"nuts": "may-contain"})
        self.assertEqual((found["nuts"], found["nuts.pecan"]), ("may-contain", "may-contain"))
        found = states(other_allergens="free", allergens={"nuts": "contains"})
        self.assertEqual((found["nuts"], found["nuts.pecan"]), ("contains", "unknown"))
        found = states(other_allergens="free", allergens={"nuts": "contains", "nuts.pecan": "contains"})
        self.assertEqual((found["nuts"], found["nuts.almond"]), ("contains", "free"))
        found = states(allergens={"nuts": "contains", "nuts.pecan": "contains"})
        self.assertEqual((found["nuts"], found["nuts.almond"]), ("contains", "unknown"))
        found = states(other_allergens="free", allergens={"nuts": "contains", "nuts.pecan": "may-contain"})
        self.assertEqual(found["nuts.almond"], "unknown")


class Recipes(unittest.TestCase):
    def test_contains_then_unknown_then_may_contain_then_free(self):
        def state(*stated):
            names = ["egg", "sugar", "flour"][: len(stated)]
            given = {
                name: f'allergens = {{ celery = "{s}" }}' if s else "allergens = {}"
                for name, s in zip(names, stated)
            }
            lines = [(name, "1 g") for name in names]
            return declare(made(recipe("r", *lines), pantry=shelf(**given)), "r")["allergens"]["celery"]

        self.assertEqual(state("free", "free"), {"state": "free", "because": []})
        self.assertEqual(state("free", "may-contain"), {"state": "may-contain", "because": ["sugar"]})
        self.assertEqual(state("may-contain", None), {"state": "unknown", "because": ["sugar"]})
        self.assertEqual(state("contains", None, "contains"), {"state": "contains", "because": ["egg", "flour"]})

    def test_what_is_to_taste_or_deep_down_counts(self):
        pantry = shelf(egg='allergens = { egg = "contains" }\nother_allergens = "free"')
        found = declare(
            made(
                recipe("a", ("sugar", "1 g"), ("egg", "to taste")),
                recipe("b", ("component:a", "1 g")),
                recipe("r", ("sugar", "1 kg"), ("component:b", "to taste")),
                pantry=pantry,
            ),
            "r",
        )
        self.assertEqual(found["allergens"]["egg"], {"state": "contains", "because": ["egg"]})
        self.assertEqual(found["to_taste"], ["b", "egg"])


class Contents(unittest.TestCase):
    def test_genoise(self):
        lines = [("egg", "200 g"), ("sugar", "120 g"), ("flour", "120 g"), ("butter", "20 g")]
        found = declare(made(recipe("r", *lines, tail=BAKED.format("10 %"))), "r")
        rounded = {n: f["rounded"] for n, f in found["content_per_100g"].items()}
        wanted = {"water": "30.004", "protein": "9.103", "fat": "8.797", "saturates": "3.994"}
        wanted |= {"fibre": "0.783", "sugars": "29.187", "carbohydrate": "50.667", "salt": "0.175"}
        wanted |= {"energy_kj": "1347.82", "energy_kcal": "319.81"}
        self.assertEqual({n: rounded[n] for n in wanted}, wanted)
        listed = [(e["name"], e["g_per_100g"]["rounded"]) for e in found["ingredient_list"]["entries"]]
        self.assertEqual(
            listed,
            [("egg", "48.309"), ("flour", "28.986"), ("sugar", "28.986"), ("butter", "4.831")],
        )

    def test_white_and_yolk_come_near_the_published_egg(self):
        found = declare(made(recipe("r", ("white", "33 g"), ("yolk", "17 g"))), "r")["content_per_100g"]
        published = {"water": "76.15", "protein": "12.56", "fat": "9.51", "saturates": "3.126"}
        tolerance = {"water": "0.01", "protein": "0.01", "fat": "0.05", "saturates": "0.06"}
        for nutrient, value in published.items():
            off = abs(Fraction(exact(found[nutrient])) / Fraction(value) - 1)
            self.assertLessEqual(off, Fraction(tolerance[nutrient]), nutrient)

    def test_only_water_leaves_and_whole_losses_change_nothing(self):
        # 100 g water and 100 g sugar of 0.02 % water; 25 % off, then 20 % of what is left.
        tail = BAKED.format("25 %") + BAKED.format("20 %") + '[[loss]]\nkind = "whole"\nfraction = "50 %"\n'
        found = declare(made(recipe("r", ("water", "100 g"), ("sugar", "100 g"), tail=tail)), "r")
        content = found["content_per_100g"]
        self.assertEqual(exact(content["carbohydrate"]), str(Fraction("99.98") / 2 / Fraction("0.6")))
        self.assertEqual(exact(content["water"]), str((Fraction("50.01") - 40) / Fraction("0.6")))

    def test_a_component_counts_as_finished(self):
        part = recipe("part", ("water", "100 g"), ("sugar", "100 g"), tail=BAKED.format("25 %"))
        found = declare(made(part, recipe("r", ("component:part", "75 g"), ("water", "25 g"))), "r")
        self.assertEqual(exact(found["content_per_100g"]["carbohydrate"]), "4999/100")
        # 50 g + 50 g went into the 75 g; 25 g are left of them and 25 g are added: 50.
        listed = {e["name"]: exact(e["g_per_100g"]) for e in found["ingredient_list"]["entries"]}
        self.assertEqual(listed, {"sugar": "50", "water": "50"})

    def test_more_water_boiled_off_than_was_there(self):
        recipe_of = lambda share: recipe("r", ("egg", "100 g"), tail=BAKED.format(share))
        declare(made(recipe_of("76.15 %")), "r")
        with self.assertRaises(Refused) as caught:
            declare(made(recipe_of("76.16 %")), "r")
        self.assertEqual(caught.exception.kind, "water-below-zero")
        self.assertIn("`bake`", str(caught.exception))

    def test_what_is_not_stated_is_named(self):
        pantry = shelf() + '[[ingredient]]\nid = "honey"\nname = { en = "honey" }\n'
        part = recipe("part", ("honey", "40 g"), ("water", "60 g"))
        found = declare(
            made(part, recipe("r", ("component:part", "50 g"), ("sugar", "50 g"), ("honey", "to taste")), pantry=pantry),
            "r",
        )["content_per_100g"]
        self.assertEqual(found["sugars"], {"exact": "499/10", "rounded": "49.900", "missing": ["honey"]})
        self.assertEqual(found["energy_kj"]["missing"], ["honey"])

    def test_a_lower_bound_of_water_is_never_below_nothing(self):
        pantry = shelf() + '[[ingredient]]\nid = "honey"\nname = { en = "honey" }\n'
        made_of = recipe("r", ("honey", "90 g"), ("sugar", "10 g"), tail=BAKED.format("10 %"))
        found = declare(made(made_of, pantry=pantry), "r")["content_per_100g"]
        self.assertEqual((exact(found["water"]), found["water"]["missing"]), ("0", ["honey"]))

    def test_what_weighs_nothing_lacks_nothing(self):
        pantry = shelf() + '[[ingredient]]\nid = "honey"\nname = { en = "honey" }\n'
        found = declare(made(recipe("r", ("sugar", "1 g"), ("honey", "to taste")), pantry=pantry), "r")
        self.assertNotIn("missing", found["content_per_100g"]["water"])

    def test_per_piece(self):
        lines = [("sugar", "90 g"), ("water", "10 g")]
        found = declare(made(recipe("r", *lines, yields="pieces = 8")), "r")["content_per_piece"]
        self.assertEqual(exact(found["carbohydrate"]), str(Fraction("99.98") * 90 / 100 / 8))


class Labels(unittest.TestCase):
    def test_rounding_after_the_guidance_of_december_2012(self):
        vectors = [
            ("fat", "0.5", "<0.5"), ("fat", "0.51", "0.5"), ("fat", "9.94", "9.9"), ("fat", "9.96", "10"),
            ("fat", "10.4", "10"), ("fat", "81.11", "81"), ("fat", "0", "0"),
            ("saturates", "0.1", "<0.1"), ("saturates", "0.155", "0.2"), ("saturates", "50.489", "50"),
            ("sugars", "0.27", "<0.5"), ("protein", "12.56", "13"), ("protein", "8.2", "8.2"),
            ("salt", "0.0125", "<0.01"), ("salt", "0.013", "0.01"), ("salt", "0.355", "0.36"),
            ("salt", "0.994", "0.99"), ("salt", "0.996", "1.0"), ("salt", "1.6075", "1.6"),
            ("carbohydrate", "99.98", "100"),
        ]
        for nutrient, grams, wanted in vectors:
            self.assertEqual(label.shown(nutrient, Fraction(grams)), wanted, (nutrient, grams))

    def test_added_water_is_listed_above_a_twentieth(self):
        def listed(water, loss):
            lines = [("sugar", "90 g"), ("water", water)]
            tail = BAKED.format(loss) if loss else ""
            found = declare(made(recipe("r", *lines, tail=tail)), "r")["ingredient_list"]["entries"]
            return {e["name"]: exact(e["g_per_100g"]) for e in found}

        self.assertEqual(listed("10 g", None), {"sugar": "90", "water": "10"})
        # 100 of 110 g are left: 90 g of sugar are 90 %.
        self.assertEqual(listed("20 g", "100/11 %"), {"sugar": "90", "water": "10"})
        self.assertEqual(listed("4 g", None), {"sugar": str(Fraction(9000, 94))})


if __name__ == "__main__":
    unittest.main()
