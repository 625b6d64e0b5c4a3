//! A group's settings.

use chablon_model::{Book, LabelRegime, ReviewRule, Reviewer};

use crate::form::{
    Coded, Wire, code, coded, collect, distinct, optional, parsed, to_optional, words,
};
use crate::{At, Violation, pb};

coded!(LabelRegime = pb::LabelRegime { Eu, Us });
coded!(Reviewer = pb::Reviewer { Chef, Deputy });

impl Wire for Book {
    type Pb = pb::Book;

    fn to_pb(&self) -> pb::Book {
        pb::Book {
            name: self.name.clone(),
            currency: self.currency.to_string(),
            languages: self.languages.iter().map(ToString::to_string).collect(),
            labels: self.labels.iter().map(|regime| regime.code()).collect(),
            control: (!self.control.is_empty()).then(|| self.control.to_pb()),
            review: to_optional(self.review.as_ref()),
        }
    }

    fn from_pb(book: pb::Book) -> Result<Self, Violation> {
        let languages = collect(book.languages, "languages", |code| parsed(&code))?;
        if languages.is_empty() {
            return Err(Violation::required().at("languages"));
        }
        distinct(&languages, "languages")?;
        let labels: Vec<LabelRegime> = collect(book.labels, "labels", |regime| code(regime, ""))?;
        let names: Vec<&str> = labels.iter().map(|regime| regime.as_str()).collect();
        distinct(&names, "labels")?;
        Ok(Self {
            name: words(book.name, "name")?,
            currency: parsed(&book.currency).at("currency")?,
            languages,
            labels,
            control: optional(book.control, "control")?.unwrap_or_default(),
            review: optional(book.review, "review")?,
        })
    }
}

impl Wire for ReviewRule {
    type Pb = pb::ReviewRule;

    fn to_pb(&self) -> pb::ReviewRule {
        let Self { safety, recipe, cost, text, by, direct } = self;
        let (safety, recipe, cost, text, direct) = (*safety, *recipe, *cost, *text, *direct);
        let by = by.iter().map(|reviewer| reviewer.code()).collect();
        pb::ReviewRule { safety, recipe, cost, text, by, direct }
    }

    fn from_pb(rule: pb::ReviewRule) -> Result<Self, Violation> {
        let by: Vec<Reviewer> = collect(rule.by, "by", |reviewer| code(reviewer, ""))?;
        if by.is_empty() {
            return Err(Violation::required().at("by"));
        }
        let names: Vec<&str> = by.iter().map(|reviewer| reviewer.as_str()).collect();
        distinct(&names, "by")?;
        Ok(Self {
            safety: people(rule.safety, "safety")?,
            recipe: people(rule.recipe, "recipe")?,
            cost: people(rule.cost, "cost")?,
            text: people(rule.text, "text")?,
            by,
            direct: rule.direct,
        })
    }
}

fn people(number: u32, field: &str) -> Result<u32, Violation> {
    let most = ReviewRule::MOST;
    let refused = || Violation::new(format!("{number} is more than {most}")).at(field);
    if number > most { Err(refused()) } else { Ok(number) }
}
