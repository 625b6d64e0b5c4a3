//! `book.toml`.

use chablon_model::{Book, ControlBound, ControlSettings, Jurisdiction, LabelRegime, Reviewer};

use super::page::Page;

pub(super) fn settings(book: &Book) -> String {
    let mut page = Page::default();
    page.text("name", &book.name);
    page.text("currency", book.currency);
    page.list("languages", &book.languages);
    page.list("labels", book.labels.iter().copied().map(LabelRegime::as_str));
    if let Some(rule) = &book.review {
        page.table("[review]");
        page.raw("safety", rule.safety);
        page.raw("recipe", rule.recipe);
        page.raw("cost", rule.cost);
        page.raw("text", rule.text);
        page.list("by", rule.by.iter().copied().map(Reviewer::as_str));
        page.flag("direct", rule.direct);
    }
    if !book.control.is_empty() {
        control(&book.control, &mut page);
    }
    page.finish()
}

fn control(plan: &ControlSettings, page: &mut Page) {
    if plan.published.is_some() {
        page.table("[control]");
        page.optional("published", plan.published.map(Jurisdiction::as_str));
    }
    for (role, limit) in &plan.limits {
        page.table("[[control.limit]]");
        page.text("what", role.as_str());
        bound(&limit.bound, page);
        page.text("reason", &limit.reason);
    }
    for (recipe, reason) in &plan.exempt {
        page.table("[[control.exempt]]");
        page.text("recipe", recipe);
        page.text("reason", reason);
    }
}

fn bound(bound: &ControlBound, page: &mut Page) {
    match bound {
        ControlBound::AtMost(most) => page.text("at_most", most),
        ControlBound::AtLeast(least) => page.text("at_least", least),
        ControlBound::Within(time) => page.text("within", time),
        ControlBound::Heat { at_least, held } => {
            page.text("at_least", at_least);
            page.text("held", held);
        }
        ControlBound::Cool { from, to, within } => {
            page.text("from", from);
            page.text("to", to);
            page.text("within", within);
        }
    }
}
