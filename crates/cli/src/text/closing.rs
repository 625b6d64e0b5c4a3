//! What stands at the end of every figure.

use chablon_sdk::figures::{Basis, Caution};
use owo_colors::{OwoColorize, Style};
use sha2::{Digest as _, Sha256};

use super::listing::{paragraph, styled};
use super::tongue::Tongue;

/// What must be known before anything of a sheet is done; so it stands at its head.
pub(super) fn cautions(cautions: &[Caution], tongue: Tongue, width: usize) -> String {
    let style = Style::new().red().bold();
    let sentences = cautions.iter().map(|one| format!("! {}.", caution_text(one, tongue)));
    sentences.map(|sentence| styled(&sentence, 0, width, style)).collect()
}

/// What must be said of a sheet, a paragraph each.
pub(super) fn remarks(remarks: &[String], width: usize) -> String {
    remarks.iter().map(|remark| paragraph(remark, 0, width)).collect()
}

fn caution_text(caution: &Caution, tongue: Tongue) -> String {
    let Caution::PinnedIsWithdrawn { revision, reason, author } = caution else {
        return caution.to_string();
    };
    let (number, id) = (revision.number, &revision.key.id);
    tongue.pick(
        format!("This uses revision {number} of `{id}`, which {author} has withdrawn: {reason}. Ask before you make it"),
        format!("Ceci emploie la révision {number} de « {id} », que {author} a retirée : {reason}. Demander avant de faire"),
    )
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
