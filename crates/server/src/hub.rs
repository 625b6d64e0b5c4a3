//! The hub: all services on one listener.

use std::pin::pin;
use std::sync::Arc;
use std::time::Duration;

use chablon_exchange::{Exchange, KitchenStore};
use chablon_model::SiteId;
use chablon_store::{HubStore, ReplicaStore};
use chablon_trust::SigningKey;
use chablon_wire::pb::access_service_server::AccessServiceServer;
use chablon_wire::pb::adoption_service_server::AdoptionServiceServer;
use chablon_wire::pb::audit_service_server::AuditServiceServer;
use chablon_wire::pb::deviation_service_server::DeviationServiceServer;
use chablon_wire::pb::document_service_server::DocumentServiceServer;
use chablon_wire::pb::draft_service_server::DraftServiceServer;
use chablon_wire::pb::feed_service_server::FeedServiceServer;
use chablon_wire::pb::figure_service_server::FigureServiceServer;
use chablon_wire::pb::lot_service_server::LotServiceServer;
use chablon_wire::pb::release_service_server::ReleaseServiceServer;
use chablon_wire::pb::trust_service_server::TrustServiceServer;
use chablon_wire::{AccessToken, pb};
use futures::Stream;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::TcpListener;
use tokio_util::sync::CancellationToken;
use tonic::codec::CompressionEncoding;
use tonic::service::Routes;
use tonic::transport::Server;
use tonic::transport::server::Connected;

use crate::access::{Access, Gate, GateLayer, Guesses};
use crate::clock::Clock;
use crate::config::HubConfig;
use crate::connection::{accepted, held};
use crate::desk::{Desk, Kitchen};
use crate::health::Health;
use crate::packs::Packs;
use crate::services::access::Accounts;
use crate::services::adoption::Adoption;
use crate::services::audit::Audit;
use crate::services::deviation::Deviations;
use crate::services::document::Documents;
use crate::services::draft::Drafts;
use crate::services::feed::Feed;
use crate::services::figure::Figures;
use crate::services::lot::Lots;
use crate::services::release::{MAX_DECODED_BYTES, Releases};
use crate::services::trust::Trust;
use crate::slots::Slots;
use crate::tls::Tls;

/// How the answers of those services that send much are compressed, to whoever reads that.
const ZSTD: CompressionEncoding = CompressionEncoding::Zstd;

/// How long connections that were cut off have to notice.
const CUT_WITHIN: Duration = Duration::from_secs(1);

/// Why a hub doesn't serve, or no longer.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The compiled schema can't be served.
    #[error("the compiled schema can't be served")]
    Schema(#[from] tonic_reflection::server::Error),
    /// The certificate or its key can't be used.
    #[error("the certificate or its key can't be used; both must be PEM, and belong together")]
    Tls(#[source] tonic::transport::Error),
    /// The transport failed.
    #[error("the transport failed")]
    Transport(#[from] tonic::transport::Error),
}

/// How a hub stopped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stopped {
    /// Every call and stream came to its end.
    AtRest,
    /// Some did not end in time and were cut off.
    CutOff,
    /// Some did not even notice that; they end with the process.
    LeftBehind,
}

/// A hub over a store.
pub struct Hub {
    store: Arc<dyn HubStore>,
    config: HubConfig,
    clock: Clock,
    access: Access,
    tls: Option<Tls>,
    checkpoint_key: Option<SigningKey>,
    kitchen: Option<Kitchen>,
}

impl Hub {
    /// A hub with the usual bounds and the machine's clock, open to whoever reaches it.
    pub fn new(store: Arc<dyn HubStore>) -> Self {
        Self {
            store,
            config: HubConfig::default(),
            clock: Clock::system(),
            access: Access::Open,
            tls: None,
            checkpoint_key: None,
            kitchen: None,
        }
    }

    /// The replica of a site, served to tools in its kitchen as a hub serves: what is in force there,
    /// and figures of that, by the very code of a hub and with no hub in reach. Every answer says how
    /// old the replica is; what only a hub answers is refused.
    ///
    /// With a token it answers whoever shows that one, else whoever reaches it: keep it on the machine
    /// itself then. The kitchen may go on catching up meanwhile, in this process or another.
    pub fn at_kitchen(
        replica: Arc<dyn ReplicaStore>,
        site: SiteId,
        token: Option<&AccessToken>,
    ) -> Self {
        let store = KitchenStore::new(replica, site);
        let (store, access) = match token {
            Some(token) => (store.with_visitor(token), Access::Required),
            None => (store, Access::Open),
        };
        let store = Arc::new(store);
        let kitchen = Some(Kitchen(Arc::clone(&store)));
        Self { access, kitchen, ..Self::new(store) }
    }

    /// With other bounds.
    #[must_use]
    pub fn with_config(self, config: HubConfig) -> Self {
        Self { config, ..self }
    }

    /// With another clock.
    #[must_use]
    pub fn with_clock(self, clock: Clock) -> Self {
        Self { clock, ..self }
    }

    /// Letting in those whom this names.
    #[must_use]
    pub fn with_access(self, access: Access) -> Self {
        Self { access, ..self }
    }

    /// Encrypting what goes over the wire.
    #[must_use]
    pub fn with_tls(self, tls: Tls) -> Self {
        Self { tls: Some(tls), ..self }
    }

    /// With a key by which it signs what it shows a site. The only key that a hub ever holds.
    #[must_use]
    pub fn with_checkpoint_key(self, key: SigningKey) -> Self {
        Self { checkpoint_key: Some(key), ..self }
    }

    /// Serves on a listener until it is told to stop.
    ///
    /// It then takes no new connections, ends streams with a status that means "go on elsewhere or
    /// later", lets calls finish, and cuts off what is left after
    /// [`HubConfig::stop_within`]. Dropping the future cuts everything off at once.
    pub async fn serve(
        self,
        listener: TcpListener,
        stop: CancellationToken,
    ) -> Result<Stopped, ServeError> {
        self.serve_connections(accepted(listener), stop).await
    }

    /// The same on connections that are accepted elsewhere, such as on a simulated network.
    pub async fn serve_connections<IO>(
        self,
        connections: impl Stream<Item = IO> + Send,
        stop: CancellationToken,
    ) -> Result<Stopped, ServeError>
    where
        IO: AsyncRead + AsyncWrite + Connected + Unpin + Send + 'static,
    {
        let cut = CancellationToken::new();
        let _cut_when_dropped = cut.clone().drop_guard();
        let HubConfig { stop_within, max_connections, .. } = self.config;
        let desk = self.desk(&stop);
        let gate = GateLayer(Arc::clone(&desk.gate));
        let (health, routes) = routes(desk).await?;
        let incoming = held(connections, max_connections, cut.clone());
        let told = async {
            stop.cancelled().await;
            tracing::info!("the hub stops");
            health.end().await;
        };
        let server = self.server()?.layer(gate).add_routes(routes);
        let mut serving = pin!(server.serve_with_incoming_shutdown(incoming, told));
        let overdue = async {
            stop.cancelled().await;
            tokio::time::sleep(stop_within).await;
        };
        tokio::select! {
            ended = &mut serving => ended.map(|()| Stopped::AtRest).map_err(ServeError::from),
            () = overdue => {
                tracing::warn!("some calls did not end in time and are cut off");
                cut.cancel();
                match tokio::time::timeout(CUT_WITHIN, serving).await {
                    Ok(ended) => ended.map(|()| Stopped::CutOff).map_err(ServeError::from),
                    Err(_) => Ok(Stopped::LeftBehind),
                }
            }
        }
    }

    fn server(&self) -> Result<Server, ServeError> {
        let server = Server::builder()
            .http2_keepalive_interval(Some(self.config.keepalive_every))
            .http2_keepalive_timeout(Some(self.config.keepalive_within))
            .max_concurrent_streams(self.config.max_calls_per_connection);
        match &self.tls {
            None => Ok(server),
            Some(tls) => server.tls_config(tls.config()).map_err(ServeError::Tls),
        }
    }

    fn exchange(&self) -> Exchange {
        let exchange = Exchange::new(Arc::clone(&self.store));
        match self.checkpoint_key.clone() {
            Some(key) => exchange.with_checkpoints(key, self.config.checkpoints_stand_for),
            None => exchange,
        }
    }

    fn desk(&self, stop: &CancellationToken) -> Arc<Desk> {
        let exchange = self.exchange();
        let gate = Gate {
            exchange: exchange.clone(),
            clock: self.clock.clone(),
            access: self.access,
            kitchen: self.kitchen.clone(),
            within: self.config.call_deadline,
        };
        Arc::new(Desk {
            exchange,
            gate: Arc::new(gate),
            kitchen: self.kitchen.clone(),
            guesses: Guesses::default(),
            clock: self.clock.clone(),
            config: self.config.clone(),
            slots: Slots::new(self.config.max_streams, self.config.stalled_after),
            packs: Packs::default(),
            stopping: stop.clone(),
        })
    }
}

/// All services, and who tells their health.
async fn routes(desk: Arc<Desk>) -> Result<(Health, Routes), ServeError> {
    let reflection = tonic_reflection::server::Builder::configure()
        .register_encoded_file_descriptor_set(pb::DESCRIPTORS)
        .register_encoded_file_descriptor_set(tonic_health::pb::FILE_DESCRIPTOR_SET)
        .build_v1()?;
    let (health, health_service) =
        Health::begin(|name| desk.kitchen.is_none() || Kitchen::serves(name)).await;
    let drafts = DraftServiceServer::new(Drafts(Arc::clone(&desk)));
    let releases = ReleaseServiceServer::new(Releases(Arc::clone(&desk)));
    let mut routes = Routes::builder();
    routes
        .add_service(reflection)
        .add_service(health_service)
        .add_service(releases.max_decoding_message_size(MAX_DECODED_BYTES))
        .add_service(drafts.max_decoding_message_size(MAX_DECODED_BYTES))
        .add_service(AccessServiceServer::new(Accounts(Arc::clone(&desk))))
        .add_service(AdoptionServiceServer::new(Adoption(Arc::clone(&desk))))
        .add_service(AuditServiceServer::new(Audit(Arc::clone(&desk))))
        .add_service(DeviationServiceServer::new(Deviations(Arc::clone(&desk))))
        .add_service(FigureServiceServer::new(Figures(Arc::clone(&desk))))
        .add_service(LotServiceServer::new(Lots(Arc::clone(&desk))))
        .add_service(FeedServiceServer::new(Feed(Arc::clone(&desk))).send_compressed(ZSTD))
        .add_service(TrustServiceServer::new(Trust(Arc::clone(&desk))))
        .add_service(DocumentServiceServer::new(Documents(desk)).send_compressed(ZSTD));
    Ok((health, routes.routes()))
}
