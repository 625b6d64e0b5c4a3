//! What a plan costs and what to order for it.

mod order;
mod table;
mod words;

use chablon_sdk::figures::{Costing, Figure, Plan};
use owo_colors::{OwoColorize, Style};

use super::closing;
use super::listing::{paragraph, styled};
use super::names::Names;
use super::plan::{made, titles};
use words::Words;

/// The price that a share of food cost asks for.
#[derive(Clone, Debug)]
pub(crate) struct PriceForShare {
    /// The share in per cent.
    pub(crate) percent: chablon_quantity::Exact,
    /// For all that is made.
    pub(crate) total: Figure,
    /// For one piece, where pieces are made.
    pub(crate) per_piece: Option<Figure>,
    /// For a net kilogram.
    pub(crate) per_kg: Figure,
}

/// A plan with what it costs.
#[derive(Debug)]
pub(crate) struct Costed<'a> {
    pub(crate) plan: &'a Plan,
    pub(crate) costing: &'a Costing,
    pub(crate) for_share: Option<&'a PriceForShare>,
}

/// The cost of a plan as a sheet.
pub(crate) fn cost_sheet(costed: &Costed<'_>, names: &Names<'_>, width: usize) -> String {
    let Costed { costing, .. } = costed;
    let words = Words(names.tongue);
    let mut text = head(costed, names, width);
    text += "\n";
    text += &table::table(costed, names, width);
    text += &notes(costing, names, width);
    if !costing.order.is_empty() {
        text += "\n";
        text += &words.to_order().bold().to_string();
        text += "\n";
        text += &order::order(costing, names, width);
    }
    text += "\n";
    text += &closing::basis(&costing.basis, names.tongue);
    text
}

fn head(costed: &Costed<'_>, names: &Names<'_>, width: usize) -> String {
    let Costed { plan, costing, .. } = costed;
    let words = Words(names.tongue);
    let made = made(plan, names);
    let site = names.site_name(&costing.site);
    let intro = words.intro(site, &made, &costing.on.to_string(), costing.currency.code());
    let cautions = closing::cautions(&costing.cautions, names.tongue, width);
    let deviations = closing::deviations(&costing.deviations, names.tongue, width);
    format!("{}{}{cautions}{deviations}", titles(plan, names), paragraph(&intro, 0, width))
}

/// What has to be known about the sums.
fn notes(costing: &Costing, names: &Names<'_>, width: usize) -> String {
    let words = Words(names.tongue);
    let mut text = String::new();
    if !costing.is_complete() {
        let missing: Vec<String> =
            costing.missing.iter().map(|one| words.missing(one, names)).collect();
        let sentence = words.incomplete(&missing);
        text += &styled(&format!("! {sentence}"), table::INDENT, width, Style::new().yellow());
    }
    if table::column_differs(costing) {
        text += &paragraph(words.rounded_apart(), table::INDENT, width);
    }
    text
}
