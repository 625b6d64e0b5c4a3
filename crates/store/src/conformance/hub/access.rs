//! Who may reach a hub.

use std::sync::Arc;

use chablon_model::{ActorName, Moment, Role};

use crate::conformance::assert_refused;
use crate::conformance::samples::{actor, id, limit, request};
use crate::{
    AccessRefusal, Account, AccountRecord, Attempt, AuditEntry, AuditRecord, HubError, HubStore,
    MAX_FAILURES, NewEnrolment, NewToken, Revocation, Revoked, TokenRecord, digest_of,
};

/// A code for the kitchen at the harbour, good until 2000.
fn code(name: &str) -> NewEnrolment {
    NewEnrolment {
        request: request(&format!("request-{name}"), name),
        at: Moment(1000),
        by: actor("the chef"),
        name: id("Harbour, cold kitchen"),
        role: Role::Kitchen,
        site: Some(id("harbour")),
        enrolment: id(name),
        code_digest: digest_of(name.as_bytes()),
        expires_at: Moment(2000),
        token_expires_at: None,
    }
}

fn attempt(name: &str, token: &str, at: i64) -> Attempt {
    let token = NewToken { id: id(token), digest: digest_of(token.as_bytes()) };
    let code_digest = digest_of(name.as_bytes());
    Attempt { at: Moment(at), enrolment: id(name), code_digest, token }
}

fn wrong(name: &str) -> Attempt {
    Attempt { code_digest: digest_of(b"guessed"), ..attempt(name, "guessed", 1100) }
}

fn harbour() -> Account {
    Account {
        name: id("Harbour, cold kitchen"),
        role: Role::Kitchen,
        site: Some(id("harbour")),
        created_at: Moment(1000),
        revoked_at: None,
    }
}

fn revocation(name: &str, what: Revoked, at: i64) -> Revocation {
    Revocation { request: request(name, name), at: Moment(at), by: actor("the chef"), what }
}

async fn everyone(hub: &dyn HubStore) -> Vec<AccountRecord> {
    hub.accounts(None, limit(100)).await.unwrap()
}

/// A code gives one token, which is found by its name from then on.
pub async fn a_code_is_good_for_one_token(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    assert_eq!(hub.prepare_enrolment(code("c1")).await.unwrap(), harbour());
    assert_eq!(everyone(&*hub).await[0].open_until, Some(Moment(2000)));
    assert_eq!(hub.token(&id("t1")).await.unwrap(), None);
    let join = Attempt { at: Moment(1999), ..attempt("c1", "t1", 1500) };
    assert_eq!(hub.enrol(join.clone()).await.unwrap(), harbour());
    let kept = hub.token(&id("t1")).await.unwrap().unwrap();
    assert_eq!((kept.account, kept.digest), (harbour(), join.token.digest));
    assert_eq!(kept.record.created_at, Moment(1999));

    let late = Attempt { at: Moment(9000), ..join.clone() };
    assert_eq!(hub.enrol(late).await.unwrap(), harbour(), "the same token again");
    for other in [attempt("c1", "t2", 1500), attempt("c1", "t2", 9000)] {
        assert_refused!(hub.enrol(other).await, HubError::Access(AccessRefusal::CodeSpent));
    }
    let swapped = NewToken { digest: digest_of(b"another"), ..join.token.clone() };
    let swapped = Attempt { token: swapped, ..join };
    assert_refused!(hub.enrol(swapped).await, HubError::Access(AccessRefusal::CodeSpent));
    assert_eq!(hub.token(&id("t2")).await.unwrap(), None);
    assert_eq!(everyone(&*hub).await[0].open_until, None);
}

/// Nothing about a code is told to those who don't have it, and guessing ends.
pub async fn guessing_a_code_makes_it_void(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    hub.prepare_enrolment(code("c1")).await.unwrap();
    assert_refused!(
        hub.enrol(attempt("c0", "t", 1100)).await,
        HubError::Access(AccessRefusal::CodeUnknown)
    );
    for _ in 0..MAX_FAILURES {
        assert_refused!(hub.enrol(wrong("c1")).await, HubError::Access(AccessRefusal::CodeUnknown));
    }
    for either in [wrong("c1"), attempt("c1", "t1", 1100)] {
        assert_refused!(hub.enrol(either).await, HubError::Access(AccessRefusal::CodeVoid));
    }
    assert_eq!(everyone(&*hub).await[0].open_until, None);
    hub.prepare_enrolment(code("c2")).await.unwrap();
    hub.enrol(attempt("c2", "t1", 1100)).await.unwrap();
}

/// A code ends at its moment.
pub async fn a_code_ends(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    hub.prepare_enrolment(code("c1")).await.unwrap();
    assert_refused!(
        hub.enrol(attempt("c1", "t1", 2000)).await,
        HubError::Access(AccessRefusal::CodeExpired { expired_at: Moment(2000) })
    );
    let never = NewEnrolment { expires_at: Moment(1000), ..code("c2") };
    assert_refused!(hub.prepare_enrolment(never).await, HubError::Malformed(_));
}

/// A name belongs to one account for ever, and a repeated request changes nothing.
pub async fn a_name_is_one_accounts(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    hub.prepare_enrolment(code("c1")).await.unwrap();
    let again = NewEnrolment { at: Moment(1700), ..code("c1") };
    assert_eq!(hub.prepare_enrolment(again).await.unwrap(), harbour());
    let reused = NewEnrolment { request: request("request-c1", "other"), ..code("c2") };
    assert_refused!(hub.prepare_enrolment(reused).await, HubError::RequestIdReused(_));
    let same_code = NewEnrolment { request: request("r", "r"), ..code("c1") };
    assert_refused!(
        hub.prepare_enrolment(same_code).await,
        HubError::Access(AccessRefusal::CodeExists)
    );

    for (role, site) in [(Role::Chef, None), (Role::Kitchen, Some("station"))] {
        let other = NewEnrolment { role, site: site.map(id), ..code("c3") };
        assert_refused!(
            hub.prepare_enrolment(other).await,
            HubError::Access(AccessRefusal::NameTaken(_))
        );
    }
    for (role, site) in [(Role::Chef, Some("harbour")), (Role::Kitchen, None)] {
        let odd = NewEnrolment { role, site: site.map(id), name: id("Other"), ..code("c3") };
        assert_refused!(hub.prepare_enrolment(odd).await, HubError::Malformed(_));
    }
    let second = NewEnrolment { at: Moment(1200), ..code("c4") };
    assert_eq!(hub.prepare_enrolment(second).await.unwrap(), harbour(), "a second machine");
    hub.enrol(attempt("c1", "t1", 1300)).await.unwrap();
    assert_refused!(
        hub.enrol(attempt("c4", "t1", 1300)).await,
        HubError::Access(AccessRefusal::TokenExists)
    );
    hub.enrol(attempt("c4", "t2", 1300)).await.unwrap();
    assert_eq!(everyone(&*hub).await[0].tokens.len(), 2);
}

/// What is shut out stays out, from the first moment on.
pub async fn what_is_shut_out_stays_out(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    for (code_name, token) in [("c1", "t1"), ("c2", "t2")] {
        hub.prepare_enrolment(code(code_name)).await.unwrap();
        hub.enrol(attempt(code_name, token, 1100)).await.unwrap();
    }
    hub.prepare_enrolment(code("c3")).await.unwrap();
    let token = Revoked::Token(id("t1"));
    hub.revoke(revocation("r1", token.clone(), 1200)).await.unwrap();
    hub.revoke(revocation("r1", token.clone(), 1250)).await.unwrap();
    hub.revoke(revocation("r2", token, 1300)).await.unwrap();
    let kept = hub.token(&id("t1")).await.unwrap().unwrap();
    assert_eq!(kept.record.revoked_at, Some(Moment(1200)));
    assert_eq!(hub.token(&id("t2")).await.unwrap().unwrap().record.revoked_at, None);

    let account = Revoked::Account(harbour().name);
    let reused = Revocation { request: request("r1", "else"), ..revocation("r1", account, 1400) };
    assert_refused!(hub.revoke(reused.clone()).await, HubError::RequestIdReused(_));
    hub.revoke(Revocation { request: request("r3", "r3"), ..reused }).await.unwrap();
    let kept = hub.token(&id("t2")).await.unwrap().unwrap();
    assert_eq!(kept.account.revoked_at, Some(Moment(1400)));
    assert_refused!(
        hub.enrol(attempt("c3", "t3", 1500)).await,
        HubError::Access(AccessRefusal::CodeUnknown)
    );
    assert_refused!(
        hub.prepare_enrolment(code("c4")).await,
        HubError::Access(AccessRefusal::ShutOut(_))
    );

    let nobody: ActorName = id("Nobody");
    assert_refused!(
        hub.revoke(revocation("r4", Revoked::Account(nobody), 1500)).await,
        HubError::Access(AccessRefusal::UnknownAccount(_))
    );
    assert_refused!(
        hub.revoke(revocation("r4", Revoked::Token(id("t9")), 1500)).await,
        HubError::Access(AccessRefusal::UnknownToken(_))
    );
    hub.revoke(revocation("r4", Revoked::Token(id("t2")), 1500)).await.expect("it left no trace");
}

/// Accounts come by name, in pages, each with its tokens.
pub async fn accounts_come_by_name_with_their_tokens(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    assert_eq!(everyone(&*hub).await, []);
    for (number, name) in ["c", "a", "B", "Ä"].into_iter().enumerate() {
        let (role, site) = (Role::Reader, None);
        let token_expires_at = Some(Moment(5000));
        let commit = code(&format!("code-{number}"));
        let commit = NewEnrolment { name: id(name), role, site, token_expires_at, ..commit };
        hub.prepare_enrolment(commit).await.unwrap();
    }
    hub.enrol(attempt("code-1", "t1", 1100)).await.unwrap();
    for (at, latest) in [(1400, 1400), (1300, 1400), (1500, 1500)] {
        hub.token_used(&id("t1"), Moment(at)).await.unwrap();
        let kept = hub.token(&id("t1")).await.unwrap().unwrap();
        assert_eq!(kept.record.last_used_at, Some(Moment(latest)));
    }
    hub.token_used(&id("t9"), Moment(1)).await.expect("one that isn't there is passed over");

    let found = everyone(&*hub).await;
    let names: Vec<&str> = found.iter().map(|record| record.account.name.as_str()).collect();
    assert_eq!(names, ["B", "a", "c", "Ä"], "in the order of bytes");
    assert_eq!(
        found[1].tokens,
        [TokenRecord {
            id: id("t1"),
            created_at: Moment(1100),
            expires_at: Some(Moment(5000)),
            last_used_at: Some(Moment(1500)),
            revoked_at: None,
        }]
    );
    let page = hub.accounts(Some(&id("B")), limit(2)).await.unwrap();
    assert_eq!(page, found[1..3]);
}

/// Of many who send one code at once, one joins.
pub async fn one_of_those_who_race_for_a_code_joins(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    hub.prepare_enrolment(code("c1")).await.unwrap();
    let racing: Vec<_> = (0..8)
        .map(|number| {
            let hub = Arc::clone(&hub);
            let attempt = attempt("c1", &format!("t{number}"), 1100);
            tokio::spawn(async move { hub.enrol(attempt).await })
        })
        .collect();
    let mut joined = 0;
    for one in racing {
        match one.await.expect("no panic") {
            Ok(_) => joined += 1,
            Err(HubError::Access(AccessRefusal::CodeSpent)) => {}
            Err(other) => panic!("{other:?}"),
        }
    }
    assert_eq!(joined, 1);
    assert_eq!(everyone(&*hub).await[0].tokens.len(), 1);
}

/// After a restart all is as it was.
pub async fn accounts_outlive_a_restart(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    hub.prepare_enrolment(code("c1")).await.unwrap();
    hub.prepare_enrolment(code("c2")).await.unwrap();
    hub.enrol(attempt("c1", "t1", 1100)).await.unwrap();
    hub.enrol(wrong("c2")).await.unwrap_err();
    let (accounts, token) = (everyone(&*hub).await, hub.token(&id("t1")).await.unwrap());
    drop(hub);
    let hub = open().await;
    assert_eq!(everyone(&*hub).await, accounts);
    assert_eq!(hub.token(&id("t1")).await.unwrap(), token);
    for _ in 1..MAX_FAILURES {
        hub.enrol(wrong("c2")).await.unwrap_err();
    }
    assert_refused!(
        hub.enrol(attempt("c2", "t2", 1100)).await,
        HubError::Access(AccessRefusal::CodeVoid)
    );
}

/// Who was let in and shut out by whom; neither what is refused nor what is sent again.
pub async fn access_is_in_the_log(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let (join, out) = (attempt("c1", "t1", 1500), Revoked::Account(id("Harbour, cold kitchen")));
    for _ in 0..2 {
        hub.prepare_enrolment(code("c1")).await.unwrap();
        hub.enrol(join.clone()).await.unwrap();
    }
    hub.enrol(wrong("c1")).await.unwrap_err();
    hub.revoke(revocation("none", Revoked::Token(id("t9")), 1600)).await.unwrap_err();
    for _ in 0..2 {
        hub.revoke(revocation("out", out.clone(), 1700)).await.unwrap();
    }
    let log = open().await.audit(None, limit(10)).await.unwrap();
    let told = |one: &AuditEntry| {
        let AuditRecord { by, act, subject, detail, .. } = &one.record;
        format!("{}: {} {subject} {detail}", by.name, act.as_str())
    };
    assert_eq!(
        log.iter().map(told).collect::<Vec<_>>(),
        [
            "the chef: revoke account/Harbour, cold kitchen ",
            "Harbour, cold kitchen: join account/Harbour, cold kitchen token t1",
            "the chef: invite account/Harbour, cold kitchen kitchen at harbour",
        ]
    );
}
