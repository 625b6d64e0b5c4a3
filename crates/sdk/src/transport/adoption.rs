//! Who is on what.

use chablon_wire::pb::adoption_service_client::AdoptionServiceClient;
use chablon_wire::{Acknowledgement, Adoption, Wire, pb};

use super::{Grpc, Link, MAX_ANSWER_BYTES, each};
use crate::Error;
use crate::hub::{AdoptionOf, Page};

fn client(link: Link) -> AdoptionServiceClient<Link> {
    AdoptionServiceClient::new(link).max_decoding_message_size(MAX_ANSWER_BYTES)
}

pub(super) async fn acknowledge(hub: &Grpc, said: &[Acknowledgement]) -> Result<(), Error> {
    let acknowledgements = said.iter().map(Wire::to_pb).collect();
    let request = hub.request(pb::AcknowledgeRequest { acknowledgements });
    hub.attempt(|link| async move { client(link).acknowledge(request).await }).await?;
    Ok(())
}

pub(super) async fn list(hub: &Grpc, of: &AdoptionOf, page: &str) -> Result<Page<Adoption>, Error> {
    let request = hub.request(pb::ListAdoptionRequest {
        site: of.site.as_ref().map(ToString::to_string).unwrap_or_default(),
        from_position: of.from_position,
        to_position: of.to_position,
        page_size: hub.options.page_size,
        page_token: page.to_owned(),
    });
    let answer =
        hub.attempt(|link| async move { client(link).list_adoption(request).await }).await?;
    Ok(Page { items: each(answer.adoptions, Adoption::from_pb)?, next: answer.next_page_token })
}
