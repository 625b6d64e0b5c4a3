//! The lines of a component: what to weigh, on which scale, how often.

use chablon_arith::{Hint, WeighFlag};
use chablon_model::{Recipe, RecipeId, Uses};
use chablon_quantity::{Exact, Grams};
use chablon_sdk::figures::{Component, Line, Plan, Weighing};
use owo_colors::Style;

use super::super::listing::{Listing, Side};
use super::super::names::Names;
use super::super::tongue::NO_BREAK;
use super::block::INDENT;
use super::words::{PreMix, Words};

/// A column of numbers with a heading.
struct Column {
    head: &'static str,
    side: Side,
    cells: Vec<String>,
}

/// The lines in columns, each with what helps below it where it can't be weighed.
pub(super) fn lines(plan: &Plan, component: &Component, names: &Names<'_>, width: usize) -> String {
    let columns = columns(plan, component, names);
    let sides = columns.iter().map(|column| column.side);
    let mut listing = Listing::new(INDENT + 2, std::iter::once(Side::Left).chain(sides));
    listing.head(std::iter::once("").chain(columns.iter().map(|column| column.head)));
    for (at, line) in component.lines.iter().enumerate() {
        let name = name(plan, line, names);
        let cells = std::iter::once(name).chain(columns.iter().map(|one| one.cells[at].clone()));
        let flag = line.weigh.as_ref().and_then(|weigh| weigh.flag);
        listing.styled(cells, if flag.is_some() { Style::new().yellow() } else { Style::new() });
        if let Some((weigh, flag)) = line.weigh.as_ref().zip(flag) {
            listing.remark(remark(component, line, weigh, flag, names));
        }
    }
    listing.render(width)
}

fn name(plan: &Plan, line: &Line, names: &Names<'_>) -> String {
    let title = names.uses(&line.uses);
    let made_at =
        |id: &RecipeId| plan.components.iter().position(|component| component.recipe == *id);
    match &line.uses {
        Uses::Component(id) => match made_at(id) {
            Some(at) => Words(names.tongue).made_at(title, at + 1),
            None => title.to_owned(),
        },
        Uses::Ingredient(_) => title.to_owned(),
    }
}

fn columns(plan: &Plan, component: &Component, names: &Names<'_>) -> Vec<Column> {
    let words = Words(names.tongue);
    let lines = &component.lines;
    let mut columns = Vec::new();
    if plan.site.is_some() {
        columns.push(Column {
            head: words.weigh(),
            side: Side::Right,
            cells: readings(lines, names),
        });
        let scale = |line: &Line| line.weigh.as_ref().map_or("", |weigh| &weigh.scale).to_owned();
        let cells = lines.iter().map(scale).collect();
        columns.push(Column { head: words.scale(), side: Side::Left, cells });
    }
    let (per_batch, to_taste) = (|line: &Line| line.per_batch_g.exact().clone(), words.to_taste());
    columns.push(masses(words.exactly(), lines, per_batch, to_taste, names));
    if component.batches > 1 {
        let all = |line: &Line| line.mass_g.exact().clone();
        columns.push(masses(words.all_batches(), lines, all, "", names));
    }
    columns.extend(of_base(lines, names));
    columns
}

/// Baker's percentages, where the recipe has a base.
fn of_base(lines: &[Line], names: &Names<'_>) -> Option<Column> {
    let percent = |line: &Line| {
        let percent = line.bakers_percent.as_ref().filter(|_| !line.to_taste);
        percent.map_or(String::new(), |percent| names.tongue.number(percent.exact(), 2))
    };
    if lines.iter().all(|line| line.bakers_percent.is_none()) {
        return None;
    }
    let mut numbers: Vec<String> = lines.iter().map(percent).collect();
    names.tongue.aligned(&mut numbers);
    let with_sign = |number: String| match number.as_str() {
        "" => String::new(),
        _ => format!("{number}{NO_BREAK}%"),
    };
    let cells = numbers.into_iter().map(with_sign).collect();
    Some(Column { head: Words(names.tongue).bakers_percent(), side: Side::Right, cells })
}

/// A column of exact masses, with what stands there for a line to taste.
fn masses(
    head: &'static str,
    lines: &[Line],
    mass: impl Fn(&Line) -> Exact,
    to_taste: &str,
    names: &Names<'_>,
) -> Column {
    let weighed = |line: &Line| (!line.to_taste).then(|| names.tongue.number(&mass(line), 3));
    let mut numbers: Vec<String> =
        lines.iter().map(|line| weighed(line).unwrap_or_default()).collect();
    names.tongue.aligned(&mut numbers);
    let cell = |number: String| {
        if number.is_empty() { to_taste.to_owned() } else { format!("{number}{NO_BREAK}g") }
    };
    Column { head, side: Side::Right, cells: numbers.into_iter().map(cell).collect() }
}

/// What the scales show, with as many decimals as they do.
fn readings(lines: &[Line], names: &Names<'_>) -> Vec<String> {
    let number = |line: &Line| {
        let weigh = line.weigh.as_ref();
        weigh.map_or(String::new(), |weigh| reading(weigh, names))
    };
    let mut numbers: Vec<String> = lines.iter().map(number).collect();
    names.tongue.aligned(&mut numbers);
    let cells = numbers.into_iter().zip(lines).map(|(number, line)| match &line.weigh {
        None => String::new(),
        Some(weigh) if weigh.weighings > 1 => {
            format!("{}{NO_BREAK}×{NO_BREAK}{number}{NO_BREAK}g", weigh.weighings)
        }
        Some(_) => format!("{number}{NO_BREAK}g"),
    });
    cells.collect()
}

fn reading(weigh: &Weighing, names: &Names<'_>) -> String {
    let scales = names.site().map_or(&[][..], |site| &site.scales);
    let scale = scales.iter().find(|scale| scale.name == weigh.scale);
    match scale {
        Some(scale) => {
            let decimals = decimals(&scale.increment.quantity().grams());
            names.tongue.fixed(&weigh.reading_g.exact().round(decimals))
        }
        None => names.tongue.number(weigh.reading_g.exact(), 3),
    }
}

/// How many decimals a scale with this step shows.
fn decimals(increment: &Exact) -> u32 {
    let shows = |decimals: &u32| increment.round(*decimals).exact() == *increment;
    (0..3).find(shows).unwrap_or(3)
}

/// Why a line can't be weighed as the standard asks, and what helps.
fn remark(
    component: &Component,
    line: &Line,
    weigh: &Weighing,
    flag: WeighFlag,
    names: &Names<'_>,
) -> String {
    let words = Words(names.tongue);
    let why = match flag {
        WeighFlag::ReadsZero => words.reads_zero(&weigh.scale),
        WeighFlag::OverTolerance => {
            let error = names.tongue.percent(weigh.error_percent.exact());
            let tolerance = tolerance(names.written(&component.recipe), line.number);
            words.over_tolerance(&error, &names.tongue.percent(&tolerance))
        }
    };
    let hints: Vec<String> =
        line.hints.iter().filter_map(|hint| hinted(hint, component, line, names)).collect();
    let hints = if hints.is_empty() {
        String::new()
    } else {
        format!("{} {}", names.tongue.colon(), hints.join(words.or()))
    };
    format!("! {why}{hints}")
}

/// How far a line may be off, in per cent.
fn tolerance(recipe: Option<&Recipe>, number: usize) -> Exact {
    let line = recipe.and_then(|recipe| recipe.lines.get(number.checked_sub(1)?));
    let stated = line.and_then(|line| line.tolerance.map(|share| share.quantity().0));
    stated.map_or(Exact::from(2), |share| share * Exact::from(100))
}

fn hinted(hint: &Hint, component: &Component, line: &Line, names: &Names<'_>) -> Option<String> {
    let words = Words(names.tongue);
    let grams = |mass: &Exact| names.tongue.grams(mass);
    Some(match hint {
        Hint::FinerScale { increment } => words.finer_scale(&grams(&down(increment))),
        Hint::LargerBatch { times, .. } => {
            let tenths = (times * Exact::from(10)).ceil() / Exact::from(10);
            words.larger_batch(&names.tongue.number(&tenths, 1))
        }
        Hint::PreMix { carrier, weigh, carrier_mass, take } => {
            let carrier = component.lines.iter().find(|line| line.number == *carrier)?;
            words.pre_mix(&PreMix {
                weigh: grams(weigh),
                carrier_mass: grams(carrier_mass),
                carrier: names.uses(&carrier.uses),
                take: grams(take),
                less: grams(&(take - line.per_batch_g.exact())),
            })
        }
    })
}

/// Rounded down to three decimals: a scale's step that is a little larger wouldn't do.
fn down(increment: &Exact) -> Exact {
    let thousand = Exact::from(1000);
    (increment * &thousand).floor() / thousand
}
