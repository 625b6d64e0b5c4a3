//! What a site weighs and makes with, as numbers.

use std::collections::BTreeMap;

use chablon_model::{EquipmentClass, Load, Site};
use chablon_quantity::{Exact, Grams};

/// A scale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScaleKit {
    /// What the kitchen calls it.
    pub name: String,
    /// Grams that it weighs at most.
    pub capacity: Exact,
    /// Grams of one step of its reading.
    pub increment: Exact,
}

/// A site's scales, the capacities of its equipment and its trays.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SiteKit {
    /// The scales, in the written order.
    pub scales: Vec<ScaleKit>,
    /// The most input that one batch may have, by class of equipment.
    pub capacities: BTreeMap<EquipmentClass, Exact>,
    /// The trays of one load, by class of equipment that takes trays.
    pub loads: BTreeMap<EquipmentClass, Load>,
}

impl From<&Site> for SiteKit {
    /// Of several pieces of equipment of one class the largest bounds a batch.
    fn from(site: &Site) -> Self {
        let scales = site.scales.iter().map(|scale| ScaleKit {
            name: scale.name.clone(),
            capacity: scale.capacity.quantity().grams(),
            increment: scale.increment.quantity().grams(),
        });
        let mut capacities = BTreeMap::new();
        for equipment in &site.equipment {
            let capacity = equipment.capacity.quantity().grams();
            let largest = capacities.entry(equipment.class.clone()).or_insert(capacity.clone());
            if capacity > *largest {
                *largest = capacity;
            }
        }
        let loads = site.equipment.iter().filter_map(|one| Some((one.class.clone(), one.load?)));
        Self { scales: scales.collect(), capacities, loads: loads.collect() }
    }
}
