//! Reading documents and revisions.

use chablon_model::Audience;
use chablon_testkit::{Chef, Keeping, sample};
use chablon_wire::{decode_revision, pb};
use test_case::test_case;
use tonic::Code;

use crate::support::{Inner, Kit, digest, refused};

fn list(
    site: &str,
    kind: pb::DocumentKind,
    page_size: u32,
    token: &str,
) -> pb::ListDocumentsRequest {
    pb::ListDocumentsRequest {
        site: site.to_owned(),
        kind: kind.into(),
        page_size,
        page_token: token.to_owned(),
    }
}

async fn all(kit: &mut Kit, site: &str, kind: pb::DocumentKind, page_size: u32) -> Vec<String> {
    let (mut found, mut token) = (Vec::new(), String::new());
    loop {
        let request = list(site, kind, page_size, &token);
        let page = kit.documents.list_documents(request).await.unwrap().into_inner();
        assert!(page.documents.len() <= page_size as usize);
        found.extend(page.documents.into_iter().map(|one| one.id));
        if page.next_page_token.is_empty() {
            return found;
        }
        token = page.next_page_token;
    }
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn documents_are_listed_page_by_page_in_one_order(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    kit.release_book().await;
    let whole = [
        "group",
        "cream-35",
        "egg-yolk",
        "milk-whole",
        "sugar-caster",
        "group",
        "harbour",
        "custard",
        "custard-cream",
        "harbour",
        "millrace",
    ];
    for size in [1, 3, 10, 11] {
        assert_eq!(
            all(&mut kit, "", pb::DocumentKind::Unspecified, size).await,
            whole,
            "by {size}"
        );
    }
    let recipes = all(&mut kit, "", pb::DocumentKind::Recipe, 1).await;
    assert_eq!(recipes, ["custard", "custard-cream"]);
    let own = all(&mut kit, "millrace", pb::DocumentKind::Site, 10).await;
    assert_eq!(own, ["millrace"]);
    let prices = all(&mut kit, "millrace", pb::DocumentKind::Prices, 10).await;
    assert_eq!(prices, ["group"], "another kitchen's prices are not listed");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_page_token_is_for_its_own_request(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    kit.release_book().await;
    let any = pb::DocumentKind::Unspecified;
    let page = kit.documents.list_documents(list("", any, 2, "")).await.unwrap().into_inner();
    let token = page.next_page_token;
    for (request, why) in [
        (list("harbour", any, 2, &token), "another site"),
        (list("", pb::DocumentKind::Recipe, 2, &token), "another kind"),
        (list("", any, 2, "zz"), "no token at all"),
        (list("", any, 2, &token[..token.len() - 2]), "a cut token"),
    ] {
        let answer = kit.documents.list_documents(request).await;
        let refused = refused(answer);
        assert_eq!(refused.reason, "INVALID_PAGE_TOKEN", "{why}: {refused:?}");
        assert_eq!(refused.code, Code::InvalidArgument);
    }
    let other_size = kit.documents.list_documents(list("", any, 5, &token)).await;
    assert!(other_size.is_ok(), "the page's size may change");
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_revision_is_served_byte_for_byte(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let mut chef = Chef::new();
    let release = chef.release(&sample::book().documents(), &Audience::All);
    kit.release(&release).await;
    for sent in &release.revisions {
        let request =
            pb::GetRevisionRequest { site: String::new(), digest: digest(&sent.reference) };
        let found = kit.documents.get_revision(request).await.unwrap().into_inner();
        let found = found.revision.unwrap().frozen.unwrap();
        assert_eq!(found.body, sent.bytes);
        assert_eq!(decode_revision(&found.body).unwrap(), sent.revision);
    }
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_kitchen_cannot_fetch_anothers_prices(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (chef, _) = kit.release_book().await;
    let prices = digest(chef.latest("prices/harbour"));
    let ask = |site: &str| pb::GetRevisionRequest { site: site.to_owned(), digest: prices.clone() };
    assert!(kit.documents.get_revision(ask("harbour")).await.is_ok());
    assert!(kit.documents.get_revision(ask("")).await.is_ok());
    let text = chef.latest("prices/harbour").digest.to_string();
    refused(kit.documents.get_revision(ask("millrace")).await).is(
        Code::NotFound,
        "REVISION_NOT_FOUND",
        &[("digest", &text)],
    );
    refused(kit.standard("millrace", "prices/harbour", None).await).is(
        Code::NotFound,
        "DOCUMENT_NOT_FOUND",
        &[("document", "prices/harbour")],
    );
    let batch = pb::BatchGetRevisionsRequest {
        site: "millrace".to_owned(),
        digests: vec![digest(chef.latest("recipe/custard")), prices],
        packed: false,
        compressed: false,
    };
    let mut stream = kit.documents.batch_get_revisions(batch).await.unwrap().into_inner();
    assert!(stream.message().await.unwrap().is_some(), "what came before is good");
    refused(stream.message().await).is(Code::NotFound, "REVISION_NOT_FOUND", &[("digest", &text)]);
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_batch_comes_in_the_order_asked_for(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let mut chef = Chef::new();
    let release = chef.release(&sample::saltmarsh().documents(), &Audience::All);
    kit.release(&release).await;
    let mut asked: Vec<_> = release.revisions.iter().map(|one| one.reference.clone()).collect();
    asked.reverse();
    let digests: Vec<_> = asked.iter().map(digest).collect();
    let mut batch = pb::BatchGetRevisionsRequest {
        site: String::new(),
        digests,
        packed: false,
        compressed: false,
    };
    let single = answers(&mut kit, batch.clone()).await;
    assert!(single.iter().all(|answer| answer.packed.is_empty()));
    let came = single.into_iter().map(|answer| answer.revision.unwrap());
    assert_eq!(came.map(checked).collect::<Vec<_>>(), batch.digests);

    batch.packed = true;
    let packs = answers(&mut kit, batch.clone()).await;
    assert!(packs.len() < asked.len() && packs.iter().all(|answer| answer.revision.is_none()));
    let came = packs.into_iter().flat_map(|answer| answer.packed);
    assert_eq!(came.map(checked).collect::<Vec<_>>(), batch.digests);

    batch.compressed = true;
    let first = answers(&mut kit, batch.clone()).await;
    assert!(first.iter().all(|answer| answer.revision.is_none() && answer.packed.is_empty()));
    assert_eq!(unpacked(&first), batch.digests);
    // Those that are kept by now, and from another beginning.
    assert_eq!(unpacked(&answers(&mut kit, batch.clone()).await), batch.digests);
    batch.digests.remove(0);
    assert_eq!(unpacked(&answers(&mut kit, batch.clone()).await), batch.digests);
}

fn unpacked(answers: &[pb::BatchGetRevisionsResponse]) -> Vec<bytes::Bytes> {
    let packs = answers.iter().map(|answer| chablon_wire::decode_pack(&answer.zstd).unwrap());
    packs.flatten().map(checked).collect()
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn what_is_kept_compressed_is_shown_to_nobody_else(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (chef, _) = kit.release_book().await;
    let ask = |site: &str, documents: &[&str]| pb::BatchGetRevisionsRequest {
        site: site.to_owned(),
        digests: documents.iter().map(|document| digest(chef.latest(document))).collect(),
        packed: true,
        compressed: true,
    };
    let with_own = ["recipe/custard", "prices/harbour", "ingredient/cream-35"];
    for _ in 0..2 {
        let own = ask("harbour", &with_own);
        assert_eq!(unpacked(&answers(&mut kit, own.clone()).await), own.digests);
        let asked = ask("millrace", &with_own);
        let mut stream = kit.documents.batch_get_revisions(asked).await.unwrap().into_inner();
        let before = stream.message().await.unwrap().expect("what came before is good");
        assert_eq!(unpacked(&[before]), own.digests[..1]);
        refused(stream.message().await).is(
            Code::NotFound,
            "REVISION_NOT_FOUND",
            &[("digest", &chef.latest("prices/harbour").digest.to_string())],
        );
        let for_all = ask("harbour", &["recipe/custard", "ingredient/cream-35"]);
        assert_eq!(unpacked(&answers(&mut kit, for_all.clone()).await), for_all.digests);
        let unknown = pb::BatchGetRevisionsRequest { site: "saltpan".to_owned(), ..for_all };
        refused(kit.documents.batch_get_revisions(unknown).await).is(
            Code::NotFound,
            "SITE_NOT_FOUND",
            &[("site", "saltpan")],
        );
    }
}

async fn answers(
    kit: &mut Kit,
    batch: pb::BatchGetRevisionsRequest,
) -> Vec<pb::BatchGetRevisionsResponse> {
    let mut stream = kit.documents.batch_get_revisions(batch).await.unwrap().into_inner();
    let mut answers = Vec::new();
    while let Some(answer) = stream.message().await.unwrap() {
        answers.push(answer);
    }
    answers
}

/// The digest of a revision whose bytes have it.
fn checked(revision: pb::StoredRevision) -> bytes::Bytes {
    let frozen = revision.frozen.unwrap();
    assert_eq!(chablon_wire::digest(&frozen.body).0.as_slice(), frozen.digest);
    frozen.digest
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_pack_ends_where_the_site_may_not_read_on(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (chef, _) = kit.release_book().await;
    let prices = chef.latest("prices/harbour");
    let digests =
        ["recipe/custard", "recipe/custard-cream", "prices/harbour", "ingredient/cream-35"];
    let batch = pb::BatchGetRevisionsRequest {
        site: "millrace".to_owned(),
        digests: digests.iter().map(|document| digest(chef.latest(document))).collect(),
        packed: true,
        compressed: false,
    };
    let mut stream = kit.documents.batch_get_revisions(batch).await.unwrap().into_inner();
    let first = stream.message().await.unwrap().expect("what came before is good");
    assert_eq!(first.packed.len(), 2);
    let text = prices.digest.to_string();
    refused(stream.message().await).is(Code::NotFound, "REVISION_NOT_FOUND", &[("digest", &text)]);
}

#[tokio::test]
async fn fields_of_reading_are_checked() {
    let mut kit = Kit::start(Keeping::Memory).await;
    let (chef, _) = kit.release_book().await;
    let good = digest(chef.latest("recipe/custard"));

    let no_id = list("Harbour Kitchen", pb::DocumentKind::Unspecified, 0, "");
    refused(kit.documents.list_documents(no_id).await)
        .is(Code::InvalidArgument, "INVALID_REQUEST", &[])
        .at(&["site"]);
    let unknown = list("quayside", pb::DocumentKind::Unspecified, 0, "");
    refused(kit.documents.list_documents(unknown).await).is(
        Code::NotFound,
        "SITE_NOT_FOUND",
        &[("site", "quayside")],
    );
    let mut odd_kind = list("", pb::DocumentKind::Unspecified, 0, "");
    odd_kind.kind = 99;
    refused(kit.documents.list_documents(odd_kind).await).at(&["kind"]);

    let short = pb::GetRevisionRequest { site: String::new(), digest: vec![1, 2, 3].into() };
    refused(kit.documents.get_revision(short).await)
        .is(Code::InvalidArgument, "INVALID_REQUEST", &[])
        .at(&["digest"]);
    let batch = |digests| pb::BatchGetRevisionsRequest {
        site: String::new(),
        digests,
        packed: false,
        compressed: false,
    };
    refused(kit.documents.batch_get_revisions(batch(vec![])).await.inner()).at(&["digests"]);
    let twice = batch(vec![good.clone(), good.clone()]);
    refused(kit.documents.batch_get_revisions(twice).await).at(&["digests[1]"]);
    let many = batch((0..1001u32).map(|n| n.to_be_bytes().repeat(8).into()).collect());
    refused(kit.documents.batch_get_revisions(many).await).at(&["digests"]);

    let no_site = kit.standard("", "recipe/custard", None).await;
    refused(no_site).is(Code::InvalidArgument, "INVALID_REQUEST", &[]).at(&["site"]);
    let far = kit.standard("harbour", "recipe/custard", Some(i64::MAX)).await;
    refused(far).at(&["at_ms"]);
    let request = pb::GetStandardRequest { site: "harbour".to_owned(), ..Default::default() };
    refused(kit.documents.get_standard(request).await).at(&["document"]);
}
