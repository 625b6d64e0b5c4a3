"""JSON for people: what fits on a line stands on one line."""

import json

WIDTH = 110


def _flat(value):
    return json.dumps(value, ensure_ascii=False)


def write(value, indent=0):
    """The text of a value; deeper levels are two spaces further in."""
    flat = _flat(value)
    if not isinstance(value, (dict, list)) or not value or indent + len(flat) <= WIDTH:
        return flat
    inner, outer = " " * (indent + 2), " " * indent
    if isinstance(value, list):
        items = [inner + write(item, indent + 2) for item in value]
        return "[\n" + ",\n".join(items) + f"\n{outer}]"
    items = []
    for key, item in value.items():
        head = f"{inner}{_flat(key)}: "
        fits = len(head) + len(_flat(item)) <= WIDTH
        items.append(head + (_flat(item) if fits else write(item, indent + 2)))
    return "{\n" + ",\n".join(items) + f"\n{outer}}}"
