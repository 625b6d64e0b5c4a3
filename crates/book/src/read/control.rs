//! `[control]` of the group's settings: its food-safety plan.

use std::collections::BTreeMap;

use chablon_model::{
    BoundKind, ControlBound, ControlRole, ControlSettings, Jurisdiction, OwnLimit, RecipeId,
};
use chablon_quantity::{Authored, TemperatureUnit, TimeUnit};

use super::fields::Fields;
use super::notes::Named;
use super::quantity::{above_zero, quantity};
use super::value::Value;
use crate::{Finding, Span};

/// The plan, where all of it can be read.
pub(super) fn control(value: &Value<'_>) -> Option<ControlSettings> {
    value.table("the food-safety plan", |fields| {
        let published = fields
            .optional("published", |value| value.one_of(Jurisdiction::ALL, Jurisdiction::as_str));
        let limits = fields
            .each("limit", |value| value.table("a limit", limit).map(|limit| (limit, value.span)));
        let exempt = fields.each("exempt", |value| {
            value.table("an exemption", exemption).map(|one| (one, value.span))
        });
        Some(ControlSettings {
            published,
            limits: once(limits?, fields, |role| format!("the limit for {}", role.as_str())),
            exempt: once(exempt?, fields, |recipe| format!("the exemption of `{recipe}`")),
        })
    })
}

/// What stands once each; what is there again is noted.
fn once<K: Ord, V>(
    entries: Vec<((K, V), Span)>,
    fields: &Fields<'_>,
    name: impl Fn(&K) -> String,
) -> BTreeMap<K, V> {
    let mut found: BTreeMap<K, (V, Span)> = BTreeMap::new();
    for ((key, value), span) in entries {
        if let Some((_, first)) = found.get(&key) {
            let message = format!("{} is there twice", name(&key));
            fields.note(
                Finding::error("duplicate-limit", message)
                    .at(span, "again")
                    .at(*first, "the first time")
                    .hint("take one of them out"),
            );
        } else {
            found.insert(key, (value, span));
        }
    }
    found.into_iter().map(|(key, (value, _))| (key, value)).collect()
}

fn limit(fields: &mut Fields<'_>) -> Option<(ControlRole, OwnLimit)> {
    let role = fields.required("what", |value| value.one_of(ControlRole::ALL, ControlRole::as_str));
    let reason = fields.required("reason", Value::text);
    let bound = if let Some(role) = role {
        bound(role.kind(), fields)
    } else {
        // Which keys it has is only known with what it is for.
        fields.know(["at_most", "at_least", "held", "from", "to", "within"]);
        None
    };
    Some((role?, OwnLimit { bound: bound?, reason: reason? }))
}

fn bound(kind: BoundKind, fields: &mut Fields<'_>) -> Option<ControlBound> {
    Some(match kind {
        BoundKind::AtMost => ControlBound::AtMost(degrees(fields, "at_most")?),
        BoundKind::AtLeast => ControlBound::AtLeast(degrees(fields, "at_least")?),
        BoundKind::Within => ControlBound::Within(time(fields, "within")?),
        BoundKind::Heat => {
            let (at_least, held) = (degrees(fields, "at_least"), time(fields, "held"));
            ControlBound::Heat { at_least: at_least?, held: held? }
        }
        BoundKind::Cool => {
            let (from, to) = (degrees(fields, "from"), degrees(fields, "to"));
            let within = time(fields, "within");
            let (from, to) = (from?, to?);
            falling(&from, &to, fields)?;
            ControlBound::Cool { from, to, within: within? }
        }
    })
}

fn degrees(fields: &mut Fields<'_>, key: &'static str) -> Option<Authored<TemperatureUnit>> {
    fields.required(key, quantity)
}

fn time(fields: &mut Fields<'_>, key: &'static str) -> Option<Authored<TimeUnit>> {
    fields.required(key, above_zero)
}

/// What cools ends colder than it begins.
fn falling(
    from: &Authored<TemperatureUnit>,
    to: &Authored<TemperatureUnit>,
    fields: &Fields<'_>,
) -> Option<()> {
    if from.quantity().celsius() > to.quantity().celsius() {
        return Some(());
    }
    fields.note(
        Finding::error("limit-order", "cooling ends no colder than it begins")
            .at(fields.span_of("from"), "from here")
            .at(fields.span_of("to"), "to here")
            .hint("`from` is the higher temperature"),
    );
    None
}

fn exemption(fields: &mut Fields<'_>) -> Option<(RecipeId, String)> {
    let recipe = fields.required("recipe", |value| value.reference(Named::Recipe));
    let reason = fields.required("reason", Value::text);
    Some((recipe?, reason?))
}
