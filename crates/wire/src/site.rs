//! Sites.

use chablon_model::{Equipment, Scale, Site, SiteId};

use crate::form::{
    Wire, collect, distinct, list, optional, optional_code, optional_parsed, parsed, to_code,
    to_list, to_optional, to_text, words,
};
use crate::quantity::some;
use crate::{At, Violation, pb};

/// The form of a site without its id, which is the revision's.
pub(crate) fn to_pb(site: &Site) -> pb::Site {
    pb::Site {
        name: site.name.clone(),
        groups: site.groups.iter().map(ToString::to_string).collect(),
        language: to_text(site.language.as_ref()),
        label: to_code(site.label),
        currency: to_text(site.currency.as_ref()),
        labour_rate: to_optional(site.labour_rate.as_ref()),
        scales: to_list(&site.scales),
        equipment: to_list(&site.equipment),
        time_zone: to_text(site.time_zone.as_ref()),
    }
}

/// The site of an id.
pub(crate) fn from_pb(id: SiteId, site: pb::Site) -> Result<Site, Violation> {
    let groups = collect(site.groups, "groups", |group| parsed(&group))?;
    distinct(&groups, "groups")?;
    Ok(Site {
        id,
        name: words(site.name, "name")?,
        groups,
        language: optional_parsed(&site.language, "language")?,
        label: optional_code(site.label, "label")?,
        currency: optional_parsed(&site.currency, "currency")?,
        labour_rate: optional(site.labour_rate, "labour_rate")?,
        scales: list(site.scales, "scales")?,
        equipment: list(site.equipment, "equipment")?,
        time_zone: optional_parsed(&site.time_zone, "time_zone")?,
    })
}

impl Wire for Scale {
    type Pb = pb::Scale;

    fn to_pb(&self) -> pb::Scale {
        pb::Scale {
            name: self.name.clone(),
            capacity: Some(self.capacity.to_pb()),
            increment: Some(self.increment.to_pb()),
        }
    }

    fn from_pb(scale: pb::Scale) -> Result<Self, Violation> {
        let scale = Self {
            name: words(scale.name, "name")?,
            capacity: some(scale.capacity, "capacity")?,
            increment: some(scale.increment, "increment")?,
        };
        if scale.increment.quantity() > scale.capacity.quantity() {
            return Err(Violation::new("must be at most the capacity").at("increment"));
        }
        Ok(scale)
    }
}

impl Wire for Equipment {
    type Pb = pb::Equipment;

    fn to_pb(&self) -> pb::Equipment {
        pb::Equipment { class: self.class.to_string(), capacity: Some(self.capacity.to_pb()) }
    }

    fn from_pb(equipment: pb::Equipment) -> Result<Self, Violation> {
        Ok(Self {
            class: parsed(&equipment.class).at("class")?,
            capacity: some(equipment.capacity, "capacity")?,
        })
    }
}
