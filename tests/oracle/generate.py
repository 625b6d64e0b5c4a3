"""Random books as JSON lines: `python3 -m oracle.generate --seed S --count N --out FILE`.

Each line holds one book, its texts by path, and requests with their results. The same seed
and count give the same bytes. With `--first F` the lines are those from the F-th on, counted
from 0, so that several processes can share a run. `--only cases` or `--only declarations` leaves
the other half of each line empty. Without `--out` lines go to standard output.
"""

import argparse
import gc
import json
import random
import sys
from collections import Counter
from fractions import Fraction

from .declare import declare
from .errors import Refused
from .generator import contents
from .generator.faults import spoil
from .generator.healthy import requests
from .generator.requests import Desk, Request
from .generator.several import random_plan, random_shock
from .generator.world import make_world
from .targets import Target

FAULTY = 0.2


def _sound_cases(rng, world, desk):
    wanted = requests(rng, desk, world.root, rng.randint(3, 5))
    wanted = wanted or [Request(world.root, Target("factor", Fraction(1)), None, None)]
    return [request.case(desk.book) for request in wanted]


def _extra(rng, fault, recipe_id, sites):
    """The demands that a fault brings along."""
    for kind, value in fault.demands:
        yield Request(recipe_id, Target(kind, Fraction(value)), rng.choice([None, *sites]), None)


def _faulty_cases(rng, world, desk):
    """The spoilt book and its cases; only refusals for its one fault count."""
    sound = requests(rng, desk, world.root, rng.randint(4, 6), elsewhere=0)
    sound = [r for r in sound if "error" not in r.result(desk.book)]
    fault = spoil(rng, world, desk.tree(world.root))
    book = fault.world.book()
    sound += _extra(rng, fault, world.root, sorted(book.sites))
    if fault.cost_only:
        sound = [r for r in sound if r.command == "cost"]
    cases = [request.case(book) for request in sound]
    allowed = {fault.kind} if fault.always else {fault.kind, None}
    cases = [c for c in cases if c["expect"].get("error") in allowed]
    return fault.world, cases[:4]


def _declared(book, recipe_id):
    try:
        return declare(book, recipe_id)
    except Refused as refusal:
        return {"error": refusal.kind}


def _declarations(rng, world):
    """What is in the top of the tree, and in one other recipe."""
    book = world.book()
    asked = sorted({world.root, rng.choice(sorted(book.recipes))})
    return [{"recipe": i, "expect": _declared(book, i)} for i in asked]


def _plans(seed, desk):
    """A plan of several products; drawn apart, as the contents are."""
    found = random_plan(random.Random(f"products {seed}"), desk)
    return [] if found is None else [found]


def _shock(seed, desk):
    """Prices that move; drawn apart likewise."""
    return random_shock(random.Random(f"shock {seed}"), desk)


def make_line(seed, only=None):
    """One book with its cases and declarations, or with `only` one of the two."""
    rng = random.Random(seed)
    world, cases = make_world(rng), []
    # Drawn apart, so that the books stay what they were before this was known.
    apart = random.Random(f"contents {seed}")
    contents.add(apart, world.documents)
    desk = Desk(world.book())
    if rng.random() < FAULTY:
        spoilt, cases = _faulty_cases(rng, world, desk)
        world = spoilt if cases else world
    faulty = bool(cases)
    if only != "declarations":
        cases = cases or _sound_cases(rng, world, desk)
    return {
        "seed": seed,
        "files": world.texts(),
        "cases": cases,
        "plans": [] if faulty or only == "declarations" else _plans(seed, desk),
        "shocks": [] if faulty or only == "declarations" else [_shock(seed, desk)],
        "declarations": [] if faulty or only == "cases" else _declarations(apart, world),
    }


def statistics(counts):
    """Shares of the cases by kind, for people."""
    total = counts["cases"]
    for name, count in sorted(counts.items()):
        yield f"{name:40} {count:7} {100 * count / total:6.1f} %"


def tally(counts, line):
    """Counts a line's cases by command, target and refusal."""
    for case in line["cases"]:
        (kind,) = case["target"]
        error = case["expect"].get("error")
        counts.update(["cases", f"command {case['command']}", f"target {kind}"])
        counts.update(["refused", f"refused {error}"] if error else ["answered"])
    for plan in line["plans"]:
        error = plan["expect"].get("error")
        counts.update(["planned", f"unplanned {error}"] if error else ["planned"])
    for declaration in line["declarations"]:
        error = declaration["expect"].get("error")
        counts.update(["declared", f"undeclared {error}"] if error else ["declared"])


def _parser():
    parser = argparse.ArgumentParser(prog="oracle.generate", description=__doc__)
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--count", type=int, required=True)
    parser.add_argument("--only", choices=["cases", "declarations"])
    parser.add_argument("--out")
    return parser


def _write(options, out):
    """Writes the lines as they are made; returns what they hold, counted."""
    counts = Counter()
    for index in range(options.first, options.first + options.count):
        line = make_line(options.seed * 1_000_000 + index, options.only)
        tally(counts, line)
        out.write(json.dumps(line, ensure_ascii=False, separators=(",", ":")) + "\n")
    return counts


def main(arguments=None):
    """Writes the lines; statistics go to standard error."""
    options = _parser().parse_args(arguments)
    # Nothing here makes cycles worth collecting, and looking for them costs a tenth.
    gc.disable()
    if options.out is None:
        sys.stdout.reconfigure(encoding="utf-8")
        counts = _write(options, sys.stdout)
    else:
        with open(options.out, "w", encoding="utf-8") as out:
            counts = _write(options, out)
    print("\n".join(statistics(counts)), file=sys.stderr)


if __name__ == "__main__":
    main()
