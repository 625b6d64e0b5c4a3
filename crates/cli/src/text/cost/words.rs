//! The words of a cost.

use chablon_model::IngredientId;
use chablon_quantity::Exact;
use chablon_sdk::figures::Missing;

use super::super::names::Names;
use super::super::tongue::{NO_BREAK, Tongue};
use super::table::LABOUR_RATE;

/// The words in a tongue.
#[derive(Clone, Copy, Debug)]
pub(super) struct Words(pub(super) Tongue);

impl Words {
    pub(super) fn intro(self, site: &str, made: &str, day: &str, currency: &str) -> String {
        self.0.pick(
            format!("{site}, {made}. Prices of {day}, sums in {currency}."),
            format!("{site}, {made}. Prix du {day}, sommes en {currency}."),
        )
    }

    pub(super) fn used(self) -> &'static str {
        self.0.pick("used", "employé")
    }

    pub(super) fn purchased(self) -> &'static str {
        self.0.pick("purchased", "acheté")
    }

    pub(super) fn price(self) -> &'static str {
        self.0.pick("price", "prix")
    }

    pub(super) fn cost(self) -> &'static str {
        self.0.pick("cost", "coût")
    }

    pub(super) fn to_taste(self) -> &'static str {
        self.0.pick("to taste", "selon goût")
    }

    pub(super) fn not_counted(self) -> &'static str {
        self.0.pick("not counted", "non compté")
    }

    pub(super) fn no_price(self) -> &'static str {
        self.0.pick("no price", "sans prix")
    }

    pub(super) fn pack(self, price: &str, currency: &str, pack: &str) -> String {
        self.0.pick(
            format!("{price}{NO_BREAK}{currency} for {pack}"),
            format!("{price}{NO_BREAK}{currency} les {pack}"),
        )
    }

    pub(super) fn food(self) -> &'static str {
        self.0.pick("Food", "Matières")
    }

    pub(super) fn labour(self, seconds: &Exact) -> String {
        let minutes = (seconds / Exact::from(60)).round(0).exact();
        let hours = (&minutes / Exact::from(60)).floor();
        let rest = &minutes - &hours * Exact::from(60);
        let time = if hours.is_positive() {
            format!("{hours}{NO_BREAK}h {rest}{NO_BREAK}min")
        } else {
            format!("{rest}{NO_BREAK}min")
        };
        self.0.pick(format!("Labour, {time}"), format!("Main-d’œuvre, {time}"))
    }

    pub(super) fn total(self) -> &'static str {
        self.0.pick("Food and labour", "Matières et main-d’œuvre")
    }

    pub(super) fn per_piece(self) -> &'static str {
        self.0.pick("by the piece", "à la pièce")
    }

    pub(super) fn per_kg(self) -> &'static str {
        self.0.pick("by the net kilogram", "au kilogramme net")
    }

    /// A sum of what is known, where something isn't.
    pub(super) fn at_least(self, label: &str) -> String {
        self.0.pick(format!("{label}, at least"), format!("{label}, au moins"))
    }

    pub(super) fn for_share(self, percent: &Exact) -> String {
        let share = self.0.percent(percent);
        self.0.pick(
            format!("Price at which food is {share} of it"),
            format!("Prix dont les matières font {share}"),
        )
    }

    pub(super) fn missing(self, missing: &Missing, names: &Names<'_>) -> String {
        match (self.0, missing.key.as_str()) {
            (Tongue::English, _) => missing.text.clone(),
            (Tongue::French, LABOUR_RATE) => {
                "le temps de main-d’œuvre n’a pas de taux horaire".to_owned()
            }
            (Tongue::French, id) => {
                let id: Option<IngredientId> = id.parse().ok();
                let name = id.as_ref().map_or(missing.key.as_str(), |id| names.ingredient(id));
                format!("« {name} » n’a pas de prix utilisable à cette date")
            }
        }
    }

    pub(super) fn incomplete(self, missing: &[String]) -> String {
        let list = missing.join(self.0.pick("; ", " ; "));
        self.0.pick(
            format!("Not complete: {list}. What is marked “at least” is a lower bound."),
            format!("Incomplet : {list}. Ce qui est marqué « au moins » est un minimum."),
        )
    }

    pub(super) fn rounded_apart(self) -> &'static str {
        self.0.pick(
            "Each line is rounded by itself and each sum once, so the last digit of a sum may differ.",
            "Chaque ligne est arrondie à part et chaque somme une seule fois : le dernier chiffre d’une somme peut différer.",
        )
    }

    pub(super) fn to_order(self) -> &'static str {
        self.0.pick("To order, in whole packs", "À commander, en conditionnements entiers")
    }

    pub(super) fn packs(self) -> &'static str {
        self.0.pick("packs", "nombre")
    }

    pub(super) fn of(self) -> &'static str {
        self.0.pick("of", "de")
    }

    pub(super) fn supplier(self) -> &'static str {
        self.0.pick("supplier", "fournisseur")
    }

    pub(super) fn list(self) -> &'static str {
        self.0.pick("list", "tarif")
    }

    pub(super) fn since(self) -> &'static str {
        self.0.pick("price since", "prix depuis")
    }

    pub(super) fn order_total(self) -> &'static str {
        self.0.pick("The order", "La commande")
    }
}
