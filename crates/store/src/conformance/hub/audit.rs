//! The log of changes.

use std::sync::Arc;

use chablon_model::{Audience, Moment, NextStep};

use crate::conformance::samples::{
    actor, asked, compaction, create, decision, limit, release, revision, root, signing, site,
    step, withdrawal,
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

/// What isn't in the feed: whose signatures count, signatures that come later, and compactions.
pub async fn what_is_done_to_the_whole_is_in_the_log(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = revision("recipe/pear", 1);
    let commit = release("first", Audience::All, &[&pear]);
    let again = release("again", Audience::All, &[&pear]);
    let bodies = [commit.parts[0].body.digest, again.parts[0].body.digest];
    hub.release(commit).await.unwrap();
    hub.release(again).await.unwrap();
    let first = root(1, "one");
    // Each twice: what changes nothing is not in the log.
    for _ in 0..2 {
        hub.add_root(first.clone()).await.unwrap();
        hub.sign_entries(signing(7, &[(2, bodies[1])])).await.unwrap();
        hub.compact(compaction(2, &[1])).await.unwrap();
    }
    hub.sign_entries(signing(7, &[(1, bodies[0]), (2, bodies[1])])).await.unwrap();
    hub.sign_entries(signing(8, &[(1, bodies[0]), (2, bodies[1])])).await.unwrap();
    hub.add_root(root(1, "another")).await.unwrap_err();
    hub.sign_entries(signing(9, &[(1, bodies[0]), (3, bodies[1])])).await.unwrap_err();
    hub.compact(compaction(3, &[])).await.unwrap_err();
    drop(hub);
    let log = open().await.audit(None, limit(6)).await.unwrap();
    let records: Vec<_> = log.iter().map(|entry| told(&entry.record)).collect();
    let digest = first.root.frozen.digest.to_string();
    assert_eq!(
        records,
        [
            (Act::SignEntries, "entries/1-2", "2 signed"),
            (Act::SignEntries, "entry/1", "1 signed"),
            (Act::Compact, "feed/2", "1 passed over"),
            (Act::SignEntries, "entry/2", "1 signed"),
            (Act::AddRoot, "root/1", digest.as_str()),
            (Act::Release, "release/again", "a note"),
        ]
    );
    let by: Vec<_> = log[2..5].iter().map(|one| (&one.record.by, one.record.at)).collect();
    let (machine, deputy, chef) = (actor("the machine"), actor("the deputy"), actor("the chef"));
    assert_eq!(by, [(&machine, Moment(820)), (&deputy, Moment(810)), (&chef, Moment(800))]);
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
