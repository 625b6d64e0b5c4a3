//! What stands at the end of every figure.

use chablon_sdk::figures::{Basis, Caution};
use owo_colors::OwoColorize;
use sha2::{Digest as _, Sha256};

use super::listing::paragraph;
use super::tongue::Tongue;

/// Cautions, each a paragraph of its own. Those of the standard itself come first.
pub(super) fn remarks(
    own: &[String],
    standard: &[Caution],
    tongue: Tongue,
    width: usize,
) -> String {
    let mut text = String::from("\n");
    for caution in standard {
        let sentence = format!("! {}", caution_text(caution, tongue));
        text += &format!("{}", paragraph(&sentence, 0, width).red().bold());
    }
    own.iter().for_each(|caution| text += &paragraph(caution, 0, width));
    text
}

fn caution_text(caution: &Caution, tongue: Tongue) -> String {
    match (caution, tongue) {
        (Caution::PinnedIsWithdrawn { revision, reason, author }, Tongue::French) => format!(
            "emploie la révision {} de « {} », que {author} a retirée : {reason}. Demander avant de faire",
            revision.number, revision.key.id
        ),
        _ => caution.to_string(),
    }
}

/// What a result was computed from, in one line: where it is equal, so are all digits.
pub(super) fn basis(basis: &Basis, tongue: Tongue) -> String {
    let (short, count, rules) = (short(basis), basis.digests.len(), &basis.rules);
    let line = tongue.pick(
        format!("Basis {short}: {count} documents, rules {rules}. Same basis, same digits."),
        format!("Base {short} : {count} documents, règles {rules}. Même base, mêmes chiffres."),
    );
    format!("{}\n", line.dimmed())
}

/// The first digits of the digest over all digests, in their order.
fn short(basis: &Basis) -> String {
    let mut hasher = Sha256::new();
    basis.digests.iter().for_each(|digest| hasher.update(digest.0));
    chablon_model::Digest(hasher.finalize().into()).short()
}
