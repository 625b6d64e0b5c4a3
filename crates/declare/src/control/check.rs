//! One recipe that needs temperature control, held to a plan.

use chablon_model::{Condition, Recipe, Step, StepId};
use chablon_quantity::{Exact, Seconds};

use super::Role;
use super::finding::{ControlFinding, Severity, time};
use super::plan::ControlPlan;
use super::points::Limit;
use super::stated::{self, Span};

/// From this temperature on, something is baked (common practice, no source).
const OVEN: i64 = 130;

pub(super) fn check(recipe: &Recipe, plan: &ControlPlan) -> Vec<ControlFinding> {
    let check = Check { recipe, plan };
    let mut findings: Vec<ControlFinding> =
        recipe.steps.iter().filter_map(|step| check.between(step)).collect();
    findings.extend(check.cooling(Role::CoolFirst));
    findings.extend(check.cooling(Role::CoolTotal));
    findings.extend(check.last_cold());
    findings.extend(check.kept());
    findings
}

struct Check<'a> {
    recipe: &'a Recipe,
    plan: &'a ControlPlan,
}

impl Check<'_> {
    fn finding(
        &self,
        role: Role,
        step: Option<&StepId>,
        severity: Severity,
        stated: String,
    ) -> Option<ControlFinding> {
        Some(ControlFinding {
            recipe: self.recipe.id.clone(),
            step: step.cloned(),
            role,
            severity,
            stated,
            limit: self.plan.limit(role)?.clone(),
        })
    }

    /// Minutes that something may take.
    fn minutes(&self, role: Role) -> Option<Exact> {
        match self.plan.limit(role)?.limit {
            Limit::Within(minutes) => Some(minutes.exact()),
            _ => None,
        }
    }

    /// A step that stays between cold and hot too long.
    fn between(&self, step: &Step) -> Option<ControlFinding> {
        let limit = self.minutes(Role::Between)?;
        let minutes = stated::minutes(step);
        let took = time(&minutes.most);
        let Some(celsius) = stated::celsius(step) else {
            let long = minutes.most > limit;
            let stated = format!("{took} without a temperature");
            let unstated = self.finding(Role::Between, Some(&step.id), Severity::Unstated, stated);
            return unstated.filter(|_| long);
        };
        let stated = format!("{took} at {}", degrees(&celsius));
        let severity =
            if self.is_between(&celsius) { severity(&minutes, &limit)? } else { return None };
        self.finding(Role::Between, Some(&step.id), severity, stated)
    }

    /// Whether all of a span is between cold and hot. A step that aims at the cold or the hot side
    /// is on its way there.
    fn is_between(&self, celsius: &Span) -> bool {
        let above_cold = self.plan.celsius(Role::Cold).is_none_or(|cold| celsius.least > cold);
        let below_hot = self.plan.celsius(Role::Hot).is_none_or(|hot| celsius.most < hot);
        above_cold && below_hot
    }

    /// The way down from the last step that is hot.
    fn cooling(&self, role: Role) -> Option<ControlFinding> {
        let Limit::Cool { from, to, within, strictly } = self.plan.limit(role)?.limit else {
            return None;
        };
        let steps = &self.recipe.steps;
        let is_hot =
            |step: &Step| stated::celsius(step).is_some_and(|one| one.least >= from.exact());
        let cooling = &steps[steps.iter().rposition(is_hot)? + 1..];
        let Some((step, taken)) = way_down(cooling, &to.exact()) else {
            let stated = format!("no step after the heat states that {to} °C is reached");
            let kept_cold = self.condition() != Some(Condition::Ambient) && !self.is_baked();
            return self.finding(role, None, Severity::Unstated, stated).filter(|_| kept_cold);
        };
        let within = within.exact();
        let beyond = |minutes: &Exact| *minutes > within || (strictly && *minutes == within);
        let severity = match (beyond(&taken.least), beyond(&taken.most)) {
            (true, _) => Severity::Breach,
            (false, true) => Severity::Risk,
            (false, false) => return None,
        };
        let stated = format!("up to {} until {to} °C is reached", time(&taken.most));
        self.finding(role, Some(&step.id), severity, stated)
    }

    /// The last temperature of something that is kept chilled or frozen.
    fn last_cold(&self) -> Option<ControlFinding> {
        let role = match self.condition()? {
            Condition::Chilled => Role::Cold,
            Condition::Frozen => Role::Frozen,
            Condition::Ambient => return None,
        };
        let limit = self.plan.celsius(role)?;
        // What is worked at room temperature and put away cold states no cold step.
        let is_cold = |one: &Span| one.most > limit && one.most <= &limit + Exact::from(10);
        let mut last = self.recipe.steps.iter().rev();
        let (step, celsius) = last.find_map(|step| Some((step, stated::celsius(step)?)))?;
        let severity = if celsius.least > limit { Severity::Breach } else { Severity::Risk };
        let stated = format!("the last temperature is {}", degrees(&celsius));
        self.finding(role, Some(&step.id), severity, stated).filter(|_| is_cold(&celsius))
    }

    /// How long it is kept.
    fn kept(&self) -> Option<ControlFinding> {
        let storage = self.recipe.storage.as_ref()?;
        let kept = storage.keeps?.quantity().seconds() / Exact::from(60);
        let (role, severity) = match storage.condition {
            Condition::Ambient if self.is_baked() => (Role::Between, Severity::Risk),
            Condition::Ambient => (Role::Between, Severity::Breach),
            Condition::Chilled => (Role::Chilled, Severity::Breach),
            Condition::Frozen => return None,
        };
        let long = kept > self.minutes(role)?;
        let stated = format!("kept {} for {}", storage.condition.as_str(), time(&kept));
        self.finding(role, None, severity, stated).filter(|_| long)
    }

    fn condition(&self) -> Option<Condition> {
        self.recipe.storage.as_ref().map(|storage| storage.condition)
    }

    /// Whether a step has an oven's heat, so that what is left may be baked through.
    fn is_baked(&self) -> bool {
        let oven =
            |step: &Step| stated::celsius(step).is_some_and(|one| one.least >= Exact::from(OVEN));
        self.recipe.steps.iter().any(oven)
    }
}

/// Beyond a limit at its least, or only at its most.
fn severity(minutes: &Span, limit: &Exact) -> Option<Severity> {
    if minutes.least > *limit {
        return Some(Severity::Breach);
    }
    (minutes.most > *limit).then_some(Severity::Risk)
}

/// The step in which a temperature is reached, and the minutes until then.
///
/// Of that step all its time counts to the most. To the least only a time that the step states for
/// this very temperature counts: what rests for 12 h at 4 °C may be at 5 °C within one.
fn way_down<'a>(cooling: &'a [Step], to: &Exact) -> Option<(&'a Step, Span)> {
    let celsius = |step: &Step| stated::celsius(step);
    let at = cooling.iter().position(|step| celsius(step).is_some_and(|one| one.most <= *to))?;
    let before: Vec<Span> = cooling[..at].iter().map(stated::minutes).collect();
    let step = &cooling[at];
    let reaching = stated::minutes(step);
    let timed = stated::is_timed(step) && celsius(step).is_some_and(|one| one.most == *to);
    let least = if timed { reaching.least } else { Exact::from(0) };
    let taken = Span {
        least: before.iter().map(|one| &one.least).sum::<Exact>() + least,
        most: before.iter().map(|one| &one.most).sum::<Exact>() + reaching.most,
    };
    Some((step, taken))
}

fn degrees(celsius: &Span) -> String {
    let (least, most) = (celsius.least.round(1), celsius.most.round(1));
    if least == most { format!("{least} °C") } else { format!("{least} to {most} °C") }
}
