//! The arithmetic of the kitchen: yield, scaling, weigh-up and cost as pure functions.
//!
//! - [`compile`] resolves a [`Library`] of ingredients and recipes once, and says everything that
//!   is wrong with it.
//! - [`plan`] turns what is asked for into what every bowl takes, in making order.
//! - [`cost`] says what a plan costs at a site on a day, what is missing, and what to order.
//! - [`standard_costs`] and [`recost`] give the unit cost of every recipe; [`Recost`] keeps it
//!   up to date as prices and recipes change.
//! - [`Explosion`] answers the same demand again and again, rounded.
//! - [`geometry`] and [`dough`] are the small sums of the bench.
//!
//! What the figures mean is written down in [`rules`], so that anyone can recompute them.
//!
//! Everything here is a function of its arguments: no file, clock, network or chance. It is total:
//! whatever the model holds, there is an answer or a refusal that says what would mend it, without
//! a panic; nothing recurses, so nesting has no limit. Figures are exact; where one is shown
//! rounded, a float may have decided the rounding, but only where its proven bound leaves no other
//! digit. Those floats are in one module, with the proof.
//!
//! ```
//! use std::collections::BTreeMap;
//!
//! use chablon_arith::{Demand, Library, Target, compile, plan};
//! # use chablon_model::{Content, Details, Ingredient, Line, Recipe, Scaling, Text, Uses, Yield, Batch, Amount};
//! # fn ingredient(id: &str) -> Ingredient {
//! #     Ingredient { id: id.parse().unwrap(), name: Text::default(), label_name: Text::default(),
//! #         density: None, piece_mass: None, edible_yield: None, allergens: BTreeMap::new(),
//! #         other_allergens: None, content: Content::default(), details: Details::default(),
//! #         made_of: Vec::new(), note: None }
//! # }
//! # let line = |id: &str, amount: &str| Line { uses: Uses::Ingredient(id.parse().unwrap()),
//! #     amount: Amount::Mass(amount.parse().unwrap()), base: false, scaling: Scaling::Proportional,
//! #     tolerance: None, step: None };
//! # let bavarois = Recipe { id: "honey-bavarois".parse()?, title: Text::default(), density: None,
//! #     note: None, batch: Batch::default(), losses: Vec::new(), steps: Vec::new(), storage: None,
//! #     declared: chablon_model::DeclaredContent::default(),
//! #     lines: vec![line("milk-whole", "500 g"), line("honey", "556 g")],
//! #     yields: Some(Yield::Pieces { count: "48 pieces".parse()?, piece_mass: Some("22 g".parse()?), outline: None }) };
//! # let ingredients = [ingredient("honey"), ingredient("milk-whole")];
//! let (book, problems) = compile(&Library::new(&ingredients, [&bavarois]));
//! assert!(problems.is_empty());
//!
//! let demand = Demand::new("honey-bavarois".parse()?, Target::pieces(120));
//! let plan = plan(&book, &[demand], None)?;
//! let milk = &plan.components[0].lines[0];
//! assert_eq!(milk.mass.round(3).to_string(), "1250.000");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#![deny(clippy::float_arithmetic)]

pub mod about;
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
mod products;
mod recost;
pub mod rules;
pub mod shock;
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
    SmallDemand, TrayLoads, Warning, WeighFlag, Weighing, plan,
};
pub use problem::{Fault, IngredientPart, Place, Problem, RecipePart, Severity};
pub use recost::{Recost, Shock, UnitCost, gram_cost_changes, recost};
pub use rules::RULES_VERSION;
pub use site::{ScaleKit, SiteKit};
pub use target::{Demand, Target};
