"""Steps, controls and storage: labour counts in cost, the rest is scenery."""

STEPS = [
    ("warm", "Warm the liquid.", "Chauffer le liquide."),
    ("mix", "Mix until smooth.", "Mélanger jusqu'à homogénéité."),
    ("fold", "Fold in.", "Incorporer délicatement."),
    ("pipe", "Pipe into the moulds.", "Pocher dans les moules."),
    ("bake", "Bake.", "Cuire au four."),
    ("rest", "Rest, covered.", "Laisser reposer."),
]
ACTIVE = ("10 min", "7.5 min", "45 s", "1/4 h", "3 min", "1 1/2 min", "20 s")
PASSIVE = ("20 min", "2 h", "1 d", "90 s")
CONTROL = {"measure": "temperature", "target": "80 °C", "min": "78 °C", "max": "82 °C"}


def _step(rng, row, labours):
    step_id, english, french = row
    step = {"id": step_id, "text": {"en": english, "fr": french}}
    if rng.random() < 0.8:
        step["active"] = rng.choice(ACTIVE)
        if rng.random() < 0.7:
            step["labour"] = rng.choice(labours)
    if rng.random() < 0.3:
        step["passive"] = rng.choice(PASSIVE)
    if rng.random() < 0.25:
        step["equipment"] = rng.choice(["oven", "mixer", "oven"])
    if rng.random() < 0.15:
        step["control"] = [dict(CONTROL, critical=rng.random() < 0.5)]
    return step


def add_steps(rng, doc, has_pieces):
    """Adds steps in the order of STEPS, and storage."""
    labours = ["per-batch", "with-mass"] + (["per-piece"] if has_pieces else [])
    chosen = sorted(rng.sample(range(len(STEPS)), rng.randint(0, 4)))
    steps = [_step(rng, STEPS[i], labours) for i in chosen]
    if len(steps) > 2 and rng.random() < 0.2:
        steps[-1]["after"] = [steps[0]["id"]]
    if steps:
        doc["step"] = steps
        for line in doc["line"]:
            if rng.random() < 0.2:
                line["step"] = rng.choice(steps)["id"]
    if rng.random() < 0.3:
        doc["storage"] = {"condition": rng.choice(["ambient", "chilled", "frozen"]), "keeps": "48 h"}
