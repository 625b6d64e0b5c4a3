//! Making order, and the loops that have none.

use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};

use chablon_model::{RecipeId, Uses};

use crate::Library;

/// Who uses whom among recipes, as numbers in the order of their ids.
pub(super) struct Graph {
    /// The components of each recipe that exist, once each.
    pub(super) components: Vec<Vec<usize>>,
    /// The recipes that use each recipe, once each.
    pub(super) users: Vec<Vec<usize>>,
}

impl Graph {
    pub(super) fn new(library: &Library<'_>) -> Self {
        let number: HashMap<&RecipeId, usize> =
            library.recipes.keys().enumerate().map(|(number, id)| (*id, number)).collect();
        let components: Vec<Vec<usize>> = library
            .recipes
            .values()
            .map(|recipe| {
                let used = recipe.lines.iter().filter_map(|line| match &line.uses {
                    Uses::Component(id) => number.get(id).copied(),
                    Uses::Ingredient(_) => None,
                });
                let mut used: Vec<usize> = used.collect();
                used.sort_unstable();
                used.dedup();
                used
            })
            .collect();
        let mut users = vec![Vec::new(); components.len()];
        for (user, used) in components.iter().enumerate() {
            for &component in used {
                users[component].push(user);
            }
        }
        Self { components, users }
    }

    /// The making order: repeatedly the smallest among those whose components are all listed.
    /// What uses itself in a loop, or uses such a recipe, is left out.
    pub(super) fn making_order(&self) -> Vec<usize> {
        let mut waiting: Vec<usize> = self.components.iter().map(Vec::len).collect();
        let ready = (0..waiting.len()).filter(|&recipe| waiting[recipe] == 0);
        let mut ready: BinaryHeap<Reverse<usize>> = ready.map(Reverse).collect();
        let mut order = Vec::with_capacity(waiting.len());
        while let Some(Reverse(recipe)) = ready.pop() {
            order.push(recipe);
            for &user in &self.users[recipe] {
                waiting[user] -= 1;
                if waiting[user] == 0 {
                    ready.push(Reverse(user));
                }
            }
        }
        order
    }

    /// Loops among the recipes that have no place in the making order: at least one for every
    /// set of recipes that use each other, no recipe in two, the smallest first in each.
    ///
    /// A depth-first walk on a stack of its own. Whenever it comes back to a recipe that it is
    /// on its way from, the way between is a loop.
    pub(super) fn loops(&self, ordered: &[usize]) -> Vec<Vec<usize>> {
        let mut walk = Walk::new(self, ordered);
        (0..self.components.len()).for_each(|start| walk.from(start));
        walk.loops
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Mark {
    Unseen,
    /// At this depth of the way.
    OnTheWay(usize),
    Done,
}

struct Walk<'a> {
    graph: &'a Graph,
    marks: Vec<Mark>,
    /// Each recipe on the way with the number of its components already followed.
    way: Vec<(usize, usize)>,
    in_a_loop: Vec<bool>,
    loops: Vec<Vec<usize>>,
}

impl<'a> Walk<'a> {
    fn new(graph: &'a Graph, ordered: &[usize]) -> Self {
        let mut marks = vec![Mark::Unseen; graph.components.len()];
        for &recipe in ordered {
            marks[recipe] = Mark::Done;
        }
        let in_a_loop = vec![false; marks.len()];
        Self { graph, marks, way: Vec::new(), in_a_loop, loops: Vec::new() }
    }

    fn from(&mut self, start: usize) {
        self.enter(start);
        while let Some((recipe, followed)) = self.way.last_mut() {
            let next = self.graph.components[*recipe].get(*followed).copied();
            *followed += 1;
            match next {
                Some(component) => self.enter(component),
                None => self.leave(),
            }
        }
    }

    fn enter(&mut self, recipe: usize) {
        match self.marks[recipe] {
            Mark::Unseen => {
                self.marks[recipe] = Mark::OnTheWay(self.way.len());
                self.way.push((recipe, 0));
            }
            Mark::OnTheWay(depth) => self.close(depth),
            Mark::Done => {}
        }
    }

    fn leave(&mut self) {
        if let Some((recipe, _)) = self.way.pop() {
            self.marks[recipe] = Mark::Done;
        }
    }

    fn close(&mut self, depth: usize) {
        let mut path: Vec<usize> = self.way[depth..].iter().map(|(recipe, _)| *recipe).collect();
        if path.iter().any(|&recipe| self.in_a_loop[recipe]) {
            return;
        }
        for &recipe in &path {
            self.in_a_loop[recipe] = true;
        }
        let smallest = (0..path.len()).min_by_key(|&at| path[at]).unwrap_or(0);
        path.rotate_left(smallest);
        self.loops.push(path);
    }
}
