"""The random books: valid, repeatable, varied, and true to their own results."""

import json
import random
import tomllib
import unittest
from collections import Counter
from datetime import date
from fractions import Fraction

from . import targets
from .book import load_texts
from .declare import declare
from .errors import Refused
from .generate import make_line, tally
from .generator import contents
from .generator.requests import Request
from .generator.toml_writer import write
from .shapes import MOULDS, OUTLINES

BOOKS = 160
KEYS = {
    "book": {"name", "currency", "languages", "labels"},
    "ingredients": {"ingredient"},
    "ingredient": {"id", "name", "label_name", "density", "piece_mass", "edible_yield", "allergens", "other_allergens", "content"},
    "content": set(contents.NUTRIENTS),
    "recipes": {"id", "title", "density", "note", "yield", "batch", "line", "loss", "step", "storage"},
    "yield": {"mass", "pieces", "piece_mass", "sheet", "layout", "sheets", "thickness", "height", *OUTLINES},
    "sheet": {"length", "width", "gap", "edge"},
    "amount": {"thickness", "height", "fill", "share", "count", *OUTLINES},
    "fill": {"height", "bottom", "length", "tube", *MOULDS},
    "batch": {"max", "min", "equipment"},
    "line": {"ingredient", "component", "amount", "base", "scaling", "tolerance", "step"},
    "loss": {"stage", "kind", "fraction", "residue"},
    "step": {"id", "text", "active", "passive", "labour", "equipment", "after", "control"},
    "control": {"measure", "target", "min", "max", "critical"},
    "storage": {"condition", "keeps"},
    "sites": {"id", "name", "groups", "language", "label", "currency", "labour_rate", "scale", "equipment"},
    "scale": {"name", "capacity", "increment"},
    "equipment": {"class", "capacity", "trays", "tray", "tray_pieces"},
    "tray": {"length", "width", "gap", "edge"},
    "prices": {"site", "price", "rate"},
    "price": {"ingredient", "pack", "price", "from", "supplier", "preferred"},
    "rate": {"from", "to", "rate", "on"},
}
SCENERY = {"name", "title", "text", "label_name", "allergens"}
REQUIRED = {
    "unexplained-loss",
    "below-per-batch",
    "residue-exceeds-batch",
    "missing-density",
    "missing-piece-mass",
    "cycle",
}


def unknown_keys(kind, doc):
    """Keys that the book format does not have."""
    for key, value in doc.items():
        if key not in KEYS[kind]:
            yield f"{kind}.{key}"
        inner = value if isinstance(value, list) else [value]
        for item in inner:
            if isinstance(item, dict) and key not in SCENERY:
                yield from unknown_keys(key, item)


def ties(value):
    """How many figures of a result sit exactly on half of their last digit."""
    if isinstance(value, list):
        return sum(ties(v) for v in value)
    if not isinstance(value, dict):
        return 0
    if value.keys() == {"exact", "rounded"}:
        places = len(value["rounded"].partition(".")[2])
        return int((Fraction(value["exact"]) * 10**places).denominator == 2)
    return sum(ties(v) for v in value.values())


class Writer(unittest.TestCase):
    def test_what_is_written_reads_back(self):
        doc = {
            "id": "a",
            "name": {"en": 'A "b" \\ c\nd', "fr": "Œuf"},
            "allergens": {"gluten.wheat": "contains"},
            "list": ["x", "y"],
            "yield": {"pieces": 3, "flag": True},
            "from": date(2026, 10, 1),
            "step": [{"id": "s", "control": [{"min": "1 °C"}, {"min": "2 °C"}]}, {"id": "t"}],
        }
        self.assertEqual(tomllib.loads(write(doc)), doc)


class Books(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.lines = [make_line(900_000_000 + n) for n in range(BOOKS)]
        cls.cases = [case for line in cls.lines for case in line["cases"]]

    def test_only_keys_of_the_format(self):
        for line in self.lines:
            for path, text in line["files"].items():
                kind = path.split("/")[0].removesuffix(".toml")
                self.assertEqual(list(unknown_keys(kind, tomllib.loads(text))), [], path)

    def test_results_follow_from_the_texts_alone(self):
        for line in self.lines[::4]:
            book = load_texts(line["files"])
            for case in line["cases"]:
                day = date.fromisoformat(case["on"]) if "on" in case else None
                request = Request(case["recipe"], targets.from_json(case["target"]), case["site"], day)
                self.assertEqual(request.case(book), case, line["seed"])

    def test_prices_move_both_ways(self):
        shocks = [shock for line in self.lines for shock in line["shocks"]]
        self.assertGreater(sum("since" in shock for shock in shocks), 0.1 * len(shocks))
        self.assertGreater(sum("prices" in shock for shock in shocks), 0.4 * len(shocks))
        self.assertGreater(sum(len(s["expect"]["recipes"]) > 1 for s in shocks), 0.3 * len(shocks))
        stuck = [shock for shock in shocks if shock["expect"]["without_price"]]
        self.assertGreater(len(stuck), 0.02 * len(shocks))

    def test_trays_and_advice_are_frequent(self):
        made = [part for case in self.cases for part in case["expect"].get("components", [])]
        self.assertGreater(sum(bool(part["trays"]) for part in made), 0.02 * len(made))
        codes = Counter(h["code"] for part in made for line in part["lines"] for h in line["hints"])
        for code in ("finer-scale", "larger-batch", "pre-mix"):
            self.assertGreater(codes[code], 20, codes)

    def test_declarations_follow_from_the_texts_alone(self):
        for line in self.lines[::4]:
            book = load_texts(line["files"])
            for case in line["declarations"]:
                try:
                    found = declare(book, case["recipe"])
                except Refused as refusal:
                    found = {"error": refusal.kind}
                self.assertEqual(found, case["expect"], line["seed"])

    def test_declarations_are_varied(self):
        found = [case["expect"] for line in self.lines for case in line["declarations"]]
        refused = [e for e in found if "error" in e]
        self.assertEqual({e["error"] for e in refused}, {"water-below-zero"})
        self.assertTrue(0.02 < len(refused) / len(found) < 0.3, f"{len(refused)} of {len(found)}")
        answered = [e for e in found if "error" not in e]
        states = Counter(s["state"] for e in answered for s in e["allergens"].values())
        for state in ("contains", "may-contain", "free", "unknown"):
            self.assertGreater(states[state], 0.02 * states.total(), states)
        complete = [e for e in answered if all("missing" not in f for f in e["content_per_100g"].values())]
        self.assertTrue(0.15 < len(complete) / len(answered) < 0.85, f"{len(complete)} of {len(answered)}")

    def test_the_same_seed_gives_the_same_bytes(self):
        for line in self.lines[:5]:
            self.assertEqual(json.dumps(make_line(line["seed"])), json.dumps(line))

    def test_every_required_refusal_and_every_target(self):
        counts = Counter()
        for line in self.lines:
            tally(counts, line)
        self.assertLessEqual(REQUIRED, {k.removeprefix("refused ") for k in counts})
        for kind in ("pieces", "mass_g", "factor", "batches", "on_hand"):
            self.assertGreater(counts[f"target {kind}"], counts["cases"] * 0.05, kind)
        self.assertTrue(0.15 <= counts["refused"] / counts["cases"] <= 0.35, counts)

    def test_shapes_and_sheets_are_frequent(self):
        texts = [text for line in self.lines for path, text in line["files"].items() if path.startswith("recipes/")]
        for mark in ("amount = {", "fill = {", "sheet = {", 'layout = "staggered"', "thickness ="):
            self.assertGreater(sum(mark in text for text in texts), len(texts) * 0.01, mark)

    def test_ties_are_frequent(self):
        tied = sum(ties(case["expect"]) > 0 for case in self.cases)
        self.assertGreater(tied, len(self.cases) * 0.2)

    def test_no_figure_is_negative(self):
        self.assertNotIn('"-', json.dumps(self.cases))


class Seeds(unittest.TestCase):
    def test_other_seeds_give_other_books(self):
        seeds = random.Random(3).sample(range(10**6), 4)
        self.assertEqual(len({json.dumps(make_line(s)["files"]) for s in seeds}), 4)
