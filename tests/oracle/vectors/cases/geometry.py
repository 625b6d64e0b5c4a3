"""Areas, masses, moulds, layouts, trays and ovens."""

from ..build import case

TITLE = "Geometry"

DISC = {"shape": "disc", "diameter": "160 mm"}
RING = {"shape": "ring", "outer": "24 cm", "inner": "20 cm"}
SHEET = {"shape": "rectangle", "length": "60 cm", "width": "40 cm"}
STRIP = {"shape": "strip-around", "diameter": "160 mm", "width": "45 mm"}
TRAY = {"length": "60 cm", "width": "40 cm"}
CYLINDER = {"shape": "straight", "outline": DISC, "height": "45 mm"}
HALF_SPHERE = {"shape": "half-sphere", "diameter": "70 mm"}
CONE = {"shape": "cone-frustum", "top": "70 mm", "bottom": "50 mm", "height": "35 mm"}
PYRAMID = {"shape": "loaf", "top": ["20 cm", "10 cm"], "bottom": ["16 cm", "8 cm"], "height": "75 mm"}
LOAF = {"shape": "loaf", "top": ["22 cm", "11 cm"], "bottom": ["20 cm", "8 cm"], "height": "7 cm"}
LOG = {"shape": "half-cylinder", "diameter": "8 cm", "length": "50 cm"}
SAVARIN = {"shape": "savarin", "outer": "180 mm", "tube": "50 mm"}


def _area(name, outline):
    return case(name, "geometry area", "area", outline=outline)


def _mass(name, outline, thickness, density):
    return case(name, "geometry mass", "outline-mass", outline=outline, thickness=thickness, density=density)


def _mould(name, mould, **more):
    return case(name, "geometry mould", "mould", mould=mould, **more)


def _fit(name, piece, sheet=None, **more):
    return case(name, "geometry layout", "fit", sheet=sheet or TRAY, piece=piece, **more)


def _disc(diameter):
    return {"shape": "disc", "diameter": diameter}


def _rectangle(length, width):
    return {"shape": "rectangle", "length": length, "width": width}


def _oven(name, pieces, per_tray, per_load):
    return case(name, "geometry oven", "oven", pieces=pieces, per_tray=per_tray, per_load=per_load)


CASES = [
    _area("a disc is pi/4 of its diameter squared", DISC),
    _area("a ring is its disc less its hole", RING),
    _area("a rectangle", SHEET),
    _area("an inch is 25.4 mm in an area too", _rectangle("18 in", "13 in")),
    _area("a strip goes once round a frame", STRIP),
    _area("a hole as wide as the ring is refused", {"shape": "ring", "outer": "20 cm", "inner": "20 cm"}),
    _area("a size of nothing is refused", _disc("0 mm")),
    _mass("a disc of a thickness and a density", DISC, "12 mm", "0.62 g/mL"),
    _mass("a sheet", SHEET, "5 mm", "0.45 g/mL"),
    _mass("a ring", RING, "1/2 in", "1.05 kg/L"),
    _mass("a strip", STRIP, "4 mm", "0.9 g/mL"),
    case("how thick a mass of a sheet comes out", "geometry mass", "outline-thickness", outline=SHEET, mass="540 g", density="0.45 g/mL"),
    case("how thick a mass of a disc comes out", "geometry mass", "outline-thickness", outline=DISC, mass="150 g", density="0.62 g/mL"),
    _mould("a frame with upright walls holds area times height", CYLINDER),
    _mould("filled to a part of its volume", CYLINDER, fill="85 %", density="0.62 g/mL"),
    _mould("filled to the rim", CYLINDER, density="0.62 g/mL"),
    _mould("a half sphere", HALF_SPHERE, density="1 g/mL"),
    _mould("a cone cut level", CONE, density="0.8 g/mL"),
    _mould("a cone cut level whichever way up", {**CONE, "top": "50 mm", "bottom": "70 mm"}),
    _mould("a tin whose walls slope in proportion", PYRAMID),
    _mould("a tin whose walls slope as they like", LOAF, fill="2/3 %", density="1.1 g/mL"),
    _mould("a log", LOG),
    _mould("a ring of half-round section", SAVARIN),
    _mould("a channel of half the ring has no hole left", {"shape": "savarin", "outer": "10 cm", "tube": "5 cm"}),
    _mould("a wider channel is refused", {"shape": "savarin", "outer": "99 mm", "tube": "5 cm"}),
    _mould("a fill above the rim is refused", CYLINDER, fill="100.1 %", density="1 g/mL"),
    _mould("a fill of nothing is refused", CYLINDER, fill="0 %", density="1 g/mL"),
    case("from one mould to another by their volumes", "geometry mould", "mould-factor", **{"from": CYLINDER, "to": {**CYLINDER, "outline": _disc("180 mm")}}),
    case("from a round mould to a loaf tin", "geometry mould", "mould-factor", **{"from": HALF_SPHERE, "to": LOAF}),
    _fit("discs in rows and staggered, along either side", DISC, gap="4 mm"),
    _fit("discs that lie closer staggered", _disc("70 mm"), gap="2 mm", edge="1 cm"),
    _fit("small discs gain a row when staggered", _disc("2 cm")),
    _fit("exactly filled: the last gap isn't needed", _disc("10 cm"), {"length": "32 cm", "width": "10 cm"}, gap="1 cm"),
    _fit("a hair too short for another", _disc("10 cm"), {"length": "319.999 mm", "width": "10 cm"}, gap="1 cm"),
    _fit("edges are kept free on all sides", _disc("10 cm"), edge="30 mm"),
    _fit("what is cut out of a ring is offcut too", {"shape": "ring", "outer": "8 cm", "inner": "3 cm"}, gap="5 mm"),
    _fit("rectangles lengthwise and turned", _rectangle("12 cm", "4 cm"), gap="2 mm"),
    _fit("a rectangle that only fits turned", _rectangle("50 cm", "12 cm"), {"length": "40 cm", "width": "60 cm"}),
    _fit("a sheet cut without offcut", _rectangle("10 cm", "10 cm")),
    _fit("one disc on a small sheet", _disc("20 cm"), {"length": "25 cm", "width": "21 cm"}),
    _fit("a piece that doesn't fit is refused", _disc("41 cm")),
    _fit("edges that leave nothing are refused", _disc("1 cm"), edge="20 cm"),
    _oven("the last tray and the last load are part filled", 130, 12, 4),
    _oven("full trays and full loads", 96, 12, 4),
    _oven("one piece takes a tray and a load", 1, 12, 4),
    _oven("no pieces take nothing", 0, 12, 4),
    _oven("a tray that takes nothing is refused", 10, 0, 4),
    _oven("an oven that takes no tray is refused", 10, 12, 0),
]
