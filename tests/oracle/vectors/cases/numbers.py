"""Numbers, units, money, and the one rounding (rules 1)."""

from ..build import case

TITLE = "Numbers, units and rounding"


def _number(name, text, **more):
    return case(name, "1.1 numbers", "number", text=text, **more)


def _quantity(name, dimension, text, rule="units", source=None):
    return case(name, rule, "quantity", source, dimension=dimension, text=text)


def _round(name, exact, decimals):
    return case(name, "1.3 rounding", "round", exact=exact, decimals=decimals)


POUND = "the international pound, 0.45359237 kg exactly"
GALLON = "the US gallon, 231 cubic inches of 25.4 mm"
IMPERIAL = "the imperial gallon, 4.54609 L exactly"

CASES = [
    _number("a whole number", "250"),
    _number("a decimal is exact", "0.1"),
    _number("a fraction is exact", "1/3"),
    _number("a mixed number is whole and fraction", "1 1/2"),
    _number("a fraction is reduced", "6/4"),
    _number("a fraction may be above 1", "7/2"),
    _number("zero", "0"),
    _number("a long decimal keeps every digit", "0.000000000000001", decimals=15),
    _number("a fraction over zero is refused", "1/0"),
    _number("a word is refused", "some"),
    _number("an exponent is refused", "1e3"),
    _number("a comma is refused", "1,5"),
    _number("an empty text is refused", ""),
    _round("half goes up from below", "1/2000", 3),
    _round("half goes up, not to even", "5/2", 0),
    _round("half goes away from zero below zero", "-5/2", 0),
    _round("a hair below half goes down", "2499999999999999999/1000000000000000000", 0),
    _round("a hair above half goes up", "2500000000000000001/1000000000000000000", 0),
    _round("all decimals are shown", "1", 3),
    _round("a carry runs through every digit", "9999995/10000000", 6),
    _round("what rounds to zero from below has no sign", "-1/10000", 3),
    _round("two thirds", "2/3", 4),
    _round("a large number loses nothing", "1000000000000000000000000000001/2", 0),
    _quantity("grams", "mass", "250 g"),
    _quantity("a kilogram", "mass", "1.5 kg"),
    _quantity("a milligram", "mass", "1 mg"),
    _quantity("a pound", "mass", "1 lb", source=POUND),
    _quantity("an ounce is a sixteenth of a pound", "mass", "1 oz", source=POUND),
    _quantity("a mixed number of ounces", "mass", "2 1/2 oz", source=POUND),
    _quantity("millilitres", "volume", "5 mL"),
    _quantity("a centilitre", "volume", "1 cL"),
    _quantity("a decilitre", "volume", "1 dL"),
    _quantity("a litre", "volume", "1 L"),
    _quantity("a US teaspoon", "volume", "1 tsp", source=GALLON),
    _quantity("a US tablespoon", "volume", "1 tbsp", source=GALLON),
    _quantity("a US fluid ounce", "volume", "1 floz", source=GALLON),
    _quantity("half a US cup", "volume", "1/2 cup", source=GALLON),
    _quantity("a US pint", "volume", "1 pt", source=GALLON),
    _quantity("a US quart", "volume", "1 qt", source=GALLON),
    _quantity("a US gallon", "volume", "1 gal", source=GALLON),
    _quantity("an imperial fluid ounce", "volume", "1 imp-floz", source=IMPERIAL),
    _quantity("an imperial pint", "volume", "1 imp-pt", source=IMPERIAL),
    _quantity("an imperial gallon", "volume", "1 imp-gal", source=IMPERIAL),
    _quantity("millimetres", "length", "160 mm"),
    _quantity("centimetres", "length", "40 cm"),
    _quantity("metres", "length", "1.2 m"),
    _quantity("an inch is 25.4 mm", "length", "1 in"),
    _quantity("seconds are minutes over 60", "time", "90 s"),
    _quantity("hours", "time", "1 1/2 h"),
    _quantity("a day", "time", "1 d"),
    _quantity("pieces", "count", "2 pieces"),
    _quantity("a share", "share", "5 %"),
    _quantity("a share without a space", "share", "2.5%"),
    _quantity("a density", "density", "1.03 g/mL"),
    _quantity("a density in other units", "density", "1 kg/L"),
    _quantity("Celsius", "temperature", "80 °C"),
    _quantity("Celsius without a degree sign", "temperature", "80 degC"),
    _quantity("Fahrenheit has its zero elsewhere", "temperature", "212 °F"),
    _quantity("Fahrenheit is seldom a whole Celsius", "temperature", "76 degF"),
    _quantity("a temperature may be below zero", "temperature", "-18 °C"),
    _quantity("an unknown unit is refused", "mass", "3 stone"),
    _quantity("a number without a unit is refused", "mass", "250"),
    _quantity("a unit without a number is refused", "mass", "g"),
    _quantity("a volume is no mass", "mass", "250 mL"),
    _quantity("a mass is no share", "share", "5 g"),
    case("cents are shown", "1.3 rounding", "money", text="12.5 EUR"),
    case("a price between two cents goes away from zero", "1.3 rounding", "money", text="0.125 EUR"),
    case("a currency without a minor unit has no decimals", "1.3 rounding", "money", text="1250.5 JPY"),
]
