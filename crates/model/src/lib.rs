//! What a group's kitchens hold and exchange, as plain values.
//!
//! - Documents: [`Book`] settings, [`Ingredient`], [`Recipe`], [`Site`], [`PriceList`].
//! - A [`Revision`] is one frozen state of a document; it pins what it uses.
//! - A [`Deviation`] is a site's granted, dated departure from one revision.
//! - A [`Draft`] is a change that is proposed and looked at before it is released.
//! - A [`Manifest`] puts revisions in force for an [`Audience`] from a [`Moment`]; a
//!   [`Withdrawal`] takes one back; [`in_force`] says what holds for a site at a moment.
//! - A [`Root`] says whose [`Signature`] counts; a [`Checkpoint`] is what a hub vouches for.
//!
//! Nothing here reads a file, a clock or a wire, and nothing is computed but what is in force.

mod actor;
mod audience;
mod book;
mod closure;
mod control;
mod day;
mod deviation;
mod digest;
mod draft;
mod id;
mod ingredient;
mod lot;
mod moment;
mod price_move;
mod prices;
mod recipe;
mod release;
mod revision;
mod role;
mod shape;
mod site;
mod standard;
mod superseded;
mod text;
mod trust;
mod withdrawn;
mod zone;

pub use actor::{ActorName, ActorNameError};
pub use audience::{Audience, View};
pub use book::{Book, LabelRegime, ReviewRule, Reviewer};
pub use closure::{Apart, Closure, ClosureBuilder, ClosureError, Reach, agree};
pub use control::{BoundKind, ControlBound, ControlRole, ControlSettings, Jurisdiction, OwnLimit};
pub use day::{Day, DayError};
pub use deviation::{
    Decision, Departure, Deviation, DeviationLimits, DeviationStanding, Grant, LineRef, NewAmount,
};
pub use digest::{Digest, DigestError};
pub use draft::{Draft, DraftAct, DraftEvent, DraftState};
pub use id::{
    DeviationId, DocumentId, DocumentKey, DocumentKind, DraftId, EquipmentClass, GroupId, IdError,
    IngredientId, PriceListId, RecipeId, ReleaseId, SiteId, StepId, SupplierId,
};
pub use ingredient::{
    Allergen, AllergenState, Constituent, Content, Detail, Details, Ingredient, Nutrient,
    UnknownAllergen,
};
pub use lot::{LotEvent, LotNote};
pub use moment::Moment;
pub use price_move::{NewPrice, PriceChange, PriceMove};
pub use prices::{ExchangeRate, Pack, Price, PriceList};
pub use recipe::{
    Amount, Batch, Condition, Control, DeclaredContent, Labour, Line, Loss, LossKind, Measure,
    Recipe, Scaling, SetPoint, Step, Storage, Uses, Yield,
};
pub use release::{Manifest, NextStep, Withdrawal};
pub use revision::{DocumentContent, Revision, RevisionRef, Visibility};
pub use role::Role;
pub use shape::{
    Mould, Outline, PieceSize, Shape, ShapeAmount, ShapeFlaw, Sheet, SheetLayout, SheetYield, Sizes,
};
pub use site::{Equipment, Load, Scale, Site, Tray};
pub use standard::{Entry, EntryBody, Standing, decided, in_force, standings};
pub use superseded::{LaterReleases, superseded};
pub use text::{Language, LanguageError, Text};
pub use trust::{
    ChainPlace, Checkpoint, PublicKey, PublicKeyError, Root, Signature, TrustKey, TrustRole,
};
pub use withdrawn::withdrawn_among;
pub use zone::{LocalTime, LocalTimeError, TimeZoneName, TimeZoneNameError};
