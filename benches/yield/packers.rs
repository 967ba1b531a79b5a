//! General-purpose packers of rectangles from crates.io, to compare with. Every layout of theirs is
//! looked through before it counts.

use crate::instances::Size;
use binpack2d::Dimension;
use binpack2d::maxrects::{Heuristic, MaxRectsBin};
use rectangle_pack::{
    GroupedRectsToPlace, RectToInsert, TargetBin, contains_smallest_box, pack_rects,
    volume_heuristic,
};
use std::collections::BTreeMap;

/// A rectangle where a packer has put it.
#[derive(Clone, Copy, Debug)]
struct Spot {
    x: i32,
    y: i32,
    w: i32,
    h: i32,
}

/// A packer of rectangles that is no part of this project.
pub struct Packer {
    /// As it is called there.
    pub name: &'static str,
    /// Whether it turns pieces by itself.
    turns: bool,
    /// Packs what fits of the pieces into a space.
    pack: fn(space: Size, pieces: &[Size], turn: bool) -> Vec<Spot>,
}

/// All of them.
pub const PACKERS: [Packer; 4] = [
    Packer {
        name: "crunch",
        turns: true,
        pack: crunch,
    },
    Packer {
        name: "binpack2d",
        turns: false,
        pack: binpack2d,
    },
    Packer {
        name: "rect_packer",
        turns: true,
        pack: rect_packer,
    },
    Packer {
        name: "rectangle-pack",
        turns: false,
        pack: rectangle_pack,
    },
];

impl Packer {
    /// The most of the pieces that the packer gets into the space, and how long a part of it they
    /// take. One that turns no piece is shown them as they are and, where they may be turned, all of
    /// them upright and all of them lying, and the best counts.
    pub fn best(&self, space: Size, pieces: &[Size], turn: bool) -> (usize, i32) {
        let mut ways = vec![pieces.to_vec()];
        if turn && !self.turns {
            let fitting = |(w, h): Size, (to_w, to_h): Size| {
                if to_w <= space.0 && to_h <= space.1 {
                    (to_w, to_h)
                } else {
                    (w, h)
                }
            };
            let lie = |&(w, h): &Size| fitting((w, h), (w.max(h), w.min(h)));
            let stand = |&(w, h): &Size| fitting((w, h), (w.min(h), w.max(h)));
            ways.push(pieces.iter().map(lie).collect());
            ways.push(pieces.iter().map(stand).collect());
        }
        let packed = ways.iter().map(|pieces| {
            let spots = (self.pack)(space, pieces, turn);
            check(self.name, space, &spots, pieces, turn);
            let end = spots.iter().map(|spot| spot.y + spot.h).max();
            (spots.len(), end.unwrap_or(0))
        });
        // Of as many pieces, those that take less.
        let best = packed.max_by_key(|(count, end)| (*count, -end));
        best.unwrap_or((0, 0))
    }
}

/// Stops the bench where a layout is none: out of the space, one piece on another, or other pieces.
fn check(name: &str, space: Size, spots: &[Spot], pieces: &[Size], turn: bool) {
    let sides = |w: i32, h: i32| if turn { (w.min(h), w.max(h)) } else { (w, h) };
    let mut left: Vec<Size> = pieces.iter().map(|&(w, h)| sides(w, h)).collect();
    for (place, a) in spots.iter().enumerate() {
        let inside = a.x >= 0 && a.y >= 0 && a.x + a.w <= space.0 && a.y + a.h <= space.1;
        let apart = spots[..place]
            .iter()
            .all(|b| a.x + a.w <= b.x || b.x + b.w <= a.x || a.y + a.h <= b.y || b.y + b.h <= a.y);
        let asked = left.iter().position(|size| *size == sides(a.w, a.h));
        assert!(
            inside && apart && asked.is_some(),
            "{name}: {a:?} in {space:?}"
        );
        left.swap_remove(asked.unwrap_or(0));
    }
}

fn crunch((width, length): Size, pieces: &[Size], turn: bool) -> Vec<Spot> {
    use crunch::{Item, Packer, Rect, Rotation};
    let side = |side: i32| usize::try_from(side).unwrap_or(0);
    let back = |side: usize| i32::try_from(side).unwrap_or(i32::MAX);
    let turn = if turn {
        Rotation::Allowed
    } else {
        Rotation::None
    };
    let items = pieces
        .iter()
        .map(|&(w, h)| Item::new((), side(w), side(h), turn));
    let packed = Packer::with_items(items).pack(Rect::of_size(side(width), side(length)));
    let (Ok(packed) | Err(packed)) = packed;
    let spot = |rect: Rect| Spot {
        x: back(rect.x),
        y: back(rect.y),
        w: back(rect.w),
        h: back(rect.h),
    };
    packed.into_iter().map(|item| spot(item.rect)).collect()
}

/// With the best of its rules.
fn binpack2d((width, length): Size, pieces: &[Size], _: bool) -> Vec<Spot> {
    let pieces: Vec<Dimension> = (0..)
        .zip(pieces)
        .map(|(id, &(w, h))| Dimension::with_id(id, w, h, 0))
        .collect();
    let rules = [
        Heuristic::BestShortSideFit,
        Heuristic::BestLongSideFit,
        Heuristic::BestAreaFit,
        Heuristic::BottomLeftRule,
        Heuristic::ContactPointRule,
    ];
    let packed = rules.map(|rule| {
        let (packed, _) = MaxRectsBin::new(width, length).insert_list(&pieces, rule);
        let spots = packed.iter().map(|rect| Spot {
            x: rect.x(),
            y: rect.y(),
            w: rect.width(),
            h: rect.height(),
        });
        spots.collect::<Vec<_>>()
    });
    let end = |spots: &[Spot]| spots.iter().map(|spot| spot.y + spot.h).max().unwrap_or(0);
    let best = packed
        .into_iter()
        .max_by_key(|spots| (spots.len(), -end(spots)));
    best.unwrap_or_default()
}

/// Takes one piece after the other; they are handed over by their longer sides, as its kind wants.
fn rect_packer((width, height): Size, pieces: &[Size], turn: bool) -> Vec<Spot> {
    let mut packer = rect_packer::Packer::new(rect_packer::Config {
        width,
        height,
        border_padding: 0,
        rectangle_padding: 0,
    });
    let mut pieces = pieces.to_vec();
    pieces.sort_by_key(|&(w, h)| (-w.max(h), -w.min(h)));
    let rects = pieces.iter().filter_map(|&(w, h)| packer.pack(w, h, turn));
    let spots = rects.map(|rect| Spot {
        x: rect.x,
        y: rect.y,
        w: rect.width,
        h: rect.height,
    });
    spots.collect()
}

/// Packs all or nothing, so that the pieces from the back are left out by halves until it can.
fn rectangle_pack((width, length): Size, pieces: &[Size], _: bool) -> Vec<Spot> {
    let side = |side: i32| u32::try_from(side).unwrap_or(0);
    let back = |side: u32| i32::try_from(side).unwrap_or(i32::MAX);
    let first = |count: usize| {
        let mut rects: GroupedRectsToPlace<usize, ()> = GroupedRectsToPlace::new();
        for (id, &(w, h)) in pieces[..count].iter().enumerate() {
            rects.push_rect(id, None, RectToInsert::new(side(w), side(h), 1));
        }
        let mut bins = BTreeMap::from([((), TargetBin::new(side(width), side(length), 1))]);
        let packed = pack_rects(&rects, &mut bins, &volume_heuristic, &contains_smallest_box);
        packed.ok().map(|packed| {
            let places = packed.packed_locations().values();
            let spots = places.map(|((), place)| Spot {
                x: back(place.x()),
                y: back(place.y()),
                w: back(place.width()),
                h: back(place.height()),
            });
            spots.collect::<Vec<_>>()
        })
    };
    if let Some(all) = first(pieces.len()) {
        return all;
    }
    let (mut best, mut fits, mut too_many) = (Vec::new(), 0, pieces.len());
    while fits + 1 < too_many {
        let middle = fits.midpoint(too_many);
        if let Some(spots) = first(middle) {
            (best, fits) = (spots, middle);
        } else {
            too_many = middle;
        }
    }
    best
}
