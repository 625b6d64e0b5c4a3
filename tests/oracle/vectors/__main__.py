"""`python3 -m oracle.vectors --write` writes the files; `--check` holds them to the rules."""

import argparse
import sys

from . import files


def _write():
    files.FOLDER.mkdir(exist_ok=True)
    for name in files.NAMES:
        files.path(name).write_text(files.text(name), "utf-8")
    return 0


def _check():
    wrong = [finding for name in files.NAMES for finding in files.findings(name)]
    wrong += files.left_over()
    print("\n".join(wrong), file=sys.stderr, end="\n" if wrong else "")
    return 1 if wrong else 0


def main(arguments=None):
    parser = argparse.ArgumentParser(prog="oracle.vectors", description=__doc__)
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("--write", action="store_true")
    what.add_argument("--check", action="store_true")
    return _write() if parser.parse_args(arguments).write else _check()


if __name__ == "__main__":
    sys.exit(main())
