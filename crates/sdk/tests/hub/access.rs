//! A hub that asks for tokens, and an encrypted line to it.

use chablon_sdk::access::{Invitation, Shut, random_token};
use chablon_sdk::model::{ActorName, Moment, Role, View};
use chablon_sdk::{Client, Options, Reason, Tls};
use chablon_server::{Access, Tls as HubTls};
use chablon_testkit::{Authority, Keeping, TestHub, sample};
use futures::TryStreamExt;
use test_case::test_case;

use crate::common::{NOW, kitchen, quick, release, site, terms};

fn name(text: &str) -> ActorName {
    text.parse().unwrap()
}

fn client_by(hub: &TestHub, options: Options) -> Client {
    Client::connect([hub.url()], options).unwrap()
}

/// A hub that asks for tokens, with the small book, and its chef.
async fn guarded(keeping: Keeping) -> (TestHub, Client) {
    let hub = TestHub::builder(keeping).access(Access::Required).start().await;
    let token = hub.let_in("Imogen Vale", Role::Chef, None).await;
    let chef = client_by(&hub, quick().with_token(token));
    release(&chef, &sample::book().documents(), &terms("First standards")).await;
    (hub, chef)
}

fn harbour() -> Invitation {
    let until = Moment(NOW.0 + 60_000);
    Invitation::new(name("Harbour"), Role::Kitchen, Some(site("harbour")), until)
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_kitchen_joins_and_sees_its_own_view_alone(keeping: Keeping) {
    let (hub, chef) = guarded(keeping).await;
    let stranger = client_by(&hub, quick());
    let refused = kitchen("harbour").await.sync(&stranger).await.unwrap_err();
    assert_eq!((refused.is_denied(), refused.reason()), (true, Some(Reason::NotAuthenticated)));

    let (code, account) = chef.invite(&harbour()).await.unwrap();
    assert_eq!((account.name, account.role), (name("Harbour"), Role::Kitchen));
    let token = random_token().unwrap();
    let joined = stranger.join(&code, &token).await.unwrap();
    assert_eq!(joined.site, Some(site("harbour")));
    stranger.join(&code, &token).await.expect("the same again");
    let other = stranger.join(&code, &random_token().unwrap()).await.unwrap_err();
    assert_eq!((other.reason(), other.detail("why")), (Some(Reason::CodeRefused), Some("spent")));

    let own = client_by(&hub, quick().with_token(token.clone()));
    let who = own.who_am_i().await.unwrap();
    assert_eq!((who.name, who.role, who.verified), (joined.name.into(), Some(Role::Kitchen), true));
    let replica = kitchen("harbour").await;
    replica.sync(&own).await.unwrap();
    let elsewhere = kitchen("millrace").await.sync(&own).await.unwrap_err();
    assert_eq!((elsewhere.is_denied(), elsewhere.reason()), (true, Some(Reason::NotAllowed)));
    let whole: Result<Vec<_>, _> = own.documents(&View::Whole).try_collect().await;
    assert!(whole.unwrap_err().is_denied());

    chef.shut_out(&Shut::Token(token.id().to_owned())).await.unwrap();
    let out = replica.sync(&own).await.unwrap_err();
    assert_eq!((out.is_denied(), out.detail("why")), (true, Some("revoked")));
    let nobody = chef.shut_out(&Shut::Account(name("Nobody"))).await.unwrap_err();
    assert!(nobody.is_not_found());
    let known: Vec<_> = chef.accounts().try_collect().await.unwrap();
    assert_eq!(known.len(), 2);
    assert_eq!(known[0].tokens[0].revoked_at, Some(NOW));
    let other = Invitation::new(name("Harbour"), Role::Reader, None, Moment(NOW.0 + 60_000));
    assert!(chef.invite(&other).await.unwrap_err().is_conflict());
}

#[tokio::test]
async fn an_open_hub_notes_the_name_that_is_said() {
    let hub = TestHub::start(Keeping::Memory).await;
    let said = client_by(&hub, quick().with_caller(name("Zoë d'Été")));
    let who = said.who_am_i().await.unwrap();
    assert_eq!((who.name, who.verified, who.role), (Some(name("Zoë d'Été")), false, None));
    assert_eq!(client_by(&hub, quick()).who_am_i().await.unwrap().name, None);
}

#[test]
fn a_token_is_not_sent_for_all_to_read() {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    let _inside = runtime.enter();
    let options = || Options::default().with_token(random_token().unwrap());
    for far in ["http://hub.example:7467", "hub.example:7467", "http://192.0.2.1:7467"] {
        let refused = Client::connect([far], options()).unwrap_err();
        assert!(refused.is_invalid() && refused.to_string().contains("https"), "{refused}");
        Client::connect([far], options().with_token_in_clear(true)).unwrap();
        Client::connect([far], Options::default()).unwrap();
    }
    let here = ["http://127.0.0.1:1", "http://[::1]:1", "http://localhost:1"];
    Client::connect(here, options()).unwrap();
    Client::connect(["https://hub.example:7467"], options()).unwrap();
    assert!(!format!("{:?}", options()).contains(&options().token.unwrap().reveal()[45..]));
}

#[tokio::test]
async fn a_kitchen_catches_up_over_an_encrypted_line() {
    let [hubs, kitchens, other] = [(); 3].map(|()| Authority::default());
    let (certificate, key) = hubs.vouch();
    let tls = HubTls::new(certificate, key).with_callers(kitchens.pem());
    let hub = TestHub::builder(Keeping::Memory).tls(tls).start().await;
    let url = hub.url().replace("http://", "https://");
    let by = |tls: Tls| Client::connect([url.clone()], quick().with_tls(tls)).unwrap();
    let shown = || {
        let (certificate, key) = kitchens.vouch();
        Tls::default().with_certificate(certificate, key)
    };
    let good = by(shown().with_roots(hubs.pem()));
    release(&good, &sample::book().documents(), &terms("First standards")).await;
    kitchen("harbour").await.sync(&good).await.unwrap();

    for bad in [shown().with_roots(other.pem()), Tls::default().with_roots(hubs.pem())] {
        let error = by(bad).head(&View::Whole).await.unwrap_err();
        assert!(error.is_unavailable() && !error.outcome_unknown(), "{error:?}");
    }
}
