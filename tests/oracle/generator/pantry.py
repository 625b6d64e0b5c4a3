"""Ingredients. Their figures are invented, near enough to be plausible."""

# id, English, French, g/mL, g a piece, edible %, allergens
SHELF = [
    ("egg-whole", "Whole egg", "Œuf entier", "1.03", "50", "88", {"egg": "contains"}),
    ("egg-yolk", "Egg yolk", "Jaune d'œuf", "1.03", "18", None, {"egg": "contains"}),
    ("egg-white", "Egg white", "Blanc d'œuf", "1.04", "32", None, {"egg": "contains"}),
    ("milk-whole", "Whole milk", "Lait entier", "1.03", None, None, {"milk": "contains"}),
    ("cream-35", "Cream 35 %", "Crème 35 %", "0.99", None, None, {"milk": "contains"}),
    ("butter-unsalted", "Unsalted butter", "Beurre doux", "0.911", "250", None, {"milk": "contains"}),
    ("honey-buckwheat", "Buckwheat honey", "Miel de sarrasin", "1.42", None, None, {}),
    ("honey-acacia", "Acacia honey", "Miel d'acacia", "1.415", None, "98.5", {}),
    ("pear-conference", "Pear", "Poire", "0.59", "145", "78", {}),
    ("pear-puree", "Pear purée", "Purée de poire", "1.06", None, None, {}),
    ("buckwheat-flour", "Buckwheat flour", "Farine de sarrasin", "0.62", None, None, {"gluten": "may-contain"}),
    ("wheat-flour", "Wheat flour", "Farine de blé", "0.53", None, None, {"gluten.wheat": "contains"}),
    ("sugar-caster", "Caster sugar", "Sucre semoule", "0.85", None, None, {}),
    ("sugar-icing", "Icing sugar", "Sucre glace", "0.56", None, None, {}),
    ("glucose-syrup", "Glucose syrup", "Sirop de glucose", "1.42", None, None, {}),
    ("gelatine-leaf", "Leaf gelatine", "Gélatine en feuilles", None, "2", None, {}),
    ("salt-fine", "Fine salt", "Sel fin", "1.2", None, None, {}),
    ("yeast-fresh", "Fresh yeast", "Levure fraîche", None, "42", None, {}),
    ("water", "Water", "Eau", "1", None, None, {}),
    ("almond-ground", "Ground almonds", "Poudre d'amande", "0.4", None, None, {"nuts.almond": "contains"}),
    ("hazelnut", "Hazelnuts", "Noisettes", None, "1.2", "66 2/3", {"nuts.hazelnut": "contains"}),
    ("lemon", "Lemon", "Citron", "1.02", "38.5", "42", {}),
    ("vanilla-pod", "Vanilla pod", "Gousse de vanille", None, "3", "90", {}),
    ("pectin-nh", "Pectin", "Pectine", "0.7", None, None, {}),
    ("chocolate-white", "White chocolate", "Chocolat blanc", None, "4.5", None, {"milk": "contains", "soya": "contains"}),
    ("kasha", "Roasted buckwheat", "Sarrasin torréfié", "0.66", None, "97", {}),
    ("rye-flour", "Rye flour", "Farine de seigle", "0.51", None, None, {"gluten.rye": "contains"}),
    ("beeswax", "Beeswax", "Cire d'abeille", "0.96", None, None, {}),
]


def _document(rng, row):
    ingredient_id, english, french, density, piece, edible, allergens = row
    doc = {"id": ingredient_id, "name": {"en": english, "fr": french}}
    if rng.random() < 0.3:
        doc["label_name"] = {"en": english.lower()}
    if density and rng.random() < 0.9:
        doc["density"] = f"{density} g/mL"
    if piece and rng.random() < 0.9:
        doc["piece_mass"] = f"{piece} g"
    if edible and rng.random() < 0.85:
        doc["edible_yield"] = f"{edible} %"
    if allergens and rng.random() < 0.8:
        doc["allergens"] = dict(allergens)
    if rng.random() < 0.6:
        doc["other_allergens"] = "free"
    return doc


def ingredient_documents(rng):
    """A shelf of a random size."""
    rows = rng.sample(SHELF, rng.randint(4, len(SHELF)))
    return [_document(rng, row) for row in rows]
