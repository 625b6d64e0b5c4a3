//! Control points: what a recipe states, held to published limits or to a group's own plan.
//!
//! A recipe says what it aims at and within which limits; nobody has measured anything yet. So a
//! finding says one of three things: that what is stated is beyond a limit, that its own limits let
//! it go beyond, or that nothing is stated that could be held to the limit.
//!
//! A temperature is taken as that of the food's core in the step that states it. Steps are taken in
//! their written order.

mod check;
mod egg;
mod finding;
mod need;
mod plan;
mod points;
mod series;
mod stated;

use std::collections::{BTreeMap, BTreeSet};

use chablon_arith::RecipeIndex;
use chablon_model::RecipeId;

use crate::allergens::because::Ways;
use crate::{DeclareError, Declarer, caution};

pub use chablon_model::{ControlRole as Role, Jurisdiction};
pub use finding::{ControlFinding, Severity};
pub use need::{Need, Uncontrolled};
pub use plan::{Applied, ControlPlan};
pub use points::{Limit, PASTEURISATION, POINTS, Pasteurisation, Point, pasteurises};
pub use series::{CoolingFailure, cools_in_time};

/// What the control points of a recipe and of all its components come to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ControlReport {
    /// Whether each needs temperature control, and why: components before what uses them.
    pub needs: Vec<(RecipeId, Need)>,
    /// What is beyond a limit, or can't be held to one.
    pub findings: Vec<ControlFinding>,
    /// What no limit is known for, so that it isn't checked.
    pub unchecked: BTreeSet<Role>,
    /// What the limits are, by what they are for.
    pub limits: BTreeMap<Role, Applied>,
    /// What every report says of itself.
    pub cautions: Vec<&'static str>,
}

impl Declarer<'_> {
    /// Holds a recipe and all its components to a plan.
    pub fn control(
        &self,
        recipe: &RecipeId,
        plan: &ControlPlan,
    ) -> Result<ControlReport, DeclareError> {
        let root = self.index(recipe)?;
        let mut recipes: Vec<RecipeIndex> = Ways::down_from(&self.book, root).recipes().collect();
        recipes.sort_unstable();
        let (mut needs, mut findings) = (Vec::new(), Vec::new());
        for index in recipes {
            let need = self.need(index, plan);
            if matches!(need, Need::Needed(_)) {
                findings.extend(check::check(self.recipes[index.0], plan));
            }
            needs.push((self.book.recipe(index).id.clone(), need));
        }
        findings.extend(egg::check(self, root, plan));
        Ok(ControlReport {
            needs,
            findings,
            unchecked: plan.unchecked(),
            limits: plan.limits().clone(),
            cautions: vec![caution::FOOD_SAFETY],
        })
    }
}
