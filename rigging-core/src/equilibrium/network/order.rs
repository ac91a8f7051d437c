//! The order in which nodes are eliminated: those with the fewest neighbors first, so that a tree of spreaders is taken
//! apart from its leaves and the load that they share comes last.

use super::model::{Grip, Model};
use std::cmp::Reverse;
use std::collections::{BTreeSet, BinaryHeap};

/// Nodes in the order of elimination, and for each the later nodes that its elimination touches.
#[derive(Debug, Clone)]
pub(super) struct Order {
    pub(super) nodes: Vec<usize>,
    pub(super) touched: Vec<Vec<usize>>,
}

impl Order {
    pub(super) fn new(model: &Model) -> Self {
        let count = model.nodes.len();
        let mut around: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); count];
        for link in &model.links {
            if let [Some(a), Some(b)] = link.ends.map(Grip::node)
                && a != b
            {
                for (from, to) in [(a, b), (b, a)] {
                    if let Some(list) = around.get_mut(from) {
                        list.insert(to);
                    }
                }
            }
        }
        let mut heap: BinaryHeap<Reverse<(usize, usize)>> =
            around.iter().enumerate().map(|(node, list)| Reverse((list.len(), node))).collect();
        let mut done = vec![false; count];
        let mut order = Self { nodes: Vec::with_capacity(count), touched: Vec::with_capacity(count) };
        while let Some(Reverse((degree, node))) = heap.pop() {
            let stale = around.get(node).is_none_or(|list| list.len() != degree);
            let Some(done) = done.get_mut(node) else { continue };
            if stale || *done {
                continue;
            }
            *done = true;
            let neighbors: Vec<usize> =
                around.get_mut(node).map(std::mem::take).unwrap_or_default().into_iter().collect();
            // What remains of the neighbors becomes a clique.
            for neighbor in &neighbors {
                let Some(list) = around.get_mut(*neighbor) else { continue };
                list.remove(&node);
                list.extend(neighbors.iter().copied().filter(|other| other != neighbor));
                heap.push(Reverse((list.len(), *neighbor)));
            }
            order.nodes.push(node);
            order.touched.push(neighbors);
        }
        order
    }
}
