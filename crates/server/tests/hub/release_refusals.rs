//! What of a release is refused, and how that is told. Nothing of a refused release is stored.

use std::collections::BTreeSet;

use chablon_model::{Audience, DocumentContent, Manifest};
use chablon_testkit::{Chef, FrozenPart, FrozenRelease, Keeping, frozen, sample};
use chablon_wire::{encode_manifest, encode_revision, pb};
use test_case::test_case;
use tonic::Code;

use crate::support::{Kit, Refused, name, refused};

/// The small book, ready to be broken.
fn draft() -> (Chef, FrozenRelease) {
    let mut chef = Chef::new();
    let release = chef.release(&sample::book().documents(), &Audience::All);
    (chef, release)
}

/// The refusal of a request, after which the hub is as empty as before.
pub(crate) async fn refusal(keeping: Keeping, request: pb::CreateReleaseRequest) -> Refused {
    let mut kit = Kit::start(keeping).await;
    let refusal = refused(kit.releases.create_release(request).await);
    let state = kit.feed.get_feed_state(pb::GetFeedStateRequest::default()).await.unwrap();
    assert_eq!(state.into_inner().head.unwrap().position, 0, "something was recorded");
    let heads = kit.documents.list_documents(pb::ListDocumentsRequest::default()).await.unwrap();
    assert_eq!(heads.into_inner().documents, [], "something was stored");
    refusal
}

/// The release with one manifest changed.
fn with_manifest(
    mut release: FrozenRelease,
    part: usize,
    change: impl FnOnce(&mut Manifest),
) -> FrozenRelease {
    let mut manifest = release.parts[part].manifest.clone();
    change(&mut manifest);
    release.parts[part] = FrozenPart { bytes: encode_manifest(&manifest), manifest };
    release
}

/// Where a document's revision is in a request.
pub(crate) fn place(release: &FrozenRelease, document: &str) -> usize {
    let wanted = name(document);
    let is = |key: &chablon_model::DocumentKey| {
        key.to_string() == document && key.id.as_str() == wanted.id
    };
    release.revisions.iter().position(|one| is(&one.reference.key)).unwrap()
}

#[tokio::test]
async fn fields_of_a_request() {
    let (_, release) = draft();
    let good = release.request();
    let cases: [(&str, pb::CreateReleaseRequest); 6] = [
        ("request_id", pb::CreateReleaseRequest { request_id: String::new(), ..good.clone() }),
        ("request_id", pb::CreateReleaseRequest { request_id: "two words".into(), ..good.clone() }),
        ("parts", pb::CreateReleaseRequest { parts: Vec::new(), ..good.clone() }),
        ("parts[0].body", {
            let mut request = good.clone();
            request.parts[0].body.clear();
            request
        }),
        ("parts[1].digest", {
            let mut request = good.clone();
            request.parts[1].digest.truncate(31);
            request
        }),
        ("revisions[2].digest", {
            let mut request = good;
            request.revisions[2].digest.clear();
            request
        }),
    ];
    for (field, request) in cases {
        refusal(Keeping::Memory, request)
            .await
            .is(Code::InvalidArgument, "INVALID_REQUEST", &[])
            .at(&[field]);
    }
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn bytes_that_are_not_what_their_digest_says(keeping: Keeping) {
    let (_, release) = draft();
    let mut request = release.request();
    let stated = hex::encode(&request.revisions[4].digest);
    let mut damaged = request.revisions[4].body.to_vec();
    damaged[9] ^= 1;
    let computed = chablon_wire::digest(&damaged).to_string();
    request.revisions[4].body = damaged.into();
    refusal(keeping, request)
        .await
        .is(
            Code::InvalidArgument,
            "DIGEST_MISMATCH",
            &[("stated", &stated), ("computed", &computed)],
        )
        .at(&["revisions[4]"]);
}

#[tokio::test]
async fn too_many_bytes() {
    let (_, release) = draft();
    let mut request = release.request();
    request.revisions[1] = frozen(vec![0; (1 << 20) + 1]);
    refusal(Keeping::Memory, request)
        .await
        .is(
            Code::InvalidArgument,
            "TOO_LARGE",
            &[("limit_bytes", "1048576"), ("size_bytes", "1048577")],
        )
        .at(&["revisions[1]"]);

    let mut request = release.request();
    request.parts = (0..3).map(|_| frozen(vec![1; 900_000])).collect();
    refusal(Keeping::Memory, request)
        .await
        .is(Code::InvalidArgument, "TOO_LARGE", &[("limit_bytes", "2097152")])
        .at(&["parts"]);

    let mut request = release.request();
    request.revisions = (0..17).map(|_| frozen(vec![1; 1 << 20])).collect();
    refusal(Keeping::Memory, request).await.is(
        Code::InvalidArgument,
        "TOO_LARGE",
        &[("limit_bytes", "16777216")],
    );
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn all_content_that_breaks_rules_at_once(keeping: Keeping) {
    let (_, release) = draft();
    let (custard, cream) =
        (place(&release, "recipe/custard"), place(&release, "recipe/custard-cream"));
    let mut request = release.request();
    let mut revision = release.revisions[custard].revision.clone();
    let DocumentContent::Recipe(recipe) = &mut revision.content else { panic!() };
    recipe.lines[1].step = Some("nowhere".parse().unwrap());
    request.revisions[custard] = frozen(encode_revision(&revision));
    request.revisions[cream] = frozen(b"no message at all".to_vec());
    let refusal = refusal(keeping, request).await;
    let paths =
        [format!("revisions[{custard}].recipe.lines[1].step"), format!("revisions[{cream}].body")];
    let mut paths: Vec<&str> = paths.iter().map(String::as_str).collect();
    if cream < custard {
        paths.reverse();
    }
    refusal.is(Code::InvalidArgument, "INVALID_CONTENT", &[]).at(&paths);
}

#[tokio::test]
async fn content_of_a_later_schema() {
    let (_, release) = draft();
    let mut request = release.request();
    let mut newer = request.revisions[0].body.to_vec();
    assert_eq!(newer[..2], [0x08, 0x01], "field 1, version 1");
    newer[1] = 2;
    request.revisions[0] = frozen(newer);
    refusal(Keeping::Memory, request)
        .await
        .is(Code::Unimplemented, "UNSUPPORTED_FEATURE", &[("feature", "schema-version-2")])
        .at(&["revisions[0]"]);

    let mut request = release.request();
    let mut newer = request.revisions[0].body.to_vec();
    newer.splice(2..2, b"\x12\x0adeviations".iter().copied());
    request.revisions[0] = frozen(newer);
    refusal(Keeping::Memory, request)
        .await
        .is(Code::Unimplemented, "UNSUPPORTED_FEATURE", &[("feature", "deviations")])
        .at(&["revisions[0]"]);
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_pin_or_an_item_that_leads_nowhere(keeping: Keeping) {
    let (_, release) = draft();
    let milk = place(&release, "ingredient/milk-whole");
    let custard = place(&release, "recipe/custard");
    let mut only_lacking = release.clone();
    only_lacking.revisions.remove(milk);
    let only_lacking = with_manifest(only_lacking, 0, |manifest| {
        manifest.items.retain(|item| item.key.id.as_str() != "milk-whole");
    });
    let custard = if milk < custard { custard - 1 } else { custard };
    let details = [("document", "ingredient/milk-whole"), ("number", "1")];
    refusal(keeping.clone(), only_lacking.request())
        .await
        .is(Code::FailedPrecondition, "REVISION_MISSING", &details)
        .at(&[&format!("revisions[{custard}].pins[1]")]);

    let mut item_lacking = release.clone();
    item_lacking.revisions.clear();
    let first = &release.parts[0].manifest.items[0];
    let refusal = refusal(keeping, item_lacking.request()).await;
    let document = first.key.to_string();
    let details = [("document", document.as_str()), ("number", "1")];
    refusal.is(Code::FailedPrecondition, "REVISION_MISSING", &details).at(&["parts[0].items[0]"]);
}

#[tokio::test]
async fn an_item_whose_digest_is_another_revisions() {
    let (chef, release) = draft();
    let other = chef.latest("ingredient/egg-yolk").digest;
    let mixed_up = with_manifest(release, 0, |manifest| {
        let custard = manifest.items.iter_mut().find(|item| item.key.id.as_str() == "custard");
        custard.unwrap().digest = other;
    });
    refusal(Keeping::Memory, mixed_up.request()).await.is(
        Code::FailedPrecondition,
        "REVISION_MISSING",
        &[("document", "recipe/custard")],
    );
}

#[tokio::test]
async fn parts_that_do_not_fit_together() {
    let (_, release) = draft();
    let cases: Vec<(&str, FrozenRelease)> = vec![
        (
            "parts[1].release_id",
            with_manifest(release.clone(), 1, |part| {
                part.release = "another".parse().unwrap();
            }),
        ),
        ("parts[1].part", with_manifest(release.clone(), 1, |part| part.part = 3)),
        ("parts[2].part_count", with_manifest(release.clone(), 2, |part| part.part_count = 4)),
        (
            "parts[2].holds_from_ms",
            with_manifest(release.clone(), 2, |part| {
                part.holds_from.0 += 1;
            }),
        ),
        (
            "parts[1].holds_from_ms",
            with_manifest(release.clone(), 1, |part| {
                part.audience =
                    Audience::Of { groups: ["coast".parse().unwrap()].into(), sites: [].into() };
                part.holds_from.0 += 1;
            }),
        ),
        (
            "parts[1].at_sites",
            with_manifest(release.clone(), 1, |part| {
                part.at_sites.insert("harbour".parse().unwrap(), part.holds_from);
            }),
        ),
        (
            "parts[1].holds_from_ms",
            with_manifest(release.clone(), 0, |part| {
                let own = chablon_model::Moment(part.holds_from.0 - 1);
                part.at_sites.insert("harbour".parse().unwrap(), own);
            }),
        ),
        ("parts[1].note", with_manifest(release.clone(), 1, |part| part.note.push('!'))),
        ("parts[1].author", with_manifest(release.clone(), 1, |part| part.author.push('!'))),
        ("parts[1].items[0]", {
            let item = release.parts[0].manifest.items[0].clone();
            with_manifest(release.clone(), 1, |part| part.items.insert(0, item))
        }),
    ];
    let id = release.parts[0].manifest.release.to_string();
    for (field, broken) in cases {
        refusal(Keeping::Memory, broken.request())
            .await
            .is(Code::InvalidArgument, "INCOHERENT_RELEASE", &[("release", &id)])
            .at(&[field]);
    }
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_part_that_shows_a_sites_own_to_others(keeping: Keeping) {
    let (chef, release) = draft();
    let two = ["harbour", "millrace"].map(|site| site.parse().unwrap());
    let coast: Audience =
        Audience::Of { groups: ["coast".parse().unwrap()].into(), sites: BTreeSet::new() };
    for audience in
        [Audience::All, coast, Audience::Of { groups: BTreeSet::new(), sites: two.into() }]
    {
        let wide = with_manifest(release.clone(), 1, |part| part.audience = audience);
        refusal(keeping.clone(), wide.request())
            .await
            .is(
                Code::InvalidArgument,
                "AUDIENCE_TOO_WIDE",
                &[("document", "site/harbour"), ("site", "harbour"), ("part", "2")],
            )
            .at(&["parts[1].items[0]"]);
    }

    // Nor may what is stored already be shown later.
    let mut kit = Kit::start(keeping).await;
    kit.release(&release).await;
    let again = chef.release_again([chef.latest("prices/harbour").clone()], Audience::All);
    refused(kit.releases.create_release(again.request()).await).is(
        Code::InvalidArgument,
        "AUDIENCE_TOO_WIDE",
        &[("document", "prices/harbour"), ("site", "harbour"), ("part", "1")],
    );
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_number_that_is_not_the_next(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (chef, _) = kit.release_book().await;
    let mut ahead = chef.clone();
    ahead.freeze(&sample::document("recipe/custard-cream"));
    let release = ahead.release(&[sample::document("recipe/custard-cream")], &Audience::All);
    refused(kit.releases.create_release(release.request()).await).is(
        Code::Aborted,
        "REVISION_CONFLICT",
        &[("document", "recipe/custard-cream"), ("number", "3"), ("latest", "1")],
    );
}
