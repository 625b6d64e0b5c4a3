"""The vector files: as they should be, and that a wrong one is found."""

import json
import unittest
from collections import Counter
from fractions import Fraction

from .quantities import fixed
from .vectors import files, operations
from .vectors.text import write


def figures(value):
    """Every figure of a result."""
    if isinstance(value, dict):
        if value.keys() == {"exact", "rounded"}:
            yield value
        for item in value.values():
            yield from figures(item)
    elif isinstance(value, list):
        for item in value:
            yield from figures(item)


class Files(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.files = {name: files.document(name) for name in files.NAMES}
        cls.cases = [case for file in cls.files.values() for case in file["cases"]]

    def test_they_stand_as_written(self):
        self.assertEqual([f for name in files.NAMES for f in files.findings(name)] + files.left_over(), [])

    def test_a_wrong_digit_is_found(self):
        changed = json.loads(json.dumps(self.files["yields"]))
        changed["cases"][0]["expect"]["net_g"]["rounded"] = "1000.001"
        self.assertEqual(len(list(files.wrong_cases(changed))), 1)

    def test_names_are_not_repeated(self):
        for name, file in self.files.items():
            repeated = [n for n, times in Counter(c["name"] for c in file["cases"]).items() if times > 1]
            self.assertEqual(repeated, [], name)

    def test_every_operation_is_used(self):
        used = {case["operation"] for case in self.cases}
        self.assertEqual(used, operations.PLAIN.keys() | operations.ON_A_BOOK.keys())

    def test_every_book_is_used(self):
        for name, file in self.files.items():
            used = {case["input"].get("book") for case in file["cases"]} - {None}
            self.assertEqual(used, file.get("books", {}).keys(), name)

    def test_every_figure_is_its_exact_form_rounded(self):
        count = 0
        for case in self.cases:
            for figure in figures(case["expect"]):
                places = len(figure["rounded"].partition(".")[2])
                self.assertEqual(fixed(Fraction(figure["exact"]), places), figure["rounded"])
                count += 1
        self.assertGreater(count, 2000)


class Text(unittest.TestCase):
    def test_it_reads_back(self):
        value = {"a": [1, "ü", None, True], "b": {"c": ["x" * 60, "y" * 60], "d": {}}, "e": []}
        self.assertEqual(json.loads(write(value)), value)

    def test_what_fits_stands_on_one_line(self):
        self.assertEqual(write({"a": {"exact": "1/3", "rounded": "0.333"}}), '{"a": {"exact": "1/3", "rounded": "0.333"}}')
        self.assertGreater(write({"a": "x" * 60, "b": "y" * 60}).count("\n"), 2)
