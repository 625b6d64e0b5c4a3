"""The vector files: what is written, and whether what stands there is right."""

import json
from importlib import import_module
from pathlib import Path

from . import operations
from .text import write

FOLDER = Path(__file__).parents[2] / "vectors"
RULES = "1"
# The files in the order of the rules; each has a module of its name.
NAMES = [
    "numbers", "lines", "yields", "shapes", "targets", "batches", "products", "on-hand", "weighing",
    "prices", "cost", "labour", "order", "geometry", "trays", "dough", "set-and-air", "syrup", "formulas",
]


def document(name):
    """The content of one file, computed anew."""
    module = import_module(f".cases.{name.replace('-', '_')}", __package__)
    books = getattr(module, "BOOKS", {})
    cases = [case | {"expect": operations.result(case["operation"], case["input"], books)} for case in module.CASES]
    head = {"title": module.TITLE, "rules": RULES}
    return head | ({"books": books} if books else {}) | {"cases": cases}


def path(name):
    return FOLDER / f"{name}.json"


def text(name):
    """The bytes that a file should have."""
    return write(document(name)) + "\n"


def wrong_cases(found):
    """The names of cases of a file whose results don't follow from their inputs."""
    books = found.get("books", {})
    for case in found["cases"]:
        computed = operations.result(case["operation"], case["input"], books)
        if computed != case["expect"]:
            yield f"{case['name']}: {write(computed)} is right, {write(case['expect'])} stands there"


def findings(name):
    """What is wrong with a file as it stands."""
    if not path(name).exists():
        return [f"{name}: the file is missing"]
    stands = path(name).read_text("utf-8")
    wrong = [f"{name}: {finding}" for finding in wrong_cases(json.loads(stands))]
    if not wrong and stands != text(name):
        wrong.append(f"{name}: the cases have changed; write the files anew")
    return wrong


def left_over():
    """Files that no module makes."""
    known = {path(name) for name in NAMES}
    return [f"{file.name}: no such vectors" for file in sorted(FOLDER.glob("*.json")) if file not in known]
