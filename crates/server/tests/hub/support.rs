//! What the tests have in common.

use std::collections::{BTreeMap, HashMap};

use chablon_model::{Audience, RevisionRef};
use chablon_server::HubConfig;
use chablon_testkit::{Chef, FrozenRelease, Keeping, TestHub, sample};
use chablon_wire::pb::adoption_service_client::AdoptionServiceClient;
use chablon_wire::pb::document_service_client::DocumentServiceClient;
use chablon_wire::pb::feed_service_client::FeedServiceClient;
use chablon_wire::pb::figure_service_client::FigureServiceClient;
use chablon_wire::pb::release_service_client::ReleaseServiceClient;
use chablon_wire::{Wire, pb};
use tonic::transport::Channel;
use tonic::{Code, Status};
use tonic_types::StatusExt;

/// A hub with a client of each of its services.
pub(crate) struct Kit {
    pub(crate) hub: TestHub,
    pub(crate) documents: DocumentServiceClient<Channel>,
    pub(crate) releases: ReleaseServiceClient<Channel>,
    pub(crate) feed: FeedServiceClient<Channel>,
    pub(crate) adoption: AdoptionServiceClient<Channel>,
    pub(crate) figures: FigureServiceClient<Channel>,
}

impl Kit {
    pub(crate) async fn start(keeping: Keeping) -> Self {
        Self::around(TestHub::start(keeping).await).await
    }

    pub(crate) async fn start_with(keeping: Keeping, config: HubConfig) -> Self {
        Self::around(TestHub::builder(keeping).config(config).start().await).await
    }

    pub(crate) async fn around(hub: TestHub) -> Self {
        let channel = hub.channel().await;
        Self {
            documents: DocumentServiceClient::new(channel.clone()),
            releases: ReleaseServiceClient::new(channel.clone()),
            feed: FeedServiceClient::new(channel.clone()),
            adoption: AdoptionServiceClient::new(channel.clone()),
            figures: FigureServiceClient::new(channel),
            hub,
        }
    }

    /// A client on a connection of its own.
    pub(crate) async fn client_of_feed(hub: &TestHub) -> FeedServiceClient<Channel> {
        FeedServiceClient::new(hub.channel().await)
    }

    /// Makes a release.
    pub(crate) async fn release(&mut self, release: &FrozenRelease) -> pb::CreateReleaseResponse {
        self.releases.create_release(release.request()).await.unwrap().into_inner()
    }

    /// Releases the small book to everyone.
    pub(crate) async fn release_book(&mut self) -> (Chef, pb::CreateReleaseResponse) {
        let mut chef = Chef::new();
        let release = chef.release(&sample::book().documents(), &Audience::All);
        let answer = self.release(&release).await;
        (chef, answer)
    }

    /// Releases the custard so many times again, each with a very long note.
    pub(crate) async fn release_with_long_notes(&mut self, chef: &Chef, times: usize) {
        let mut wordy = chef.clone();
        wordy.note = "n".repeat(700_000);
        for _ in 0..times {
            let custard = chef.latest("recipe/custard").clone();
            self.release(&wordy.release_again([custard], Audience::All)).await;
        }
    }

    /// A page of changes.
    pub(crate) async fn changes(
        &mut self,
        site: &str,
        after: Option<pb::FeedCursor>,
        page_size: u32,
    ) -> Result<pb::ListChangesResponse, Status> {
        let request = pb::ListChangesRequest { site: site.to_owned(), after, page_size };
        Ok(self.feed.list_changes(request).await?.into_inner())
    }

    /// What is in force of a document at a site.
    pub(crate) async fn standard(
        &mut self,
        site: &str,
        document: &str,
        at_ms: Option<i64>,
    ) -> Result<pb::GetStandardResponse, Status> {
        let document = Some(name(document));
        let request = pb::GetStandardRequest { site: site.to_owned(), document, at_ms };
        Ok(self.documents.get_standard(request).await?.into_inner())
    }

    /// The number of the revision in force.
    pub(crate) async fn in_force(&mut self, site: &str, document: &str) -> Option<u32> {
        match self.standard(site, document, None).await.ok()?.standard?.state? {
            pb::standard::State::InForce(in_force) => Some(in_force.revision?.number),
            pb::standard::State::Stopped(_) => None,
        }
    }
}

/// A document's name as it is sent.
pub(crate) fn name(document: &str) -> pb::DocumentName {
    document.parse::<chablon_model::DocumentKey>().unwrap().to_pb()
}

/// A digest as it is sent.
pub(crate) fn digest(revision: &RevisionRef) -> tonic::codegen::Bytes {
    revision.digest.to_pb()
}

/// The positions of entries.
pub(crate) fn positions(entries: &[pb::FeedEntry]) -> Vec<u64> {
    entries.iter().map(|entry| entry.position).collect()
}

/// What a status tells a program.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Refused {
    pub(crate) code: Code,
    pub(crate) reason: String,
    pub(crate) metadata: BTreeMap<String, String>,
    pub(crate) paths: Vec<String>,
}

impl Refused {
    pub(crate) fn of(status: &Status) -> Self {
        let details = status.get_error_details();
        let info = details.error_info();
        assert!(info.is_none_or(|info| info.domain == "chablon.v1"), "{status:?}");
        let fields = details.bad_request().map(|bad| bad.field_violations.clone());
        let metadata: HashMap<_, _> = info.map(|info| info.metadata.clone()).unwrap_or_default();
        Self {
            code: status.code(),
            reason: info.map(|info| info.reason.clone()).unwrap_or_default(),
            metadata: metadata.into_iter().collect(),
            paths: fields.unwrap_or_default().into_iter().map(|field| field.field).collect(),
        }
    }

    /// Whether it is this refusal, with at least these details.
    #[track_caller]
    pub(crate) fn is(&self, code: Code, reason: &str, metadata: &[(&str, &str)]) -> &Self {
        assert_eq!((self.code, self.reason.as_str()), (code, reason), "{self:?}");
        for (key, value) in metadata {
            assert_eq!(self.metadata.get(*key).map(String::as_str), Some(*value), "{self:?}");
        }
        self
    }

    /// Whether it names these fields.
    #[track_caller]
    pub(crate) fn at(&self, paths: &[&str]) -> &Self {
        assert_eq!(self.paths, paths, "{self:?}");
        self
    }
}

/// The refusal of a call that must be refused.
#[track_caller]
pub(crate) fn refused<T: std::fmt::Debug>(answer: Result<T, Status>) -> Refused {
    Refused::of(&answer.expect_err("the call should have been refused"))
}

/// A call as it failed, with the answer's envelope taken off.
pub(crate) trait Inner<T> {
    fn inner(self) -> Result<T, Status>;
}

impl<T> Inner<T> for Result<tonic::Response<T>, Status> {
    fn inner(self) -> Result<T, Status> {
        self.map(tonic::Response::into_inner)
    }
}
