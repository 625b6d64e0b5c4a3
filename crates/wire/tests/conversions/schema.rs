//! What the generated descriptors promise.

use chablon_wire::{pb, reason_from_text, reason_text};
use prost::Message;
use prost_types::{DescriptorProto, FileDescriptorSet};

fn descriptors() -> FileDescriptorSet {
    FileDescriptorSet::decode(pb::DESCRIPTORS).unwrap()
}

#[test]
fn all_services_are_described() {
    let files = descriptors().file;
    let mut services: Vec<&str> = files
        .iter()
        .flat_map(|file| &file.service)
        .map(prost_types::ServiceDescriptorProto::name)
        .collect();
    services.sort_unstable();
    assert_eq!(
        services,
        [
            "AccessService",
            "AdoptionService",
            "AuditService",
            "DeviationService",
            "DocumentService",
            "DraftService",
            "FeedService",
            "FigureService",
            "LotService",
            "ReleaseService",
            "TrustService"
        ]
    );
}

/// A map has no order, so a message with one has more than one encoding.
#[test]
fn no_message_has_a_map() {
    fn has_map(message: &DescriptorProto) -> bool {
        let itself = message.options.as_ref().is_some_and(prost_types::MessageOptions::map_entry);
        itself || message.nested_type.iter().any(has_map)
    }
    let files = descriptors().file;
    let messages: Vec<&DescriptorProto> =
        files.iter().flat_map(|file| &file.message_type).collect();
    assert!(messages.len() > 50, "{} messages", messages.len());
    let mapped: Vec<&str> = messages.iter().filter(|m| has_map(m)).map(|m| m.name()).collect();
    assert!(mapped.is_empty(), "{mapped:?}");
}

/// The form that `google.rpc.ErrorInfo` asks of a reason: upper snake case, at most 63 letters.
#[test]
fn reasons_are_written_as_error_details_ask() {
    let reasons: Vec<pb::ErrorReason> =
        (1..1000).filter_map(|number| pb::ErrorReason::try_from(number).ok()).collect();
    assert!(reasons.contains(&pb::ErrorReason::PinsDisagree), "{reasons:?}");
    for reason in reasons {
        let text = reason_text(reason);
        let upper_snake = |byte: u8| byte.is_ascii_uppercase() || byte == b'_';
        assert!(text.len() <= 63 && text.bytes().all(upper_snake), "{text}");
        assert_eq!(reason_from_text(text), Some(reason));
    }
    assert_eq!(reason_from_text("NO_SUCH_REASON"), None);
    assert_eq!(reason_text(pb::ErrorReason::WrongEpoch), "WRONG_EPOCH");
}
