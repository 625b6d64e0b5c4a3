"""The trays and loads that the pieces of a plan take at a site (rule 7.8)."""

from . import geometry
from .errors import Refused
from .quantities import ceiling


def _per_tray(trays, outline):
    """The pieces on a full tray, None where nothing says it, 0 where not one fits."""
    if trays.tray is None:
        return trays.per_tray
    if outline is None:
        return None
    try:
        return geometry.best(trays.tray.layouts(outline)).pieces
    except Refused:
        return 0


def laid(item, site):
    """(class, trays of a load, pieces on a tray) of all that a planned recipe's pieces lie in."""
    stated = {t.equipment: t for t in site.trays} if site else {}
    if item.pieces is None:
        return
    for equipment in item.recipe.occupies:
        if equipment not in stated:
            continue
        per_tray = _per_tray(stated[equipment], item.recipe.outline)
        if per_tray is not None:
            yield equipment, stated[equipment].per_load, per_tray


def loads_json(item, site):
    """What a plan says of them."""
    pieces = None if item.pieces is None else ceiling(item.pieces)
    found = []
    for equipment, per_load, per_tray in laid(item, site):
        if per_tray:
            oven = geometry.oven(pieces, per_tray, per_load)
            found.append({
                "equipment": equipment,
                "pieces": pieces,
                "per_tray": per_tray,
                "trays": oven.trays,
                "last_tray": oven.last_tray,
                "per_load": per_load,
                "loads": oven.loads,
                "last_load": oven.last_load,
            })
    return found


def too_small(item, site):
    """Whether not one piece fits on a tray of something that the recipe occupies."""
    return any(per_tray == 0 for _, _, per_tray in laid(item, site))
