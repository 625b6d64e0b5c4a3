//! From documents to what is declared of them.

use chablon_declare::balance::DetailTable;
use chablon_declare::control::{ControlPlan, Jurisdiction};
use chablon_declare::{DeclareError, DeclareOptions, Declarer};
use chablon_model::{Book, LabelRegime};

use super::{Balanced, Declared, Declaring};
use crate::error::Kind;
use crate::figures::{Basis, Kitchen};
use crate::{Error, Reason};

impl Kitchen<'_> {
    pub(crate) fn declare(&self, how: &Declaring) -> Result<Declared, Error> {
        let settings = self.settings.ok_or_else(|| self.without_settings())?;
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
            declaration: declarer.declare(self.recipe, &options)?,
            control: declarer.control(self.recipe, &plan)?,
            basis: Basis::new(digests),
            cautions: self.cautions.clone(),
        })
    }

    pub(crate) fn balance(&self) -> Result<Balanced, Error> {
        let declarer = Declarer::new(&self.library);
        Ok(Balanced {
            recipe: self.recipe.clone(),
            balance: declarer.balance(self.recipe, &DetailTable::new())?,
            basis: Basis::new(self.digests.clone()),
            cautions: self.cautions.clone(),
        })
    }

    fn without_settings(&self) -> Error {
        let message = format!("`{}` can't be declared without the group's settings", self.recipe);
        Error::new(Kind::NotComputable, message)
    }
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
