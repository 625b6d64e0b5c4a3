"""The weigh-up at a site (rules 5)."""

from ..build import PANTRY, asking, book, ingredient, line, recipe, scale, site

TITLE = "Weigh-up"

FLOOR = scale("floor", "30 kg", "5 g")
BENCH = scale("bench", "6 kg", "1 g")
FINE = scale("fine", "200 g", "0.1 g")
SITES = [
    site("harbour", FLOOR, BENCH, FINE),
    site("millrace", BENCH),
    site("station", scale("left", "5 kg", "1 g"), scale("right", "2 kg", "1 g"), scale("deep", "5 kg", "2 g")),
    site("pier"),
]
RECIPES = [
    recipe("mix", line("flour", "4.3216 kg"), line("sugar", "150.25 g"), line("salt", "3.27 g")),
    recipe("big", line("flour", "70 kg"), line("sugar", "13 kg"), line("salt", "6000.5 g")),
    recipe("ties", line("flour", "100.5 g"), line("sugar", "101.5 g")),
    recipe("tiny", line("flour", "1 kg"), line("salt", "0.4 g"), line("sugar", "0.5 g")),
    recipe("tolerances", line("flour", "12.5 g", tolerance="4 %"), line("sugar", "12.5 g", tolerance="3.999 %"), line("salt", "25.5 g"), line("honey", "24.5 g")),
    recipe("none", line("flour", "100.4 g", tolerance="0 %"), line("sugar", "100 g", tolerance="0 %"), line("salt", "to taste")),
    recipe("split", line("flour", "7 kg"), line("salt", "33.3 g"), batch={"max": "3 kg"}),
]
LARDER = PANTRY + [
    ingredient("starch", content={"water": "12 g", "fat": "0.1 g"}),
    ingredient("cocoa", content={"water": "4 g", "fat": "25 g"}),
    ingredient("praline", content={"water": "2 g", "fat": "25.1 g"}),
]
STEPS = [{"id": step, "text": {"en": step.capitalize()}} for step in ("dry", "wet")]


def _mix(recipe_id, *lines, **keys):
    return recipe(recipe_id, *lines, step=STEPS, **keys)


RECIPES += [
    _mix("dry-first", line("salt", "3 g", step="dry"), line("honey", "2 kg", step="dry"), line("cocoa", "90 g", step="dry"), line("starch", "80 g", step="dry")),
    _mix("pours", line("salt", "3 g", step="wet"), line("honey", "500 g", step="wet"), line("praline", "2 kg", step="wet"), line("starch", "80 g", step="dry")),
    _mix("same-step", line("salt", "3 g", step="dry"), line("honey", "500 g", step="wet")),
    _mix("too-little", line("salt", "3 g"), line("starch", "21 g")),
    _mix("bowl", line("salt", "3 g"), line("starch", "800 g"), batch={"max": "5 kg"}),
    _mix("strict", line("salt", "3.4 g", tolerance="0 %"), line("starch", "800 g")),
]
BOOKS = {"weighing": book(LARDER, RECIPES, SITES)}


def _weigh(name, rule, recipe_id, site_id, factor="1"):
    return asking("scale", "weighing", site_id)(name, rule, recipe_id, factor=factor)


CHOICE, READING, FLAG, ADVICE = "5.1 scale", "5.2 reading", "5.3 tolerance", "5.4 advice"
CASES = [
    _weigh("the finest scale that holds it", CHOICE, "mix", "harbour"),
    _weigh("one scale for everything", CHOICE, "mix", "millrace"),
    _weigh("nothing holds it: equal weighings on the largest", CHOICE, "big", "millrace"),
    _weigh("a scale that just holds it does", CHOICE, "big", "harbour", "3/7"),
    _weigh("of equal increments the smaller capacity", CHOICE, "mix", "station"),
    _weigh("of equal capacities the finer", CHOICE, "big", "station"),
    _weigh("without a scale nothing is weighed", CHOICE, "mix", "pier"),
    asking("scale", "weighing")("without a site nothing is weighed", CHOICE, "mix", factor="1"),
    _weigh("half an increment goes up", READING, "ties", "millrace"),
    _weigh("a reading of zero is flagged", FLAG, "tiny", "millrace"),
    _weigh("an error of exactly the tolerance passes; 2 % unless stated", FLAG, "tolerances", "millrace"),
    _weigh("a tolerance of 0 % flags any error", FLAG, "none", "millrace"),
    _weigh("a dry carrier comes before a heavier one that pours", ADVICE, "dry-first", "millrace", "1/2"),
    _weigh("without a dry one of the step, one that pours carries", ADVICE, "pours", "millrace", "1/2"),
    _weigh("an ingredient of another step carries nothing", ADVICE, "same-step", "millrace", "1/2"),
    _weigh("a carrier of which there is too little carries nothing", ADVICE, "too-little", "millrace", "1/2"),
    _weigh("a batch that its bowl can't hold isn't advised", ADVICE, "bowl", "millrace", "1/2"),
    _weigh("a tolerance of 0 % leaves nothing to advise", ADVICE, "strict", "millrace"),
    _weigh("one batch is weighed, not the whole", READING, "split", "harbour", "1"),
]
