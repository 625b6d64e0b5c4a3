//! What can hurt someone.

use super::shows;
use crate::book::file;
use crate::deviations::CASHEW_DRINK;

#[test]
fn milk_gives_way_to_a_drink_of_nuts() {
    let milk = "ingredient = \"milk-whole\"";
    let drink = "ingredient = \"cashew-drink\"";
    shows!([CASHEW_DRINK, ("recipes/creme-anglaise.toml", milk, drink)], @r#"
    safety
      safety recipe/pear-buckwheat-entremet: nuts.cashew: contains instead of free, because of `cashew-drink` in honey-bavarois -> creme-anglaise
      recipe ingredient/cashew-drink: is new
      recipe recipe/creme-anglaise: `cashew-drink` 1 L (1020 g) instead of `milk-whole` 1 L (1030 g) (50.85 % of the batch instead of 51.09 %)
      cost   recipe/pear-buckwheat-entremet: food at `harbour` costs at least 0.7261 EUR a piece instead of 0.7391 EUR a piece
      cost   recipe/pear-buckwheat-entremet: food at `millrace` costs at least 0.6387 GBP a piece instead of 0.6502 GBP a piece
      cost   recipe/pear-buckwheat-entremet: food at `station` costs at least 0.7046 EUR a piece instead of 0.7154 EUR a piece
      recipe recipe/pear-buckwheat-entremet: 100 g hold water 46.32 g instead of 45.92 g, fat 16.02 g instead of 16.11 g, saturates 8.59 g instead of 8.75 g, carbohydrate 30.86 g instead of 31.02 g, sugars 22.62 g instead of 22.8 g, fibre 1.42 g instead of 1.39 g, protein 4.44 g instead of 4.62 g
      recipe recipe/pear-buckwheat-entremet: label (eu): energy 1205 kJ instead of 1215 kJ, energy 289 kcal instead of 291 kcal, of which saturates 8.6 g instead of 8.8 g, protein 4.4 g instead of 4.6 g
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, en): now with "CASHEW drink"; moved: "whole MILK"
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, fr): now with "Boisson à la NOIX DE CAJOU"; moved: "LAIT entier"
      in pear-buckwheat-entremet -> honey-bavarois -> creme-anglaise -> cashew-drink
      in pear-buckwheat-entremet -> honey-bavarois -> creme-anglaise
    "#);
}

#[test]
fn an_allergen_shows_in_a_component_where_the_piece_has_it_anyway() {
    let (cream, almonds) = ("ingredient = \"cream-35\"", "ingredient = \"almond-ground\"");
    shows!([("recipes/honey-bavarois.toml", cream, almonds)], @r#"
    safety
      safety recipe/honey-bavarois: nuts.almond: contains instead of free, because of `almond-ground`
      safety recipe/honey-bavarois: nuts.hazelnut: may-contain instead of free, because of `almond-ground`
      recipe recipe/honey-bavarois: `almond-ground` 1.12 kg instead of `cream-35` 1.12 kg (45.45 % of the batch as before)
      cost   recipe/pear-buckwheat-entremet: food at `harbour` costs 0.8573 EUR a piece instead of 0.7391 EUR a piece, +15.99 %
      cost   recipe/pear-buckwheat-entremet: food at `millrace` costs 0.7502 GBP a piece instead of 0.6502 GBP a piece, +15.37 %
      cost   recipe/pear-buckwheat-entremet: food at `station` costs 0.8438 EUR a piece instead of 0.7154 EUR a piece, +17.95 %
      recipe recipe/pear-buckwheat-entremet: 100 g hold water 36.82 g instead of 45.92 g, fat 19.03 g instead of 16.11 g, saturates 5.66 g instead of 8.75 g, carbohydrate 31.99 g instead of 31.02 g, sugars 23.06 g instead of 22.8 g, fibre 3.05 g instead of 1.39 g, protein 7.83 g instead of 4.62 g
      recipe recipe/pear-buckwheat-entremet: label (eu): energy 1407 kJ instead of 1215 kJ, energy 337 kcal instead of 291 kcal, fat 19 g instead of 16 g, of which saturates 5.7 g instead of 8.8 g, carbohydrate 32 g instead of 31 g, fibre 3.0 g instead of 1.4 g, protein 7.8 g instead of 4.6 g
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, en): moved: "cream (MILK)", "ALMONDS"
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, fr): moved: "crème (LAIT)", "AMANDES"
      in pear-buckwheat-entremet -> honey-bavarois
    "#);
}

#[test]
fn a_supplier_states_contains_where_it_said_may_contain() {
    let (may, does) =
        ("\"nuts.hazelnut\" = \"may-contain\" }", "\"nuts.hazelnut\" = \"contains\" }");
    shows!([("ingredients/chocolate.toml", may, does)], @r#"
    safety
      safety recipe/honey-mirror-glaze: nuts.hazelnut: contains instead of may-contain, because of `chocolate-white-30`
      safety ingredient/chocolate-white-30: states nuts, nuts.hazelnut: contains instead of may-contain
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, en): now with "white chocolate (HAZELNUTS) (sugar, cocoa butter, whole MILK powder, emulsifier: SOYA lecithin)"; without "white chocolate (sugar, cocoa butter, whole MILK powder, emulsifier: SOYA lecithin)"
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, fr): now with "chocolat blanc (NOISETTES) (sucre, beurre de cacao, LAIT entier en poudre, émulsifiant : lécithine de SOJA)"; without "chocolat blanc (sucre, beurre de cacao, LAIT entier en poudre, émulsifiant : lécithine de SOJA)"
      in pear-buckwheat-entremet -> buckwheat-crunch -> chocolate-white-30
    "#);
}

#[test]
fn a_constituent_deep_in_a_compound_ingredient_contains_what_that_doesn_t_say() {
    let lecithin = "allergens = { soya = \"contains\" }";
    let from_may = "allergens = { soya = \"contains\", milk = \"may-contain\" }";
    let contains = "allergens = { soya = \"contains\", milk = \"contains\" }";
    let before = [("ingredients/flavour.toml", lecithin, from_may)];
    let after = [("ingredients/flavour.toml", lecithin, contains)];
    insta::assert_snapshot!(crate::book::told_between(&before, &after), @r#"
    safety
      safety ingredient/chocolate-dark-64: states may-contain of milk, but is made of `soya-lecithin`, which contains it
      safety ingredient/soya-lecithin: states milk: contains instead of may-contain
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, en): now with "white chocolate (sugar, cocoa butter, whole MILK powder, emulsifier: SOYA lecithin (MILK))"; without "white chocolate (sugar, cocoa butter, whole MILK powder, emulsifier: SOYA lecithin)"
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, fr): now with "chocolat blanc (sucre, beurre de cacao, LAIT entier en poudre, émulsifiant : lécithine de SOJA (LAIT))"; without "chocolat blanc (sucre, beurre de cacao, LAIT entier en poudre, émulsifiant : lécithine de SOJA)"
      in hazelnut-choux -> chocolate-dark-64 -> soya-lecithin
      in pear-buckwheat-entremet -> buckwheat-crunch -> chocolate-white-30 -> soya-lecithin
    "#);
}

#[test]
fn a_statement_is_missing_now() {
    let stated = "density = \"0.92 g/mL\"\nother_allergens = \"free\"";
    shows!([("ingredients/fats.toml", stated, "density = \"0.92 g/mL\"")], @"
    safety
      safety recipe/honey-biscuit: soya: unknown instead of free, because of `sunflower-oil`
      safety recipe/honey-biscuit: nuts.hazelnut: unknown instead of may-contain, because of `sunflower-oil`
      safety recipe/pear-buckwheat-entremet: crustaceans, fish, peanuts, celery, mustard, sesame, sulphites, lupin, molluscs, gluten.spelt, gluten.khorasan, gluten.rye, gluten.barley, gluten.oats, nuts.walnut, nuts.cashew, nuts.pecan, nuts.brazil, nuts.pistachio, nuts.macadamia, nuts.pine-nut: unknown instead of free, because of `sunflower-oil` in honey-biscuit
      safety ingredient/sunflower-oil: states gluten, crustaceans, egg, fish, peanuts, soya, milk, nuts, celery, mustard, sesame, sulphites, lupin, molluscs, gluten.wheat, gluten.spelt, gluten.khorasan, gluten.rye, gluten.barley, gluten.oats, nuts.almond, nuts.hazelnut, nuts.walnut, nuts.cashew, nuts.pecan, nuts.brazil, nuts.pistachio, nuts.macadamia, nuts.pine-nut: unknown instead of free
      in pear-buckwheat-entremet -> honey-biscuit -> sunflower-oil
    ");
}

#[test]
fn ten_times_the_gelatine() {
    shows!([("recipes/honey-bavarois.toml", "174 g", "1740 g")], @"
    safety
      safety recipe/honey-bavarois: can't tell any more what is in it, weighs and costs: `honey-bavarois` can't be computed: the yield implies a loss of 39.70 % that no loss states
      safety recipe/pear-buckwheat-entremet: can't tell any more what is in it, weighs and costs: `pear-buckwheat-entremet` can't be computed: can't be computed because of `honey-bavarois`
      recipe recipe/honey-bavarois: `gelatine-mass` 1740 g instead of 174 g, +1566 g, 10 times as much
      in pear-buckwheat-entremet -> honey-bavarois
    ");
}

#[test]
fn a_critical_limit_is_loosened() {
    shows!([("recipes/creme-anglaise.toml", "min = \"82 °C\"", "min = \"78 °C\"")], @"
    safety
      safety recipe/creme-anglaise: critical limit loosened at `cook` of `creme-anglaise`: temperature 83 °C (78 °C to 85 °C) instead of 83 °C (82 °C to 85 °C)
      in pear-buckwheat-entremet -> honey-bavarois -> creme-anglaise
    ");
}

#[test]
fn a_critical_limit_is_tightened() {
    shows!([("recipes/creme-anglaise.toml", "min = \"82 °C\"", "min = \"180 °F\"")], @"
    safety
      safety recipe/creme-anglaise: critical limit tightened at `cook` of `creme-anglaise`: temperature 83 °C (180 °F to 85 °C) instead of 83 °C (82 °C to 85 °C)
      in pear-buckwheat-entremet -> honey-bavarois -> creme-anglaise
    ");
}

#[test]
fn a_limit_is_critical_no_longer() {
    let core = "max = \"96 °C\"\ncritical = true";
    shows!([("recipes/honey-loaf.toml", core, "max = \"96 °C\"")], @"
    safety
      safety recipe/honey-loaf: critical limit removed at `core` of `honey-loaf`: temperature 92 °C (90 °C to 96 °C), not critical instead of 92 °C (90 °C to 96 °C)
      in honey-loaf
    ");
}

#[test]
fn a_component_gives_way_to_a_variant_with_other_limits() {
    let variant = file("recipes/creme-anglaise.toml")
        .replace("id = \"creme-anglaise\"", "id = \"creme-anglaise-light\"")
        .replace("min = \"82 °C\"", "min = \"80 °C\"")
        .replace("id = \"chill\"", "id = \"cool\"")
        .replace("280 g", "240 g");
    let (old, new) = ("component = \"creme-anglaise\"", "component = \"creme-anglaise-light\"");
    shows!(
        [
            ("recipes/creme-anglaise-light.toml", "", variant.as_str()),
            ("recipes/honey-bavarois.toml", old, new),
        ],
        @r#"
    safety
      safety recipe/pear-buckwheat-entremet: critical limit removed at `chill` of `creme-anglaise`: temperature 3 °C (at most 5 °C)
      safety recipe/pear-buckwheat-entremet: critical limit removed at `chill` of `creme-anglaise`: time 2 h (at most 4 h)
      safety recipe/pear-buckwheat-entremet: critical limit loosened at `cook` of `creme-anglaise-light`: temperature 83 °C (80 °C to 85 °C) instead of 83 °C (82 °C to 85 °C)
      safety recipe/pear-buckwheat-entremet: critical limit added at `cool` of `creme-anglaise-light`: temperature 3 °C (at most 5 °C)
      safety recipe/pear-buckwheat-entremet: critical limit added at `cool` of `creme-anglaise-light`: time 2 h (at most 4 h)
      safety recipe/creme-anglaise-light: is new; critical limits: 5
      recipe recipe/honey-bavarois: `creme-anglaise-light` 1 kg instead of `creme-anglaise` 1 kg (40.58 % of the batch as before)
      cost   recipe/pear-buckwheat-entremet: food at `harbour` costs 0.7356 EUR a piece instead of 0.7391 EUR a piece, -0.47 %
      cost   recipe/pear-buckwheat-entremet: food at `millrace` costs 0.6472 GBP a piece instead of 0.6502 GBP a piece, -0.46 %
      cost   recipe/pear-buckwheat-entremet: food at `station` costs 0.7119 EUR a piece instead of 0.7154 EUR a piece, -0.49 %
      recipe recipe/pear-buckwheat-entremet: 100 g hold water 45.97 g instead of 45.92 g, fat 16.07 g instead of 16.11 g, carbohydrate 31.05 g instead of 31.02 g, sugars 22.84 g instead of 22.8 g, protein 4.59 g instead of 4.62 g
      recipe recipe/pear-buckwheat-entremet: label (eu): energy 1213 kJ instead of 1215 kJ, energy 290 kcal instead of 291 kcal, of which saturates 8.7 g instead of 8.8 g
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, en): moved: "EGG yolk"
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, fr): moved: "jaune d’ŒUF"
      in pear-buckwheat-entremet -> honey-bavarois -> creme-anglaise-light
      in pear-buckwheat-entremet -> honey-bavarois
    "#
    );
}

#[test]
fn a_result_is_kept_longer() {
    shows!([("recipes/honey-bavarois.toml", "keeps = \"30 d\"", "keeps = \"45 d\"")], @"
    safety
      safety recipe/honey-bavarois: storage: frozen for 45 d instead of frozen for 30 d
      in pear-buckwheat-entremet -> honey-bavarois
    ");
}

#[test]
fn a_piece_is_new() {
    let piece = file("recipes/honey-loaf.toml").replace("\"honey-loaf\"", "\"honey-roll\"");
    shows!([("recipes/honey-roll.toml", "", piece.as_str())], @"
    safety
      safety recipe/honey-roll: is new; allergens: gluten (contains), egg (contains), milk (contains), gluten.wheat (contains); critical limits: 1
      in honey-roll
    ");
}

#[test]
fn a_step_with_a_limit_is_gone() {
    let cream = file("recipes/pastry-cream.toml");
    let start = cream.find("[[step]]\nid = \"chill\"").unwrap();
    let end = start + cream[start..].find("[storage]").unwrap();
    shows!([("recipes/pastry-cream.toml", &cream[start..end], "")], @r#"
    safety
      safety recipe/pastry-cream: critical limit removed at `chill` of `pastry-cream`: temperature 3 °C (at most 5 °C)
      safety recipe/pastry-cream: critical limit removed at `chill` of `pastry-cream`: time 90 min (at most 4 h)
      recipe recipe/pastry-cream: step `chill` removed: "Chill to the core and date."
      in hazelnut-choux -> praline-cream -> pastry-cream
      in pear-danish -> pastry-cream
    "#);
}

#[test]
fn an_allergen_is_gone() {
    let egg = ("ingredient = \"egg-whole\"", "ingredient = \"water\"");
    shows!([("recipes/honey-loaf.toml", egg.0, egg.1)], @r#"
    safety
      safety recipe/honey-loaf: egg: free instead of contains, because of `egg-whole` until now
      recipe recipe/honey-loaf: `water` 22 % (1100 g) instead of `egg-whole` 22 % (1100 g) (11.13 % of the batch as before; 22.00 % of the base as before)
      cost   recipe/honey-loaf: food at `harbour` costs 1.3495 EUR a piece instead of 1.6303 EUR a piece, -17.23 %
      cost   recipe/honey-loaf: food at `millrace` costs 1.2340 GBP a piece instead of 1.4762 GBP a piece, -16.41 %
      cost   recipe/honey-loaf: food at `station` costs 1.2776 EUR a piece instead of 1.5401 EUR a piece, -17.04 %
      recipe recipe/honey-loaf: 100 g hold water 26.67 g instead of 23.67 g, fat 13.86 g instead of 15.06 g, saturates 8.25 g instead of 8.64 g, carbohydrate 46.94 g instead of 47.03 g, sugars 7.6 g instead of 7.65 g, protein 8.15 g instead of 9.75 g, salt 1.12 g instead of 1.17 g
      recipe recipe/honey-loaf: label (eu): energy 1469 kJ instead of 1542 kJ, energy 350 kcal instead of 368 kcal, fat 14 g instead of 15 g, of which saturates 8.2 g instead of 8.6 g, of which sugars 7.6 g instead of 7.7 g, protein 8.2 g instead of 9.7 g, salt 1.1 g instead of 1.2 g
      recipe recipe/honey-loaf: list of ingredients (eu, en): without "EGG"
      recipe recipe/honey-loaf: list of ingredients (eu, fr): without "ŒUF"
      in honey-loaf
    "#);
}
