//! The arithmetic of the kitchen: yield, scaling, weigh-up and cost as pure functions.

#![deny(clippy::float_arithmetic)]

mod compile;
mod compiled;
mod cost;
pub mod dough;
mod explosion;
mod fault;
mod figures;
mod filter;
mod flat;
pub mod geometry;
mod library;
mod number;
mod plan;
mod problem;
mod recost;
mod site;
mod size;
mod target;
mod users;

pub use compile::{BookChange, MustCompile, compile};
pub use compiled::{
    CompiledBook, CompiledIngredient, CompiledLine, CompiledRecipe, CompiledStep, IngredientIndex,
    RecipeIndex, Used,
};
pub use cost::{
    Costing, IngredientCost, LabourCost, Missing, NoPrice, OrderLine, PriceBook, PriceFault,
    PricePart, PriceProblem, Quote, StandardCost, check_prices, cost, price_for_share,
    standard_costs,
};
pub use explosion::{Explosion, FoodCost, GramCosts, explode};
pub use figures::Figures;
pub use library::Library;
pub use plan::{
    Hint, IngredientTotal, Plan, PlanError, PlannedLine, PlannedRecipe, Product, SmallBowl,
    SmallDemand, Warning, WeighFlag, Weighing, plan,
};
pub use problem::{Fault, IngredientPart, Place, Problem, RecipePart, Severity};
pub use recost::{Recost, Shock, UnitCost, gram_cost_changes, recost};
pub use site::{ScaleKit, SiteKit};
pub use target::{Demand, Target};

/// The version of the rules that these figures follow; every result's basis names it.
pub const RULES_VERSION: &str = "1";
