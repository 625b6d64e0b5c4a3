//! From documents to what is declared of them.

use chablon_declare::balance::DetailTable;
use chablon_declare::control::{ControlPlan, Jurisdiction};
use chablon_declare::{DeclareError, DeclareOptions, Declarer};
use chablon_model::{Book, LabelRegime, RecipeId};

use super::{Balanced, Declared, Declaring};
use crate::error::Kind;
use crate::figures::{Basis, Kitchen};
use crate::{Error, Reason};

impl Kitchen<'_> {
    pub(crate) fn declare(&self, recipe: &RecipeId, how: &Declaring) -> Result<Declared, Error> {
        let settings = self.settings.ok_or_else(|| without_settings(recipe))?;
        let declarer = Declarer::new(&self.library);
        let options = DeclareOptions {
            settings: settings.value,
            emphasised: how.emphasised.clone(),
            serving: None,
        };
        let jurisdiction = how.jurisdiction.unwrap_or_else(|| jurisdiction(settings.value));
        let plan = ControlPlan::published(jurisdiction);
        let mut digests = self.digests.clone();
        digests.insert(settings.digest);
        Ok(Declared {
            declaration: declarer.declare(recipe, &options)?,
            control: declarer.control(recipe, &plan)?,
            basis: Basis::new(digests),
            deviations: self.deviations.clone(),
            cautions: self.cautions.clone(),
        })
    }

    pub(crate) fn balance(&self, recipe: &RecipeId) -> Result<Balanced, Error> {
        let declarer = Declarer::new(&self.library);
        Ok(Balanced {
            recipe: recipe.clone(),
            balance: declarer.balance(recipe, &DetailTable::new())?,
            basis: Basis::new(self.digests.clone()),
            deviations: self.deviations.clone(),
            cautions: self.cautions.clone(),
        })
    }
}

fn without_settings(recipe: &RecipeId) -> Error {
    let message = format!("`{recipe}` can't be declared without the group's settings");
    Error::new(Kind::NotComputable, message)
}

/// The published points that go with a group's first label regime.
fn jurisdiction(settings: &Book) -> Jurisdiction {
    match settings.labels.first() {
        Some(LabelRegime::Us) => Jurisdiction::UsFoodCode,
        Some(LabelRegime::Eu) | None => Jurisdiction::EuropeanUnion,
    }
}

impl From<DeclareError> for Error {
    fn from(error: DeclareError) -> Self {
        Self::new(Kind::NotComputable, format!("{error}; {}", error.hint()))
            .with_reason(Some(Reason::NotComputable))
            .with_details([("code".to_owned(), error.code().to_owned())])
            .with_source(error)
    }
}
