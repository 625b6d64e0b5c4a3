//! Deviations: what a site's departure from a standard means, and when it lies over it.

mod apply;
mod assess;
mod at_site;
mod conflict;
mod error;
mod lay;
mod multiply;
mod three_way;

pub use apply::apply;
pub use assess::{Assessment, Concern, Objection, OverShare, assess};
pub use at_site::{AtSite, Laid, Notice, at_site};
pub use conflict::Conflict;
pub use error::CannotApply;
pub use lay::{LeftOut, Overlay, WhyNot, lay_over};
pub use three_way::{Fit, ThreeWay, Verdict, fit, three_way};
