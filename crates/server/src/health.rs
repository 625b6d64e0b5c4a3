//! The standard health service: whether each service serves.

use chablon_wire::pb;
use tonic::server::NamedService;
use tonic_health::ServingStatus;
use tonic_health::pb::health_server::{Health as HealthService, HealthServer};
use tonic_health::server::{HealthReporter, health_reporter};

/// The names under which health is told; the empty one is the hub as a whole.
const NAMES: &[&str] = &[
    "",
    <pb::access_service_server::AccessServiceServer<()> as NamedService>::NAME,
    <pb::adoption_service_server::AdoptionServiceServer<()> as NamedService>::NAME,
    <pb::audit_service_server::AuditServiceServer<()> as NamedService>::NAME,
    <pb::deviation_service_server::DeviationServiceServer<()> as NamedService>::NAME,
    <pb::document_service_server::DocumentServiceServer<()> as NamedService>::NAME,
    <pb::draft_service_server::DraftServiceServer<()> as NamedService>::NAME,
    <pb::feed_service_server::FeedServiceServer<()> as NamedService>::NAME,
    <pb::figure_service_server::FigureServiceServer<()> as NamedService>::NAME,
    <pb::lot_service_server::LotServiceServer<()> as NamedService>::NAME,
    <pb::release_service_server::ReleaseServiceServer<()> as NamedService>::NAME,
    <pb::trust_service_server::TrustServiceServer<()> as NamedService>::NAME,
];

/// Tells whether the services serve.
pub(crate) struct Health(HealthReporter);

impl Health {
    /// Every service that there is serves from the start: a hub listens once its store is open.
    pub(crate) async fn begin(
        is_there: impl Fn(&str) -> bool,
    ) -> (Self, HealthServer<impl HealthService>) {
        let (reporter, server) = health_reporter();
        for name in NAMES {
            let there = is_there(name);
            let status = if there { ServingStatus::Serving } else { ServingStatus::NotServing };
            reporter.set_service_status(name, status).await;
        }
        (Self(reporter), server)
    }

    /// Says that nothing is served any more, then ends the streams that watch it.
    pub(crate) async fn end(mut self) {
        for name in NAMES {
            self.0.set_service_status(name, ServingStatus::NotServing).await;
            self.0.clear_service_status(name).await;
        }
    }
}
