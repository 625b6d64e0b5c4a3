//! Why nobody is let in, or out.

use chablon_model::{ActorName, Moment};

use crate::TokenId;

/// Why a change of who may reach a hub wasn't made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AccessRefusal {
    /// The name belongs to an account that is another one.
    #[error("`{0}` is the name of an account with another role or site; choose another name")]
    NameTaken(ActorName),
    /// The name belongs to an account that was shut out. It stays in the log as whoever it was.
    #[error("the account `{0}` was shut out, and its name is not given again; choose another")]
    ShutOut(ActorName),
    /// The code's name is that of another one.
    #[error("a code of this name exists; make another code")]
    CodeExists,
    /// The token's name is that of another one.
    #[error("a token of this name exists; make another token")]
    TokenExists,
    /// No code has this name, or it has another secret, or the account was shut out. The three are
    /// not told apart, so that nothing is learnt by trying.
    #[error("the code is not right; read it again from whoever gave it, or ask for another")]
    CodeUnknown,
    /// A wrong code was tried too often.
    #[error("a wrong code was tried too often, so it is void; ask for another")]
    CodeVoid,
    /// The code was used before.
    #[error("the code was used before, and serves once; ask for another")]
    CodeSpent,
    /// The code is too old.
    #[error("the code is too old; ask for another")]
    CodeExpired {
        /// Since when.
        expired_at: Moment,
    },
    /// There is no such token.
    #[error("there is no token `{0}`")]
    UnknownToken(TokenId),
    /// There is no such account.
    #[error("there is no account `{0}`")]
    UnknownAccount(ActorName),
}
