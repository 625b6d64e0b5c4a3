//! A group's food-safety plan.

use chablon_model::{ControlBound, ControlRole, ControlSettings, Jurisdiction, OwnLimit, RecipeId};
use chablon_quantity::{Authored, Exact, Seconds, TemperatureUnit, TimeUnit};

use crate::form::{
    Coded, Wire, code, coded, collect, optional_code, parsed, required, sorted, to_code, words,
};
use crate::{At, Violation, pb};

coded!(Jurisdiction = pb::Jurisdiction { EuropeanUnion, France, UnitedKingdom, UsFoodCode });
coded!(
    ControlRole =
        pb::ControlRole { CoolFirst, CoolTotal, Hot, Cold, Between, Egg, Chilled, Frozen }
);

impl Wire for ControlSettings {
    type Pb = pb::ControlPlan;

    fn to_pb(&self) -> pb::ControlPlan {
        let limit = |(role, limit): (&ControlRole, &OwnLimit)| pb::ControlLimit {
            role: role.code(),
            bound: Some(bound_to_pb(&limit.bound)),
            reason: limit.reason.clone(),
        };
        let exemption = |(recipe, reason): (&RecipeId, &String)| pb::ControlExemption {
            recipe: recipe.to_string(),
            reason: reason.clone(),
        };
        pb::ControlPlan {
            published: to_code(self.published),
            limits: self.limits.iter().map(limit).collect(),
            exempt: self.exempt.iter().map(exemption).collect(),
        }
    }

    fn from_pb(plan: pb::ControlPlan) -> Result<Self, Violation> {
        let limits = collect(plan.limits, "limits", limit)?;
        let roles: Vec<i32> = limits.iter().map(|(role, _)| role.code()).collect();
        sorted(&roles, "limits")?;
        let exempt = collect(plan.exempt, "exempt", |one| {
            let recipe: RecipeId = parsed(&one.recipe).at("recipe")?;
            Ok((recipe, words(one.reason, "reason")?))
        })?;
        let recipes: Vec<&RecipeId> = exempt.iter().map(|(recipe, _)| recipe).collect();
        sorted(&recipes, "exempt")?;
        let plan = Self {
            published: optional_code(plan.published, "published")?,
            limits: limits.into_iter().collect(),
            exempt: exempt.into_iter().collect(),
        };
        if plan.is_empty() {
            return Err(Violation::new("says nothing; leave it unset"));
        }
        Ok(plan)
    }
}

fn limit(limit: pb::ControlLimit) -> Result<(ControlRole, OwnLimit), Violation> {
    let role: ControlRole = code(limit.role, "role")?;
    let bound = limit.bound.ok_or_else(Violation::required).at("bound")?;
    let bound = bound_from_pb(bound).at("bound")?;
    if bound.kind() != role.kind() {
        let reason = format!("is not the kind of limit that `{}` takes", role.as_str());
        return Err(Violation::new(reason).at("bound"));
    }
    Ok((role, OwnLimit { bound, reason: words(limit.reason, "reason")? }))
}

fn bound_to_pb(bound: &ControlBound) -> pb::control_limit::Bound {
    use pb::control_limit::Bound;
    match bound {
        ControlBound::AtMost(most) => Bound::AtMost(most.to_pb()),
        ControlBound::AtLeast(least) => Bound::AtLeast(least.to_pb()),
        ControlBound::Within(time) => Bound::Within(time.to_pb()),
        ControlBound::Heat { at_least, held } => Bound::Heat(pb::HeatLimit {
            at_least: Some(at_least.to_pb()),
            held: Some(held.to_pb()),
        }),
        ControlBound::Cool { from, to, within } => Bound::Cool(pb::CoolLimit {
            from: Some(from.to_pb()),
            to: Some(to.to_pb()),
            within: Some(within.to_pb()),
        }),
    }
}

fn bound_from_pb(bound: pb::control_limit::Bound) -> Result<ControlBound, Violation> {
    use pb::control_limit::Bound;
    Ok(match bound {
        Bound::AtMost(most) => ControlBound::AtMost(Wire::from_pb(most).at("at_most")?),
        Bound::AtLeast(least) => ControlBound::AtLeast(Wire::from_pb(least).at("at_least")?),
        Bound::Within(time) => ControlBound::Within(longer_than_none(Some(time), "within")?),
        Bound::Heat(heat) => heated(heat).at("heat")?,
        Bound::Cool(cool) => cooled(cool).at("cool")?,
    })
}

fn heated(heat: pb::HeatLimit) -> Result<ControlBound, Violation> {
    Ok(ControlBound::Heat {
        at_least: required(heat.at_least, "at_least")?,
        held: longer_than_none(heat.held, "held")?,
    })
}

fn cooled(cool: pb::CoolLimit) -> Result<ControlBound, Violation> {
    let from: Authored<TemperatureUnit> = required(cool.from, "from")?;
    let to: Authored<TemperatureUnit> = required(cool.to, "to")?;
    let within = longer_than_none(cool.within, "within")?;
    if from.quantity().celsius() <= to.quantity().celsius() {
        return Err(Violation::new("must be colder than `from`").at("to"));
    }
    Ok(ControlBound::Cool { from, to, within })
}

fn longer_than_none(
    time: Option<pb::Duration>,
    field: &str,
) -> Result<Authored<TimeUnit>, Violation> {
    let time: Authored<TimeUnit> = required(time, field)?;
    if time.quantity().seconds() <= Exact::from(0) {
        return Err(Violation::new("must be more than 0").at(field));
    }
    Ok(time)
}
