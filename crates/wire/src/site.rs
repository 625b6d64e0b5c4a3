//! Sites.

use std::num::NonZeroU32;

use chablon_model::{Equipment, Load, Scale, Sheet, Site, SiteId, Tray};

use crate::form::{
    Wire, collect, distinct, list, optional, optional_code, optional_parsed, parsed, required,
    to_code, to_list, to_optional, to_text, words,
};
use crate::quantity::some;
use crate::recipe::refusal;
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
        pb::Equipment {
            class: self.class.to_string(),
            capacity: Some(self.capacity.to_pb()),
            trays: self.load.map_or(0, |load| load.trays.get()),
            tray: self.load.map(|load| tray_to_pb(load.tray)),
        }
    }

    fn from_pb(equipment: pb::Equipment) -> Result<Self, Violation> {
        Ok(Self {
            class: parsed(&equipment.class).at("class")?,
            capacity: some(equipment.capacity, "capacity")?,
            load: load(equipment.trays, equipment.tray)?,
        })
    }
}

fn tray_to_pb(tray: Tray) -> pb::equipment::Tray {
    match tray {
        Tray::Pieces(pieces) => pb::equipment::Tray::TrayPieces(pieces.get()),
        Tray::Sides(sides) => pb::equipment::Tray::TraySides(sides.to_pb()),
    }
}

fn load(trays: u32, tray: Option<pb::equipment::Tray>) -> Result<Option<Load>, Violation> {
    match (NonZeroU32::new(trays), tray) {
        (None, None) => Ok(None),
        (None, Some(_)) => Err(Violation::required().at("trays")),
        (Some(_), None) => Err(Violation::required().at("tray")),
        (Some(trays), Some(tray)) => {
            read_tray(tray).map(|tray| Some(Load { trays, tray })).at("tray")
        }
    }
}

fn read_tray(tray: pb::equipment::Tray) -> Result<Tray, Violation> {
    match tray {
        pb::equipment::Tray::TrayPieces(pieces) => {
            let pieces = NonZeroU32::new(pieces).ok_or_else(Violation::required);
            pieces.map(Tray::Pieces).at("tray_pieces")
        }
        pb::equipment::Tray::TraySides(sides) => {
            let sides: Sheet = required(Some(sides), "tray_sides")?;
            match sides.flaw() {
                Some(flaw) => Err(refusal(flaw).at("edge").at("tray_sides")),
                None => Ok(Tray::Sides(sides)),
            }
        }
    }
}
