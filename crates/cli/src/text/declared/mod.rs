//! What is in a recipe, as sheets.

mod allergens;
mod balance;
mod beside;
mod content;
mod reach;

use chablon_model::ControlRole;
use chablon_sdk::declare::control::{Need, Uncontrolled};
use chablon_sdk::declared::Declared;
use owo_colors::OwoColorize;

pub(super) use allergens::in_short;
pub(crate) use balance::balance_sheet;
pub(crate) use reach::allergen_reach;

use super::closing;
use super::listing::paragraph;
use super::names::Names;
use super::tongue::Tongue;

/// A declaration as a sheet: what can hurt someone first.
pub(crate) fn declaration_sheet(declared: &Declared, names: &Names<'_>, width: usize) -> String {
    let declaration = &declared.declaration;
    let tongue = names.tongue;
    let mut text = format!("{}\n", names.recipe(&declaration.recipe).bold());
    text += &closing::cautions(&declared.cautions, tongue, width);
    text += &closing::deviations(&declared.deviations, tongue, width);
    text += &section(tongue.pick("Allergens", "Allergènes"));
    text += &allergens::allergens(declaration, names, width);
    text += &section(tongue.pick("In 100 g", "Pour 100 g"));
    text += &content::content(declaration, names, width);
    text += &beside::declared(declaration, names, width);
    for label in &declaration.labels {
        text += &section(&content::label_title(label, tongue));
        text += &content::label(label, names, width);
    }
    for list in &declaration.lists {
        let title = tongue.pick("Ingredient list", "Liste d'ingrédients");
        text += &section(&format!("{title} ({})", list.language));
        text += &paragraph(&list.to_string(), INDENT, width);
        let findings =
            list.findings.iter().map(|one| paragraph(&format!("! {one}"), INDENT, width));
        text.extend(findings);
    }
    text += &named_by_title(declared, names, width);
    text += &control(declared, names, width);
    text += "\n";
    let own = declaration.cautions.iter().chain(&declared.control.cautions);
    text.extend(own.map(|one| paragraph(tongue.caution(one), 0, width)));
    text += &closing::basis(&declared.basis, tongue);
    text
}

/// Why a share stands in the lists that nobody asked for.
fn named_by_title(declared: &Declared, names: &Names<'_>, width: usize) -> String {
    let called_for = declared.declaration.named_by_title.iter().map(|id| names.ingredient(id));
    let called_for: Vec<&str> = called_for.collect();
    if called_for.is_empty() {
        return String::new();
    }
    let why = names.tongue.pick(
        "shares are stated of what the title names",
        "la part est indiquée de ce que nomme le titre",
    );
    let said = format!("{why}{} {}", names.tongue.colon(), called_for.join(", "));
    paragraph(&said, INDENT, width)
}

/// What stands below a section's title is set in by so much.
const INDENT: usize = 3;

fn section(title: &str) -> String {
    format!("\n{}\n", title.bold())
}

fn control(declared: &Declared, names: &Names<'_>, width: usize) -> String {
    let findings = &declared.control.findings;
    let title = names.tongue.pick("Control points", "Points de contrôle");
    let mut text = section(title);
    let sentence = |one: &chablon_sdk::declare::control::ControlFinding| {
        paragraph(&format!("! {}: {one}", one.severity.as_str()), INDENT, width)
    };
    text.extend(findings.iter().map(sentence));
    if findings.is_empty() {
        let none =
            ("nothing that is stated is beyond a limit", "rien de déclaré ne dépasse une limite");
        text += &paragraph(names.tongue.pick(none.0, none.1), INDENT, width);
    }
    text += &not_held(declared, names, width);
    text
}

/// Which recipes and which limits weren't looked at, and why.
fn not_held(declared: &Declared, names: &Names<'_>, width: usize) -> String {
    let mut text = String::new();
    for (recipe, need) in &declared.control.needs {
        if let Need::NotNeeded(why) = need {
            let label = names.tongue.pick("not held to limits", "non soumis aux limites");
            let why = uncontrolled(why, names.tongue);
            let said = format!("{label}{} {} ({why})", names.tongue.colon(), names.recipe(recipe));
            text += &paragraph(&said, INDENT, width);
        }
    }
    let open = declared.control.unchecked.iter().map(|role| limit_name(*role, names.tongue));
    let open: Vec<&str> = open.collect();
    if !open.is_empty() {
        let label = names.tongue.pick("no limit is published for", "aucune limite publiée pour");
        let said = format!("{label}{} {}", names.tongue.colon(), open.join(", "));
        text += &paragraph(&said, INDENT, width);
    }
    text
}

/// Why a recipe isn't held to limits.
fn uncontrolled(why: &Uncontrolled, tongue: Tongue) -> String {
    tongue.pick(
        why.to_string(),
        match why {
            Uncontrolled::Exempt(reason) => format!("plan du groupe{} {reason}", tongue.colon()),
            Uncontrolled::NoEggNoMilk => "ni œuf ni lait".to_owned(),
            Uncontrolled::Dry => "produit sec".to_owned(),
        },
    )
}

/// What a limit is for.
fn limit_name(role: ControlRole, tongue: Tongue) -> &'static str {
    let (english, french) = match role {
        ControlRole::CoolFirst => {
            ("the first stage of cooling", "la première phase de refroidissement")
        }
        ControlRole::CoolTotal => ("cooling in all", "le refroidissement en tout"),
        ControlRole::Hot => ("hot holding", "le maintien au chaud"),
        ControlRole::Cold => ("cold holding", "la conservation au froid"),
        ControlRole::Between => ("time between cold and hot", "le temps entre froid et chaud"),
        ControlRole::Egg => ("heating of egg", "le chauffage des œufs"),
        ControlRole::Chilled => ("life when chilled", "la durée de vie au froid"),
        ControlRole::Frozen => ("frozen storage", "le stockage surgelé"),
    };
    tongue.pick(english, french)
}
