//! What is weighed, done, yielded or labelled.

use super::shows;

#[test]
fn less_honey() {
    shows!([("recipes/honey-bavarois.toml", "170 g", "140 g")], @r#"
    recipe
      recipe recipe/honey-bavarois: `honey-acacia` 140 g instead of 170 g, -30 g (5.75 % of the batch instead of 6.90 %)
      cost   recipe/pear-buckwheat-entremet: food at `harbour` costs 0.7325 EUR a piece instead of 0.7391 EUR a piece, -0.90 %
      cost   recipe/pear-buckwheat-entremet: food at `millrace` costs 0.6444 GBP a piece instead of 0.6502 GBP a piece, -0.90 %
      cost   recipe/pear-buckwheat-entremet: food at `station` costs 0.7090 EUR a piece instead of 0.7154 EUR a piece, -0.90 %
      recipe recipe/pear-buckwheat-entremet: 100 g hold water 46.12 g instead of 45.92 g, fat 16.21 g instead of 16.11 g, saturates 8.81 g instead of 8.75 g, carbohydrate 30.7 g instead of 31.02 g, sugars 22.48 g instead of 22.8 g, protein 4.64 g instead of 4.62 g
      recipe recipe/pear-buckwheat-entremet: label (eu): energy 1213 kJ instead of 1215 kJ, energy 290 kcal instead of 291 kcal, of which sugars 22 g instead of 23 g
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, en): moved: "cane sugar"
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, fr): moved: "sucre de canne"
      in pear-buckwheat-entremet -> honey-bavarois
    "#);
}

#[test]
fn less_flour_where_all_else_is_a_share_of_it() {
    shows!([("recipes/honey-loaf.toml", "amount = \"4 kg\"", "amount = \"3.5 kg\"")], @r#"
    recipe
      recipe recipe/honey-loaf: `flour-wheat-strong` 3.5 kg instead of 4 kg, -500 g (39.36 % of the batch instead of 40.49 %; 77.78 % of the base instead of 80.00 %)
      recipe recipe/honey-loaf: the 100 % of shares weigh 4500 g instead of 5000 g, and every share follows
      cost   recipe/honey-loaf: food at `harbour` costs 1.4671 EUR a piece instead of 1.6303 EUR a piece, -10.01 %
      cost   recipe/honey-loaf: food at `millrace` costs 1.3282 GBP a piece instead of 1.4762 GBP a piece, -10.03 %
      cost   recipe/honey-loaf: food at `station` costs 1.3868 EUR a piece instead of 1.5401 EUR a piece, -9.96 %
      recipe recipe/honey-loaf: 100 g hold water 23.65 g instead of 23.67 g, fat 15.07 g instead of 15.06 g, carbohydrate 46.92 g instead of 47.03 g, fibre 2.6 g instead of 2.5 g
      recipe recipe/honey-loaf: label (eu): energy 367 kcal instead of 368 kcal, fibre 2.6 g instead of 2.5 g
      recipe recipe/honey-loaf: list of ingredients (eu, en): moved: "EGG"
      recipe recipe/honey-loaf: list of ingredients (eu, fr): moved: "ŒUF"
      in honey-loaf
    "#);
}

#[test]
fn another_share() {
    shows!([("recipes/honey-loaf.toml", "amount = \"12 %\"", "amount = \"10 %\"")], @"
    recipe
      recipe recipe/honey-loaf: `honey-acacia` 10 % (500 g) instead of 12 % (600 g), -100 g (5.11 % of the batch instead of 6.07 %; 10.00 % of the base instead of 12.00 %)
      cost   recipe/honey-loaf: food at `harbour` costs 1.5714 EUR a piece instead of 1.6303 EUR a piece, -3.61 %
      cost   recipe/honey-loaf: food at `millrace` costs 1.4245 GBP a piece instead of 1.4762 GBP a piece, -3.51 %
      cost   recipe/honey-loaf: food at `station` costs 1.4832 EUR a piece instead of 1.5401 EUR a piece, -3.70 %
      recipe recipe/honey-loaf: 100 g hold water 23.85 g instead of 23.67 g, fat 15.21 g instead of 15.06 g, saturates 8.73 g instead of 8.64 g, carbohydrate 46.56 g instead of 47.03 g, sugars 6.78 g instead of 7.65 g, fibre 2.52 g instead of 2.5 g, protein 9.84 g instead of 9.75 g, salt 1.18 g instead of 1.17 g
      recipe recipe/honey-loaf: label (eu): of which saturates 8.7 g instead of 8.6 g, of which sugars 6.8 g instead of 7.7 g, protein 9.8 g instead of 9.7 g
      in honey-loaf
    ");
}

#[test]
fn an_ingredient_takes_the_place_of_another() {
    shows!([("recipes/roasted-buckwheat.toml", "honey-buckwheat", "honey-acacia")], @r#"
    recipe
      recipe recipe/roasted-buckwheat: `honey-acacia` 3 tbsp (62.992 g) instead of `honey-buckwheat` 3 tbsp (62.992 g) (5.73 % of the batch as before)
      cost   recipe/pear-buckwheat-entremet: food at `harbour` costs 0.7392 EUR a piece instead of 0.7391 EUR a piece, +0.02 %
      cost   recipe/pear-buckwheat-entremet: food at `millrace` costs 0.6504 GBP a piece instead of 0.6502 GBP a piece, +0.02 %
      cost   recipe/pear-buckwheat-entremet: food at `station` costs 0.7155 EUR a piece instead of 0.7154 EUR a piece, +0.01 %
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, en): without "buckwheat honey"; moved: "pear"
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, fr): without "miel de sarrasin"; moved: "poire"
      in pear-buckwheat-entremet -> roasted-buckwheat
    "#);
}

#[test]
fn a_line_is_divided_between_two_steps() {
    let one = "amount = \"80 g\"\nstep = \"meringue\"";
    let two = "amount = \"60 g\"\nstep = \"meringue\"\n\n[[line]]\n\
               ingredient = \"sugar-caster\"\namount = \"20 g\"\nstep = \"fold\"";
    shows!([("recipes/honey-biscuit.toml", one, two)], @"
    recipe
      recipe recipe/honey-biscuit: `sugar-caster` in 2 lines (60 g, 20 g) instead of 1 line (80 g)
      in pear-buckwheat-entremet -> honey-biscuit
    ");
}

#[test]
fn a_line_is_added_and_one_removed() {
    let salt = "[[line]]\ningredient = \"fleur-de-sel\"\namount = \"4 g\"\ntolerance = \"3 %\"\n\
                step = \"grind\"\n";
    let oil = "[[line]]\ningredient = \"sunflower-oil\"\namount = \"60 g\"\nstep = \"grind\"\n";
    shows!([("recipes/hazelnut-praline-paste.toml", salt, oil)], @r#"
    recipe
      recipe recipe/hazelnut-praline-paste: `sunflower-oil` added: 60 g (5.08 % of the batch)
      recipe recipe/hazelnut-praline-paste: `fleur-de-sel` removed: 4 g (0.36 % of the batch)
      cost   recipe/pear-buckwheat-entremet: food at `harbour` costs 0.7392 EUR a piece instead of 0.7391 EUR a piece, +0.02 %
      cost   recipe/pear-buckwheat-entremet: food at `millrace` costs 0.6504 GBP a piece instead of 0.6502 GBP a piece, +0.02 %
      cost   recipe/pear-buckwheat-entremet: food at `station` costs 0.7156 EUR a piece instead of 0.7154 EUR a piece, +0.02 %
      recipe recipe/pear-buckwheat-entremet: 100 g hold water 45.91 g instead of 45.92 g, fat 16.17 g instead of 16.11 g, saturates 8.76 g instead of 8.75 g, carbohydrate 30.99 g instead of 31.02 g, sugars 22.77 g instead of 22.8 g
      recipe recipe/pear-buckwheat-entremet: label (eu): energy 1216 kJ instead of 1215 kJ
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, en): moved: "sunflower oil"
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, fr): moved: "huile de tournesol"
      in hazelnut-choux -> praline-cream -> hazelnut-praline-paste
      in pear-buckwheat-entremet -> buckwheat-crunch -> hazelnut-praline-paste
    "#);
}

#[test]
fn milk_is_denser_than_was_thought() {
    let milk = "\"lait entier\" }\ndensity = \"1.03 g/mL\"";
    let denser = "\"lait entier\" }\ndensity = \"1.035 g/mL\"";
    shows!([("ingredients/dairy.toml", milk, denser)], @"
    recipe
      recipe ingredient/milk-whole: density 1.035 g/mL instead of 1.03 g/mL
      recipe recipe/creme-anglaise: `milk-whole` 1 L weighs 1035 g instead of 1030 g
      recipe recipe/croissant: `milk-whole` 20 mL weighs 20.7 g instead of 20.6 g
      recipe recipe/honey-biscuit: `milk-whole` 50 mL weighs 51.75 g instead of 51.5 g
      recipe recipe/pastry-cream: `milk-whole` 1 L weighs 1035 g instead of 1030 g
      cost   recipe/honey-loaf: food at `harbour` costs 1.6299 EUR a piece instead of 1.6303 EUR a piece, -0.03 %
      cost   recipe/honey-loaf: food at `millrace` costs 1.4759 GBP a piece instead of 1.4762 GBP a piece, -0.03 %
      cost   recipe/honey-loaf: food at `station` costs 1.5398 EUR a piece instead of 1.5401 EUR a piece, -0.02 %
      recipe recipe/pear-buckwheat-entremet: 100 g hold water 45.93 g instead of 45.92 g, carbohydrate 31.01 g instead of 31.02 g, sugars 22.79 g instead of 22.8 g
      recipe recipe/pear-buckwheat-entremet: label (eu): energy 1214 kJ instead of 1215 kJ
      in croissant -> milk-whole
      in hazelnut-choux -> choux-shell -> milk-whole
      in honey-loaf -> milk-whole
      in pear-buckwheat-entremet -> honey-biscuit -> milk-whole
      in pear-danish -> pastry-cream -> milk-whole
    ");
}

#[test]
fn it_is_baked_longer() {
    let control = "target = \"9 min\"\nmin = \"8 min\"\nmax = \"11 min\"";
    let longer = "target = \"11 min\"\nmin = \"10 min\"\nmax = \"13 min\"";
    shows!(
        [
            ("recipes/honey-biscuit.toml", "passive = \"9 min\"", "passive = \"11 min\""),
            ("recipes/honey-biscuit.toml", control, longer),
        ],
        @"
    recipe
      recipe recipe/honey-biscuit: step `bake`: unattended time 11 min instead of 9 min
      recipe recipe/honey-biscuit: control changed at `bake`: time 11 min (10 min to 13 min) instead of 9 min (8 min to 11 min)
      in pear-buckwheat-entremet -> honey-biscuit
    "
    );
}

#[test]
fn a_step_is_added_and_one_waits_for_it() {
    let chill = "[[step]]\nid = \"chill\"";
    let blend = "[[step]]\nid = \"blend\"\ntext = { en = \"Blend smooth.\" }\n\
                 active = \"2 min\"\nequipment = \"blender\"\n\n[[step]]\nid = \"chill\"\n\
                 after = [\"blend\"]";
    shows!([("recipes/pastry-cream.toml", chill, blend)], @r#"
    recipe
      recipe recipe/pastry-cream: step `chill` waits for blend instead of butter
      recipe recipe/pastry-cream: step `blend` added: "Blend smooth."
      in hazelnut-choux -> praline-cream -> pastry-cream
      in pear-danish -> pastry-cream
    "#);
}

#[test]
fn a_step_says_something_else_in_the_first_language() {
    shows!([("recipes/honey-bavarois.toml", "to soft peaks", "to firm peaks")], @r#"
    recipe
      recipe recipe/honey-bavarois: step `whip` says "Whip the cold cream to firm peaks." instead of "Whip the cold cream to soft peaks."
      in pear-buckwheat-entremet -> honey-bavarois
    "#);
}

#[test]
fn pieces_are_smaller() {
    let (old, new) = ("piece_mass = \"50 g\"", "piece_mass = \"48 g\"");
    shows!([("recipes/honey-bavarois.toml", old, new)], @r#"
    recipe
      recipe recipe/pear-buckwheat-entremet: `honey-bavarois` 48 pieces weighs 2304 g instead of 2400 g
      recipe recipe/honey-bavarois: piece mass 48 g instead of 50 g (48 pieces)
      recipe recipe/pear-buckwheat-entremet: 100 g hold water 45.7 g instead of 45.92 g, fat 16.02 g instead of 16.11 g, saturates 8.68 g instead of 8.75 g, carbohydrate 31.29 g instead of 31.02 g, sugars 22.95 g instead of 22.8 g, fibre 1.41 g instead of 1.39 g, protein 4.64 g instead of 4.62 g
      recipe recipe/pear-buckwheat-entremet: label (eu): energy 1216 kJ instead of 1215 kJ, of which saturates 8.7 g instead of 8.8 g
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, en): moved: "EGG yolk", "vanilla"
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, fr): moved: "jaune d’ŒUF", "vanille"
      in pear-buckwheat-entremet -> honey-bavarois
    "#);
}

#[test]
fn a_loss_is_corrected() {
    shows!([("recipes/poached-pears.toml", "\"4 %\"", "\"6 %\"")], @"
    recipe
      recipe recipe/poached-pears: loss changed: `poach` 6 % as water instead of `poach` 4 % as water
      recipe recipe/pear-buckwheat-entremet: 100 g hold water 45.87 g instead of 45.92 g, carbohydrate 31.07 g instead of 31.02 g, sugars 22.84 g instead of 22.8 g, fibre 1.4 g instead of 1.39 g, protein 4.63 g instead of 4.62 g
      in pear-buckwheat-entremet -> poached-pears
      in pear-danish -> poached-pears
    ");
}

#[test]
fn a_batch_is_bounded_otherwise() {
    shows!([("recipes/light-syrup.toml", "max = \"20 kg\"", "max = \"25 kg\"")], @"
    recipe
      recipe recipe/light-syrup: largest batch 25 kg instead of 20 kg
      in honey-loaf -> light-syrup
      in pear-buckwheat-entremet -> light-syrup
      in pear-danish -> poached-pears -> light-syrup
    ");
}

#[test]
fn a_label_says_another_name() {
    let (old, new) = ("en = \"whole milk\"", "en = \"full-cream milk\"");
    shows!([("ingredients/dairy.toml", old, new)], @r#"
    recipe
      recipe ingredient/milk-whole: name on labels (en): "full-cream milk" instead of "whole milk"
      recipe recipe/honey-loaf: list of ingredients (eu, en): now with "full-cream MILK"; without "whole MILK"
      recipe recipe/pear-buckwheat-entremet: list of ingredients (eu, en): now with "full-cream MILK"; without "whole MILK"
      in croissant -> milk-whole
      in hazelnut-choux -> choux-shell -> milk-whole
      in honey-loaf -> milk-whole
      in pear-buckwheat-entremet -> honey-biscuit -> milk-whole
      in pear-danish -> pastry-cream -> milk-whole
    "#);
}

#[test]
fn a_supplier_states_other_content() {
    shows!([("ingredients/nuts-seeds.toml", "fat = \"60.8 g\"", "fat = \"62 g\"")], @"
    recipe
      recipe ingredient/hazelnut-whole: states in 100 g: fat 62 g instead of 60.8 g
      recipe recipe/pear-buckwheat-entremet: 100 g hold fat 16.12 g instead of 16.11 g
      in hazelnut-choux -> praline-cream -> hazelnut-praline-paste -> hazelnut-whole
      in pear-buckwheat-entremet -> buckwheat-crunch -> hazelnut-praline-paste -> hazelnut-whole
    ");
}

#[test]
fn more_water_is_boiled_off_than_there_is() {
    shows!([("recipes/hazelnut-praline-paste.toml", "\"12 %\"", "\"14 %\"")], @"
    recipe
      recipe recipe/hazelnut-praline-paste: loss changed: `roast-and-caramel` 14 % as water instead of `roast-and-caramel` 12 % as water
      recipe recipe/hazelnut-choux: can't tell any more what 100 g hold: stage `roast-and-caramel` of `hazelnut-praline-paste` takes 14.000 g of water from 100 g, but only 13.544 g are there
      recipe recipe/hazelnut-praline-paste: can't tell any more what 100 g hold: stage `roast-and-caramel` of `hazelnut-praline-paste` takes 14.000 g of water from 100 g, but only 13.544 g are there
      recipe recipe/pear-buckwheat-entremet: can't tell any more what 100 g hold: stage `roast-and-caramel` of `hazelnut-praline-paste` takes 14.000 g of water from 100 g, but only 13.544 g are there
      in hazelnut-choux -> praline-cream -> hazelnut-praline-paste
      in pear-buckwheat-entremet -> buckwheat-crunch -> hazelnut-praline-paste
    ");
}
