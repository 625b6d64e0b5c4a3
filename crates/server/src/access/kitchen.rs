//! What a kitchen's replica answers, and what it leaves to a hub.

use chablon_wire::pb::ErrorReason;
use tonic::Code;

use crate::desk::Kitchen;
use crate::status::Refusal;

/// What a replica answers, by how the path begins: how it is, what can be asked, and what is read of
/// its one site or computed from that. All else changes something or is known to a hub alone.
const SERVED: [&str; 5] = [
    "/grpc.health.v1.Health/",
    "/grpc.reflection.v1.ServerReflection/",
    "/chablon.v1.DocumentService/",
    "/chablon.v1.FigureService/",
    "/chablon.v1.FeedService/GetFeedState",
];

/// How many of those say nothing of any document.
const WITHOUT_DOCUMENTS: usize = 2;

impl Kitchen {
    /// Whether a replica answers any call of a service; the empty name is the whole of it.
    pub(crate) fn serves(service: &str) -> bool {
        let begin = format!("/{service}/");
        service.is_empty() || SERVED.iter().any(|one| one.starts_with(&begin))
    }

    /// Refuses what only a hub answers, and everything before the first catch-up.
    pub(super) async fn admit(&self, path: &str) -> Result<(), Refusal> {
        let Some(served) = SERVED.iter().position(|begin| path.starts_with(begin)) else {
            return Err(self.not_here());
        };
        if served < WITHOUT_DOCUMENTS || self.0.has_begun().await? {
            return Ok(());
        }
        let message = "this kitchen has not caught up with any hub yet; try again once it has";
        Err(Refusal::new(Code::Unavailable, ErrorReason::StoreUnavailable, message))
    }

    fn not_here(&self) -> Refusal {
        let site = self.0.whose();
        let message = format!(
            "this is the replica of kitchen `{site}`: it answers what is in force there and figures \
             of that, and changes nothing; ask a hub for this"
        );
        Refusal::new(Code::FailedPrecondition, ErrorReason::NotAtKitchen, message)
            .with("site", site)
    }
}
