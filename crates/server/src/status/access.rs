//! Refusals of joining, letting in and shutting out.

use chablon_exchange::AccessError;
use chablon_store::AccessRefusal;
use chablon_wire::pb::ErrorReason;
use tonic::Code;

use super::Refusal;
use super::release::reused;

impl From<AccessError> for Refusal {
    fn from(error: AccessError) -> Self {
        let message = error.to_string();
        match error {
            AccessError::Refused(refusal) => of(&refusal),
            AccessError::RequestIdReused(id) => reused(&id, message),
            AccessError::Store(fault) => fault.into(),
        }
    }
}

fn of(refusal: &AccessRefusal) -> Refusal {
    let code = |why: &str| {
        Refusal::new(Code::PermissionDenied, ErrorReason::CodeRefused, refusal).with("why", why)
    };
    let named = |code, reason, kind: &str, name: &dyn std::fmt::Display| {
        Refusal::new(code, reason, refusal).with("kind", kind).with("name", name)
    };
    let (taken, missing) = (Code::AlreadyExists, Code::NotFound);
    match refusal {
        AccessRefusal::CodeUnknown => code("unknown"),
        AccessRefusal::CodeVoid => code("void"),
        AccessRefusal::CodeSpent => code("spent"),
        AccessRefusal::CodeExpired { .. } => code("expired"),
        AccessRefusal::NameTaken(name) | AccessRefusal::ShutOut(name) => {
            named(taken, ErrorReason::NameTaken, "account", name)
        }
        AccessRefusal::CodeExists => named(taken, ErrorReason::NameTaken, "code", &""),
        AccessRefusal::TokenExists => named(taken, ErrorReason::NameTaken, "token", &""),
        AccessRefusal::UnknownAccount(name) => {
            named(missing, ErrorReason::AccountNotFound, "account", name)
        }
        AccessRefusal::UnknownToken(id) => {
            named(missing, ErrorReason::AccountNotFound, "token", id)
        }
    }
}
