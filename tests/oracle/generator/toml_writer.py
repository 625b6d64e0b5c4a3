"""Documents as TOML text: what an authored book needs, no more."""

import re
from datetime import date

INLINE = {"name", "title", "text", "label_name", "allergens", "amount", "sheet"}
_BARE = re.compile(r"[A-Za-z0-9_-]+\Z")
_ESCAPES = str.maketrans({'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t"})


def _key(key):
    return key if _BARE.match(key) else _string(key)


def _string(text):
    return f'"{text.translate(_ESCAPES)}"'


def _value(value):
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _string(value)
    if isinstance(value, int):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, list):
        return "[" + ", ".join(_value(v) for v in value) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + " }"
    raise TypeError(f"no TOML for {value!r}")


def _is_table(key, value):
    return isinstance(value, dict) and key not in INLINE


def _is_tables(value):
    return isinstance(value, list) and bool(value) and isinstance(value[0], dict)


def _table(doc, path, out):
    for key, value in doc.items():
        if not _is_table(key, value) and not _is_tables(value):
            out.append(f"{_key(key)} = {_value(value)}")
    for key, value in doc.items():
        inner = (*path, _key(key))
        if _is_table(key, value):
            out.append(f"\n[{'.'.join(inner)}]")
            _table(value, inner, out)
        elif _is_tables(value):
            for item in value:
                out.append(f"\n[[{'.'.join(inner)}]]")
                _table(item, inner, out)


def write(doc):
    """The text of one document."""
    out = []
    _table(doc, (), out)
    return "\n".join(out).lstrip("\n") + "\n"
