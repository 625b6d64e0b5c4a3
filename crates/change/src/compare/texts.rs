//! Texts in the languages of a book.

use std::collections::BTreeSet;

use chablon_model::{Language, StepId, Text};

use super::Compared;
use super::sink::Sink;
use crate::{Pair, What, Worded};

/// A text whose wording decides nothing, language by language.
pub(super) fn wording(of: &Worded, texts: Pair<&Text>, sink: &mut Sink<'_>) {
    in_languages(of, texts, &BTreeSet::new(), sink);
}

/// A note without a language.
pub(super) fn note(notes: Pair<&Option<String>>, sink: &mut Sink<'_>) {
    let text = Pair::changed(notes.before.clone(), notes.after.clone());
    sink.add(text.map(|text| What::Wording { of: Worded::Note, language: None, text }));
}

/// What a step says. A cook does what it says in the language that the group writes first, so
/// another wording there is another method: whether it means the same isn't for a machine to
/// tell. In the other languages it is a translation.
pub(super) fn instruction(
    compared: &Compared<'_>,
    step: &StepId,
    texts: Pair<&Text>,
    sink: &mut Sink<'_>,
) {
    let first = compared.sides.as_ref().map(super::Side::first_language);
    let Pair { before, after } =
        Pair::new(leading(texts.before, first.before), leading(texts.after, first.after));
    let said = |lead: Option<(&Language, &String)>| lead.map(|(_, text)| text.clone());
    let text = Pair::changed(said(before), said(after));
    sink.add(text.map(|text| What::Instruction { step: step.clone(), text }));
    let led = before.into_iter().chain(after).map(|(language, _)| language).collect();
    in_languages(&Worded::Step(step.clone()), texts, &led, sink);
}

/// The wording that is read where a text lacks a language.
fn leading<'t>(text: &'t Text, first: Option<&Language>) -> Option<(&'t Language, &'t String)> {
    first.and_then(|first| text.0.get_key_value(first)).or_else(|| text.0.iter().next())
}

fn in_languages(
    of: &Worded,
    texts: Pair<&Text>,
    without: &BTreeSet<&Language>,
    sink: &mut Sink<'_>,
) {
    for language in languages(texts).difference(without) {
        let by = |text: &Text| text.0.get(*language).cloned();
        let text = Pair::changed(by(texts.before), by(texts.after));
        let language = Some((*language).clone());
        sink.add(text.map(|text| What::Wording { of: of.clone(), language, text }));
    }
}

/// Every language that either side has.
pub(super) fn languages(texts: Pair<&Text>) -> BTreeSet<&Language> {
    texts.before.0.keys().chain(texts.after.0.keys()).collect()
}
