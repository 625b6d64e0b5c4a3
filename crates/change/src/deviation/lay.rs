//! Which deviations lie over a site's standards at a moment.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use chablon_model::{
    Day, Deviation, DeviationId, DeviationStanding, Moment, Recipe, RecipeId, RevisionRef, SiteId,
};

use super::apply::Spot;
use super::assess::{Assessment, Objection, assess};
use super::error::CannotApply;
use crate::Edition;

/// A site's standards with the deviations that lie over them.
#[derive(Clone, Debug, Default)]
pub struct Overlay<'d> {
    /// The recipes that the site makes otherwise than the standard says.
    pub recipes: BTreeMap<RecipeId, Recipe>,
    /// The deviations that lie over them, each with what it means over those before it.
    pub laid: Vec<(&'d Deviation, Assessment)>,
    /// The site's other deviations, and why each doesn't.
    pub left_out: Vec<LeftOut<'d>>,
}

/// A deviation that doesn't lie over the standard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut<'d> {
    /// The deviation.
    pub deviation: &'d Deviation,
    /// Why.
    pub why: WhyNot,
}

/// Why a deviation doesn't lie over the standard. Shown as a sentence without a full stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WhyNot {
    /// It isn't granted, or not for now.
    Standing(DeviationStanding),
    /// The standard beneath it is another, or none.
    OtherStandard {
        /// The standard in force.
        now: Option<RevisionRef>,
    },
    /// An earlier one departs in the same place.
    Overlaps(DeviationId),
    /// It can't.
    CannotApply(CannotApply),
    /// It may not.
    Objections(Vec<Objection>),
}

/// Lays a site's deviations over its standards at a moment, in the order in which they were
/// granted.
///
/// The edition holds the standards in force at the site, of which `standards` names the
/// revisions. One that is granted without a word on what can hurt someone doesn't pass: neither
/// here nor when the standards below it change.
pub fn lay_over<'d>(
    edition: &Edition<'_>,
    standards: &BTreeMap<RecipeId, RevisionRef>,
    site: &SiteId,
    deviations: &'d [Deviation],
    (at, day): (Moment, Day),
) -> Overlay<'d> {
    let mut own: Vec<&Deviation> = deviations.iter().filter(|one| one.site == *site).collect();
    own.sort_by_key(|one| (one.decision.at(), one.id.clone()));
    let mut overlay = Overlay::default();
    for deviation in own {
        match overlay.assessed(edition, standards, deviation, (at, day)) {
            Ok(assessment) => overlay.lay(deviation, assessment),
            Err(why) => overlay.left_out.push(LeftOut { deviation, why }),
        }
    }
    overlay
}

impl<'d> Overlay<'d> {
    /// The edition with its recipes as the site makes them.
    pub fn over<'e>(&'e self, edition: &Edition<'e>) -> Edition<'e> {
        self.recipes.values().fold(edition.clone(), Edition::with_recipe)
    }

    fn lay(&mut self, deviation: &'d Deviation, assessment: Assessment) {
        self.recipes.insert(deviation.recipe(), assessment.recipe.clone());
        self.laid.push((deviation, assessment));
    }

    fn assessed(
        &self,
        edition: &Edition<'_>,
        standards: &BTreeMap<RecipeId, RevisionRef>,
        deviation: &Deviation,
        (at, day): (Moment, Day),
    ) -> Result<Assessment, WhyNot> {
        let standing = deviation.standing(at);
        let grant = deviation.decision.granted();
        let grant = grant.filter(|_| standing == DeviationStanding::InForce);
        let grant = grant.ok_or(WhyNot::Standing(standing))?;
        let now = standards.get(&deviation.recipe());
        if now != Some(&deviation.based_on) {
            return Err(WhyNot::OtherStandard { now: now.cloned() });
        }
        if let Some(other) = self.overlapping(deviation) {
            return Err(WhyNot::Overlaps(other.clone()));
        }
        let assessment =
            assess(deviation, &self.over(edition), day).map_err(WhyNot::CannotApply)?;
        let objections = assessment.objections(grant);
        if objections.is_empty() { Ok(assessment) } else { Err(WhyNot::Objections(objections)) }
    }

    /// A deviation already laid that departs in the same place.
    fn overlapping(&self, deviation: &Deviation) -> Option<&DeviationId> {
        let spots: BTreeSet<Spot<'_>> = deviation.departures.iter().map(Spot::of).collect();
        let shares = |other: &Deviation| {
            other.recipe() == deviation.recipe()
                && other.departures.iter().any(|one| spots.contains(&Spot::of(one)))
        };
        self.laid.iter().find(|(other, _)| shares(other)).map(|(other, _)| &other.id)
    }
}

impl fmt::Display for WhyNot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Standing(DeviationStanding::Asked) => f.write_str("it isn't decided yet"),
            Self::Standing(DeviationStanding::Refused) => f.write_str("it was refused"),
            Self::Standing(DeviationStanding::NotYet) => f.write_str("it doesn't hold yet"),
            Self::Standing(DeviationStanding::InForce) => f.write_str("it holds"),
            Self::Standing(DeviationStanding::Expired) => f.write_str("it has fallen away"),
            Self::OtherStandard { now: Some(now) } => {
                let (key, number) = (&now.key, now.number);
                write!(f, "{key} is at revision {number} now; it must be decided anew")
            }
            Self::OtherStandard { now: None } => f.write_str("no standard lies beneath it"),
            Self::Overlaps(other) => write!(f, "`{other}` departs in the same place"),
            Self::CannotApply(error) => error.fmt(f),
            Self::Objections(objections) => {
                let all: Vec<String> = objections.iter().map(ToString::to_string).collect();
                f.write_str(&all.join("; "))
            }
        }
    }
}
