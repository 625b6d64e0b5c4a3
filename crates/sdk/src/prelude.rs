//! What most programs need.

pub use chablon_arith::{Demand, Target};
pub use chablon_model::{
    Audience, Day, DocumentContent, DocumentKey, IngredientId, Moment, RecipeId, SiteId, View,
};

pub use crate::{Client, Error, Event, Options, Replica, Standard, now};
