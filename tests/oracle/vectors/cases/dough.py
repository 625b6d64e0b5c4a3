"""Dough temperature and ice."""

from ..build import case

TITLE = "Dough temperature and ice"
PIZZA = "Pizza Today, June 2018: 65 °F"
NOTES = "course notes on the base temperature: 87 °F"
TTF = "total temperature factor example: 88 °F"
ARTICLE = "\"A simple calculation (ice)\": prints 4.4 kg, whose sum leaves out the ice's own share of the water"
ROUND = "professional baking texts, from memory: 1.13 lb"


def _water(name, source=None, **given):
    return case(name, "dough water temperature", "dough-water", source, **given)


def _friction(name, **given):
    return case(name, "dough friction", "dough-friction", **given)


def _ice(name, source=None, **given):
    return case(name, "dough ice", "ice", source, **given)


CASES = [
    _water("three times the dough less flour, room and friction", PIZZA, dough="80 °F", flour="65 °F", room="75 °F", friction="35 °F"),
    _water("friction is a difference, so the scales agree", dough="25 °C", flour="21 °C", room="23 °C", friction="12 °C"),
    _water("scales may be mixed", dough="77 °F", flour="21 °C", room="73.4 °F", friction="21.6 °F"),
    _water("another published example", NOTES, dough="75 °F", flour="65 °F", room="65 °F", friction="8 °F"),
    _water("friction by the minute", TTF, dough="78 °F", flour="60 °F", room="70 °F", friction="2 °F", mixing="8 min"),
    _water("with a preferment four times", dough="24 °C", flour="20 °C", room="22 °C", preferment="18 °C", friction="10 °C"),
    _water("water at freezing point is water", dough="20 °C", flour="25 °C", room="25 °C", friction="10 °C"),
    _water("water that would be ice is refused", dough="20 °C", flour="25 °C", room="25 °C", friction="10.1 °C"),
    _water("water that would be steam is refused", dough="50 °C", flour="10 °C", room="10 °C", friction="5 °C"),
    _friction("what a measured dough says of the mixer", dough="25 °C", flour="21 °C", room="23 °C", water="19 °C"),
    _friction("with a preferment", dough="24 °C", flour="20 °C", room="22 °C", preferment="18 °C", water="26 °C"),
    _friction("below zero where the bowl took more than it gave", dough="20 °C", flour="21 °C", room="22 °C", water="20 °C"),
    _ice("ice in place of water, the heat balance", ARTICLE, water="40 kg", tap="20 °C", wanted="10 °C", melting="measured", way="in-place"),
    _ice("ice on top of the water", ARTICLE, water="40 kg", tap="20 °C", wanted="10 °C", melting="measured", way="on-top"),
    _ice("by the bakers' round figure", ROUND, water="10 lb", tap="65 °F", wanted="45 °F", melting="round", way="in-place"),
    _ice("down to freezing point", water="1 kg", tap="20 °C", wanted="0 °C", melting="round", way="in-place"),
    _ice("no cooling takes no ice", water="1 kg", tap="20 °C", wanted="20 °C", melting="round", way="in-place"),
    _ice("ice doesn't warm", water="1 kg", tap="10 °C", wanted="20 °C", melting="round", way="in-place"),
]
