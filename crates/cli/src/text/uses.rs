//! Where something is used, and who has it.

use chablon_model::DocumentKey;
use chablon_sdk::lots::StoredLotNote;
use chablon_sdk::where_used::Use;
use owo_colors::{OwoColorize, Style};

use super::listing::{Listing, Side, paragraph};
use crate::clock;

/// What uses it, kitchen by kitchen.
pub(crate) fn uses(uses: &[Use], width: usize) -> String {
    if uses.is_empty() {
        return "Nothing that was in force then uses it.".to_owned();
    }
    let mut listing = Listing::new(0, [Side::Left; 4]);
    listing.head(["kitchen", "recipe", "in force", "by way of"]);
    for one in uses {
        let recipe = format!("{}, revision {}", one.revision.key.id, one.revision.number);
        let way: Vec<String> = one.path.iter().skip(1).map(short).collect();
        let cells = [one.site.to_string(), recipe, time(one), way.join(" -> ")];
        let style = one.deviation.as_ref().map_or_else(Style::new, |_| Style::new().magenta());
        listing.styled(cells, style);
        let deviation = one.deviation.as_ref().map(|id| format!("~ by deviation {id}"));
        listing.remark_if_any(deviation);
    }
    listing.render(width)
}

/// What kitchens noted of a lot, above what uses it.
pub(crate) fn lot(lot: &str, notes: &[StoredLotNote], width: usize) -> String {
    let head = format!("{}\n", format!("Lot: {lot}").bold());
    if notes.is_empty() {
        return format!("{head}{}", paragraph("No kitchen has noted it.", 0, width));
    }
    let mut listing = Listing::new(0, [Side::Left; 5]);
    listing.head(["kitchen", "noted", "on", "of", "by"]);
    for StoredLotNote { note, .. } in notes {
        let by = note.supplier.as_ref().map(|one| format!(" from {one}")).unwrap_or_default();
        let of = format!("{}{by}", note.ingredient);
        let event = note.event.as_str().to_owned();
        listing.row([note.site.to_string(), event, clock::show(note.at), of, note.author.clone()]);
    }
    let caution = "A kitchen that noted nothing may have had it all the same: every use is listed.";
    format!("{head}{}{}", listing.render(width), paragraph(caution, 0, width))
}

fn time(one: &Use) -> String {
    let from = clock::show(one.from);
    match one.until {
        Some(until) => format!("from {from} until {}", clock::show(until)),
        None => format!("since {from}"),
    }
}

fn short(key: &DocumentKey) -> String {
    key.id.to_string()
}
