//! What is declared elsewhere of a finished recipe.

use chablon_model::{DeclaredContent, Details};
use chablon_quantity::Number;

use crate::form::{Wire, to_optional};
use crate::ingredient::{content_from_pb, content_to_pb};
use crate::{At, Violation, pb};

pub(super) fn to_pb(declared: &DeclaredContent) -> Option<pb::DeclaredContent> {
    (!declared.is_empty()).then(|| declared.to_pb())
}

impl Wire for DeclaredContent {
    type Pb = pb::DeclaredContent;

    fn to_pb(&self) -> pb::DeclaredContent {
        pb::DeclaredContent {
            content: content_to_pb(&self.content, &Details::default()),
            energy_kj: to_optional(self.energy_kj.as_ref()),
            energy_kcal: to_optional(self.energy_kcal.as_ref()),
        }
    }

    fn from_pb(form: pb::DeclaredContent) -> Result<Self, Violation> {
        let content = form.content.map(content_from_pb).transpose().at("content")?;
        let (content, details) = content.unwrap_or_default();
        if let Some(detail) = details.0.keys().next() {
            let reason = "isn't declared of a recipe: it follows from what is in it";
            return Err(Violation::new(reason).at(detail.as_str()).at("content"));
        }
        let declared = Self {
            content,
            energy_kj: energy(form.energy_kj, "energy_kj")?,
            energy_kcal: energy(form.energy_kcal, "energy_kcal")?,
        };
        if declared.is_empty() {
            Err(Violation::new("must declare something"))
        } else {
            Ok(declared)
        }
    }
}

fn energy(form: Option<pb::Number>, field: &str) -> Result<Option<Number>, Violation> {
    let Some(form) = form else { return Ok(None) };
    let number = Number::from_pb(form).at(field)?;
    if number.is_positive() {
        Ok(Some(number))
    } else {
        Err(Violation::new("must be more than 0").at(field))
    }
}
