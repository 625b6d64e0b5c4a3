//! Lines, yields, losses, batches.

use chablon_model::{Amount, Loss, Uses, Yield};
use chablon_quantity::{Authored, Exact, MassUnit};

use super::words::{either, fate, grams, instead, list, percent, plain, sides};
use crate::{Bound, LineFigure, LineSetting, LinesChange, Makes, Pair, sense};

pub(super) fn lines(lines: &Pair<Vec<LineFigure>>) -> String {
    let first = |side: &Vec<LineFigure>| side.first().cloned();
    let firsts = lines.as_ref().map(first);
    let Some(any) = firsts.after.as_ref().or(firsts.before.as_ref()) else { return String::new() };
    let uses = any.line.uses.id();
    match (lines.kind(), firsts.as_ref().map(Option::as_ref).both()) {
        (LinesChange::Amount, Some(two)) => amount(two),
        (LinesChange::Replaced, Some(two)) => {
            let (old, new) = (two.before.line.uses.id(), two.after.line.uses.id());
            let (before, after) = (taken(two.before), taken(two.after));
            format!("`{new}` {after} instead of `{old}` {before}{}", shares(two))
        }
        (LinesChange::Weighs, Some(two)) => {
            let mass = two.map(|one| one.grams.as_ref().map_or_else(String::new, grams));
            format!("`{uses}` {} weighs {}", written(any), instead(mass))
        }
        (LinesChange::Split | LinesChange::Merged, _) => {
            let all = lines.as_ref().map(|side| side.iter().map(taken).collect::<Vec<_>>());
            let lines = lines.as_ref().map(Vec::len);
            let (before, after) = (list(&all.before, ""), list(&all.after, ""));
            let count = |count: usize| {
                if count == 1 { "1 line".to_owned() } else { format!("{count} lines") }
            };
            format!(
                "`{uses}` in {} ({after}) instead of {} ({before})",
                count(lines.after),
                count(lines.before)
            )
        }
        (LinesChange::Removed, _) => format!("`{uses}` removed: {}{}", taken(any), share(any)),
        _ => format!("`{uses}` added: {}{}", taken(any), share(any)),
    }
}

/// `honey-acacia` 120 g instead of 170 g, -50 g (5.00 % of the batch instead of 6.90 %)
fn amount(two: Pair<&LineFigure>) -> String {
    let uses = two.after.line.uses.id();
    let mut said = format!("`{uses}` {}", instead(two.map(taken)));
    let masses = two.map(|one| one.grams.as_ref()).both();
    if let Some(Pair { before, after }) = masses {
        let by = after - before;
        let sign = if by.is_negative() { "" } else { "+" };
        said = format!("{said}, {sign}{}", grams(&by));
    }
    let written = two.map(|one| sense::amount(&one.line.amount));
    let ratio = written.before.ratio(&written.after);
    let times = ratio.or_else(|| masses.and_then(|two| two.after.checked_div(two.before)));
    if let Some(times) = times.filter(is_far_from_one) {
        said = format!("{said}, {} times as much", plain(&times, 2));
    }
    said + &shares(two)
}

/// Whether so many times as much may well be a slip of the pen.
fn is_far_from_one(times: &Exact) -> bool {
    let (double, half) = (Exact::from(2), Exact::from(1) / Exact::from(2));
    *times >= double || *times <= half
}

fn written(line: &LineFigure) -> String {
    match &line.line.amount {
        Amount::Mass(mass) => mass.to_string(),
        Amount::Volume(volume) => volume.to_string(),
        Amount::Count(count) => count.to_string(),
        Amount::Share(share) => share.to_string(),
        Amount::Shape(shape) => shape.to_string(),
        Amount::ToTaste => "to taste".to_owned(),
    }
}

/// The amount as written, with its mass where that is another figure.
fn taken(line: &LineFigure) -> String {
    let written = written(line);
    match (&line.line.amount, &line.grams) {
        (Amount::Mass(_) | Amount::ToTaste, _) | (_, None) => written,
        (_, Some(mass)) => format!("{written} ({})", grams(mass)),
    }
}

/// ` (2.03 % of the batch)`
fn share(line: &LineFigure) -> String {
    let parts = [(&line.of_batch, "of the batch"), (&line.of_base, "of the base")];
    let parts = parts
        .into_iter()
        .filter_map(|(part, of)| Some(format!("{} {of}", percent(part.as_ref()?))));
    in_brackets(&parts.collect::<Vec<_>>())
}

/// ` (2.03 % of the batch instead of 2.50 %)`
fn shares(two: Pair<&LineFigure>) -> String {
    let part = |of: fn(&LineFigure) -> &Option<Exact>, name: &str| {
        let parts = two.map(|one| of(one).as_ref()).both()?.map(percent);
        let same = parts.before == parts.after;
        let before =
            if same { "as before".to_owned() } else { format!("instead of {}", parts.before) };
        Some(format!("{} of the {name} {before}", parts.after))
    };
    let parts = [part(|one| &one.of_batch, "batch"), part(|one| &one.of_base, "base")];
    in_brackets(&parts.into_iter().flatten().collect::<Vec<_>>())
}

fn in_brackets(parts: &[String]) -> String {
    if parts.is_empty() { String::new() } else { format!(" ({})", parts.join("; ")) }
}

pub(super) fn line_setting(uses: &Uses, number: Pair<usize>, setting: &LineSetting) -> String {
    let line = format!("`{}` (line {})", uses.id(), number.after);
    match setting {
        LineSetting::Scaling(scaling) => {
            format!("{line} scales {}", instead(scaling.map(chablon_model::Scaling::as_str)))
        }
        LineSetting::Base(base) if base.after => format!("{line} counts in the 100 % of shares"),
        LineSetting::Base(_) => format!("{line} no longer counts in the 100 % of shares"),
        LineSetting::Tolerance(tolerance) => {
            format!("{line} weighed to within {}", either(tolerance, "2 %"))
        }
        LineSetting::Step(step) => format!("{line} used in step {}", either(step, "none")),
    }
}

pub(super) fn base(base: &Pair<Exact>) -> String {
    let mass = base.as_ref().map(grams);
    format!("the 100 % of shares weigh {}, and every share follows", instead(mass))
}

pub(super) fn yields(yields: Pair<&Option<Yield>>) -> String {
    if let (
        Some(Yield::Pieces { count: a, piece_mass: Some(before), outline: was }),
        Some(Yield::Pieces { count: b, piece_mass: Some(after), outline: is }),
    ) = (yields.before, yields.after)
        && a.quantity() == b.quantity()
        && was == is
    {
        return format!("piece mass {} ({b})", instead(Pair::new(before, after)));
    }
    let said = |side: &Option<Yield>| match side {
        None => "what the losses leave".to_owned(),
        Some(Yield::Mass(mass)) => mass.to_string(),
        Some(Yield::Pieces { count, piece_mass, outline }) => {
            let mass = piece_mass.map_or(String::new(), |mass| format!(" of {mass}"));
            let outline = outline.map_or(String::new(), |outline| format!(", each {outline}"));
            format!("{count}{mass}{outline}")
        }
        Some(Yield::Sheet(sheet)) => sheet.to_string(),
    };
    format!("makes {}", instead(yields.map(said)))
}

pub(super) fn makes(makes: &Pair<Makes>) -> String {
    let net = makes.as_ref().map(|one| grams(&one.net));
    let each = makes.as_ref().map(|one| one.each.as_ref().map(grams)).both();
    let each = each.map_or_else(String::new, |each| format!(", a piece {}", instead(each)));
    format!("makes {} by its lines and losses{each}", instead(net))
}

pub(super) fn loss(loss: &Pair<Option<Loss>>) -> String {
    let said = |loss: &Loss| match loss {
        Loss::Stage { stage, kind, fraction } => {
            let of = match kind {
                chablon_model::LossKind::Water => "as water",
                chablon_model::LossKind::Whole => "of the whole",
            };
            format!("{}{fraction} {of}", named(stage.as_deref()))
        }
        Loss::Residue { stage, mass } => {
            format!("{}{mass} stay behind in every batch", named(stage.as_deref()))
        }
    };
    format!("loss {}: {}", fate(loss), sides(loss, said))
}

fn named(stage: Option<&str>) -> String {
    stage.map_or_else(String::new, |stage| format!("`{stage}` "))
}

pub(super) fn batch(bound: Bound, mass: &Pair<Option<Authored<MassUnit>>>) -> String {
    let which = match bound {
        Bound::Max => "largest",
        Bound::Min => "least",
    };
    format!("{which} batch {}", either(mass, "unstated"))
}
