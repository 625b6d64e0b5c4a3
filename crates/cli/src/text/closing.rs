//! What stands at the end of every figure.

use chablon_sdk::figures::{Basis, Caution, Laid};
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

/// What the kitchen makes otherwise than the standard says; it stands below the cautions.
pub(super) fn deviations(laid: &[Laid], tongue: Tongue, width: usize) -> String {
    let style = Style::new().magenta().bold();
    let told = |one: &Laid| {
        let (id, recipe, by, until) =
            (&one.id, &one.recipe, &one.by, crate::clock::show(one.until));
        let what = one.departures.join("; ");
        let note = one.note.as_ref().map_or_else(String::new, |note| format!(" {note}"));
        tongue.pick(
            format!("~ Deviation {id} lies over {recipe} until {until}, granted by {by}: {what}.{note}"),
            format!("~ L'écart {id} s'applique à {recipe} jusqu'au {until}, accordé par {by} : {what}.{note}"),
        )
    };
    laid.iter().map(|one| styled(&told(one), 0, width, style)).collect()
}

/// The same by itself.
pub(crate) fn laid(laid: &[Laid], width: usize) -> String {
    deviations(laid, Tongue::English, width)
}

/// What must be said of a sheet, a paragraph each.
pub(super) fn remarks(remarks: &[String], width: usize) -> String {
    remarks.iter().map(|remark| paragraph(remark, 0, width)).collect()
}

fn caution_text(caution: &Caution, tongue: Tongue) -> String {
    match caution {
        Caution::PinnedIsWithdrawn { revision, reason, author } => {
            let (number, id) = (revision.number, &revision.key.id);
            tongue.pick(
                format!("This uses revision {number} of `{id}`, which {author} has withdrawn: {reason}. Ask before you make it"),
                format!("Ceci emploie la révision {number} de « {id} », que {author} a retirée : {reason}. Demander avant de faire"),
            )
        }
        Caution::WentBack { withdrawn, reason, author } => {
            let number = withdrawn.number;
            tongue.pick(
                format!("Back to this: {author} has withdrawn revision {number}: {reason}"),
                format!("Retour à celle-ci : {author} a retiré la révision {number} : {reason}"),
            )
        }
        other => other.to_string(),
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
