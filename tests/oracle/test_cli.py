"""The command line, on a folder."""

import contextlib
import io
import json
import tempfile
import unittest
from pathlib import Path

from .__main__ import main
from .fixtures import BOOK, HARBOUR, PANTRY, recipe

PRICES = '[[price]]\ningredient = "flour"\npack = "1 kg"\nprice = "2 EUR"\nfrom = 2026-01-01\n'


class CommandLine(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = folder.name
        files = {
            "book.toml": BOOK,
            "ingredients/pantry.toml": PANTRY,
            "recipes/r.toml": recipe("r", ("flour", "1 kg"), yields="pieces = 4"),
            "sites/harbour.toml": HARBOUR,
            "prices/group.toml": PRICES,
        }
        for path, text in files.items():
            target = Path(self.folder, path)
            target.parent.mkdir(exist_ok=True)
            target.write_text(text, "utf-8")

    def run_command(self, command, *arguments):
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = main([command, "--book", self.folder, "--recipe", "r", *arguments])
        return code, out.getvalue(), err.getvalue()

    def test_scale_prints_the_fixed_keys(self):
        code, out, _ = self.run_command("scale", "--mass", "3 kg", "--site", "harbour")
        got = json.loads(out)
        self.assertEqual(code, 0)
        self.assertEqual(set(got), {"recipe", "target", "site", "components", "ingredients"})
        component = got["components"][0]
        keys = {"recipe", "net_g", "pieces", "batches", "factor", "input_g", "lines", "trays", "warnings"}
        self.assertEqual(set(component), keys)
        line = component["lines"][0]
        self.assertEqual(set(line), {"line", "ingredient", "mass_g", "per_batch_g", "weigh", "hints"})
        self.assertEqual(set(line["weigh"]), {"scale", "weighings", "reading_g", "error_percent", "flag"})
        self.assertEqual(component["pieces"]["exact"], "12")

    def test_cost_prints_the_fixed_keys(self):
        day = ["--site", "harbour", "--on", "2026-01-01"]
        code, out, _ = self.run_command("cost", "--on-hand", "flour=1.1 kg", *day)
        got = json.loads(out)
        self.assertEqual(code, 0)
        self.assertEqual(
            list(got),
            ["currency", "complete", "missing", "food", "labour", "total", "per_piece", "per_kg", "ingredients", "order"],
        )
        entry = got["ingredients"][0]
        self.assertEqual(list(entry), ["ingredient", "mass_g", "purchased_g", "cost", "price"])
        self.assertEqual(list(entry["price"]), ["pack_g", "price", "currency", "from", "supplier", "list"])
        self.assertEqual(list(got["order"][0]), ["ingredient", "packs", "cost"])

    def test_refusals_go_to_standard_error(self):
        code, out, err = self.run_command("scale", "--on-hand", "milk=1 kg")
        self.assertEqual((code, out), (1, ""))
        self.assertIn("on-hand-not-used", err)

    def test_every_target_is_taken(self):
        for arguments in (["--pieces", "8"], ["--factor", "1 1/2"], ["--batches", "1/2"], ["--mass", "1 lb"]):
            self.assertEqual(self.run_command("scale", *arguments)[0], 0, arguments)

    def test_wrong_usage(self):
        for arguments in (["cost", "--pieces", "1"], ["scale"], ["scale", "--pieces", "1", "--factor", "2"]):
            with self.assertRaises(SystemExit) as exit_code:
                self.run_command(*arguments)
            self.assertEqual(exit_code.exception.code, 2)
