//! The words of a plan.

use chablon_arith::TrayLoads;
use chablon_arith::geometry::OvenPlan;
use chablon_quantity::Exact;
use chablon_sdk::figures::{Component, Figure};

use super::super::tongue::{NO_BREAK, Tongue};

/// The words in a tongue.
#[derive(Clone, Copy, Debug)]
pub(super) struct Words(pub(super) Tongue);

impl Words {
    fn number(self, exact: &Exact) -> String {
        self.0.number(exact, 3)
    }

    fn plural(self, count: &Exact, one: &str, many: &str) -> String {
        let word = if *count == Exact::from(1) { one } else { many };
        format!("{}{NO_BREAK}{word}", self.number(count))
    }

    pub(super) fn pieces(self, count: &Exact) -> String {
        let (one, many) = self.0.pick(("piece", "pieces"), ("pièce", "pièces"));
        self.plural(count, one, many)
    }

    pub(super) fn batches(self, count: u64) -> String {
        let (one, many) = self.0.pick(("batch", "batches"), ("tournée", "tournées"));
        self.plural(&Exact::from(count), one, many)
    }

    pub(super) fn times_written(self, times: &Exact) -> String {
        let times = self.number(times);
        self.0.pick(format!("{times} times as written"), format!("{times} fois la recette"))
    }

    pub(super) fn written_batches(self, count: &Exact) -> String {
        let (one, many) = self.0.pick(
            ("batch as written", "batches as written"),
            ("recette complète", "recettes complètes"),
        );
        self.plural(count, one, many)
    }

    pub(super) fn on_hand(self, ingredient: &str, mass: &Exact) -> String {
        let mass = self.0.grams(mass);
        self.0.pick(
            format!("all that {mass} of {ingredient} makes"),
            format!("tout ce que donnent {mass} de « {ingredient} »"),
        )
    }

    /// What comes out of a recipe.
    pub(super) fn makes(self, net: &Figure, pieces: Option<&Figure>) -> String {
        let net = self.0.grams(net.exact());
        match pieces {
            Some(pieces) => format!("{} ({net})", self.pieces(pieces.exact())),
            None => net,
        }
    }

    /// One product among several: `40 pieces (2 200 g) of Honey loaf`.
    pub(super) fn of(self, title: &str, made: &str) -> String {
        self.0.pick(format!("{made} of {title}"), format!("{made} de « {title} »"))
    }

    /// What stands between two products.
    pub(super) fn then(self) -> &'static str {
        self.0.pick("; ", " ; ")
    }

    /// Shares of the base lines together.
    pub(super) fn bakers_percent(self) -> &'static str {
        self.0.pick("of base", "de la base")
    }

    pub(super) fn intro(self, site: Option<&str>, made: &str) -> String {
        let place = site.map_or(String::new(), |site| format!("{site}, "));
        let how = match (self.0, site) {
            (Tongue::English, Some(_)) => {
                "Work from top to bottom. Weights are for one batch, in grams as the scale shows them."
            }
            (Tongue::English, None) => {
                "Work from top to bottom. No kitchen was named, so weights are exact and no scale is chosen."
            }
            (Tongue::French, Some(_)) => {
                "À faire de haut en bas. Les pesées valent pour une tournée, en grammes tels que la balance les affiche."
            }
            (Tongue::French, None) => {
                "À faire de haut en bas. Sans cuisine nommée, les masses sont exactes et aucune balance n’est choisie."
            }
        };
        format!("{place}{made}. {how}")
    }

    /// The equipment that a batch is made in: ` (mixer, at most 12 000 g)`.
    pub(super) fn bowl(self, class: &str, capacity: &Exact) -> String {
        let capacity = self.0.grams(capacity);
        let at_most = self.0.pick("at most", "au plus");
        format!(" ({class}, {at_most} {capacity})")
    }

    /// How a component is split: `2 batches of 4 092.5 g each (mixer, at most 6 000 g), giving 120
    /// pieces (6 000 g) in all`.
    pub(super) fn split(self, component: &Component, bowl: &str) -> String {
        let batches = self.batches(component.batches);
        let each = component.input_g.exact() / Exact::from(component.batches);
        let made = self.makes(&component.net_g, component.pieces.as_ref());
        let each = self.0.grams(&each);
        match (self.0, component.batches) {
            (Tongue::English, 1) => format!("{batches} of {each}{bowl}, giving {made}"),
            (Tongue::English, _) => {
                format!("{batches} of {each} each{bowl}, giving {made} in all")
            }
            (Tongue::French, 1) => format!("{batches} de {each}{bowl}, soit {made}"),
            (Tongue::French, _) => {
                format!("{batches} de {each} chacune{bowl}, soit {made} en tout")
            }
        }
    }

    /// What pieces take: `oven: 5 trays of 24 pieces, 4 on the last; 2 loads of 3 trays, 2 in the
    /// last`.
    pub(super) fn trays(self, loads: &TrayLoads) -> String {
        let OvenPlan { per_tray, per_load, trays, last_tray, loads: all, last_load } = loads.oven;
        let pieces = |count: u64| self.pieces(&Exact::from(count));
        let on_last = self.0.pick("on the last", "sur la dernière");
        let in_last = self.0.pick("in the last", "dans la dernière");
        let trays = self.groups(
            &self.tray_count(trays),
            (trays == 1, last_tray == per_tray),
            (&pieces(per_tray), &pieces(last_tray)),
            &format!("{last_tray} {on_last}"),
        );
        let loads_of = self.groups(
            &self.load_count(all),
            (all == 1, last_load == per_load),
            (&self.tray_count(per_load), &self.tray_count(last_load)),
            &format!("{last_load} {in_last}"),
        );
        format!("{}{} {trays}{}{loads_of}", loads.equipment, self.0.colon(), self.then())
    }

    /// Groups of a full size, with what the last holds where it isn't full; one alone holds just
    /// that.
    fn groups(
        self,
        count: &str,
        (alone, full): (bool, bool),
        (size, last): (&str, &str),
        remark: &str,
    ) -> String {
        let (with, of) = self.0.pick(("with", "of"), ("avec", "de"));
        match (alone, full) {
            (true, _) => format!("{count} {with} {last}"),
            (false, true) => format!("{count} {of} {size}"),
            (false, false) => format!("{count} {of} {size}, {remark}"),
        }
    }

    fn tray_count(self, count: u64) -> String {
        let (one, many) = self.0.pick(("tray", "trays"), ("plaque", "plaques"));
        self.plural(&Exact::from(count), one, many)
    }

    fn load_count(self, count: u64) -> String {
        let (one, many) = self.0.pick(("load", "loads"), ("charge", "charges"));
        self.plural(&Exact::from(count), one, many)
    }

    /// The component that a line takes, with the place where it is made.
    pub(super) fn made_at(self, title: &str, number: usize) -> String {
        let short = self.0.pick("no.", "n°");
        format!("{title} ({short}{NO_BREAK}{number})")
    }

    pub(super) fn to_taste(self) -> &'static str {
        self.0.pick("to taste", "selon goût")
    }

    pub(super) fn weigh(self) -> &'static str {
        self.0.pick("weigh", "peser")
    }

    pub(super) fn scale(self) -> &'static str {
        self.0.pick("scale", "balance")
    }

    pub(super) fn exactly(self) -> &'static str {
        self.0.pick("exactly", "exactement")
    }

    pub(super) fn all_batches(self) -> &'static str {
        self.0.pick("all batches", "en tout")
    }

    pub(super) fn and_to_taste(self, name: &str) -> String {
        format!("{name} (+ {})", self.to_taste())
    }

    pub(super) fn all_ingredients(self) -> &'static str {
        self.0.pick("All ingredients, edible part", "Tous les ingrédients, partie comestible")
    }

    pub(super) fn below_minimum(self, batch: &Exact, minimum: &Exact) -> String {
        let (batch, minimum) = (self.0.grams(batch), self.0.grams(minimum));
        self.0.pick(
            format!("a batch of {batch} is below the {minimum} from which it turns out well: make more at once"),
            format!("une tournée de {batch} est en dessous des {minimum} à partir desquels la recette réussit : en faire plus à la fois"),
        )
    }

    pub(super) fn unexplained_loss(self) -> &'static str {
        self.0.pick(
            "the written yield and the stated losses disagree by more than 3 %: weigh what comes out",
            "le rendement écrit et les pertes indiquées diffèrent de plus de 3 % : peser ce qui est obtenu",
        )
    }

    pub(super) fn reads_zero(self, scale: &str) -> String {
        self.0.pick(
            format!("the scale `{scale}` shows nothing for so little"),
            format!("la balance « {scale} » n’affiche rien pour si peu"),
        )
    }

    pub(super) fn over_tolerance(self, error: &str, tolerance: &str) -> String {
        self.0.pick(
            format!("the reading is {error} off, where {tolerance} is allowed"),
            format!("l’affichage s’écarte de {error}, pour {tolerance} admis"),
        )
    }

    pub(super) fn finer_scale(self, increment: &str) -> String {
        self.0.pick(
            format!("weigh it on a scale with steps of {increment} or finer"),
            format!("peser sur une balance au pas de {increment} ou plus fin"),
        )
    }

    pub(super) fn larger_batch(self, times: &str) -> String {
        self.0.pick(
            format!("make {times} times as much in one batch"),
            format!("faire {times} fois plus en une tournée"),
        )
    }

    pub(super) fn pre_mix(self, mix: &PreMix<'_>) -> String {
        let PreMix { weigh, carrier_mass, carrier, take, less } = mix;
        self.0.pick(
            format!(
                "mix {weigh} of it with {carrier_mass} of {carrier}, weigh {take} of that mix for each batch, and take {less} less of {carrier}"
            ),
            format!(
                "en mélanger {weigh} avec {carrier_mass} de « {carrier} », peser {take} de ce mélange par tournée et retirer {less} de « {carrier} »"
            ),
        )
    }

    pub(super) fn or(self) -> &'static str {
        self.0.pick("; or ", " ; ou ")
    }

    pub(super) fn food_safety(self) -> &'static str {
        self.0.pick("Food safety:", "Sécurité sanitaire :")
    }
}

/// A mix from which a small amount is weighed.
pub(super) struct PreMix<'a> {
    pub(super) weigh: String,
    pub(super) carrier_mass: String,
    pub(super) carrier: &'a str,
    pub(super) take: String,
    /// How much less the carrier's own line takes.
    pub(super) less: String,
}
