//! The group's settings.

use chablon_model::Book;

use super::sink::Sink;
use crate::{Pair, SettingsChange, What, Worded};

pub(super) fn compare(books: Pair<&Book>, sink: &mut Sink<'_>) {
    let Book {
        name: old_name,
        currency: old_currency,
        languages: old_languages,
        labels: old_labels,
        control: old_control,
        review: _,
    } = books.before;
    let Book { name, currency, languages, labels, control, review: _ } = books.after;
    sink.add(name_change(old_name, name));
    let currency = Pair::changed(*old_currency, *currency).map(SettingsChange::Currency);
    sink.add(currency.map(What::Settings));
    let languages = Pair::changed(old_languages.clone(), languages.clone());
    sink.add(languages.map(SettingsChange::Languages).map(What::Settings));
    let labels = Pair::changed(old_labels.clone(), labels.clone());
    sink.add(labels.map(SettingsChange::Labels).map(What::Settings));
    let control = Pair::changed(old_control.clone(), control.clone());
    sink.add(control.map(Box::new).map(SettingsChange::Control).map(What::Settings));
    let rule = Pair::changed(books.before.review_rule(), books.after.review_rule());
    sink.add(rule.map(SettingsChange::Review).map(What::Settings));
}

/// A name that stands in no language.
pub(super) fn name_change(before: &str, after: &str) -> Option<What> {
    let text = Pair::changed(Some(before.to_owned()), Some(after.to_owned()))?;
    Some(What::Wording { of: Worded::Name, language: None, text })
}
