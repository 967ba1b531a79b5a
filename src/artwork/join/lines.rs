//! Lines that nothing fills, as shapes: what people who draw in outlines mean by them.
//!
//! Within one element what lies inside of an odd number of its lines stays. Across elements a line that lies
//! wholly inside of another one is the edge of a hole in it, as the inner line of an O is, and one inside of
//! such a hole is the edge of a piece again; lines that cross or touch each other are taken as shapes that lie on
//! each other, as bars of a K do, and so is a line that is drawn twice.

use super::super::flat::{Lattice, Node};
use super::super::outline::Rule;
use super::super::sorted::sort;
use super::crowd::{Crowd, corners, is_left, lines_of};
use super::limits::Budget;
use super::region::{Region, area, combined, resolved};
use crate::error::InputError;
use i_overlay::core::overlay_rule::OverlayRule;
use std::collections::BTreeSet;

/// A line that lies no further inside of another one, in what straight lines may stray from curves, is the
/// same line drawn twice: as far as [`outlines`](super::super::outlines) is asked for lines drawn twice.
const SAME: f64 = 3.3;

/// So many lines of a ring are gone through in the time in which one step of looking for others is done.
const QUICK: usize = 8;

/// A closed line.
struct Ring {
    nodes: Vec<Node>,
    element: usize,
    /// The place of the piece of its element that it is an edge of, among those of all elements.
    piece: u32,
    /// Whether it is the edge of a hole in its piece.
    hole: bool,
    /// What it encloses, in square millimetres.
    area: f64,
    /// Its length, in millimetres.
    way: f64,
}

/// What the lines of all elements make together: shapes which may lie on each other.
pub(super) fn shapes(
    elements: &[&[Vec<Node>]],
    lattice: &Lattice,
    budget: &mut Budget,
) -> Result<Region, InputError> {
    let rings = rings(elements, lattice);
    let inside = inside(&rings, lattice, budget)?;
    // The level of each: even for the edge of a piece, odd for that of a hole.
    let mut levels = vec![0_usize; rings.len()];
    let mut order: Vec<usize> = (0..rings.len()).collect();
    sort(&mut order, |ring| [-rings[*ring].area, 0.0]);
    for ring in &order {
        let above = inside[*ring].iter().map(|outer| levels[*outer] + 1);
        levels[*ring] = above.max().unwrap_or_default();
    }
    // Of holes within holes of the same piece the outer one will do.
    let mut holes: Vec<Vec<usize>> = vec![Vec::new(); rings.len()];
    for ring in order.into_iter().filter(|ring| levels[*ring] % 2 == 1) {
        let (mut odd, even): (Vec<usize>, Vec<usize>) = inside[ring]
            .iter()
            .partition(|outer| levels[**outer] % 2 == 1);
        // The nearest ones first: mostly the first one is it.
        sort(&mut odd, |outer| [rings[*outer].area, 0.0]);
        for solid in even {
            let mut looked = 0;
            let between = odd.iter().find(|outer| {
                looked += 1;
                inside[**outer].binary_search(&solid).is_ok()
            });
            budget.steps(looked)?;
            if between.is_none() {
                holes[solid].push(ring);
                budget.steps(rings[ring].nodes.len() / QUICK)?;
            }
        }
    }
    let mut region = Region::default();
    for place in 0..rings.len() {
        if levels[place] % 2 == 1 {
            continue;
        }
        let filled = |place: &usize| vec![rings[*place].nodes.clone()];
        let whole = vec![filled(&place)];
        region.put(if holes[place].is_empty() {
            whole
        } else {
            let holes = holes[place].iter().map(filled).collect();
            combined(&whole, &holes, OverlayRule::Difference)
        });
    }
    Ok(region)
}

/// The edges of what each element encloses by itself, all of them clockwise.
fn rings(elements: &[&[Vec<Node>]], lattice: &Lattice) -> Vec<Ring> {
    let mut rings = Vec::new();
    let mut pieces = 0;
    for (element, drawn) in elements.iter().enumerate() {
        for piece in resolved(drawn, Rule::EvenOdd) {
            for (place, mut nodes) in piece.into_iter().enumerate() {
                let signed = area(&nodes, lattice);
                if signed < 0.0 {
                    nodes.reverse();
                }
                let steps: f64 = lines_of(&nodes)
                    .map(|[from, to]| super::vector(from, to).hypot())
                    .sum();
                rings.push(Ring {
                    element,
                    piece: pieces,
                    hole: place > 0,
                    area: signed.abs(),
                    way: steps * lattice.step(),
                    nodes,
                });
            }
            pieces += 1;
        }
    }
    rings
}

/// The lines within which each line lies wholly, in rising order.
fn inside(
    rings: &[Ring],
    lattice: &Lattice,
    budget: &mut Budget,
) -> Result<Vec<Vec<usize>>, InputError> {
    let crowd = Crowd::of_rings(rings.iter().map(|ring| &*ring.nodes));
    let ring_of: Vec<usize> = (0..)
        .zip(rings)
        .flat_map(|(place, ring)| ring.nodes.iter().map(move |_| place))
        .collect();
    // Pieces that meet, the one of the lesser number first.
    let mut meet: BTreeSet<[u32; 2]> = BTreeSet::new();
    let pair = |one: &Ring, other: &Ring| [one.piece.min(other.piece), one.piece.max(other.piece)];
    crowd.meetings(budget, |_, lines, _| {
        let [one, other] = lines.map(|line| &rings[ring_of[line]]);
        if one.element != other.element {
            meet.insert(pair(one, other));
        }
        Ok(())
    })?;
    let all = 0..rings.len();
    let boxes = Crowd::new(
        rings.iter().map(|ring| corners(&ring.nodes)).collect(),
        &[all],
    );
    let mut inside = Vec::new();
    for (place, ring) in rings.iter().enumerate() {
        // The middle of its first line, in half steps: no line of another ring goes through it, or they meet.
        let sum = |axis: fn(&Node) -> i32| {
            let ends = ring.nodes.iter().take(2);
            ends.map(|node| i64::from(axis(node))).sum::<i64>()
        };
        let middle = [sum(|node| node.x), sum(|node| node.y)];
        let mut found = Vec::new();
        for at in boxes.around(corners(ring.nodes.first()), 0.0, budget)? {
            let other = &rings[at];
            let same = SAME * lattice.flat * other.way;
            if other.piece == ring.piece
                || other.area - ring.area <= same
                || meet.contains(&pair(ring, other))
            {
                continue;
            }
            budget.steps(other.nodes.len() / QUICK)?;
            if lines_of(&other.nodes)
                .filter(|line| is_left(*line, middle))
                .count()
                % 2
                == 1
            {
                found.push(at);
            }
        }
        if ring.hole {
            found.push(outer_edge(rings, place));
        }
        found.sort_unstable();
        budget.nested(found.len())?;
        inside.push(found);
    }
    Ok(inside)
}

/// The place of the outer edge of the piece that a ring is an edge of.
fn outer_edge(rings: &[Ring], mut place: usize) -> usize {
    while place > 0 && rings[place].hole {
        place -= 1;
    }
    place
}
