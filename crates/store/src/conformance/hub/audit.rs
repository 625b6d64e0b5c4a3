//! The log of changes.

use std::sync::Arc;

use chablon_model::{Audience, NextStep};

use crate::conformance::samples::{
    actor, asked, create, decision, limit, release, revision, site, step, withdrawal,
};
use crate::{Act, AuditRecord, HubStore};

fn told(record: &AuditRecord) -> (Act, &str, &str) {
    (record.act, &record.subject, &record.detail)
}

/// Releases, withdrawals, steps of drafts and deviations, with who made them and when.
pub async fn every_change_is_in_the_log(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    assert_eq!(hub.audit(None, limit(10)).await.unwrap(), []);
    let pear = revision("recipe/pear", 1);
    let commit = release("first", Audience::All, &[&pear, &site("harbour", 1, &[])]);
    let at = commit.at;
    hub.release(commit).await.unwrap();
    hub.withdraw(withdrawal("stop", &pear, NextStep::MakeNone)).await.unwrap();
    hub.take_step(step("begin", "the deputy", create("less"))).await.unwrap();
    let ask = asked("less", "harbour", &pear);
    hub.ask_deviation(ask.clone()).await.unwrap();
    hub.decide_deviation(decision("yes", &ask, "granted")).await.unwrap();
    drop(hub);
    let log = open().await.audit(None, limit(10)).await.unwrap();
    let numbers: Vec<u64> = log.iter().map(|entry| entry.number).collect();
    assert_eq!(numbers, [5, 4, 3, 2, 1]);
    let records: Vec<_> = log.iter().map(|entry| told(&entry.record)).collect();
    assert_eq!(
        records,
        [
            (Act::GrantDeviation, "deviation/less", "granted"),
            (Act::AskDeviation, "deviation/less", "a reason"),
            (Act::CreateDraft, "draft/less-honey", "Less honey"),
            (Act::Withdraw, "recipe/pear 1", "a reason"),
            (Act::Release, "release/first", "a note"),
        ]
    );
    assert_eq!((&log[4].record.by, log[4].record.at), (&actor("the chef"), at));
    assert_eq!(log[2].record.by, actor("the deputy"));
}

/// Neither what is refused nor what is sent again.
pub async fn what_changes_nothing_is_not_in_the_log(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let commit = release("first", Audience::All, &[&revision("recipe/pear", 1)]);
    hub.release(commit.clone()).await.unwrap();
    assert!(hub.release(commit).await.unwrap().repeated);
    let begin = step("begin", "the deputy", create("less"));
    hub.take_step(begin.clone()).await.unwrap();
    hub.take_step(begin).await.unwrap();
    hub.take_step(step("again", "the deputy", create("less"))).await.unwrap_err();
    let late = release("late", Audience::All, &[&revision("recipe/pear", 3)]);
    hub.release(late).await.unwrap_err();
    assert_eq!(hub.audit(None, limit(10)).await.unwrap().len(), 2);
}

/// A page goes on before the number of the last record of the one before.
pub async fn the_log_comes_in_pages_the_newest_first(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    for number in 1..=5 {
        let name = format!("r{number}");
        let pear = revision("recipe/pear", number);
        hub.release(release(&name, Audience::All, &[&pear])).await.unwrap();
    }
    let (mut before, mut read) = (None, Vec::new());
    loop {
        let page = hub.audit(before, limit(2)).await.unwrap();
        let Some(last) = page.last() else { break };
        before = Some(last.number);
        read.extend(page.into_iter().map(|entry| entry.record.subject));
    }
    assert_eq!(read, ["release/r5", "release/r4", "release/r3", "release/r2", "release/r1"]);
}
