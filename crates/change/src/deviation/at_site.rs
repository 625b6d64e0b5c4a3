//! What a site makes otherwise, of what one standard uses.

use std::collections::BTreeMap;
use std::fmt;

use chablon_model::{
    Closure, Day, Deviation, DeviationId, DeviationStanding, DocumentKind, Moment, Recipe,
    RecipeId, RevisionRef, SiteId,
};

use super::lay::{LeftOut, WhyNot, lay_over};
use crate::{Edition, departure_words};

/// How long a kitchen is told that a deviation has fallen away: 14 days.
const TOLD_FOR_MS: i64 = 14 * 24 * 60 * 60 * 1000;

/// What a site makes otherwise, of all that one standard uses.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AtSite {
    /// The recipes, as the site makes them.
    pub recipes: BTreeMap<RecipeId, Recipe>,
    /// The deviations that lie over them, in the order in which they were granted.
    pub laid: Vec<Laid>,
    /// The deviations that don't, of which the kitchen must be told.
    pub notices: Vec<Notice>,
}

/// A deviation that lies over a standard, as whoever makes it is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Laid {
    /// Its id.
    pub id: DeviationId,
    /// The recipe that it departs from.
    pub recipe: RecipeId,
    /// What is made otherwise, a sentence without a full stop for each departure.
    pub departures: Vec<String>,
    /// When it falls away.
    pub until: Moment,
    /// Who granted it.
    pub by: String,
    /// What the site must know.
    pub note: Option<String>,
}

/// A deviation that doesn't lie over a standard, though the kitchen may think so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// Its id.
    pub id: DeviationId,
    /// The recipe that it is of.
    pub recipe: RecipeId,
    /// Why: a sentence without a full stop.
    pub why: String,
}

/// Lays the deviations of a site over what a standard uses.
///
/// `references` are the revisions of the closure, which also holds whatever a deviation takes
/// instead. Prices are not looked at: what it costs is for the costing to say.
pub fn at_site(
    closure: &Closure,
    references: &[RevisionRef],
    site: &SiteId,
    deviations: &[Deviation],
    at: Moment,
) -> AtSite {
    let recipes = references.iter().filter(|one| one.key.kind == DocumentKind::Recipe);
    let standards: BTreeMap<RecipeId, RevisionRef> =
        recipes.map(|one| (RecipeId::from(&one.key.id), one.clone())).collect();
    let concerned: Vec<Deviation> =
        deviations.iter().filter(|one| standards.contains_key(&one.recipe())).cloned().collect();
    let edition = Edition::of_closure(closure);
    let overlay = lay_over(&edition, &standards, site, &concerned, (at, any_day()));
    AtSite {
        laid: overlay.laid.iter().map(|(one, _)| Laid::of(one)).collect(),
        notices: overlay.left_out.iter().filter_map(|one| notice(one, at)).collect(),
        recipes: overlay.recipes,
    }
}

/// A day for a comparison without prices, where it decides nothing.
fn any_day() -> Day {
    Day::new(1970, 1, 1).expect("a constant day")
}

fn notice(left_out: &LeftOut<'_>, at: Moment) -> Option<Notice> {
    let LeftOut { deviation, why } = left_out;
    let told = match why {
        WhyNot::Standing(DeviationStanding::Expired) => {
            at.0.saturating_sub(deviation.until.0) < TOLD_FOR_MS
        }
        WhyNot::Standing(_) => false,
        _ => true,
    };
    told.then(|| Notice {
        id: deviation.id.clone(),
        recipe: deviation.recipe(),
        why: why.to_string(),
    })
}

impl fmt::Display for Notice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { id, recipe, why } = self;
        write!(f, "deviation `{id}` doesn't lie over `{recipe}`: {why}")
    }
}

impl Laid {
    /// What whoever makes it is told of a deviation.
    pub fn of(deviation: &Deviation) -> Self {
        let grant = deviation.decision.granted();
        Self {
            id: deviation.id.clone(),
            recipe: deviation.recipe(),
            departures: deviation.departures.iter().map(departure_words).collect(),
            until: deviation.until,
            by: grant.map(|grant| grant.by.clone()).unwrap_or_default(),
            note: grant.and_then(|grant| grant.note.clone()),
        }
    }
}
