//! What a change of a standard means, in the words of the trade.
//!
//! - [`compare`] takes two [`Edition`]s and gives a [`Comparison`]: every [`Change`], the worst
//!   first. [`What`] changes is told with its values on both sides, and as a sentence.
//! - Each change has a [`Class`], from which follows how many look at it, by the group's rule, and
//!   what a kitchen does.
//! - A [`Cascade`] names what stands above a change, the way down to it, and what must be released
//!   together.
//! - A deviation is laid over its recipe by [`apply`], judged by [`assess`], laid over all of a
//!   site's standards by [`lay_over`] or over all that one uses by [`at_site`], and put to the chef again by [`three_way`].
//! - A site that is [`Leaving`] a group no longer sees what was withdrawn from that group alone.
//!
//! What documents say otherwise is told of the document. What follows is told of the recipes at the
//! top to which it shows: figures of finished pieces, and allergens also of a component where what
//! is made of it has them anyway. Figures are compared as they are shown, so that one which
//! changes beyond its last decimal isn't told; whatever documents say otherwise always is, if only
//! as [`What::Rewritten`].
//!
//! Nothing is computed here that arithmetic and declarations don't compute already.
//!
//! ```
//! use chablon_change::{Class, Edition, compare};
//! use chablon_model::{Batch, Condition, DocumentContent, Recipe, Storage, Text};
//!
//! let recipe = |keeps: &str| {
//!     let keeps = Some(keeps.parse().unwrap());
//!     DocumentContent::Recipe(Recipe {
//!         id: "honey-bavarois".parse().unwrap(),
//!         title: Text::default(),
//!         density: None,
//!         note: None,
//!         yields: None,
//!         batch: Batch::default(),
//!         lines: Vec::new(),
//!         losses: Vec::new(),
//!         steps: Vec::new(),
//!         storage: Some(Storage { condition: Condition::Chilled, keeps }),
//!         declared: chablon_model::DeclaredContent::default(),
//!     })
//! };
//! let (old, new) = ([recipe("48 h")], [recipe("3 d")]);
//! let day = "2026-11-25".parse()?;
//! let comparison = compare(&Edition::new(&old), &Edition::new(&new), day);
//! assert_eq!(comparison.class(), Some(Class::Safety));
//! let last = comparison.changes().last().unwrap();
//! assert_eq!(last.what.to_string(), "storage: chilled for 3 d instead of chilled for 48 h");
//! # Ok::<(), chablon_model::DayError>(())
//! ```

mod cascade;
mod caution;
mod change;
mod class;
mod compare;
mod comparison;
mod deviation;
mod edition;
mod leaving;
mod matching;
mod pair;
mod say;
mod sense;

pub use cascade::{Cascade, Route};
pub use caution::Caution;
pub use change::{
    AllergenChange, Bound, Change, ContentFigure, Cost, CostUnit, DeclaredFigure, Group, Hands,
    LabelFigure, Limit, LineFigure, LineSetting, LinesChange, Listed, Makes, NotTold, Presence,
    SettingsChange, Shift, SiteChange, StatedContent, Told, UnitFigure, What, Worded,
};
pub use class::{Class, Reaction};
pub use compare::compare;
pub use comparison::Comparison;
pub use deviation::{
    Assessment, AtSite, CannotApply, Concern, Conflict, Fit, Laid, LeftOut, Notice, Objection,
    OverShare, Overlay, ThreeWay, Verdict, WhyNot, apply, assess, at_site, fit, lay_over,
    three_way,
};
pub use edition::Edition;
pub use leaving::Leaving;
pub use pair::Pair;
pub use say::departure_words;
