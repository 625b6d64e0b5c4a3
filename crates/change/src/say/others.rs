//! Documents, prices, sites, settings, texts.

use chablon_model::{
    Constituent, ControlSettings, Equipment, ExchangeRate, Language, Pack, Price, ReviewRule, Scale,
};

use super::words::{either, fate, instead, list, quoted, sides};
use crate::{Listed, Pair, Presence, SettingsChange, SiteChange, Worded};

pub(super) fn document(presence: &Pair<Option<Presence>>) -> String {
    match (&presence.before, &presence.after) {
        (_, Some(new)) => format!("is new{}", of_new(new)),
        _ => "is gone".to_owned(),
    }
}

/// What nobody has looked at before.
fn of_new(new: &Presence) -> String {
    let allergens =
        new.allergens.iter().map(|one| format!("{} ({})", one.allergen, one.state.as_str()));
    let allergens: Vec<String> = allergens.collect();
    let parts = [
        (!allergens.is_empty()).then(|| format!("; allergens: {}", list(&allergens, ""))),
        (new.limits > 0).then(|| format!("; critical limits: {}", new.limits)),
        new.not_told.as_ref().map(|why| format!("; can't tell what is in it: {why}")),
    ];
    parts.into_iter().flatten().collect()
}

pub(super) fn made_of(parts: &Pair<Vec<Constituent>>) -> String {
    let one = |part: &Constituent| match &part.amount {
        Some(amount) => format!("{} {amount}", part.ingredient),
        None => part.ingredient.to_string(),
    };
    let said = |parts: &Vec<Constituent>| {
        list(&parts.iter().map(one).collect::<Vec<_>>(), "nothing stated")
    };
    format!("made of {}", instead(parts.as_ref().map(said)))
}

pub(super) fn price(price: &Pair<Option<Box<Price>>>) -> String {
    let any = price.after.as_ref().or(price.before.as_ref());
    let ingredient = any.map_or_else(String::new, |any| any.ingredient.to_string());
    let said = |one: &&Price| {
        let supplier = one.supplier.as_ref().map_or_else(String::new, |id| format!(" by {id}"));
        let preferred = if one.preferred { ", preferred" } else { "" };
        let (pack, price, from) = (pack(&one.pack), one.price, one.from);
        format!("{pack} for {price} from {from}{supplier}{preferred}")
    };
    format!(
        "price of `{ingredient}` {}: {}",
        fate(price),
        sides(&price.as_ref().map(Option::as_deref), said)
    )
}

fn pack(pack: &Pack) -> String {
    match pack {
        Pack::Mass(mass) => mass.to_string(),
        Pack::Volume(volume) => volume.to_string(),
        Pack::Count(count) => count.to_string(),
    }
}

pub(super) fn rate(rate: &Pair<Option<ExchangeRate>>) -> String {
    let said =
        |one: &ExchangeRate| format!("1 {} is {} {} from {}", one.from, one.rate, one.to, one.on);
    format!("exchange rate {}: {}", fate(rate), sides(rate, said))
}

pub(super) fn site(change: &SiteChange) -> String {
    match change {
        SiteChange::Groups(groups) => {
            let groups = groups.as_ref().map(|groups| list(groups, "no group"));
            format!("belongs to {}", instead(groups))
        }
        SiteChange::TimeZone(zone) => format!("clocks of {}", either(zone, "no stated zone")),
        SiteChange::Language(language) => format!("reads {}", either(language, "the book's first")),
        SiteChange::Label(label) => {
            let label = label.map(|label| label.map(chablon_model::LabelRegime::as_str));
            format!("labels by {}", either(&label, "no rules of its own"))
        }
        SiteChange::Currency(currency) => format!("costs in {}", either(currency, "the book's")),
        SiteChange::LabourRate(rate) => format!("labour rate {}", either(rate, "unstated")),
        SiteChange::Scale(scale) => {
            let said = |one: &Scale| {
                format!("`{}` to {} in steps of {}", one.name, one.capacity, one.increment)
            };
            format!("scale {}: {}", fate(scale), sides(scale, said))
        }
        SiteChange::Equipment(one) => {
            let said = |one: &Equipment| {
                let load = one.load.map_or(String::new(), |load| format!(" with {load}"));
                format!("`{}` of {}{load}", one.class, one.capacity)
            };
            format!("equipment {}: {}", fate(one), sides(one, said))
        }
    }
}

pub(super) fn settings(change: &SettingsChange) -> String {
    match change {
        SettingsChange::Currency(currency) => format!("costs in {}", instead(*currency)),
        SettingsChange::Languages(languages) => {
            format!("languages {}", instead(languages.as_ref().map(|all| list(all, "none"))))
        }
        SettingsChange::Labels(labels) => {
            let said = labels
                .as_ref()
                .map(|all| list(&all.iter().map(|one| one.as_str()).collect::<Vec<_>>(), "none"));
            format!("label rules {}", instead(said))
        }
        SettingsChange::Control(plan) => {
            format!("food-safety plan: {}", instead((**plan).as_ref().map(plan_words)))
        }
        SettingsChange::Review(rule) => {
            format!("changes are looked at {}", instead(rule.as_ref().map(review)))
        }
    }
}

/// A food-safety plan in a few words.
fn plan_words(plan: &ControlSettings) -> String {
    let published = plan.published.map(|of| format!("limits of {}", of.title()));
    let own =
        plan.limits.iter().map(|(role, limit)| format!("own {} ({})", role.as_str(), limit.reason));
    let exempt = plan.exempt.iter().map(|(recipe, reason)| format!("`{recipe}` exempt ({reason})"));
    let all: Vec<String> = published.into_iter().chain(own).chain(exempt).collect();
    list(&all, "as published")
}

/// by 2 (safety), 1 (recipe), 1 (cost), 0 (text) of chef, deputy, with drafts alone
fn review(rule: &ReviewRule) -> String {
    let ReviewRule { safety, recipe, cost, text, by, direct } = rule;
    let by = list(&by.iter().map(|one| one.as_str()).collect::<Vec<_>>(), "nobody");
    let drafts = if *direct { "with drafts or without" } else { "with drafts alone" };
    format!(
        "by {safety} (safety), {recipe} (recipe), {cost} (cost), {text} (text) of {by}, {drafts}"
    )
}

pub(super) fn wording(
    of: &Worded,
    language: Option<&Language>,
    text: &Pair<Option<String>>,
) -> String {
    let of = match of {
        Worded::Title => "title".to_owned(),
        Worded::Name => "name".to_owned(),
        Worded::Note => "note".to_owned(),
        Worded::Step(step) => format!("step `{step}`"),
    };
    let language = language.map_or_else(String::new, |language| format!(" ({language})"));
    let text = text.as_ref().map(|text| text.as_deref().map(quoted));
    format!("{of}{language} reads {}", either(&text, "nothing"))
}

pub(super) fn order(listed: Listed) -> String {
    let what = match listed {
        Listed::Lines => "lines",
        Listed::Losses => "losses",
    };
    format!("the {what} stand in another order, and are otherwise the same")
}
