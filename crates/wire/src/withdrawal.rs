//! Withdrawals.

use chablon_model::{NextStep, RevisionRef, Withdrawal};
use prost::Message;

use crate::bytes::{self, SCHEMA_VERSION};
use crate::common::moment;
use crate::form::{Wire, required, words};
use crate::{At, Violation, WireError, pb};

/// What withdrawals are called in messages.
const WHAT: &str = "a withdrawal notice";

/// The bytes of a withdrawal: equal withdrawals give equal bytes.
///
/// A value that breaks a rule of the schema gives bytes that [`decode_withdrawal`] refuses.
pub fn encode_withdrawal(withdrawal: &Withdrawal) -> Vec<u8> {
    let action = match &withdrawal.next {
        NextStep::GoBackTo(earlier) => pb::withdrawal_notice::Action::GoBackTo(earlier.to_pb()),
        NextStep::MakeNone => pb::withdrawal_notice::Action::MakeNone(pb::MakeNone {}),
    };
    let form = pb::WithdrawalNotice {
        schema_version: SCHEMA_VERSION,
        required_features: Vec::new(),
        withdrawn: Some(withdrawal.revision.to_pb()),
        action: Some(action),
        audience: Some(withdrawal.audience.to_pb()),
        holds_from_ms: withdrawal.holds_from.0,
        reason: withdrawal.reason.clone(),
        author: withdrawal.author.clone(),
    };
    form.encode_to_vec()
}

/// The withdrawal that the bytes hold, if they keep all rules of the schema.
pub fn decode_withdrawal(bytes: &[u8]) -> Result<Withdrawal, WireError> {
    Ok(from_pb(bytes::decode(bytes, WHAT)?)?)
}

fn from_pb(form: pb::WithdrawalNotice) -> Result<Withdrawal, Violation> {
    let revision: RevisionRef = required(form.withdrawn, "withdrawn")?;
    Ok(Withdrawal {
        next: next_step(&revision, form.action).at("action")?,
        revision,
        audience: required(form.audience, "audience")?,
        holds_from: moment(form.holds_from_ms).at("holds_from_ms")?,
        reason: words(form.reason, "reason")?,
        author: words(form.author, "author")?,
    })
}

fn next_step(
    withdrawn: &RevisionRef,
    action: Option<pb::withdrawal_notice::Action>,
) -> Result<NextStep, Violation> {
    match action.ok_or_else(Violation::required)? {
        pb::withdrawal_notice::Action::MakeNone(pb::MakeNone {}) => Ok(NextStep::MakeNone),
        pb::withdrawal_notice::Action::GoBackTo(earlier) => {
            earlier_revision(withdrawn, earlier).map(NextStep::GoBackTo).at("go_back_to")
        }
    }
}

fn earlier_revision(
    withdrawn: &RevisionRef,
    earlier: pb::RevisionRef,
) -> Result<RevisionRef, Violation> {
    let earlier = RevisionRef::from_pb(earlier)?;
    if earlier.key != withdrawn.key {
        let reason = format!("`{}` is another document than `{}`", earlier.key, withdrawn.key);
        return Err(Violation::new(reason));
    }
    if earlier.number >= withdrawn.number {
        let reason = format!("{} is not before {}", earlier.number, withdrawn.number);
        return Err(Violation::new(reason).at("number"));
    }
    Ok(earlier)
}
