"""Syrup by its strength, and cooked sugar."""

from ..build import case

TITLE = "Syrup and cooked sugar"
BROWN = "boiling point elevation of sucrose solutions (Brown 1912), tabulated"
SOLUBILITY = "sucrose solubility and saturated density by temperature"
STAGES = "sugar stages in \"On Food and Cooking\""


def _boils(name, strength):
    return case(name, "syrup boiling", "syrup-boils-at", BROWN, strength=strength)


def _strength(name, temperature):
    return case(name, "syrup boiling", "syrup-that-boils-at", BROWN, temperature=temperature)


def _saturated(name, temperature):
    return case(name, "syrup saturation", "syrup-saturated-at", SOLUBILITY, temperature=temperature)


def _crystallises(name, strength):
    return case(name, "syrup saturation", "syrup-crystallises-below", SOLUBILITY, strength=strength)


def _stage(name, temperature, **more):
    return case(name, "sugar stage", "sugar-stage", STAGES, temperature=temperature, **more)


def _bring(name, syrup, start, end):
    return case(name, "syrup bring to", "syrup-bring-to", syrup=syrup, **{"from": start, "to": end})


def _boil_down(name, syrup, start, end):
    return case(name, "syrup boil down", "syrup-boil-down", syrup=syrup, **{"from": start, "to": end})


CASES = [
    case("one to one is 50 Brix", "syrup strength", "syrup-of", sugar="1 kg", water="1 kg"),
    case("thirty degrees for soaking", "syrup strength", "syrup-of", sugar="1350 g", water="1 kg"),
    case("dry sugar has no ratio to water", "syrup strength", "syrup-of", sugar="1 kg", water="0 g"),
    case("water is 0 Brix", "syrup strength", "syrup-of", sugar="0 g", water="1 kg"),
    case("nothing has no strength", "syrup strength", "syrup-of", sugar="0 g", water="0 g"),
    case(
        "mixed by mass", "syrup mix", "syrup-mix",
        parts=[{"mass": "300 g", "strength": "60 %"}, {"mass": "200 g", "strength": "20 %"}, {"mass": "50 g", "strength": "100 %"}],
    ),
    case("a mix of nothing is refused", "syrup mix", "syrup-mix", parts=[{"mass": "0 g", "strength": "60 %"}]),
    case("a strength above 100 is refused", "syrup mix", "syrup-mix", parts=[{"mass": "1 g", "strength": "101 %"}]),
    _bring("water thins it", "1 kg", "65 %", "50 %"),
    _bring("sugar strengthens it", "1 kg", "20 %", "30 %"),
    _bring("right already", "1 kg", "30 %", "30 %"),
    _bring("nothing thins to 0", "1 kg", "30 %", "0 %"),
    _bring("nothing strengthens to 100", "1 kg", "30 %", "100 %"),
    _boil_down("boiled down to a strength", "1 kg", "50 %", "67 %"),
    _boil_down("boiling down to what it is takes no water", "1 kg", "50 %", "50 %"),
    _boil_down("boiling doesn't thin", "1 kg", "67 %", "50 %"),
    _boils("boiling at a row of the table", "80 %"),
    _boils("half-way between two rows", "85 %"),
    _boils("between two rows, exactly on the line", "83.7 %"),
    _boils("the first row", "50 %"),
    _boils("the last row", "90 %"),
    _boils("weaker than boils in the table is refused", "49.9 %"),
    _boils("stronger than boils in the table is refused", "90.1 %"),
    _strength("the strength of a boiling syrup", "112 °C"),
    _strength("the strength of a boil between two rows", "118 °C"),
    _strength("the strength of a boil in Fahrenheit", "240 °F"),
    _strength("a boil below the table is refused", "101.9 °C"),
    _strength("a boil above the table is refused", "127.9 °C"),
    _saturated("saturation at a row of the table", "20 °C"),
    _saturated("where rows are closer", "22 °C"),
    _saturated("where rows are wider", "33.3 °C"),
    _saturated("at boiling point", "100 °C"),
    _saturated("below freezing point is refused", "-1 °C"),
    _crystallises("the temperature of a strength", "67.09 %"),
    _crystallises("the temperature of a strength between two rows", "70 %"),
    _crystallises("weaker than at freezing point is refused", "64 %"),
    _stage("within a stage", "119 °C"),
    _stage("where one ends as the next begins", "113 °C"),
    _stage("between two stages", "117 °C"),
    _stage("the last", "189 °C"),
    _stage("at an altitude every stage is lower", "115 °C", altitude="1220 m"),
    _stage("below the first stage is refused", "101 °C"),
    _stage("above the last stage is refused", "191 °C"),
    _stage("above the highest altitude is refused", "120 °C", altitude="3049 m"),
    case("a stage at sea level", "sugar stage", "sugar-stage-range", STAGES, stage="soft ball"),
    case("a stage at an altitude", "sugar stage", "sugar-stage-range", STAGES, stage="soft ball", altitude="1000 m"),
]
