//! The standard unit cost of pieces at each site.

use chablon_arith::{PriceBook, StandardCost, standard_costs};
use chablon_model::{Day, RecipeId, Site, SiteId};
use chablon_quantity::{Currency, Exact};

use crate::compare::sink::Sink;
use crate::compare::{Compared, Side};
use crate::edition::both;
use crate::{Cost, CostUnit, Pair, UnitFigure, What};

/// Unit costs are compared as they are shown: to 0.0001 of the currency.
const DECIMALS: u32 = 4;

/// The standard unit costs of all recipes at the sites that both sides have.
pub(super) struct Costs<'a> {
    sides: Pair<&'a Side<'a>>,
    at_sites: Vec<(&'a SiteId, Pair<AtSite>)>,
}

/// All unit costs of one side at one site.
struct AtSite {
    currency: Currency,
    costs: Vec<Option<StandardCost>>,
}

impl<'a> Costs<'a> {
    pub(super) fn of(compared: &'a Compared<'a>) -> Self {
        let sides = compared.sides.as_ref();
        let of = |(id, sites): (&'a SiteId, Pair<Option<&'a Site>>)| {
            let before = AtSite::of(sides.before, sites.before?, compared.day)?;
            let after = AtSite::of(sides.after, sites.after?, compared.day)?;
            Some((id, Pair::new(before, after)))
        };
        let kitchens = both(sides.map(|side| &side.edition.sites));
        Self { sides, at_sites: kitchens.into_iter().filter_map(of).collect() }
    }

    /// What a piece costs otherwise. Where it can't be computed, that is said elsewhere.
    pub(super) fn compare(&self, piece: &RecipeId, sink: &mut Sink<'_>) {
        for (site, costs) in &self.at_sites {
            let before = costs.before.unit(self.sides.before, piece);
            let after = costs.after.unit(self.sides.after, piece);
            let Some(unit) = Pair::new(before, after).both() else { continue };
            if shown(&unit.before) != shown(&unit.after) {
                sink.add(What::Cost(Cost { site: (*site).clone(), unit }));
            }
        }
    }
}

fn shown(unit: &UnitFigure) -> impl PartialEq + use<> {
    (unit.of, unit.currency, unit.complete, unit.amount.round(DECIMALS))
}

impl AtSite {
    fn of(side: &Side<'_>, kitchen: &Site, day: Day) -> Option<Self> {
        let currency = side.edition.settings.map(|book| book.currency).or(kitchen.currency)?;
        let lists = side.edition.prices.values().copied();
        let prices = PriceBook::of_site(kitchen, currency, lists);
        let costs = standard_costs(side.declarer.book(), &prices, day);
        Some(Self { currency: prices.currency(), costs })
    }

    fn unit(&self, side: &Side<'_>, piece: &RecipeId) -> Option<UnitFigure> {
        let index = side.declarer.book().find_recipe(piece)?;
        let StandardCost { per_gram, per_piece, complete, .. } = self.costs[index.0].as_ref()?;
        let (of, amount) = match per_piece {
            Some(piece) => (CostUnit::Piece, piece.clone()),
            None => (CostUnit::Kilogram, per_gram * Exact::from(1000)),
        };
        Some(UnitFigure { of, amount, currency: self.currency, complete: *complete })
    }
}
