//! Deviations.

use std::collections::BTreeSet;

use chablon_model::{
    Allergen, Amount, Decision, Departure, Deviation, DeviationLimits, DocumentKind, Grant,
    LineRef, NewAmount, Uses,
};
use chablon_quantity::Number;
use prost::Message;

use crate::bytes::{self, SCHEMA_VERSION};
use crate::common::{moment, text};
use crate::form::{
    Wire, collect, list, optional, optional_words, parsed, required, to_list, to_optional, words,
};
use crate::ingredient::{allergen, group_and_kind};
use crate::quantity::some;
use crate::{At, Violation, WireError, pb};

/// What deviations are called in messages.
const WHAT: &str = "a deviation";

/// The bytes of a deviation: equal deviations give equal bytes.
///
/// A value that breaks a rule of the schema gives bytes that [`decode_deviation`] refuses.
pub fn encode_deviation(deviation: &Deviation) -> Vec<u8> {
    let form = pb::Deviation {
        schema_version: SCHEMA_VERSION,
        required_features: Vec::new(),
        deviation_id: deviation.id.to_string(),
        site: deviation.site.to_string(),
        based_on: Some(deviation.based_on.to_pb()),
        departures: to_list(&deviation.departures),
        limits: Some(deviation.limits.to_pb()),
        holds_from_ms: deviation.from.0,
        falls_away_ms: deviation.until.0,
        reason: deviation.reason.clone(),
        decision: decision_to_pb(&deviation.decision),
    };
    form.encode_to_vec()
}

/// The deviation that the bytes hold, if they keep all rules of the schema.
pub fn decode_deviation(bytes: &[u8]) -> Result<Deviation, WireError> {
    Ok(from_pb(bytes::decode(bytes, WHAT)?)?)
}

fn from_pb(form: pb::Deviation) -> Result<Deviation, Violation> {
    let deviation = Deviation {
        id: parsed(&form.deviation_id).at("deviation_id")?,
        site: parsed(&form.site).at("site")?,
        based_on: required(form.based_on, "based_on")?,
        departures: list(form.departures, "departures")?,
        limits: required(form.limits, "limits")?,
        from: moment(form.holds_from_ms).at("holds_from_ms")?,
        until: moment(form.falls_away_ms).at("falls_away_ms")?,
        reason: words(form.reason, "reason")?,
        decision: form.decision.map_or(Ok(Decision::Asked), decision).at("decision")?,
    };
    check(&deviation)?;
    Ok(deviation)
}

fn check(deviation: &Deviation) -> Result<(), Violation> {
    if deviation.based_on.key.kind != DocumentKind::Recipe {
        let reason = format!("`{}` is not a recipe", deviation.based_on.key);
        return Err(Violation::new(reason).at("based_on"));
    }
    if deviation.departures.is_empty() {
        return Err(Violation::required().at("departures"));
    }
    if deviation.until <= deviation.from {
        return Err(Violation::new("must be after `holds_from_ms`").at("falls_away_ms"));
    }
    Ok(())
}

fn decision_to_pb(decision: &Decision) -> Option<pb::deviation::Decision> {
    match decision {
        Decision::Asked => None,
        Decision::Granted(grant) => Some(pb::deviation::Decision::Granted(grant.to_pb())),
        Decision::Refused { by, at, reason } => {
            let (by, at_ms, reason) = (by.clone(), at.0, reason.clone());
            Some(pb::deviation::Decision::Refused(pb::DeviationRefusal { by, at_ms, reason }))
        }
    }
}

fn decision(form: pb::deviation::Decision) -> Result<Decision, Violation> {
    match form {
        pb::deviation::Decision::Granted(grant) => {
            Grant::from_pb(grant).map(Decision::Granted).at("granted")
        }
        pb::deviation::Decision::Refused(refusal) => refused(refusal).at("refused"),
    }
}

fn refused(form: pb::DeviationRefusal) -> Result<Decision, Violation> {
    Ok(Decision::Refused {
        by: words(form.by, "by")?,
        at: moment(form.at_ms).at("at_ms")?,
        reason: words(form.reason, "reason")?,
    })
}

impl Wire for Grant {
    type Pb = pb::DeviationGrant;

    fn to_pb(&self) -> pb::DeviationGrant {
        let mut allergens: Vec<pb::AllergenName> =
            self.allergens.iter().map(allergen_name).collect();
        allergens.sort_by(|a, b| (a.group, &a.kind).cmp(&(b.group, &b.kind)));
        pb::DeviationGrant {
            by: self.by.clone(),
            at_ms: self.at.0,
            note: self.note.clone().unwrap_or_default(),
            allergens,
            critical_limits: self.critical_limits,
        }
    }

    fn from_pb(grant: pb::DeviationGrant) -> Result<Self, Violation> {
        Ok(Self {
            by: words(grant.by, "by")?,
            at: moment(grant.at_ms).at("at_ms")?,
            note: optional_words(grant.note),
            allergens: allergens(grant.allergens).at("allergens")?,
            critical_limits: grant.critical_limits,
        })
    }
}

fn allergen_name(allergen: &Allergen) -> pb::AllergenName {
    let (group, kind) = group_and_kind(allergen);
    pb::AllergenName { group, kind: kind.to_owned() }
}

fn allergens(names: Vec<pb::AllergenName>) -> Result<BTreeSet<Allergen>, Violation> {
    let order = |name: &pb::AllergenName| (name.group, name.kind.clone());
    if let Some(index) = names.windows(2).position(|pair| order(&pair[0]) >= order(&pair[1])) {
        return Err(Violation::new("must be sorted, each once").at_index(index + 1));
    }
    let read = collect(names, "", |name| allergen(name.group, &name.kind))?;
    Ok(read.into_iter().collect())
}

impl Wire for DeviationLimits {
    type Pb = pb::DeviationLimits;

    fn to_pb(&self) -> pb::DeviationLimits {
        pb::DeviationLimits {
            max_share: to_optional(self.max_share.as_ref()),
            tolerance: to_optional(self.tolerance.as_ref()),
        }
    }

    fn from_pb(limits: pb::DeviationLimits) -> Result<Self, Violation> {
        Ok(Self {
            max_share: optional(limits.max_share, "max_share")?,
            tolerance: optional(limits.tolerance, "tolerance")?,
        })
    }
}

impl Wire for Departure {
    type Pb = pb::Departure;

    fn to_pb(&self) -> pb::Departure {
        use pb::departure::Departs;
        let departs = match self {
            Self::Ingredient { line, with, amount } => {
                let (line, amount) = (Some(line.to_pb()), Some(amount.to_pb()));
                let with = with.to_string();
                Departs::Ingredient(pb::IngredientDeparture { line, with, amount })
            }
            Self::Amount { line, to } => {
                let (line, amount) = (Some(line.to_pb()), Some(to.to_pb()));
                Departs::Amount(pb::AmountDeparture { line, amount })
            }
            Self::Wording { step, to } => {
                let (step, text) = (step.to_string(), to.to_pb());
                Departs::Wording(pb::WordingDeparture { step, text })
            }
            Self::Control { step, number, to } => {
                let (step, control) = (step.to_string(), Some(to.to_pb()));
                Departs::Control(pb::ControlDeparture { step, number: *number, control })
            }
        };
        pb::Departure { departs: Some(departs) }
    }

    fn from_pb(departure: pb::Departure) -> Result<Self, Violation> {
        use pb::departure::Departs;
        match departure.departs.ok_or_else(Violation::required)? {
            Departs::Ingredient(form) => ingredient(form).at("ingredient"),
            Departs::Amount(form) => amount(form).at("amount"),
            Departs::Wording(form) => wording(form).at("wording"),
            Departs::Control(form) => control(form).at("control"),
        }
    }
}

fn ingredient(form: pb::IngredientDeparture) -> Result<Departure, Violation> {
    Ok(Departure::Ingredient {
        line: required(form.line, "line")?,
        with: parsed(&form.with).at("with")?,
        amount: required(form.amount, "amount")?,
    })
}

fn amount(form: pb::AmountDeparture) -> Result<Departure, Violation> {
    Ok(Departure::Amount {
        line: required(form.line, "line")?,
        to: required(form.amount, "amount")?,
    })
}

fn wording(form: pb::WordingDeparture) -> Result<Departure, Violation> {
    Ok(Departure::Wording { step: parsed(&form.step).at("step")?, to: text(form.text, "text")? })
}

fn control(form: pb::ControlDeparture) -> Result<Departure, Violation> {
    Ok(Departure::Control {
        step: parsed(&form.step).at("step")?,
        number: from_one(form.number)?,
        to: required(form.control, "control")?,
    })
}

fn from_one(number: u32) -> Result<u32, Violation> {
    if number == 0 { Err(Violation::required().at("number")) } else { Ok(number) }
}

impl Wire for LineRef {
    type Pb = pb::LineName;

    fn to_pb(&self) -> pb::LineName {
        let item = match &self.uses {
            Uses::Ingredient(id) => pb::line_name::Item::Ingredient(id.to_string()),
            Uses::Component(id) => pb::line_name::Item::Component(id.to_string()),
        };
        pb::LineName { number: self.number, item: Some(item) }
    }

    fn from_pb(line: pb::LineName) -> Result<Self, Violation> {
        let item = line.item.ok_or_else(|| Violation::required().at("item"))?;
        let uses = match item {
            pb::line_name::Item::Ingredient(id) => {
                parsed(&id).map(Uses::Ingredient).at("ingredient")
            }
            pb::line_name::Item::Component(id) => parsed(&id).map(Uses::Component).at("component"),
        };
        Ok(Self { number: from_one(line.number)?, uses: uses.at("item")? })
    }
}

impl Wire for NewAmount {
    type Pb = pb::NewAmount;

    fn to_pb(&self) -> pb::NewAmount {
        use pb::new_amount::Amount as Form;
        let amount = match self {
            Self::Times(times) => Form::Times(times.to_pb()),
            Self::Exactly(Amount::Mass(mass)) => Form::Mass(mass.to_pb()),
            Self::Exactly(Amount::Volume(volume)) => Form::Volume(volume.to_pb()),
            Self::Exactly(Amount::Count(count)) => Form::Count(count.to_pb()),
            Self::Exactly(Amount::Share(share)) => Form::Share(share.to_pb()),
            Self::Exactly(Amount::ToTaste) => Form::ToTaste(pb::ToTaste {}),
            Self::Exactly(Amount::Shape(shape)) => Form::Shape(shape.to_pb()),
        };
        pb::NewAmount { amount: Some(amount) }
    }

    fn from_pb(form: pb::NewAmount) -> Result<Self, Violation> {
        use pb::new_amount::Amount as Form;
        let exactly = |amount: Result<Amount, Violation>| amount.map(Self::Exactly);
        let read = match form.amount.ok_or_else(|| Violation::required().at("amount"))? {
            Form::Times(times) => times_of(times).at("times"),
            Form::Mass(mass) => exactly(some(Some(mass), "mass").map(Amount::Mass)),
            Form::Volume(volume) => exactly(some(Some(volume), "volume").map(Amount::Volume)),
            Form::Count(count) => exactly(some(Some(count), "count").map(Amount::Count)),
            Form::Share(share) => exactly(some(Some(share), "share").map(Amount::Share)),
            Form::ToTaste(pb::ToTaste {}) => Ok(Self::Exactly(Amount::ToTaste)),
            Form::Shape(shape) => {
                exactly(required(Some(shape), "shape").map(Box::new).map(Amount::Shape))
            }
        };
        read.at("amount")
    }
}

fn times_of(times: pb::Number) -> Result<NewAmount, Violation> {
    let times = Number::from_pb(times)?;
    if times.exact() > chablon_quantity::Exact::from(0) {
        Ok(NewAmount::Times(times))
    } else {
        Err(Violation::new("must be more than 0"))
    }
}
