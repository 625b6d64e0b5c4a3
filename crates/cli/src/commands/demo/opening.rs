//! The book is checked and released, and the kitchens take it.

use super::acts;
use super::stage::{SITES, Stage};
use super::story;
use crate::commands::check;
use crate::failure::Failure;

pub(super) async fn show(stage: &Stage) -> Result<(), Failure> {
    story::step(1, "The chef checks the book, a folder of text files")?;
    story::typed("chablon check --book book")?;
    story::shown(&check::summary(&stage.book()?))?;

    story::step(2, "It is released: from now on it is the standard")?;
    story::typed("chablon hub serve --store hub.db")?;
    story::shown(&format!("The hub serves hub.db at {}", stage.url()))?;
    story::typed(&format!("export CHABLON_HUB={}", stage.url()))?;
    acts::release(stage, "First standards").await?;

    story::step(3, "Each kitchen takes what concerns it onto its own machine, and works by it")?;
    acts::take_up(stage, &SITES).await?;
    story::typed("chablon kitchen use --replica harbour.db")?;
    story::shown("(and so in every kitchen, here and below: it works by what it has taken)")
}
