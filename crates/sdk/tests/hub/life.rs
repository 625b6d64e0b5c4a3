//! The life of standards against a model: drafts, releases, pilots, supersessions, withdrawals and
//! deviations in any order, with a clock that moves. What is in force, and what lies over it, is
//! the model's for every site and moment: at the hub, in its own words and in its figures, and at
//! the kitchens. Drafts are where the model has them, and what is refused is refused for its reason.
//!
//! The model is told what was sent and knows nothing of the feed's entries.

use chablon_sdk::arith::Target;
use chablon_sdk::deviations::DecisionDraft;
use chablon_sdk::model::{
    Audience, Decision, Departure, Deviation, DeviationId, DeviationLimits, DocumentContent,
    DocumentKey, Grant, LineRef, LocalTime, Moment, NewAmount, Uses,
};
use chablon_sdk::publish::{Fate, GoOn, Scope, Taking, Terms};
use chablon_sdk::{Client, Reason, Replica, StandardState};
use chablon_testkit::{Keeping, TestClock, TestHub, sample};
use proptest::prelude::*;

use crate::common::{NOW, client, group, kitchen, note, recipe, site};

mod drafts;
mod model;

use drafts::{Act, Deed, Desk, Sent};
use model::{Fact, Model, Right};

const HOUR: i64 = 3_600_000;
const RECIPES: [&str; 2] = ["custard", "custard-cream"];
/// Each site with the group that it belongs to; the first group is the pilot's.
const SITES: [(&str, &str); 2] = [("harbour", "coast"), ("millrace", "inland")];

#[derive(Clone, Debug)]
enum Step {
    /// To the pilot alone, or to all; again everything, or what changed.
    Release {
        recipe: usize,
        wording: u8,
        pilot: bool,
        hours: i64,
        everything: bool,
        /// From that hour on each site's own clock.
        local: bool,
    },
    Withdraw {
        recipe: usize,
        back: bool,
        pilot: bool,
        hours: i64,
    },
    /// A deviation of this name is asked where it wasn't, and granted or refused.
    Deviate {
        name: u8,
        site: usize,
        yes: bool,
        from: i64,
        hours: i64,
    },
    /// Somebody does something to a draft.
    Draft(Deed),
    /// The clock moves on.
    Wait {
        hours: i64,
    },
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let scope = (prop::bool::weighted(0.2), prop::bool::weighted(0.3));
    let release = (0usize..2, 0u8..3, any::<bool>(), -3i64..3, scope).prop_map(
        |(recipe, wording, pilot, hours, (everything, local))| Step::Release {
            recipe,
            wording,
            pilot,
            hours,
            everything,
            local,
        },
    );
    let withdraw = (0usize..2, any::<bool>(), any::<bool>(), -3i64..3)
        .prop_map(|(recipe, back, pilot, hours)| Step::Withdraw { recipe, back, pilot, hours });
    let deviate = (0u8..3, 0usize..2, prop::bool::weighted(0.8), -2i64..3, 1i64..6)
        .prop_map(|(name, site, yes, from, hours)| Step::Deviate { name, site, yes, from, hours });
    let wait = (1i64..3).prop_map(|hours| Step::Wait { hours });
    let draft = drafts::deeds().prop_map(Step::Draft);
    let any = prop_oneof![4 => release, 3 => withdraw, 4 => deviate, 10 => draft, 2 => wait];
    prop::collection::vec(any, 1..24)
}

struct World {
    _hub: TestHub,
    clock: TestClock,
    client: Client,
    documents: Vec<DocumentContent>,
    kitchens: Vec<Replica>,
    model: Model,
    desk: Desk,
}

impl World {
    async fn new(keeping: Keeping) -> Self {
        let clock = TestClock::at(NOW);
        let hub = TestHub::builder(keeping).clock(clock.clone()).start().await;
        let (client, desk) = (client(&hub), Desk::new(&hub));
        let kitchens = vec![kitchen(SITES[0].0).await, kitchen(SITES[1].0).await];
        let documents = in_zones(sample::book().documents());
        let model = Model::default();
        let mut world = Self { _hub: hub, clock, client, documents, kitchens, model, desk };
        world.release(Terms::new(Moment(NOW.0 - 6 * HOUR), "First", "Chef"), false).await;
        world
    }

    fn moment(&self, hours: i64) -> Moment {
        Moment(self.clock.now().0 + hours * HOUR)
    }

    async fn release(&mut self, terms: Terms, pilot: bool) {
        let terms = if pilot { terms.to(group(SITES[0].1)) } else { terms };
        let draft = self.client.draft(&self.documents, &terms).await.unwrap();
        if draft.is_empty() {
            return;
        }
        self.client.release(&draft).await.unwrap();
        let everything = terms.scope == Scope::Everything;
        let new = |fate: &Fate| !matches!(fate, Fate::HeldBack { .. } | Fate::Unchanged);
        self.desk.releases += usize::from(draft.documents().iter().any(|one| new(&one.fate)));
        for drafted in draft.documents() {
            let sent = match drafted.fate {
                Fate::HeldBack { .. } => false,
                Fate::Unchanged => everything,
                _ => true,
            };
            if sent {
                self.model.released(&drafted.revision, holds_from(&terms), pilot);
            }
        }
    }

    /// Does something to a draft, up to its release.
    async fn draft(&mut self, deed: Deed) {
        let mut documents = self.documents.clone();
        note(&mut documents, RECIPES[deed.recipe], &format!("Wording {}", deed.wording));
        let Sent::Release(seen, right) = self.desk.take(&deed, &documents).await else { return };
        let terms = Terms::new(self.moment(deed.hours), "A draft", "Chef");
        let terms = if deed.pilot { terms.to(group(SITES[0].1)) } else { terms };
        let hand = self.desk.hand(deed.by);
        let release = hand.draft_release(&seen, &terms).await.unwrap();
        let answer = hand.release_draft(&release).await;
        if !self.desk.released(&seen.draft, &answer, right) {
            return;
        }
        assert_eq!(self.desk.hand(deed.by).release_draft(&release).await.unwrap(), answer.unwrap());
        self.desk.releases += 1;
        for revision in &seen.revisions {
            self.model.released(revision.reference(), holds_from(&terms), deed.pilot);
        }
    }

    async fn take(&mut self, step: Step) {
        match step {
            Step::Release { recipe, wording, pilot, hours, everything, local } => {
                note(&mut self.documents, RECIPES[recipe], &format!("Wording {wording}"));
                let scope = if everything { Scope::Everything } else { Scope::Changed };
                let from = self.moment(hours);
                let mut terms = Terms::new(from, "Another", "Chef").of(scope);
                terms.site_time = local.then(|| in_utc(from));
                self.release(terms, pilot).await;
            }
            Step::Withdraw { recipe, back, pilot, hours } => {
                self.withdraw(RECIPES[recipe], back, pilot, self.moment(hours)).await;
            }
            Step::Deviate { name, site, yes, from, hours } => {
                let id = format!("{}-{name}", SITES[site].0).parse().unwrap();
                let (from, until) = (self.moment(from), self.moment(from + hours));
                self.deviate(id, site, yes, (from, until)).await;
            }
            Step::Draft(deed) => self.draft(deed).await,
            Step::Wait { hours } => self.clock.advance(hours * HOUR),
        }
    }

    async fn withdraw(&mut self, recipe: &'static str, back: bool, pilot: bool, from: Moment) {
        let key: DocumentKey = format!("recipe/{recipe}").parse().unwrap();
        let go_on = if back { GoOn::WithRevision(1) } else { GoOn::WithNone };
        let taking = Taking::back(key, go_on, from, "Wrong", "Chef");
        let audience = if pilot { group(SITES[0].1) } else { Audience::All };
        // Going back from the first, or from what those addressed never got, is refused.
        let Ok(draft) = self.client.draft_withdrawal(taking.from(audience)).await else { return };
        match self.client.withdraw(&draft).await {
            Ok(_) => {
                let number = draft.withdrawal().revision.number;
                let fact = Fact::Withdrawn { recipe, number, to: back.then_some(1) };
                self.model.facts.push(([from; 2], pilot, fact));
            }
            Err(error) => assert!(error.is_precondition(), "{error:?}"),
        }
    }

    /// Harbour or millrace takes less milk in what is in force of its custard now.
    async fn deviate(
        &mut self,
        id: DeviationId,
        at_site: usize,
        yes: bool,
        (from, until): (Moment, Moment),
    ) {
        let now = self.clock.now();
        let of_site = site(SITES[at_site].0);
        let standards = self.client.site_standards(&of_site, now).await.unwrap();
        let Some(based_on) = standards.revision(&recipe("custard")).cloned() else { return };
        let uses = Uses::Ingredient("milk-whole".parse().unwrap());
        let to = NewAmount::Times("0.9".parse().unwrap());
        let over = based_on.number;
        let deviation = Deviation {
            id: id.clone(),
            site: of_site,
            based_on,
            departures: vec![Departure::Amount { line: LineRef { number: 1, uses }, to }],
            limits: DeviationLimits::default(),
            from,
            until,
            reason: "Less milk came".to_owned(),
            decision: Decision::Asked,
        };
        if !self.model.decisions.contains_key(&id) {
            self.client.ask_deviation(&deviation).await.unwrap();
        }
        let submitted = self.client.deviation(&id).await.unwrap();
        let by = "Chef".to_owned();
        let decision = if yes {
            let (note, allergens) = (None, [].into());
            Decision::Granted(Grant { by, at: now, note, allergens, critical_limits: false })
        } else {
            Decision::Refused { by, at: now, reason: "No".to_owned() }
        };
        let decided = Deviation { decision, ..deviation };
        let draft = DecisionDraft::new(&submitted, decided).unwrap();
        self.client.decide_deviation(&draft).await.unwrap();
        let until = if yes { until } else { from };
        let known = self.model.decisions.entry(id).or_insert_with(|| (at_site, Vec::new()));
        known.1.push((now, from, until, over));
    }

    async fn check(&self) {
        self.desk.check().await;
        for (at_site, replica) in self.kitchens.iter().enumerate() {
            replica.sync(&self.client).await.unwrap();
            let last = (self.clock.now().0 - NOW.0) / HOUR + 6;
            for hours in -7..=last {
                let at = Moment(NOW.0 + hours * HOUR);
                for recipe in RECIPES {
                    self.check_standard(at_site, replica, recipe, at).await;
                }
            }
            replica.check().await.unwrap();
        }
    }

    async fn check_standard(&self, at_site: usize, replica: &Replica, id: &str, at: Moment) {
        let right = self.model.right(at_site, id, at);
        let (of, key) = (recipe(id), format!("recipe/{id}").parse().unwrap());
        let hub = match self.client.standard(replica.site(), &key, Some(at)).await {
            Ok(listed) => match listed.state {
                StandardState::InForce(in_force) => Right::Revision(in_force.revision.number),
                StandardState::Stopped(_) => Right::None,
            },
            Err(error) if error.is_not_found() => Right::Nothing,
            Err(error) => panic!("{error:?}"),
        };
        assert_eq!(hub, right, "{id} at {} by {at:?} at the hub", replica.site());
        let standard = match replica.standard(&of, at).await {
            Ok(standard) => standard,
            Err(error) if error.stopped().is_some() => return assert_eq!(right, Right::None),
            Err(error) if error.is_not_found() => return assert_eq!(right, Right::Nothing),
            Err(error) => panic!("{error:?}"),
        };
        assert_eq!(Right::Revision(standard.revision().number), right);
        let plan = standard.scale(&Target::grams(1000)).unwrap();
        let laid: Vec<DeviationId> = plan.deviations.iter().map(|one| one.id.clone()).collect();
        if id == "custard" {
            let expected = self.model.laid(at_site, standard.revision().number, at);
            assert_eq!(laid, expected, "at {} by {at:?}", replica.site());
        }
        let hub = self.client.scale(replica.site(), &of, &Target::grams(1000), Some(at)).await;
        let hub = hub.unwrap();
        assert_eq!((&hub.basis, &hub.deviations), (&plan.basis, &plan.deviations));
        assert_eq!(hub.ingredients, plan.ingredients);
    }
}

/// Two and one hours before UTC, as the time zone database names them.
const ZONES: [(&str, i64); 2] = [("Etc/GMT-2", 2), ("Etc/GMT-1", 1)];

/// The book with its sites in zones of their own.
fn in_zones(mut documents: Vec<DocumentContent>) -> Vec<DocumentContent> {
    for content in &mut documents {
        if let DocumentContent::Site(one) = content {
            let index = SITES.iter().position(|(id, _)| *id == one.id.as_str()).unwrap();
            one.time_zone = Some(ZONES[index].0.parse().unwrap());
        }
    }
    documents
}

/// What a clock in UTC shows; all moments of the test are hours of this month.
fn in_utc(at: Moment) -> LocalTime {
    let midnight = NOW.0 - 8 * HOUR;
    let hour = (at.0 - midnight) / HOUR;
    format!("2026-10-{:02} {:02}:00", hour / 24 + 1, hour % 24).parse().unwrap()
}

/// From when a release holds at each site.
fn holds_from(terms: &Terms) -> [Moment; 2] {
    let Terms { holds_from, site_time, .. } = terms;
    match site_time {
        Some(_) => ZONES.map(|(_, before_utc)| Moment(holds_from.0 - before_utc * HOUR)),
        None => [*holds_from; 2],
    }
}

fn lives(keeping: &Keeping, cases: u32) {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    let config = ProptestConfig { cases, max_shrink_iters: 200, ..ProptestConfig::default() };
    proptest!(config, |(steps in steps())| {
        runtime.block_on(async {
            let mut world = World::new(keeping.clone()).await;
            for step in steps {
                world.take(step).await;
            }
            world.check().await;
        });
    });
}

#[test]
fn in_memory_it_is_the_models_at_every_site_and_moment() {
    lives(&Keeping::Memory, 40);
}

#[test]
fn in_a_file_it_is_the_models_at_every_site_and_moment() {
    lives(&Keeping::Sqlite, 16);
}

#[test]
fn in_a_database_it_is_the_models_at_every_site_and_moment() {
    lives(&Keeping::Postgres, 5);
}

/// The steps reach what the test is about: a pilot, a deviation that lies, one that fell away with
/// its standard, a stop.
#[tokio::test]
async fn the_steps_reach_what_they_are_about() {
    let mut world = World::new(Keeping::Memory).await;
    world.take(Step::Deviate { name: 0, site: 0, yes: true, from: 0, hours: 5 }).await;
    assert_eq!(world.model.laid(0, 1, NOW).len(), 1);
    world.check().await;
    let pilot = Step::Release {
        recipe: 0,
        wording: 1,
        pilot: true,
        hours: 1,
        everything: false,
        local: false,
    };
    world.take(pilot).await;
    let later = Moment(NOW.0 + HOUR);
    assert_eq!(world.model.right(0, "custard", later), Right::Revision(2));
    assert_eq!(world.model.right(1, "custard", later), Right::Revision(1));
    assert_eq!(world.model.laid(0, 2, later), []);
    world.check().await;
    world.take(Step::Withdraw { recipe: 0, back: false, pilot: false, hours: 2 }).await;
    assert_eq!(world.model.right(0, "custard", Moment(NOW.0 + 2 * HOUR)), Right::None);
    world.check().await;
}

/// A draft goes its way between two hands; what was approved before another wrote at it isn't any
/// more, and what was made before a release is made anew.
#[tokio::test]
async fn the_steps_reach_what_drafts_are_about() {
    let mut world = World::new(Keeping::Memory).await;
    let deed = |by, act, looks, wording| Deed {
        draft: 0,
        by,
        act,
        looks,
        recipe: 0,
        wording,
        pilot: true,
        hours: 0,
    };
    let onward = |by| deed(by, Act::Onward, true, 1);
    let (ada, ben, cleo) = (0, 1, 2);
    let steps = [
        onward(ada),
        onward(ada),
        onward(ada),
        onward(ben),
        deed(cleo, Act::Update, true, 2),
        deed(ada, Act::Release, false, 2),
        onward(cleo),
        deed(ben, Act::Approve, false, 2),
        onward(ben),
        onward(ada),
        deed(ben, Act::Release, false, 2),
    ];
    for one in steps {
        world.take(Step::Draft(one)).await;
    }
    let why =
        [Reason::NotAReviewer, Reason::DraftChanged, Reason::DraftChanged, Reason::DraftState];
    assert_eq!(world.desk.refusals, why);
    assert_eq!(world.model.right(0, "custard", NOW), Right::Revision(2));
    assert_eq!(world.model.right(1, "custard", NOW), Right::Revision(1));
    world.take(Step::Draft(deed(ada, Act::Onward, true, 0))).await;
    world.take(Step::Draft(deed(ada, Act::Onward, true, 0))).await;
    let release = Step::Release {
        recipe: 1,
        wording: 1,
        pilot: false,
        hours: 0,
        everything: false,
        local: false,
    };
    world.take(release).await;
    world.take(Step::Draft(onward(ben))).await;
    assert_eq!(world.desk.refusals.last(), Some(&Reason::DraftOutdated));
    world.check().await;
}
