//! Sums as JSON.

use chablon_arith::about::About;
use serde_json::{Map, Value as Json, json};

use super::{Reckoned, Value};
use crate::figures::json::{basis, list, text};

impl Reckoned {
    /// The sum as JSON: its results under `figures`, by their keys.
    ///
    /// A result that is a root has its `square` exactly, and `exact` only where it is rational.
    pub fn to_json(&self) -> Json {
        let entries = self.entries.iter();
        let figures: Map<String, Json> =
            entries.map(|entry| (entry.key.clone(), value(&entry.value))).collect();
        json!({
            "reckoned": self.what,
            "figures": figures,
            "about": list(&self.about, about),
            "caution": self.caution,
            "basis": basis(&self.basis),
        })
    }
}

fn value(value: &Value) -> Json {
    match value {
        Value::Figure(figure) => figure.to_json(),
        Value::Count(count) => json!(count),
        Value::Words(words) => json!(words),
        Value::Root(root, decimals) => json!({
            "exact": root.exact().map(|exact| text(&exact)),
            "square": text(root.square()),
            "rounded": text(&root.round(*decimals)),
        }),
    }
}

fn about(about: &About) -> Json {
    json!({"rule": about.rule, "source": about.source, "range": about.range})
}
