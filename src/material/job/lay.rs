//! Lays each film of an order out, and takes better layouts as the search finds them.

use super::super::laid::{FOLLOWED, Laid, sequence, size};
use super::super::layout::{Layout, Placed};
use super::super::nest::{self, Fresh, Kind, Packing, Search, Space};
use super::super::order::{Cuts, Effort, Order, Piece, Stock};
use super::super::sorted::sort_by_key;
use super::super::watch::Watch;
use super::super::{least, verify};
use super::read::{Film, Job};
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::measure::Length;
use say::say;

/// What is searched in one go, between two looks at whether to go on: a few hundredths of a second.
const SLICE: u64 = 10_000_000;

/// What a search spends on one film: a quick one no more than anybody notices, a thorough one two
/// seconds natively, and some more on a phone.
const fn steps(effort: Effort) -> u64 {
    match effort {
        Effort::Quick => SLICE,
        Effort::Thorough => 60 * SLICE,
    }
}

/// So many remnants are filled by themselves with pieces of one size.
const REMNANTS: usize = 8;

/// One film of an order, laid out.
#[derive(Debug)]
pub(super) struct FilmLaid {
    /// Place of the film in the order's stock.
    pub film: usize,
    /// What is cut: remnants first, then the roll, or sheets with the fullest first.
    pub parts: Vec<Part>,
    /// What no layout can go below.
    pub least: Least,
    way: Way,
}

/// What no layout of one film can go below, found without looking at any.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Least {
    /// Length cut off the roll, both margins included; zero where remnants may be enough.
    Length(Length),
    /// Fresh sheets.
    Sheets(u32),
}

/// One remnant, one length of roll or some sheets that are cut alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Part {
    /// Place of the remnant in the order; none for fresh film.
    pub remnant: Option<usize>,
    pub stock: Stock,
    pub copies: u32,
    /// Its pieces name their lines by their place in the order.
    pub layout: Layout,
}

/// How the film is searched.
#[derive(Debug)]
enum Way {
    /// One size on fresh film: the planner for such layouts knows more of them, and goes on if it
    /// has not yet been thorough.
    Alike { order: Order, done: bool },
    /// Several sizes, or remnants.
    Nest {
        search: Box<Search>,
        lines: Vec<Vec<usize>>,
        remnants: Vec<usize>,
        done: bool,
    },
}

/// Lays all films of an order out for a start.
///
/// # Errors
/// Only if a layout did not stand its own check; none is known to fail it.
pub(super) fn films(job: &Job) -> Result<Vec<FilmLaid>, InputErrors> {
    let mut checks = Checks::default();
    let mut films = Vec::new();
    for (place, film) in job.films.iter().enumerate() {
        if job.lines.iter().any(|line| line.film == place) {
            films.extend(checks.take(FilmLaid::new(job, place, film)));
        }
    }
    checks.finish(films)
}

impl FilmLaid {
    fn new(job: &Job, place: usize, film: &Film) -> Result<Self, InputError> {
        let (sizes, lines) = sizes(job, place);
        let gap = job.gap;
        let space = |stock: &Stock, length: Length| Space {
            along: (length + gap).nm(),
            across: (stock.usable_width() + gap).nm(),
        };
        let mut remnants = Vec::new();
        let mut spaces = Vec::new();
        for (index, remnant) in job.remnants.iter().enumerate() {
            let stock = stock_of(job, index);
            let usable = stock.usable_length().unwrap_or_default();
            if remnant.film == place && usable.min(stock.usable_width()) > Length::ZERO {
                remnants.push(index);
                spaces.push(space(&stock, usable));
            }
        }
        let order = match &sizes[..] {
            // A sheetful of more than an order may hold is not laid out only to be cut short.
            [(piece, quantity)] if !piece.too_many(&film.stock) => Some(Order {
                unit: job.unit,
                stock: film.stock,
                piece: *piece,
                quantity: Some(*quantity),
                cuts: job.cuts,
                cut_step: job.cut_step,
                effort: Effort::Quick,
            }),
            _ => None,
        };
        if let (Some(order), true) = (&order, remnants.is_empty()) {
            let alike = Self::alike(job, place, order.clone(), &lines[0], &mut |_| true);
            if sound(job, place, &alike.parts) {
                return Ok(alike);
            }
        }
        let kinds = sizes.iter().map(|(piece, count)| Kind {
            along: (piece.height + gap).nm(),
            across: (piece.width + gap).nm(),
            turn: piece.turn,
            count: *count,
        });
        let fresh = film.stock.usable_length().map_or(
            Fresh::Roll {
                across: (film.stock.usable_width() + gap).nm(),
            },
            |length| Fresh::Sheets(space(&film.stock, length)),
        );
        let question = nest::Question {
            kinds: kinds.collect(),
            remnants: spaces,
            fresh,
            straight: job.cuts == Cuts::Straight,
        };
        let least = least_of(&question, film);
        let search = Search::new(question);
        let nested = parts(job, place, search.best(), &lines, &remnants);
        let filled = order.map(|order| one_size(job, &order, &lines[0], &remnants));
        let parts = [Some(nested), filled].into_iter().flatten();
        let parts = parts.filter(|parts| sound(job, place, parts));
        let Some(parts) = parts.min_by_key(|parts| taken(parts)) else {
            return Err(InputError::new(
                Code::Impossible,
                say!("no sound layout was found in {film}", film = film.name),
                say!("plan the order in smaller parts"),
            )
            .at("films"));
        };
        Ok(Self {
            film: place,
            parts,
            least,
            way: Way::Nest {
                search: Box::new(search),
                lines,
                remnants,
                done: false,
            },
        })
    }

    fn alike(job: &Job, place: usize, order: Order, lines: &[usize], watch: &mut Watch) -> Self {
        let laid = Laid::out(order.clone(), watch);
        let quantity = order.quantity.unwrap_or_default();
        let least = laid.length_bound.map_or_else(
            || Least::Sheets(quantity.div_ceil(laid.bound.max(1))),
            Least::Length,
        );
        let proven = laid.proven();
        let parts = laid.layouts.into_iter().map(|(copies, layout)| Part {
            remnant: None,
            stock: order.stock,
            copies,
            layout,
        });
        Self {
            film: place,
            parts: named(job, parts.collect(), lines),
            least,
            way: Way::Alike {
                order,
                done: proven,
            },
        }
    }

    /// Whether the search is at its end for that effort.
    pub fn is_done(&self, effort: Effort) -> bool {
        match &self.way {
            Way::Alike { done, .. } => *done || effort == Effort::Quick,
            Way::Nest { search, done, .. } => *done || search.spent() >= steps(effort),
        }
    }

    /// How much of the search is done, from 0 to 1.
    #[expect(clippy::cast_precision_loss, reason = "a share to be shown")]
    pub fn share_done(&self, effort: Effort) -> f64 {
        match &self.way {
            _ if self.is_done(effort) => 1.0,
            Way::Alike { .. } => 0.0,
            Way::Nest { search, .. } => search.spent() as f64 / steps(effort) as f64,
        }
    }

    /// Searches on for a slice, or to the end where the planner for one size does so, which `watch` may
    /// end; says whether anything better was found.
    pub fn search(&mut self, job: &Job, watch: &mut Watch) -> bool {
        match &mut self.way {
            Way::Alike { order, done } => {
                *done = true;
                let order = Order {
                    effort: Effort::Thorough,
                    ..order.clone()
                };
                let lines: Vec<usize> = lines_of(job, self.film).collect();
                let other = Self::alike(job, self.film, order, &lines, watch);
                self.take(job, other.parts)
            }
            Way::Nest {
                search,
                lines,
                remnants,
                done,
            } => {
                *done = !search.run(SLICE);
                let parts = parts(job, self.film, search.best(), lines, remnants);
                self.take(job, parts)
            }
        }
    }

    /// Takes other layouts if they are better and stand the check; says whether they do.
    fn take(&mut self, job: &Job, parts: Vec<Part>) -> bool {
        let better = taken(&parts) < taken(&self.parts) && sound(job, self.film, &parts);
        if better {
            self.parts = parts;
        }
        better
    }

    /// Length taken of the roll, both margins included; zero where remnants are enough.
    pub fn length(&self) -> Length {
        let fresh = self.parts.iter().find(|part| part.remnant.is_none());
        fresh.map_or(Length::ZERO, |part| part.layout.length)
    }

    /// Fresh sheets taken.
    pub fn sheets(&self) -> u32 {
        let fresh = self.parts.iter().filter(|part| part.remnant.is_none());
        fresh.map(|part| part.copies).sum()
    }

    /// Whether nothing less of fresh film is possible, by its length or by the number of sheets.
    pub fn proven(&self) -> bool {
        match self.least {
            Least::Length(least) => self.length() <= least,
            Least::Sheets(least) => self.sheets() <= least,
        }
    }
}

/// What counts of a way to cut a film, the less the better: fresh sheets, or whether the roll is cut at
/// all; the length of the last of them; remnants.
fn taken(parts: &[Part]) -> (u32, Length, usize) {
    let fresh = || parts.iter().filter(|part| part.remnant.is_none());
    let last = fresh().next_back().map(|last| last.layout.length);
    (
        fresh().map(|part| part.copies).sum(),
        last.unwrap_or_default(),
        parts.len() - fresh().count(),
    )
}

/// An order of one size on remnants, each filled by itself, and on fresh film: the fewest of those
/// remnants that hold the most, as far as they make the fresh film less. In many pieces of one size the
/// planner finds patterns that nesting does not.
fn one_size(job: &Job, order: &Order, lines: &[usize], remnants: &[usize]) -> Vec<Part> {
    let laid = |stock: Stock, quantity: u32| {
        let order = Order {
            stock,
            quantity: (quantity > 0).then_some(quantity),
            ..order.clone()
        };
        Laid::out(order, &mut |_| true).layouts
    };
    let usable = |remnant: &usize| {
        let stock = stock_of(job, *remnant);
        (stock.usable_width() * stock.usable_length().unwrap_or_default()).nm2()
    };
    let serves = |remnant: &usize| {
        let stock = stock_of(job, *remnant);
        order.piece.fits(&stock) && !order.piece.too_many(&stock)
    };
    let mut largest: Vec<usize> = remnants.iter().copied().filter(serves).collect();
    sort_by_key(&mut largest, |remnant| (-usable(remnant), 0));
    let mut full: Vec<(usize, Layout)> = Vec::new();
    for remnant in largest.into_iter().take(REMNANTS) {
        let layouts = laid(stock_of(job, remnant), 0).into_iter();
        full.extend(layouts.map(|(_, layout)| (remnant, layout)));
    }
    // Of those that hold as many the smallest comes first.
    full.reverse();
    sort_by_key(&mut full, |(_, layout)| {
        (-i128::from(size(layout.placed.len())), 0)
    });
    let part = |remnant: Option<usize>, stock: Stock| {
        move |(copies, layout)| Part {
            remnant,
            stock,
            copies,
            layout,
        }
    };
    let quantity = order.quantity.unwrap_or_default();
    let with = |used: usize| {
        let mut parts: Vec<Part> = Vec::new();
        let mut left = quantity;
        for (remnant, layout) in full.iter().take(used) {
            let stock = stock_of(job, *remnant);
            let layouts = match size(layout.placed.len()) {
                _ if left == 0 => break,
                held if held > left => laid(stock, left),
                _ => vec![(1, layout.clone())],
            };
            let layouts = layouts.into_iter().map(part(Some(*remnant), stock));
            parts.extend(layouts);
            left = left.saturating_sub(size(layout.placed.len()));
        }
        sort_by_key(&mut parts, |part| (part.remnant.map_or(0, size).into(), 0));
        if left > 0 {
            let fresh = laid(order.stock, left).into_iter();
            parts.extend(fresh.map(part(None, order.stock)));
        }
        parts
    };
    let fresh = |parts: &[Part]| {
        let (sheets, length, _) = taken(parts);
        (sheets, length)
    };
    let mut best = with(full.len());
    let (mut low, mut high) = (0, full.len());
    while low < high {
        let middle = low.midpoint(high);
        let fewer = with(middle);
        if fresh(&fewer) <= fresh(&best) {
            (best, high) = (fewer, middle);
        } else {
            low = middle + 1;
        }
    }
    named(job, best, lines)
}

/// The stock that a remnant is.
fn stock_of(job: &Job, remnant: usize) -> Stock {
    let remnant = &job.remnants[remnant];
    Stock {
        width: remnant.width,
        length: Some(remnant.length),
        margin: job.margin,
        gap: job.gap,
    }
}

fn lines_of(job: &Job, film: usize) -> impl Iterator<Item = usize> {
    let lines = job.lines.iter().enumerate();
    lines
        .filter(move |(_, line)| line.film == film)
        .map(|(index, _)| index)
}

/// The different sizes in a film with how many of each, and the lines that ask for them.
fn sizes(job: &Job, film: usize) -> (Vec<(Piece, u32)>, Vec<Vec<usize>>) {
    let mut sizes: Vec<(Piece, u32)> = Vec::new();
    let mut lines: Vec<Vec<usize>> = Vec::new();
    for index in lines_of(job, film) {
        let line = &job.lines[index];
        if let Some(at) = sizes.iter().position(|(piece, _)| *piece == line.piece) {
            sizes[at].1 += line.quantity;
            lines[at].push(index);
        } else {
            sizes.push((line.piece, line.quantity));
            lines.push(vec![index]);
        }
    }
    (sizes, lines)
}

fn least_of(question: &nest::Question, film: &Film) -> Least {
    match question.fresh {
        Fresh::Roll { across } => {
            let along = least::roll(&question.kinds, &question.remnants, across);
            let length = Length::from_nm(along) - film.stock.gap + film.stock.margin * 2;
            Least::Length(if along > 0 { length } else { Length::ZERO })
        }
        Fresh::Sheets(sheet) => {
            Least::Sheets(least::sheets(&question.kinds, &question.remnants, sheet))
        }
    }
}

/// What the solver found, as layouts whose pieces name their lines.
fn parts(
    job: &Job,
    film: usize,
    packing: &Packing,
    lines: &[Vec<usize>],
    remnants: &[usize],
) -> Vec<Part> {
    // For each size the lines that still want some, and how many of the first have been given.
    let mut given: Vec<(usize, u32)> = vec![(0, 0); lines.len()];
    let mut parts: Vec<Part> = Vec::new();
    for filled in &packing.filled {
        let remnant = filled
            .remnant
            .and_then(|place| remnants.get(place))
            .copied();
        let stock = remnant.map_or(job.films[film].stock, |remnant| stock_of(job, remnant));
        let mut placings = filled.lies.clone();
        sort_by_key(&mut placings, |lie| (lie.along.into(), lie.across));
        let placed = placings.iter().filter_map(|lie| {
            let kind = lie.kind as usize;
            let (at, count) = given.get_mut(kind)?;
            let line = *lines.get(kind)?.get(*at)?;
            *count += 1;
            if *count == job.lines[line].quantity {
                (*at, *count) = (*at + 1, 0);
            }
            Some(placed(
                job,
                &stock,
                line,
                (lie.along, lie.across),
                lie.turned,
            ))
        });
        let layout = Layout::of(&stock, placed.collect());
        add(
            &mut parts,
            Part {
                remnant,
                stock,
                copies: 1,
                layout,
            },
        );
    }
    parts
}

/// Adds a part; a sheet that is cut like the one before becomes another copy of it.
fn add(parts: &mut Vec<Part>, part: Part) {
    match parts.last_mut() {
        Some(last) if last.remnant.is_none() && last.layout == part.layout => {
            last.copies += part.copies;
        }
        _ => parts.push(part),
    }
}

fn placed(
    job: &Job,
    stock: &Stock,
    line: usize,
    (along, across): (i64, i64),
    turned: bool,
) -> Placed {
    let piece = job.lines[line].piece;
    let lies = if turned { piece.turned() } else { piece };
    Placed {
        piece: size(line),
        x: stock.margin + Length::from_nm(across),
        y: stock.margin + Length::from_nm(along),
        width: lies.width,
        height: lies.height,
        turned,
    }
}

/// Layouts of one size with the lines that their pieces are for, in the order of the lines.
fn named(job: &Job, parts: Vec<Part>, lines: &[usize]) -> Vec<Part> {
    if let [line] = lines {
        let mut parts = parts;
        for part in &mut parts {
            for placed in &mut part.layout.placed {
                placed.piece = size(*line);
            }
        }
        return parts;
    }
    let mut wanted = lines
        .iter()
        .flat_map(|line| std::iter::repeat_n(*line, job.lines[*line].quantity as usize));
    let mut all = Vec::new();
    for part in parts {
        for _ in 0..part.copies {
            let mut layout = part.layout.clone();
            for placed in &mut layout.placed {
                placed.piece = size(wanted.next().unwrap_or_default());
            }
            let (remnant, stock) = (part.remnant, part.stock);
            add(
                &mut all,
                Part {
                    remnant,
                    stock,
                    copies: 1,
                    layout,
                },
            );
        }
    }
    all
}

/// Whether every layout stands the check, straight cuts free its pieces where such were asked for, no
/// remnant is used twice, and every line gets what it asks for.
fn sound(job: &Job, film: usize, parts: &[Part]) -> bool {
    let pieces: Vec<Piece> = job.lines.iter().map(|line| line.piece).collect();
    let mut counts = vec![0_u32; job.lines.len()];
    for part in parts {
        for placed in &part.layout.placed {
            if let Some(count) = counts.get_mut(placed.piece as usize) {
                *count += part.copies;
            }
        }
        let fault = verify::fault(&part.layout, &part.stock, &pieces);
        // A layout is never shown with a fault; while the program is tested, none may be made.
        debug_assert!(fault.is_none(), "{fault:?} in {part:?}");
        // A remnant is there once.
        let same = |other: &&Part| part.remnant.is_some() && other.remnant == part.remnant;
        let twice = parts.iter().filter(same).count() > 1 || same(&part) && part.copies > 1;
        let freed = job.cuts == Cuts::Any
            || part.layout.placed.len() > FOLLOWED
            || sequence(&part.stock, part.layout.length, &part.layout.placed).is_some();
        if fault.is_some() || twice || !freed {
            return false;
        }
    }
    let wanted = |(line, count): (usize, &u32)| {
        let line = &job.lines[line];
        *count == if line.film == film { line.quantity } else { 0 }
    };
    counts.iter().enumerate().all(wanted)
}
