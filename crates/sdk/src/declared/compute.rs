//! From documents to what is declared of them.

use chablon_declare::allergens::AllergenDeclaration;
use chablon_declare::control::ControlPlan;
use chablon_declare::{DeclareError, DeclareOptions, Declarer};
use chablon_model::RecipeId;

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
        let plan = ControlPlan::of_group(settings.value, how.jurisdiction);
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

    pub(crate) fn allergens(&self, recipe: &RecipeId) -> Result<Vec<AllergenDeclaration>, Error> {
        Ok(Declarer::new(&self.library).allergens(recipe)?)
    }

    pub(crate) fn balance(&self, recipe: &RecipeId) -> Result<Balanced, Error> {
        let declarer = Declarer::new(&self.library);
        Ok(Balanced {
            recipe: recipe.clone(),
            balance: declarer.balance(recipe)?,
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

impl From<DeclareError> for Error {
    fn from(error: DeclareError) -> Self {
        Self::new(Kind::NotComputable, format!("{error}; {}", error.hint()))
            .with_reason(Some(Reason::NotComputable))
            .with_details([("code".to_owned(), error.code().to_owned())])
            .with_source(error)
    }
}
