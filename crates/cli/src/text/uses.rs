//! Where something is used, and who has it.

use chablon_model::DocumentKey;
use chablon_sdk::where_used::Use;
use owo_colors::{OwoColorize, Style};

use super::listing::{Listing, Side};
use crate::clock;

/// What uses it, kitchen by kitchen.
pub(crate) fn uses(uses: &[Use], lot: Option<&str>, width: usize) -> String {
    let head = lot.map_or_else(String::new, |lot| format!("{}\n", format!("Lot: {lot}").bold()));
    if uses.is_empty() {
        return format!("{head}Nothing that was in force then uses it.");
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
    format!("{head}{}", listing.render(width))
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
