//! A site.

use chablon_model::{LabelRegime, Load, Site, Tray};

use super::page::Page;
use super::shape::sheet;

pub(super) fn site(site: &Site) -> String {
    let mut page = Page::default();
    page.text("id", &site.id);
    page.text("name", &site.name);
    page.list("groups", &site.groups);
    page.optional("time_zone", site.time_zone.as_ref());
    page.optional("language", site.language.as_ref());
    page.optional("label", site.label.map(LabelRegime::as_str));
    page.optional("currency", site.currency);
    page.optional("labour_rate", site.labour_rate);
    for scale in &site.scales {
        page.table("[[scale]]");
        page.text("name", &scale.name);
        page.text("capacity", scale.capacity);
        page.text("increment", scale.increment);
    }
    for equipment in &site.equipment {
        page.table("[[equipment]]");
        page.text("class", &equipment.class);
        page.text("capacity", equipment.capacity);
        if let Some(Load { trays, tray }) = equipment.load {
            page.raw("trays", trays);
            match tray {
                Tray::Pieces(pieces) => page.raw("tray_pieces", pieces),
                Tray::Sides(sides) => page.raw("tray", sheet(&sides)),
            }
        }
    }
    page.finish()
}
