//! Text alone.

use super::shows;

#[test]
fn nothing() {
    shows!([], @"nothing");
}

#[test]
fn a_translation() {
    let (old, new) = ("Monter la crème froide souple.", "Monter la crème froide en pics souples.");
    shows!([("recipes/honey-bavarois.toml", old, new)], @r#"
    text
      text   recipe/honey-bavarois: step `whip` (fr) reads "Monter la crème froide en pics souples." instead of "Monter la crème froide souple."
      in pear-buckwheat-entremet -> honey-bavarois
    "#);
}

#[test]
fn the_order_of_lines() {
    let yolk = "[[line]]\ningredient = \"egg-yolk\"\namount = \"160 g\"\nstep = \"whisk\"\n\n";
    let vanilla = "[[line]]\ningredient = \"vanilla-extract\"";
    let both = format!("{yolk}{vanilla}");
    let file = "recipes/pastry-cream.toml";
    shows!([(file, yolk, ""), (file, vanilla, both.as_str())], @"
    text
      text   recipe/pastry-cream: the lines stand in another order, and are otherwise the same
      in hazelnut-choux -> praline-cream -> pastry-cream
      in pear-danish -> pastry-cream
    ");
}

#[test]
fn an_amount_in_another_unit() {
    let file = "recipes/creme-anglaise.toml";
    shows!(
        [(file, "amount = \"500 g\"", "amount = \"1/2 kg\""), (file, "\"1 L\"", "\"1000 mL\"")],
        @"
    text
      text   recipe/creme-anglaise: written otherwise, with the same meaning
      in pear-buckwheat-entremet -> honey-bavarois -> creme-anglaise
    "
    );
}

#[test]
fn a_number_with_a_zero_more() {
    shows!([("recipes/light-syrup.toml", "residue = \"15 g\"", "residue = \"15.0 g\"")], @"
    text
      text   recipe/light-syrup: written otherwise, with the same meaning
      in honey-loaf -> light-syrup
      in pear-buckwheat-entremet -> light-syrup
      in pear-danish -> poached-pears -> light-syrup
    ");
}

#[test]
fn a_step_has_another_name() {
    let file = "recipes/detrempe.toml";
    let ferment = "[[step]]\nid = \"ferment\"";
    shows!([(file, ferment, "[[step]]\nid = \"rest\"")], @"
    text
      text   recipe/detrempe: step `ferment` is called `rest`, and is otherwise the same
      in croissant -> laminated-dough -> detrempe
      in pear-danish -> laminated-dough -> detrempe
    ");
}

#[test]
fn titles_and_notes() {
    let file = "recipes/pear-buckwheat-entremet.toml";
    shows!(
        [(file, "tell the guests", "tell every guest"), (file, "honey entremet\"", "honey cake\"")],
        @r#"
    text
      text   recipe/pear-buckwheat-entremet: title (en) reads "Pear, buckwheat and honey cake" instead of "Pear, buckwheat and honey entremet"
      text   recipe/pear-buckwheat-entremet: note reads "Individual piece in a 105 mL mould, 70 mm across. The compote holds pear brandy: tell every guest." instead of "Individual piece in a 105 mL mould, 70 mm across. The compote holds pear brandy: tell the guests."
      in pear-buckwheat-entremet
    "#
    );
}
