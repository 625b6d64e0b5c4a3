//! Ids across the book: given once, used where they name something, and never in a circle.

use std::collections::BTreeMap;

use super::cycles;
use crate::read::notes::{Mention, Named, Notes};
use crate::suggest::nearest;
use crate::{Finding, Span};

/// Notes every id that is given twice, names nothing, or leads back to itself.
pub(crate) fn check_names(notes: &Notes) {
    for named in [Named::Ingredient, Named::Recipe, Named::Site] {
        check_twice(notes, named);
    }
    check_used(notes);
    for named in [Named::Ingredient, Named::Recipe] {
        check_circles(notes, named);
    }
}

fn check_twice(notes: &Notes, named: Named) {
    let mut first: BTreeMap<&str, Span> = BTreeMap::new();
    let declared = notes.declared.borrow();
    for mention in declared.iter().filter(|mention| mention.named == named) {
        let Some(earlier) = first.get(mention.id.as_str()) else {
            first.insert(&mention.id, mention.span);
            continue;
        };
        let message = format!("two {}s have the id `{}`", named.noun(), mention.id);
        notes.note(
            Finding::error("duplicate-id", message)
                .at(mention.span, "again")
                .at(*earlier, "the first")
                .hint("give one of them another id"),
        );
    }
}

/// What the book declares, by id.
struct Declared(BTreeMap<Named, BTreeMap<String, Span>>);

impl Declared {
    fn of(notes: &Notes) -> Self {
        let kinds = [Named::Ingredient, Named::Recipe, Named::Site, Named::Equipment];
        Self(kinds.into_iter().map(|named| (named, notes.declared_ids(named))).collect())
    }

    fn has(&self, named: Named, id: &str) -> bool {
        self.0.get(&named).is_some_and(|ids| ids.contains_key(id))
    }

    fn nearest(&self, named: Named, id: &str) -> Option<&str> {
        nearest(id, self.0.get(&named)?.keys().map(String::as_str))
    }
}

fn check_used(notes: &Notes) {
    let declared = Declared::of(notes);
    let unread = notes.unread.borrow();
    for mention in notes.used.borrow().iter() {
        // A broken file may declare what is missing.
        if declared.has(mention.named, &mention.id) || unread.contains(&mention.named) {
            continue;
        }
        match mention.named {
            Named::Equipment => {
                if !declared.0[&Named::Site].is_empty() {
                    notes.note(no_site_has(mention, &declared));
                }
            }
            _ => notes.note(unknown(mention, &declared)),
        }
    }
}

fn no_site_has(mention: &Mention, declared: &Declared) -> Finding {
    let message = format!("no site has equipment of the class `{}`", mention.id);
    let hint = match declared.nearest(Named::Equipment, &mention.id) {
        Some(class) => format!("did you mean `{class}`?"),
        None => "add an `[[equipment]]` of this class to a site, or no batch is bounded by it"
            .to_owned(),
    };
    Finding::warning("unknown-equipment", message).at(mention.span, "at no site").hint(hint)
}

fn unknown(mention: &Mention, declared: &Declared) -> Finding {
    let (named, id) = (mention.named, &mention.id);
    let other = match named {
        Named::Ingredient => Some(Named::Recipe),
        Named::Recipe => Some(Named::Ingredient),
        Named::Site | Named::Equipment => None,
    };
    if let Some(other) = other.filter(|other| declared.has(*other, id)) {
        return confused(mention, other);
    }
    let finding =
        Finding::error(code_of(named), format!("the book has no {} `{id}`", named.noun()))
            .at(mention.span, "not known");
    finding.hint(match declared.nearest(named, id) {
        Some(known) => format!("did you mean `{known}`?"),
        None => declare(named).to_owned(),
    })
}

fn code_of(named: Named) -> &'static str {
    match named {
        Named::Ingredient => "unknown-ingredient",
        Named::Recipe => "unknown-recipe",
        Named::Site => "unknown-site",
        Named::Equipment => "unknown-equipment",
    }
}

fn declare(named: Named) -> &'static str {
    match named {
        Named::Ingredient => "declare it with `[[ingredient]]` in a file of the folder ingredients",
        Named::Recipe => "write its recipe in a file of the folder recipes",
        Named::Site => "describe it in a file of the folder sites",
        Named::Equipment => "add it to a site",
    }
}

fn confused(mention: &Mention, is: Named) -> Finding {
    let (id, key) = (&mention.id, if is == Named::Recipe { "component" } else { "ingredient" });
    let article = |named: Named| if named == Named::Ingredient { "an" } else { "a" };
    let message = format!(
        "`{id}` is {} {}, not {} {}",
        article(is),
        is.noun(),
        article(mention.named),
        mention.named.noun()
    );
    Finding::error("wrong-kind", message)
        .at(mention.span, format!("{} {}", article(is), is.noun()))
        .hint(if is == Named::Recipe && in_recipe(mention) || is == Named::Ingredient {
            format!("write `{key} = \"{id}\"`")
        } else {
            "only what is bought can stand here".to_owned()
        })
}

fn in_recipe(mention: &Mention) -> bool {
    let kind = mention.within.as_ref().map(|key| key.kind);
    kind == Some(chablon_model::DocumentKind::Recipe)
}

/// Ingredients made of each other, or recipes that use each other.
fn check_circles(notes: &Notes, named: Named) {
    let used = notes.used.borrow();
    let links: Vec<(&str, &Mention)> = (used.iter())
        .filter(|mention| mention.named == named)
        .filter_map(|mention| Some((owner(mention, named)?, mention)))
        .collect();
    let mut leads_to: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (from, mention) in &links {
        leads_to.entry(from).or_default().push(&mention.id);
    }
    for circle in cycles(&leads_to) {
        notes.note(in_circle(&circle, &links, named));
    }
}

/// The id of the document in which a mention stands, where it is of the kind that is mentioned.
fn owner(mention: &Mention, named: Named) -> Option<&str> {
    let key = mention.within.as_ref()?;
    (key.kind.as_str() == named.noun()).then(|| key.id.as_str())
}

fn in_circle(circle: &[&str], links: &[(&str, &Mention)], named: Named) -> Finding {
    let (code, verb, hint) = match named {
        Named::Ingredient => (
            "compound-cycle",
            "is made of",
            "a compound ingredient can't be made of itself, directly or by way of others",
        ),
        _ => (
            "component-cycle",
            "uses",
            "a recipe can't be a component of itself, directly or by way of others",
        ),
    };
    let message = round(circle, verb);
    let next = circle.iter().skip(1).chain(circle.first());
    let edges = circle.iter().zip(next);
    let labelled = |finding: Finding, (from, to): (&&str, &&str)| {
        let link = links.iter().find(|(owner, mention)| owner == from && mention.id == **to);
        match link {
            Some((_, mention)) => finding.at(mention.span, format!("`{from}` {verb} this")),
            None => finding,
        }
    };
    edges.fold(Finding::error(code, message), labelled).hint(hint)
}

/// `` `a` uses `b`, which uses `a` ``.
fn round(circle: &[&str], verb: &str) -> String {
    let start = circle.first().map_or(String::new(), |id| format!("`{id}` {verb} "));
    let rest = circle.iter().skip(1).map(|id| format!("`{id}`, which {verb} "));
    let end = circle.first().map(|id| format!("`{id}`"));
    start + &rest.chain(end).collect::<String>()
}
