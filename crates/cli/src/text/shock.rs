//! What other prices do, kitchen by kitchen.

use chablon_quantity::Exact;
use chablon_sdk::figures::{Figure, PriceMoved, PriceShock, RecipeShock, SiteShock};
use owo_colors::{OwoColorize, Style};

use super::closing;
use super::listing::{Listing, Side, paragraph, styled};
use super::names::Names;
use super::tongue::{NO_BREAK, Tongue};

const INDENT: usize = 3;

/// The sheet of a shock.
pub(crate) fn shock_sheet(shock: &PriceShock, names: &Names<'_>, width: usize) -> String {
    let words = Words(names.tongue);
    let intro = words.intro(&shock.on.to_string());
    let mut text = format!("{}\n{}", words.title().bold(), paragraph(intro.as_str(), 0, width));
    for site in &shock.sites {
        text += "\n";
        text += &one_site(site, names, width);
    }
    text += "\n";
    text += &closing::basis(&shock.basis, names.tongue);
    text
}

fn one_site(site: &SiteShock, names: &Names<'_>, width: usize) -> String {
    let words = Words(names.tongue);
    let title = format!("{}, {}", names.site_name(&site.site), site.currency);
    let mut text = format!("{}\n", title.bold());
    for ingredient in &site.without_price {
        let remark = words.without_price(names.ingredient(ingredient));
        text += &styled(&format!("! {remark}"), INDENT, width, Style::new().yellow());
    }
    if site.recipes.is_empty() {
        text += &paragraph(words.nobody(), INDENT, width);
        return text;
    }
    let mut listing = Listing::new(INDENT, [Side::Left; 1].into_iter().chain([Side::Right; 4]));
    listing.head(["", words.before(), words.after(), words.change(), words.share()]);
    site.prices.iter().for_each(|moved| listing.row(price(moved, names)));
    listing.styled([words.hit(), "", "", "", ""], Style::new().bold());
    for recipe in &site.recipes {
        listing.row(row(recipe, names));
        if !recipe.complete {
            listing.remark(words.at_least());
        }
    }
    text + &listing.render(width)
}

fn price(moved: &PriceMoved, names: &Names<'_>) -> [String; 5] {
    let tongue = names.tongue;
    let cost = |cost: &Option<Figure>| {
        let cost = cost.as_ref().map(|cost| tongue.fixed(&cost.rounded()));
        cost.unwrap_or_else(|| Words(tongue).no_price().to_owned())
    };
    let (before, after) = (cost(&moved.before_per_kg), cost(&moved.after_per_kg));
    let change = signed(moved.change_percent.as_ref(), tongue);
    [by_kg(names.ingredient(&moved.ingredient), tongue), before, after, change, String::new()]
}

fn row(recipe: &RecipeShock, names: &Names<'_>) -> [String; 5] {
    let tongue = names.tongue;
    let title = names.recipe(&recipe.recipe);
    let (title, [before, after]) = match &recipe.per_piece {
        Some(each) => (Words(tongue).by_the_piece(title), each),
        None => (by_kg(title, tongue), &recipe.per_kg),
    };
    let [before, after] = [before, after].map(|cost| tongue.fixed(&cost.rounded()));
    let share = recipe.share_percent.as_ref().map(|share| percent(share.exact(), tongue));
    let change = signed(recipe.change_percent.as_ref(), tongue);
    [title, before, after, change, share.unwrap_or_default()]
}

fn by_kg(title: &str, tongue: Tongue) -> String {
    Words(tongue).by_the_kilogram(title)
}

/// A change in per cent with its sign: `+12.5 %`.
fn signed(change: Option<&Figure>, tongue: Tongue) -> String {
    let Some(change) = change.map(Figure::exact) else { return String::new() };
    let sign = if change.is_positive() { "+" } else { "" };
    format!("{sign}{}", percent(change, tongue))
}

/// With all decimals, so that they stand below each other.
fn percent(exact: &Exact, tongue: Tongue) -> String {
    format!("{}{NO_BREAK}%", tongue.fixed(&exact.round(2)))
}

#[derive(Clone, Copy, Debug)]
struct Words(Tongue);

impl Words {
    fn title(self) -> &'static str {
        self.0.pick("What other prices do", "Ce que font d’autres prix")
    }

    fn intro(self, day: &str) -> String {
        self.0.pick(
            format!(
                "By the prices of {day}. Food alone, by the standard batch, so that kitchens can \
                 be compared. The last column is what moved as a part of the cost after."
            ),
            format!(
                "Aux prix du {day}. Matières seules, pour la recette écrite, afin de comparer les \
                 cuisines. La dernière colonne est la part de ce qui a bougé dans le coût d’après."
            ),
        )
    }

    fn before(self) -> &'static str {
        self.0.pick("before", "avant")
    }

    fn after(self) -> &'static str {
        self.0.pick("after", "après")
    }

    fn change(self) -> &'static str {
        self.0.pick("change", "écart")
    }

    fn share(self) -> &'static str {
        self.0.pick("of cost", "du coût")
    }

    fn hit(self) -> &'static str {
        self.0.pick("Who is hit", "Qui est touché")
    }

    fn nobody(self) -> &'static str {
        self.0.pick("No recipe is hit.", "Aucune recette n’est touchée.")
    }

    fn no_price(self) -> &'static str {
        self.0.pick("no price", "sans prix")
    }

    fn at_least(self) -> &'static str {
        self.0.pick(
            "a price is missing, so these are lower bounds",
            "un prix manque : ce sont des minimums",
        )
    }

    fn by_the_piece(self, title: &str) -> String {
        self.0.pick(format!("{title}, by the piece"), format!("{title}, à la pièce"))
    }

    fn by_the_kilogram(self, title: &str) -> String {
        self.0.pick(format!("{title}, by the kg"), format!("{title}, au kg"))
    }

    fn without_price(self, name: &str) -> String {
        self.0.pick(
            format!("{name} has no price here that could move so."),
            format!("« {name} » n’a pas ici de prix qui puisse bouger ainsi."),
        )
    }
}
