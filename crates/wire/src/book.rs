//! A group's settings.

use chablon_model::{Book, LabelRegime};

use crate::form::{Coded, Wire, code, coded, collect, distinct, optional, parsed, words};
use crate::{At, Violation, pb};

coded!(LabelRegime = pb::LabelRegime { Eu, Us });

impl Wire for Book {
    type Pb = pb::Book;

    fn to_pb(&self) -> pb::Book {
        pb::Book {
            name: self.name.clone(),
            currency: self.currency.to_string(),
            languages: self.languages.iter().map(ToString::to_string).collect(),
            labels: self.labels.iter().map(|regime| regime.code()).collect(),
            control: (!self.control.is_empty()).then(|| self.control.to_pb()),
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
        })
    }
}
