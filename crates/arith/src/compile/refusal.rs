//! Which recipes can't be computed because of others, and the way to the reason.

use std::collections::VecDeque;

use chablon_model::{Recipe, RecipeId};

use super::Compiler;
use super::order::Graph;
use crate::Fault;

/// The most recipes that a reason spells out; the middle of a longer way is counted.
const SPELT_OUT: usize = 8;

/// Reports loops, and every recipe that uses one that can't be computed.
pub(super) fn report(
    compiler: &mut Compiler<'_>,
    graph: &Graph,
    recipes: &[&Recipe],
    ordered: &[usize],
) {
    for path in graph.loops(ordered) {
        report_loop(compiler, recipes, &path);
    }
    let at_fault: Vec<usize> = (0..recipes.len())
        .filter(|&number| compiler.book.refusal(&recipes[number].id).is_some())
        .collect();
    let reasons = reasons(graph, &at_fault);
    for (number, recipe) in recipes.iter().enumerate() {
        if let Some(toward) = reasons.toward[number].filter(|&toward| toward != number) {
            let (path, left_out) = way(recipes, &reasons, toward);
            compiler.refuse(&recipe.id, Fault::ComponentRefused { path, left_out });
        }
    }
}

fn report_loop(compiler: &mut Compiler<'_>, recipes: &[&Recipe], path: &[usize]) {
    let names = path.iter().chain(path.first()).map(|&number| recipes[number].id.clone());
    let names: Vec<RecipeId> = names.collect();
    if let Some((first, rest)) = names.split_first() {
        // One loop is one problem, at its first recipe; the others point to it.
        compiler.refuse(first, Fault::Cycle { path: names.clone() });
        for member in rest.iter().filter(|member| *member != first) {
            let problem = compiler.problems.last().cloned();
            problem.map(|problem| compiler.book.refused.entry(member.clone()).or_insert(problem));
        }
    }
}

/// For every recipe that can't be computed, its component on the shortest way to the reason, or
/// itself where the reason is its own.
struct Reasons {
    toward: Vec<Option<usize>>,
    /// How many recipes lie between it and the one at fault, that one counted.
    distance: Vec<usize>,
    /// The recipe at fault.
    root: Vec<usize>,
}

fn reasons(graph: &Graph, at_fault: &[usize]) -> Reasons {
    let mut toward = vec![None; graph.users.len()];
    let mut distance = vec![0; graph.users.len()];
    let mut root: Vec<usize> = (0..graph.users.len()).collect();
    for &number in at_fault {
        toward[number] = Some(number);
    }
    let mut next: VecDeque<usize> = at_fault.iter().copied().collect();
    while let Some(component) = next.pop_front() {
        for &user in &graph.users[component] {
            if toward[user].is_none() {
                toward[user] = Some(component);
                distance[user] = distance[component] + 1;
                root[user] = root[component];
                next.push_back(user);
            }
        }
    }
    Reasons { toward, distance, root }
}

/// The way from a component to the recipe at fault; of a long one the start and the end, with
/// the number of recipes between.
fn way(recipes: &[&Recipe], reasons: &Reasons, start: usize) -> (Vec<RecipeId>, usize) {
    let id = |number: usize| recipes[number].id.clone();
    let mut path = vec![id(start)];
    let mut at = start;
    while let Some(toward) = reasons.toward[at].filter(|&toward| toward != at) {
        if path.len() == SPELT_OUT {
            path.push(id(reasons.root[at]));
            return (path, reasons.distance[at] - 1);
        }
        at = toward;
        path.push(id(at));
    }
    (path, 0)
}
