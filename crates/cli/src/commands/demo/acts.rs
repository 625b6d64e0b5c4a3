//! What is done several times over.

use chablon_model::{Audience, DocumentKind, RecipeId};
use chablon_sdk::publish::{Fate, GoOn, Taking, Terms};
use chablon_sdk::{Replica, Standard};

use super::stage::Stage;
use super::story;
use crate::book::documents;
use crate::commands::{kitchen, release, withdraw};
use crate::failure::Failure;
use crate::text::Tongue;
use crate::{clock, text};

/// Who releases.
pub(super) const AUTHOR: &str = "group pastry chef";

/// Releases what has changed in the book, to every kitchen.
pub(super) async fn release(stage: &Stage, note: &str) -> Result<(), Failure> {
    release_on(stage, Terms::new(clock::now(), note, AUTHOR), "").await
}

/// The same to a group of kitchens alone.
pub(super) async fn pilot(stage: &Stage, group: &str, note: &str) -> Result<(), Failure> {
    let groups = [group.parse().expect("a constant id")].into();
    let audience = Audience::Of { groups, sites: [].into() };
    let terms = Terms::new(clock::now(), note, AUTHOR).to(audience);
    release_on(stage, terms, &format!(" --to group:{group}")).await
}

async fn release_on(stage: &Stage, terms: Terms, more: &str) -> Result<(), Failure> {
    let note = &terms.note;
    story::typed(&format!("chablon release --book book --note \"{note}\"{more} --yes"))?;
    let checked = stage.book()?;
    story::shown(&checked.warnings())?;
    let documents = documents(&checked.sound(&stage.book_folder())?);
    let draft = release::prepare(&stage.client, &documents, &terms).await?;
    let new = draft.documents().iter().filter(|one| one.fate == Fate::New);
    let new: Vec<DocumentKind> = new.map(|one| one.revision.key.kind).collect();
    if new.is_empty() {
        story::shown(&text::draft(&draft, Tongue::English, story::width()))?;
    } else {
        story::shown(&format!("New: the group's settings, {}", text::contents(new.into_iter())))?;
    }
    let recorded = release::send(&stage.client, &draft).await?;
    story::shown(&release::told(&recorded, &terms))
}

/// Withdraws what was released last of a recipe.
pub(super) async fn withdraw(
    stage: &Stage,
    recipe: &RecipeId,
    back_to: u32,
    reason: &str,
) -> Result<(), Failure> {
    let command = format!("chablon withdraw --recipe {recipe} --go-back-to {back_to}");
    story::typed(&format!("{command} --reason \"{reason}\" --yes"))?;
    let go_on = GoOn::WithRevision(back_to);
    let taking = Taking::back(recipe.into(), go_on, clock::now(), reason, AUTHOR);
    let draft = withdraw::prepare(&stage.client, taking).await?;
    for user in withdraw::still_in_force(&stage.client, draft.withdrawal()).await? {
        story::shown(&user)?;
    }
    let recorded = withdraw::send(&stage.client, &draft).await?;
    story::shown(&withdraw::told(&recorded, draft.withdrawal()))
}

/// Kitchens catch up, and work by what they took. What the first one prints is shown, and what
/// another prints where that differs.
pub(super) async fn take_up(stage: &Stage, sites: &[&str]) -> Result<(), Failure> {
    let mut first: Option<String> = None;
    let mut same = Vec::new();
    for site in sites {
        let news = take(stage, site).await?;
        let without_name = news.replacen(site, "", 1);
        if first.as_ref() == Some(&without_name) {
            same.push(*site);
            continue;
        }
        story::typed(&format!("chablon kitchen sync --replica {site}.db --site {site}"))?;
        story::shown(&news)?;
        first.get_or_insert(without_name);
    }
    if same.is_empty() { Ok(()) } else { story::shown(&format!("{}: the same", same.join(", "))) }
}

/// One kitchen catches up and says that it works by what it took; what is new.
async fn take(stage: &Stage, site: &str) -> Result<String, Failure> {
    let kitchen = stage.kitchen(site);
    let news = kitchen::catch_up(kitchen, &stage.client).await?;
    kitchen::say(kitchen, &[]).await?;
    kitchen::catch_up(kitchen, &stage.client).await?;
    Ok(news)
}

/// What is in force of a recipe at a kitchen now.
pub(super) async fn standard(kitchen: &Replica, recipe: &RecipeId) -> Result<Standard, Failure> {
    let standard = kitchen.standard(recipe, clock::now()).await;
    standard.map_err(|error| Failure::of_figure(&error))
}
