//! Circles in what should have none.

use std::collections::{BTreeMap, BTreeSet};

/// The circles among nodes that each lead to others: every one that shares no node with another
/// is found, in the order of their smallest nodes.
pub(crate) fn cycles<N: Copy + Ord>(leads_to: &BTreeMap<N, Vec<N>>) -> Vec<Vec<N>> {
    let mut left: BTreeSet<N> = leads_to.keys().copied().collect();
    let mut found = Vec::new();
    loop {
        drop_ends(leads_to, &mut left);
        let Some(start) = left.first().copied() else { return found };
        let circle = walk(leads_to, &left, start);
        for node in &circle {
            left.remove(node);
        }
        found.push(circle);
    }
}

/// Drops nodes that lead to nothing that is left, until every node leads on.
fn drop_ends<N: Copy + Ord>(leads_to: &BTreeMap<N, Vec<N>>, left: &mut BTreeSet<N>) {
    loop {
        let ends: Vec<N> =
            left.iter().copied().filter(|node| next(leads_to, left, *node).is_none()).collect();
        if ends.is_empty() {
            return;
        }
        for end in ends {
            left.remove(&end);
        }
    }
}

fn next<N: Copy + Ord>(leads_to: &BTreeMap<N, Vec<N>>, left: &BTreeSet<N>, node: N) -> Option<N> {
    leads_to.get(&node)?.iter().copied().find(|next| left.contains(next))
}

/// Walks on until a node comes again; what lies between is a circle, its smallest node first.
fn walk<N: Copy + Ord>(leads_to: &BTreeMap<N, Vec<N>>, left: &BTreeSet<N>, start: N) -> Vec<N> {
    let mut path = vec![start];
    while let Some(node) = path.last().and_then(|last| next(leads_to, left, *last)) {
        if let Some(first) = path.iter().position(|earlier| *earlier == node) {
            let mut circle = path.split_off(first);
            let smallest = (0..circle.len()).min_by_key(|index| circle[*index]).unwrap_or(0);
            circle.rotate_left(smallest);
            return circle;
        }
        path.push(node);
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(edges: &[(u8, &[u8])], expected: &[&[u8]]) {
        let leads_to = edges.iter().map(|(node, next)| (*node, next.to_vec())).collect();
        assert_eq!(cycles::<u8>(&leads_to), expected);
    }

    #[test]
    fn cycles_of_a_tree_are_none() {
        check(&[(1, &[2, 3]), (2, &[3]), (3, &[])], &[]);
    }

    #[test]
    fn cycles_start_at_their_smallest_node_and_leave_out_the_way_in() {
        check(&[(1, &[4]), (2, &[3]), (3, &[4]), (4, &[2])], &[&[2, 3, 4]]);
    }

    #[test]
    fn cycles_apart_are_all_found() {
        check(&[(1, &[1]), (2, &[3]), (3, &[2, 9])], &[&[1], &[2, 3]]);
    }
}
