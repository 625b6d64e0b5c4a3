"""Command line: `python3 -m oracle scale|cost|declare --book DIR --recipe ID [TARGET]`."""

import argparse
import json
import sys
from datetime import date

from . import run
from .book import load_folder
from .declare import declare
from .errors import Refused
from .targets import from_options


def _parser():
    parser = argparse.ArgumentParser(prog="oracle", description=__doc__)
    parser.add_argument("command", choices=["scale", "cost", "declare"])
    parser.add_argument("--book", required=True)
    parser.add_argument("--recipe", required=True)
    target = parser.add_mutually_exclusive_group()
    for name in ("pieces", "mass", "factor", "batches"):
        target.add_argument(f"--{name}")
    target.add_argument("--on-hand", metavar="INGREDIENT=MASS")
    parser.add_argument("--site")
    parser.add_argument("--on", type=date.fromisoformat, metavar="DATE")
    return parser


def _check_usage(parser, options):
    targets = (options.pieces, options.mass, options.factor, options.batches, options.on_hand)
    asked = any(target is not None for target in targets)
    if asked == (options.command == "declare"):
        parser.error("declare takes no target" if asked else f"{options.command} needs a target")
    if options.command == "cost" and not (options.site and options.on):
        parser.error("cost needs --site and --on")


def _result(options):
    book = load_folder(options.book)
    if options.command == "declare":
        return declare(book, options.recipe)
    target = from_options(options)
    if options.command == "scale":
        return run.scale(book, options.recipe, target, options.site)
    return run.cost_of(book, options.recipe, target, options.site, options.on)


def main(arguments=None):
    """Prints the result; 1 for a refused book or request, 2 for wrong usage."""
    parser = _parser()
    options = parser.parse_args(arguments)
    _check_usage(parser, options)
    try:
        result = _result(options)
    except Refused as refusal:
        print(f"error: {refusal.kind}: {refusal}", file=sys.stderr)
        return 1
    print(json.dumps(result, indent=2, ensure_ascii=False))
    return 0


if __name__ == "__main__":
    sys.exit(main())
