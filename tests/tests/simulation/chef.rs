//! The chef, who releases, withdraws, moves kitchens to other groups and decides what they ask.

use std::cell::RefCell;
use std::rc::Rc;
use std::time::Duration;

use chablon_sdk::deviations::{DecisionDraft, Submitted};
use chablon_sdk::model::{
    Audience, Decision, Deviation, DocumentContent, DocumentKey, Entry, Grant, Moment, SiteId, View,
};
use chablon_sdk::publish::{GoOn, Taking, Terms};
use chablon_sdk::{Client, Error};
use chablon_testkit::sample;
use chablon_testkit::trust::{RELEASE_KEYS, key};
use futures::TryStreamExt as _;
use rand::rngs::StdRng;
use rand::{RngExt as _, SeedableRng as _};

use crate::ledger::Ledger;
use crate::network::{client, insist};
use crate::scene::{Group, HUBS, KITCHENS, LATER, NOW, WITNESS, first_root};

/// How many things the chef does before the last correction.
const ACTS: u64 = 36;
/// How long the chef rests between two, at most.
const REST: Duration = Duration::from_secs(8);
/// The note of the last correction.
pub(crate) const LAST: &str = "The last correction";
/// Which groups a kitchen may be in.
const GROUPS: [&[&str]; 5] = [&["coast"], &["inland"], &["coast", "inland"], &["pilot"], &[]];

/// A chef at work.
pub(crate) struct Chef {
    client: Client,
    dice: StdRng,
    signs: bool,
    documents: Vec<DocumentContent>,
    ledger: Rc<RefCell<Ledger>>,
}

impl Chef {
    pub(crate) fn new(seed: u64, group: Group, ledger: Rc<RefCell<Ledger>>) -> Self {
        let (client, dice) = (client(&HUBS), StdRng::seed_from_u64(seed));
        let documents = sample::book().documents();
        Self { client, dice, signs: group.signs, documents, ledger }
    }

    /// The small book, then one act after the other, and a correction for all at the end.
    pub(crate) async fn work(mut self) -> turmoil::Result {
        if self.signs {
            let root = first_root();
            insist(|| self.client.add_root(&root)).await?;
        }
        self.release("First standards", NOW, Audience::All).await?;
        for number in 1..ACTS {
            self.rest().await;
            match number % 6 {
                2 => self.withdraw(number).await?,
                4 => self.regroup(number).await?,
                _ => self.correct(number).await?,
            }
            self.decide(number).await?;
        }
        self.hear_everyone().await?;
        self.conclude().await?;
        let acknowledged = self.ledger.borrow().entries().to_vec();
        is_recorded(&acknowledged).await?;
        self.ledger.borrow_mut().finish();
        Ok(())
    }

    async fn rest(&mut self) {
        tokio::time::sleep(REST.mul_f64(self.dice.random())).await;
    }

    fn one_of<T: Clone>(&mut self, choices: &[T]) -> T {
        choices[self.dice.random_range(0..choices.len())].clone()
    }

    async fn release(&self, note: &str, from: Moment, to: Audience) -> Result<(), Error> {
        let terms = Terms::new(from, note, "A chef").to(to);
        let mut draft = insist(|| self.client.draft(&self.documents, &terms)).await?;
        if self.signs {
            draft.sign(&key(RELEASE_KEYS[0]));
        }
        let recorded = insist(|| self.client.release(&draft)).await?;
        self.ledger.borrow_mut().released(&draft, &recorded)
    }

    /// Another note on a recipe, for all or for some, mostly from now.
    async fn correct(&mut self, number: u64) -> Result<(), Error> {
        let recipe = self.one_of(&["custard", "custard-cream"]);
        self.note(recipe, number);
        let from = self.one_of(&[NOW, NOW, NOW, LATER]);
        let to = self.one_of(&[Audience::All, Audience::All, coast(), millrace(), both()]);
        self.release(&format!("Correction {number}"), from, to).await
    }

    fn note(&mut self, id: &str, number: u64) {
        for document in &mut self.documents {
            if let DocumentContent::Recipe(recipe) = document
                && recipe.id.as_str() == id
            {
                recipe.note = Some(format!("Corrected {number} times"));
            }
        }
    }

    /// Takes back what was released of a recipe, mostly the last: from whom it was released to, or
    /// from all, as the first time.
    async fn withdraw(&mut self, number: u64) -> Result<(), Error> {
        let recipe = self.one_of(&["recipe/custard", "recipe/custard-cream"]);
        let recipe: DocumentKey = recipe.parse().expect("a document");
        let released: Vec<(u32, Audience)> = {
            let ledger = self.ledger.borrow();
            let releases = ledger.releases_of(&recipe);
            releases.map(|(item, manifest)| (item.number, manifest.audience.clone())).collect()
        };
        let last = released.len() - 1;
        let which =
            if self.dice.random_bool(0.6) { last } else { self.dice.random_range(0..=last) };
        let (revision, to) = released[which].clone();
        let to = if number == 2 { Audience::All } else { self.one_of(&[to, Audience::All]) };
        let earlier =
            released.iter().filter(|(number, to)| *number < revision && *to == Audience::All);
        let earlier: Vec<u32> = earlier.map(|(number, _)| *number).collect();
        let go_on = match &earlier[..] {
            [_, ..] if self.dice.random_bool(0.6) => GoOn::WithRevision(self.one_of(&earlier)),
            _ => GoOn::WithNone,
        };
        let from = self.one_of(&[NOW, NOW, NOW, LATER]);
        let taking = Taking::back(recipe, go_on, from, format!("Withdrawal {number}"), "A chef");
        self.take_back(taking.revision(revision).from(to)).await
    }

    async fn take_back(&self, taking: Taking) -> Result<(), Error> {
        let mut draft = insist(|| self.client.draft_withdrawal(taking.clone())).await?;
        if self.signs {
            draft.sign(&key(RELEASE_KEYS[0]));
        }
        let recorded = insist(|| self.client.withdraw(&draft)).await?;
        self.ledger.borrow_mut().withdrawn(&draft, &recorded);
        Ok(())
    }

    /// Another custard, which some kitchens stop making, and the last correction, of the cream.
    async fn conclude(&mut self) -> Result<(), Error> {
        self.note("custard", ACTS);
        self.release("The last custard", NOW, Audience::All).await?;
        let custard = "recipe/custard".parse().expect("a document");
        let from = self.one_of(&[Audience::All, coast(), millrace()]);
        let taking = Taking::back(custard, GoOn::WithNone, NOW, "No custard", "A chef").from(from);
        self.take_back(taking).await?;
        self.note("custard-cream", ACTS);
        self.release(LAST, NOW, Audience::All).await
    }

    /// Moves a kitchen to other groups, or back to those that an earlier document gave it.
    async fn regroup(&mut self, number: u64) -> Result<(), Error> {
        let site: SiteId = self.one_of(&["harbour", "millrace"]).parse().expect("a site");
        let document = DocumentKey::from(&site);
        let last = {
            let ledger = self.ledger.borrow();
            ledger.releases_of(&document).last().expect("it was released").0.number
        };
        if last > 1 && self.dice.random_bool(0.4) {
            let go_on = GoOn::WithRevision(self.dice.random_range(1..last));
            let reason = format!("Groups taken back {number}");
            let taking = Taking::back(document, go_on, NOW, reason, "A chef");
            return self.take_back(taking.from(Audience::site(site))).await;
        }
        self.move_to_other_groups(&site);
        let to = self.one_of(&[Audience::All, Audience::site(site)]);
        self.release(&format!("Other groups {number}"), NOW, to).await
    }

    fn move_to_other_groups(&mut self, site: &SiteId) {
        let own = |document: &DocumentContent| document.key() == DocumentKey::from(site);
        let at = self.documents.iter().position(own).expect("the site's document");
        loop {
            let groups = self.one_of(&GROUPS).iter().map(|group| group.parse().expect("a group"));
            let groups = groups.collect();
            let DocumentContent::Site(document) = &mut self.documents[at] else { unreachable!() };
            if document.groups != groups {
                document.groups = groups;
                return;
            }
        }
    }

    /// Decides all that was asked, and now and then another way than before.
    async fn decide(&mut self, number: u64) -> Result<(), Error> {
        let asked = || self.client.deviations(None).try_collect::<Vec<Submitted>>();
        for submitted in insist(asked).await? {
            if submitted.decided.is_some() && self.dice.random_bool(0.9) {
                continue;
            }
            let decided = self.verdict(&submitted, number);
            let mut draft = DecisionDraft::new(&submitted, decided)?;
            if self.signs {
                draft.sign(&key(RELEASE_KEYS[1]));
            }
            let recorded = insist(|| self.client.decide_deviation(&draft)).await?;
            self.ledger.borrow_mut().decided(&draft, &recorded);
        }
        Ok(())
    }

    fn verdict(&mut self, submitted: &Submitted, number: u64) -> Deviation {
        let (by, at, reason) = ("A chef".to_owned(), NOW, format!("Decision {number}"));
        let decision = if self.dice.random_bool(0.7) {
            let (allergens, critical_limits) = ([].into(), false);
            Decision::Granted(Grant { by, at, note: Some(reason), allergens, critical_limits })
        } else {
            Decision::Refused { by, at, reason }
        };
        Deviation { decision, ..submitted.latest().clone() }
    }

    /// Waits until each kitchen has asked something, and decides it.
    async fn hear_everyone(&mut self) -> Result<(), Error> {
        for number in ACTS.. {
            self.decide(number).await?;
            let asked = || self.client.deviations(None).try_collect::<Vec<Submitted>>();
            let asked = insist(asked).await?;
            let heard = |host: &str| {
                asked
                    .iter()
                    .any(|one| one.decided.is_some() && one.asked.id.as_str().starts_with(host))
            };
            if KITCHENS.iter().all(|(host, _, _)| heard(host)) {
                break;
            }
            self.rest().await;
        }
        Ok(())
    }
}

fn coast() -> Audience {
    Audience::Of { groups: ["coast".parse().expect("a group")].into(), sites: [].into() }
}

fn millrace() -> Audience {
    Audience::site("millrace".parse().expect("a site"))
}

fn both() -> Audience {
    let groups = ["pilot", "inland"].map(|group| group.parse().expect("a group")).into();
    Audience::Of { groups, sites: ["harbour".parse().expect("a site")].into() }
}

/// Whether what was acknowledged to the chef is the feed that the witness shows.
async fn is_recorded(acknowledged: &[Entry]) -> turmoil::Result {
    let client = client(&[WITNESS]);
    let pages = insist(|| client.changes(&View::Whole, None).try_collect::<Vec<_>>()).await?;
    let there: Vec<Entry> =
        pages.iter().flat_map(|page| page.entries.iter().map(chablon_sdk::Change::entry)).collect();
    match acknowledged.iter().find(|one| !there.contains(one)) {
        Some(lost) => Err(format!("{lost:?} was acknowledged and is lost").into()),
        None if there.len() > acknowledged.len() => Err("the feed has what nobody wrote".into()),
        None => Ok(()),
    }
}
