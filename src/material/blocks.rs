//! Layouts made of blocks: by straight cuts from edge to edge, and in five blocks round a middle.
//!
//! Every part of the stock that matters ends at a place of the raster along and one across. For
//! each the best layout by straight cuts is found exactly. Where an upper bound leaves room for
//! more, the part is divided into five blocks like the sails of a mill, each of which may be divided
//! again, down to a given depth (R. Morabito and S. Morales, Journal of the Operational Research
//! Society 49 (1998) 819-828; E. G. Birgin, R. D. Lobato, R. Morabito, the same 61 (2010) 306-320).

use super::order::Cuts;
use super::raster::Raster;
use super::watch::Watch;

/// A rectangle by its sides along the stock and across it, in whole units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Sides {
    pub along: i64,
    pub across: i64,
}

/// A block of pieces that lie alike: where it begins, how many stand along and across it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Block {
    pub along: i64,
    pub across: i64,
    pub rows: i64,
    pub columns: i64,
    pub turned: bool,
}

impl Block {
    /// The same block where along and across have changed places.
    pub const fn turned_over(self) -> Self {
        Self {
            along: self.across,
            across: self.along,
            rows: self.columns,
            columns: self.rows,
            turned: !self.turned,
        }
    }
}

/// Where a part is divided into five blocks: places `x1 <= x2` along and `y1 <= y2` across.
#[derive(Clone, Copy, Debug)]
struct Mill {
    x1: usize,
    x2: usize,
    y1: usize,
    y2: usize,
}

/// A part of the stock by the places at which its sides end.
pub(super) type Part = (usize, usize);

/// What is known of every part of the stock.
#[derive(Debug)]
pub(super) struct Blocks {
    piece: Sides,
    along: Raster,
    across: Raster,
    /// Pieces in the best layout known.
    best: Vec<u32>,
    /// Pieces that no layout of the part can surpass.
    most: Vec<u32>,
    /// The parts whose best layout is a mill, in rising order, with the pieces in the best layout
    /// by straight cuts, which the mill surpasses.
    mills: Vec<(usize, Mill, u32)>,
    /// To which depth mills have been tried.
    tried: Vec<u8>,
    /// So many divisions may still be looked at.
    steps: u64,
    /// The watch is told when so many are left.
    told_next: u64,
}

/// So many divisions are looked at until the watch is told.
const TOLD_EVERY: u64 = 100_000;

/// Weights up to this one are tried for the upper bounds, and so many of them are used.
const GREATEST_WEIGHT: i64 = 24;
const WEIGHTS_USED: usize = 6;

impl Blocks {
    /// The best layouts by straight cuts of all parts of the rasters.
    pub fn new(piece: Sides, along: Raster, across: Raster) -> Self {
        let parts = along.len() * across.len();
        let mut blocks = Self {
            piece,
            best: Vec::with_capacity(parts),
            most: bounds(piece, &along, &across),
            mills: Vec::new(),
            tried: vec![0; parts],
            steps: 0,
            told_next: 0,
            along,
            across,
        };
        blocks.cut_straight();
        blocks
    }

    /// The raster along the stock.
    pub const fn along(&self) -> &Raster {
        &self.along
    }

    /// The raster across it.
    pub const fn across(&self) -> &Raster {
        &self.across
    }

    /// Pieces in the best layout known of any part.
    pub fn best_of(&self, part: Part) -> u32 {
        self.best[self.index(part)]
    }

    /// Pieces in the best layout known of the first part of the stock, to its place `end`.
    pub fn best(&self, end: usize) -> u32 {
        self.best[self.full_width(end)]
    }

    /// Pieces in the best layout by straight cuts of that part.
    pub fn straight(&self, end: usize) -> u32 {
        self.known(self.full_width(end), Cuts::Straight)
    }

    /// Pieces that no layout of that part can surpass.
    pub fn most(&self, end: usize) -> u32 {
        self.most[self.full_width(end)]
    }

    /// Pieces in the best layout of a part that is known for such cuts.
    fn known(&self, index: usize, cuts: Cuts) -> u32 {
        match (cuts, self.mill_of(index)) {
            (Cuts::Straight, Ok(at)) => self.mills[at].2,
            _ => self.best[index],
        }
    }

    /// Where the mill of a part stands, or has to.
    fn mill_of(&self, index: usize) -> Result<usize, usize> {
        self.mills.binary_search_by_key(&index, |(part, ..)| *part)
    }

    /// Searches mills for that part, ever deeper down to `depth`, until `goal` pieces are found,
    /// `steps` divisions have been looked at or the watch ends it. Gives the pieces found.
    pub fn search(
        &mut self,
        end: usize,
        goal: u32,
        depth: u8,
        steps: u64,
        watch: &mut Watch,
    ) -> u32 {
        self.steps = if watch(0) { steps } else { 0 };
        self.told_next = self.steps.saturating_sub(TOLD_EVERY);
        let part = (end, self.across.len() - 1);
        for depth in 1..=depth {
            if self.best(end) >= goal || self.steps == 0 {
                break;
            }
            self.improve(part, goal, depth, watch);
        }
        self.best(end)
    }

    /// The blocks of the best layout known of that part for such cuts.
    pub fn blocks(&self, end: usize, cuts: Cuts) -> Vec<Block> {
        self.blocks_of((end, self.across.len() - 1), cuts)
    }

    /// The blocks of the best layout known of any part.
    pub fn blocks_of(&self, part: Part, cuts: Cuts) -> Vec<Block> {
        let mut blocks = Vec::new();
        let mut open = vec![(part, (0, 0))];
        while let Some((part, corner)) = open.pop() {
            if self.best[self.index(part)] == 0 {
                continue;
            }
            match self.way(part, cuts) {
                Way::Grid(rows, columns, turned) => blocks.push(Block {
                    along: corner.0,
                    across: corner.1,
                    rows,
                    columns,
                    turned,
                }),
                Way::Parts(parts) => open.extend(
                    parts
                        .into_iter()
                        .map(|(part, (x, y))| (part, (corner.0 + x, corner.1 + y))),
                ),
            }
        }
        blocks
    }

    fn full_width(&self, end: usize) -> usize {
        (end + 1) * self.across.len() - 1
    }

    fn index(&self, (x, y): Part) -> usize {
        x * self.across.len() + y
    }

    fn size(&self, (x, y): Part) -> Sides {
        Sides {
            along: self.along.places()[x],
            across: self.across.places()[y],
        }
    }

    /// Fills the table of the best layouts by straight cuts. A part is rows and columns, or is cut
    /// in two along or across; the nearer part need not be larger than the other one.
    fn cut_straight(&mut self) {
        let width = self.across.len();
        for x in 0..self.along.len() {
            let length = self.along.places()[x];
            let start = self.best.len();
            for &across in self.across.places() {
                let (rows, columns, _) = grid(
                    self.piece,
                    Sides {
                        along: length,
                        across,
                    },
                );
                self.best
                    .push(u32::try_from(rows * columns).unwrap_or(u32::MAX));
            }
            let (done, row) = self.best.split_at_mut(start);
            for cut in 1..x {
                if 2 * self.along.places()[cut] > length {
                    break;
                }
                let rest = self.along.left(x, cut);
                let near = &done[cut * width..][..width];
                let far = &done[rest * width..][..width];
                for ((best, near), far) in row.iter_mut().zip(near).zip(far) {
                    *best = (*best).max(near + far);
                }
            }
            for y in 0..width {
                let mut best = row[y];
                for cut in 1..y {
                    if 2 * self.across.places()[cut] > self.across.places()[y] {
                        break;
                    }
                    best = best.max(row[cut] + row[self.across.left(y, cut)]);
                }
                row[y] = best;
            }
        }
    }

    /// Tries every mill of a part whose blocks are divided into mills down to `depth` in all. The
    /// depth bounds the recursion.
    fn improve(&mut self, part: Part, goal: u32, depth: u8, watch: &mut Watch) -> u32 {
        let index = self.index(part);
        let goal = goal.min(self.most[index]);
        if self.best[index] >= goal || self.tried[index] >= depth {
            return self.best[index];
        }
        let (xs, ys) = (self.along.points(part.0), self.across.points(part.1));
        let length = self.along.places()[part.0];
        let mut sides = vec![0; ys.len()];
        for (first, &x1) in xs.iter().enumerate() {
            for &x2 in &xs[first..] {
                // The other mills are these ones turned by 180 degrees.
                if self.along.places()[x1] + self.along.places()[x2] > length {
                    break;
                }
                let right = self.along.left(part.0, x2) * self.across.len();
                let top = self.along.left(part.0, x1) * self.across.len();
                for (sum, &y2) in sides.iter_mut().zip(&ys) {
                    *sum = self.most[right + y2] + self.most[top + self.across.left(part.1, y2)];
                }
                let middle = self.along.left(x2, x1) * self.across.len();
                for (first, &y1) in ys.iter().enumerate() {
                    let rest = self.across.left(part.1, y1);
                    let sum = self.most[self.index((x2, y1))] + self.most[self.index((x1, rest))];
                    for (sides, &y2) in sides[first..].iter().zip(&ys[first..]) {
                        let inner = self.most[middle + self.across.left(y2, y1)];
                        if sum + sides + inner > self.best[index] {
                            let mill = Mill { x1, x2, y1, y2 };
                            if self.mill(part, mill, goal, depth, watch) >= goal {
                                return self.best[index];
                            }
                        }
                    }
                    let looked_at = (ys.len() - first) as u64;
                    self.steps = self.steps.saturating_sub(looked_at);
                    if self.steps <= self.told_next && !self.may_go_on(watch) {
                        return self.best[index];
                    }
                }
            }
        }
        self.tried[index] = depth;
        self.best[index]
    }

    /// Tells the watch of the steps taken. Whether there are steps left then.
    fn may_go_on(&mut self, watch: &mut Watch) -> bool {
        let left = self.steps;
        if left > 0 && watch(TOLD_EVERY + self.told_next - left) {
            self.told_next = left.saturating_sub(TOLD_EVERY);
            return true;
        }
        self.steps = 0;
        false
    }

    /// Tries one mill. Gives the pieces of the best layout of the part known then.
    fn mill(&mut self, part: Part, mill: Mill, goal: u32, depth: u8, watch: &mut Watch) -> u32 {
        let index = self.index(part);
        let parts = self.sails(part, mill).map(|(sail, _)| sail);
        self.take(index, mill, parts);
        let mut possible: u32 = parts.iter().map(|p| self.most[self.index(*p)]).sum();
        if depth > 1 {
            for sail in parts {
                if possible <= self.best[index] || self.best[index] >= goal {
                    break;
                }
                possible -= self.most[self.index(sail)];
                possible += self.improve(sail, u32::MAX, depth - 1, watch);
            }
            self.take(index, mill, parts);
        }
        self.best[index]
    }

    /// Keeps a mill if it is better than what was known.
    fn take(&mut self, index: usize, mill: Mill, parts: [Part; 5]) {
        let count = parts.iter().map(|part| self.best[self.index(*part)]).sum();
        if count > self.best[index] {
            match self.mill_of(index) {
                Ok(at) => self.mills[at].1 = mill,
                Err(at) => self.mills.insert(at, (index, mill, self.best[index])),
            }
            self.best[index] = count;
        }
    }

    /// The five blocks of a mill with their corners nearest to the loading corner: four sails, each
    /// reaching from one corner along one side, and the middle.
    fn sails(&self, part: Part, mill: Mill) -> [(Part, (i64, i64)); 5] {
        let Mill { x1, x2, y1, y2 } = mill;
        let (along, across) = (&self.along, &self.across);
        let x = |place: usize| along.places()[place];
        let y = |place: usize| across.places()[place];
        [
            ((x2, y1), (0, 0)),
            ((along.left(part.0, x2), y2), (x(x2), 0)),
            (
                (along.left(part.0, x1), across.left(part.1, y2)),
                (x(x1), y(y2)),
            ),
            ((x1, across.left(part.1, y1)), (0, y(y1))),
            ((along.left(x2, x1), across.left(y2, y1)), (x(x1), y(y1))),
        ]
    }

    /// One way to lay out as many pieces in a part as are known to fit.
    fn way(&self, part: Part, cuts: Cuts) -> Way {
        let index = self.index(part);
        if let (Cuts::Any, Ok(at)) = (cuts, self.mill_of(index)) {
            let mill = &self.mills[at].1;
            return Way::Parts(self.sails(part, *mill).to_vec());
        }
        let best = self.known(index, cuts);
        let (rows, columns, turned) = grid(self.piece, self.size(part));
        if rows * columns >= i64::from(best) {
            return Way::Grid(rows, columns, turned);
        }
        let (x, y) = part;
        let along = (1..x).map(|cut| {
            let far = (self.along.left(x, cut), y);
            [((cut, y), (0, 0)), (far, (self.along.places()[cut], 0))]
        });
        let across = (1..y).map(|cut| {
            let far = (x, self.across.left(y, cut));
            [((x, cut), (0, 0)), (far, (0, self.across.places()[cut]))]
        });
        let enough = |parts: &[(Part, (i64, i64)); 2]| {
            let counts = parts.iter().map(|(p, _)| self.known(self.index(*p), cuts));
            counts.sum::<u32>() >= best
        };
        along
            .chain(across)
            .find(enough)
            .map_or(Way::Grid(rows, columns, turned), |parts| {
                Way::Parts(parts.to_vec())
            })
    }
}

/// How a part is laid out.
enum Way {
    /// Rows, columns, and whether the pieces are turned.
    Grid(i64, i64, bool),
    /// Smaller parts, each with its corner nearest to the loading corner.
    Parts(Vec<(Part, (i64, i64))>),
}

/// Rows and columns in a space, the better of both ways, and whether that is the turned one.
fn grid(piece: Sides, space: Sides) -> (i64, i64, bool) {
    let (rows, columns) = (space.along / piece.along, space.across / piece.across);
    let (rows_turned, columns_turned) = (space.along / piece.across, space.across / piece.along);
    if rows_turned * columns_turned > rows * columns {
        (rows_turned, columns_turned, true)
    } else {
        (rows, columns, false)
    }
}

/// For every part the pieces that no layout of it can surpass: by weights given to the two sides of
/// the piece, of which no row can carry more than its heaviest mix of sides.
fn bounds(piece: Sides, along: &Raster, across: &Raster) -> Vec<u32> {
    let heaviest = |space: i64, (a, b): (i64, i64)| {
        let mixes =
            (0..=space / piece.along).map(|i| i * a + (space - i * piece.along) / piece.across * b);
        i128::from(mixes.max().unwrap_or(0))
    };
    let carried = |(a, b): (i64, i64), x: i128, y: i128| {
        u32::try_from(x * y / (i128::from(a) * i128::from(b))).unwrap_or(u32::MAX)
    };
    let weights = (1..=GREATEST_WEIGHT)
        .flat_map(|a| (1..=GREATEST_WEIGHT).map(move |b| (a, b)))
        .filter(|(a, b)| (2..=*a).all(|divisor| a % divisor > 0 || b % divisor > 0));
    let (length, width) = (along.end(), across.end());
    let mut used: Vec<(u32, (i64, i64))> = Vec::new();
    for w in weights {
        let whole = carried(w, heaviest(length, w), heaviest(width, w));
        let at = used.partition_point(|(other, _)| *other <= whole);
        used.insert(at, (whole, w));
        used.truncate(WEIGHTS_USED);
    }
    let sides = (piece.along, piece.across);
    let mut most = vec![u32::MAX; along.len() * across.len()];
    for w in used.into_iter().map(|(_, w)| w).chain([sides]) {
        let weigh = |raster: &Raster| -> Vec<i128> {
            let places = raster.places().iter();
            places.map(|place| heaviest(*place, w)).collect()
        };
        let (rows, columns) = (weigh(along), weigh(across));
        let parts = rows
            .iter()
            .flat_map(|x| columns.iter().map(move |y| (*x, *y)));
        for (most, (x, y)) in most.iter_mut().zip(parts) {
            *most = (*most).min(carried(w, x, y));
        }
    }
    most
}

#[cfg(test)]
mod tests {
    use super::*;

    /// On 5 by 5 four pieces of 3 by 2 stand round a middle of 1 by 1; straight cuts give three. What
    /// they give is still known once the mill is found.
    #[test]
    fn a_mill_does_not_hide_the_straight_layout() {
        let piece = Sides {
            along: 3,
            across: 2,
        };
        let raster = || Raster::sums(3, 2, 5, 100);
        let mut blocks = Blocks::new(piece, raster(), raster());
        let end = blocks.along().len() - 1;
        assert_eq!(blocks.straight(end), 3);
        assert_eq!(blocks.search(end, 4, 1, 1_000, &mut |_| true), 4);
        assert_eq!((blocks.best(end), blocks.straight(end)), (4, 3));
        let laid = |cuts| -> i64 {
            let laid = blocks.blocks(end, cuts).into_iter();
            laid.map(|block| block.rows * block.columns).sum()
        };
        assert_eq!((laid(Cuts::Any), laid(Cuts::Straight)), (4, 3));
    }
}
