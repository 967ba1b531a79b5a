//! What came of an order, in figures and in words.

use super::super::StockKind;
use super::super::drawing::{Left, Scene, drawn};
use super::super::laid::{FOLLOWED, sequence, size};
use super::super::layout::Placed;
use super::super::list;
use super::super::order::Cuts;
use super::super::straight::Cut;
use super::super::words;
use super::lay::{FilmLaid, Least, Part};
use super::read::{Film, Job, Line};
use super::{
    FilmReport, JobPlacement, JobReport, LayoutReport, LineReport, RemnantReport, TapeReport,
};
use crate::decal::size_text;
use crate::drawing::Element;
use crate::measure::{Area, Length, Unit, pieces};
use say::say;

/// Rectangles that are less than this across are no piece of film but a strip to throw away.
const SLIVER: Length = Length::whole(10, Unit::Mm);

/// The report of an order by the best layouts found so far.
pub(super) fn report(job: &Job, films: &[FilmLaid]) -> JobReport {
    let count: u32 = job.lines.iter().map(|line| line.quantity).sum();
    let films: Vec<FilmReport> = films.iter().map(|film| told(job, film)).collect();
    let headline = match films.len() {
        1 => pieces(count),
        films => say!("{pieces} in {films} films", pieces = pieces(count)),
    };
    let mistakes = job.bad.len();
    let bad_text = (mistakes > 0).then(|| {
        say!(
            mistakes;
            "1 mistake in the list; a line with a mistake is left out",
            "{mistakes} mistakes in the list; lines with a mistake are left out"
        )
    });
    JobReport {
        unit: job.unit,
        headline,
        pieces: count,
        lines: job
            .lines
            .iter()
            .map(|line| line_report(job, line))
            .collect(),
        bad: job.bad.clone(),
        bad_text,
        remnants_after: remnants_after(job, &films),
        films,
        tape: job.tape.map(|tape| tape_report(job, tape)),
        assumptions: assumptions(job),
    }
}

fn line_report(job: &Job, line: &Line) -> LineReport {
    let unit = job.unit.for_size();
    let strips = |tape: Length| {
        let (count, length) = strips(line, tape);
        let length = length.text(unit);
        say!(count; "1 strip of {length}", "{count} strips of {length}")
    };
    LineReport {
        line: line.listed,
        name: line.name.clone(),
        size_text: size_text(line.piece.width, line.piece.height, unit),
        quantity: line.quantity,
        film: job.films[line.film].name.clone(),
        tape_text: job.tape.map(strips),
    }
}

/// The strips of tape that cover one piece side by side, and how long each is: along the side that
/// takes less tape in all.
fn strips(line: &Line, tape: Length) -> (i64, Length) {
    let side_by_side = |side: Length| (side.nm() + tape.nm() - 1) / tape.nm().max(1);
    let (width, height) = (line.piece.width, line.piece.height);
    let ways = [(side_by_side(height), width), (side_by_side(width), height)];
    let shortest = ways
        .into_iter()
        .min_by_key(|(count, length)| (*length * *count, *count));
    shortest.unwrap_or((1, width))
}

fn tape_report(job: &Job, tape: Length) -> TapeReport {
    let each = job.lines.iter().map(|line| {
        let (count, length) = strips(line, tape);
        length * count * i64::from(line.quantity)
    });
    let length = each.fold(Length::ZERO, |sum, length| sum + length);
    TapeReport {
        length: length.measured(job.unit),
        detail: say!(
            "{length} of transfer tape {width} wide",
            length = long(length, job.unit),
            width = tape.text(job.unit.for_size())
        ),
    }
}

fn told(job: &Job, laid: &FilmLaid) -> FilmReport {
    let film = &job.films[laid.film];
    let unit = job.unit;
    let roll = film.stock.length.is_none();
    let layouts: Vec<LayoutReport> = laid
        .parts
        .iter()
        .enumerate()
        .map(|(index, part)| layout_report(job, laid, index, part))
        .collect();
    let count: u32 = layouts
        .iter()
        .map(|layout| layout.count * layout.copies)
        .sum();
    let fresh = laid.parts.iter().find(|part| part.remnant.is_none());
    let cut = fresh.map_or(Length::ZERO, |part| cut_length(job, part));
    let (left, left_text, short) = shelf(film, laid, cut, unit);
    let (taken, decals, fresh_taken) = areas(job, laid);
    let waste = 1.0 - decals.to_f64(unit) / taken.to_f64(unit);
    FilmReport {
        index: size(laid.film),
        film: film.name.clone(),
        stock: if roll {
            StockKind::Roll
        } else {
            StockKind::Sheet
        },
        pieces: count,
        headline: headline(laid, roll, cut, unit),
        detail: detail(job, laid, count, cut),
        length: roll.then(|| laid.length().measured(unit)),
        cut_length: roll.then(|| cut.measured(unit)),
        length_bound: match laid.least {
            Least::Length(length) => Some(length.measured(unit)),
            Least::Sheets(_) => None,
        },
        sheets: (!roll).then(|| laid.sheets()),
        sheets_bound: match laid.least {
            Least::Sheets(sheets) => Some(sheets),
            Least::Length(_) => None,
        },
        proven: laid.proven(),
        left_text,
        left,
        short,
        waste,
        waste_text: words::waste(waste),
        layouts,
        taken: fresh_taken,
        stock_width: film.stock.width,
        sheet_length: film.stock.length,
    }
}

fn headline(laid: &FilmLaid, roll: bool, cut: Length, unit: Unit) -> String {
    match laid.sheets() {
        0 => say!("from remnants alone").to_owned(),
        _ if roll => say!("{length} of roll", length = cut.text(unit.for_size())),
        sheets => words::sheets_text(sheets),
    }
}

/// The answer in a sentence without a full stop.
fn detail(job: &Job, laid: &FilmLaid, count: u32, cut: Length) -> String {
    let unit = job.unit.for_size();
    let remnants = laid
        .parts
        .iter()
        .filter(|part| part.remnant.is_some())
        .count();
    let fresh = match laid.least {
        Least::Length(_) => say!("{length} of roll", length = long(cut, job.unit)),
        Least::Sheets(_) => words::sheets_text(laid.sheets()),
    };
    let used = say!(remnants; "1 remnant", "{remnants} remnants");
    let taken = match (laid.sheets(), remnants) {
        (0, _) => used,
        (_, 0) => fresh,
        _ => say!("{fresh} and {used}"),
    };
    let best = match laid.least {
        _ if laid.sheets() == 0 => say!("no fresh film is needed").to_owned(),
        Least::Length(_) if laid.proven() => say!("no layout is shorter").to_owned(),
        Least::Length(least) if least == Length::ZERO => say!("best found").to_owned(),
        Least::Length(least) => say!(
            "best found, at least {length} needed",
            length = least.text(unit)
        ),
        Least::Sheets(_) if laid.proven() => say!("no layout takes fewer sheets").to_owned(),
        Least::Sheets(sheets) => say!("best found, at least {sheets} needed"),
    };
    let taken = say!("{taken} for {pieces}", pieces = pieces(count));
    format!("{taken}; {best}")
}

/// What stays on the shelf: as it may be typed, in a sentence, and whether it is less than nothing.
fn shelf(
    film: &Film,
    laid: &FilmLaid,
    cut: Length,
    unit: Unit,
) -> (Option<String>, Option<String>, bool) {
    if let Some(left) = film.left {
        // What the pieces take must be there; rounding up the cut takes no more than there is.
        if laid.length() > left {
            let text = say!(
                "The roll has {left} left, {missing} too little",
                left = long(left, unit),
                missing = long(cut - left, unit)
            );
            return (None, Some(text), true);
        }
        let stays = (left - cut).max(Length::ZERO);
        let text = say!("{length} stay on the roll", length = long(stays, unit));
        return (Some(typed(stays, unit)), Some(text), false);
    }
    if let Some(sheets) = film.sheets {
        let taken = laid.sheets();
        if taken > sheets {
            let missing = taken - sheets;
            let text = say!("Sheets at hand: {sheets}; too few by {missing}");
            return (None, Some(text), true);
        }
        let stay = sheets - taken;
        let text = say!("{stay} of {sheets} sheets stay");
        return (Some(stay.to_string()), Some(text), false);
    }
    (None, None, false)
}

/// The film taken without what is kept; the decals on it; and of the film taken what is fresh.
fn areas(job: &Job, laid: &FilmLaid) -> (Area, Area, Area) {
    let (mut taken, mut decals, mut fresh) = (0, 0, 0);
    for part in &laid.parts {
        let copies = i128::from(part.copies);
        let length = part.stock.length.unwrap_or_else(|| cut_length(job, part));
        let left = leftovers(job, part);
        let kept = left
            .iter()
            .filter(|left| keeps(job, left.width, left.length));
        let kept: i128 = kept.map(|left| (left.width * left.length).nm2()).sum();
        let net = ((part.stock.width * length).nm2() - kept) * copies;
        taken += net;
        if part.remnant.is_none() {
            fresh += net;
        }
        let pieces = part.layout.placed.iter();
        let on_it: i128 = pieces.map(|p| (p.width * p.height).nm2()).sum();
        decals += on_it * copies;
    }
    let area = |nm2: i128| (Length::from_nm(1) * Length::from_nm(1)).times(nm2);
    (area(taken), area(decals), area(fresh))
}

fn layout_report(job: &Job, laid: &FilmLaid, index: usize, part: &Part) -> LayoutReport {
    let unit = job.unit;
    let placements = part.layout.placed.iter().enumerate();
    let film = &job.films[laid.film].name;
    let count = size(part.layout.placed.len());
    LayoutReport {
        title: title(job, laid, index),
        remnant: part.remnant.map(size),
        copies: part.copies,
        length: part.layout.length.measured(unit),
        cut_length: cut_length(job, part).measured(unit),
        count,
        count_text: match part.copies {
            1 => pieces(count),
            _ => say!("{pieces} each", pieces = pieces(count)),
        },
        cut_text: cut_text(job, part),
        placements: placements
            .map(|(at, placed)| placement(job, at, placed))
            .collect(),
        cut_steps: words::cut_steps(&cuts(job, part), unit.for_size()),
        left: leftovers(job, part)
            .into_iter()
            .map(|left| remnant_report(job, film, left.width, left.length))
            .collect(),
    }
}

/// The straight cuts of a part in their order, where such cuts were asked for and somebody could
/// follow them.
fn cuts(job: &Job, part: &Part) -> Vec<Cut> {
    if job.cuts == Cuts::Any || part.layout.placed.len() > FOLLOWED {
        return Vec::new();
    }
    sequence(&part.stock, cut_length(job, part), &part.layout.placed).unwrap_or_default()
}

fn placement(job: &Job, at: usize, placed: &Placed) -> JobPlacement {
    let unit = job.unit;
    JobPlacement {
        number: size(at + 1),
        line: placed.piece,
        name: job.lines[placed.piece as usize].name.clone(),
        x: placed.x.measured(unit),
        y: placed.y.measured(unit),
        width: placed.width.measured(unit),
        height: placed.height.measured(unit),
        size_text: size_text(placed.width, placed.height, unit.for_size()),
        turned: placed.turned,
    }
}

fn cut_text(job: &Job, part: &Part) -> String {
    let cut = cut_length(job, part);
    if part.stock.length == Some(cut) {
        return say!("Nothing to cut off.").to_owned();
    }
    say!("Cut off at {length}.", length = long(cut, job.unit))
}

/// `Remnant, 12 × 8 in`, `Roll`, `Sheets 2 to 4 of 5`.
fn title(job: &Job, laid: &FilmLaid, index: usize) -> String {
    let part = &laid.parts[index];
    match (part.remnant, part.stock.length) {
        (Some(_), Some(length)) => say!(
            "Remnant, {size}",
            size = size_text(part.stock.width, length, job.unit.for_size())
        ),
        (None, Some(_)) => {
            let before = laid.parts[..index]
                .iter()
                .filter(|part| part.remnant.is_none());
            let first = before.map(|part| part.copies).sum::<u32>() + 1;
            let last = first + part.copies - 1;
            let all = laid.sheets();
            match part.copies {
                _ if all == 1 => say!("The sheet").to_owned(),
                1 => say!("Sheet {first} of {all}"),
                _ => say!("Sheets {first} to {last} of {all}"),
            }
        }
        (_, None) => say!("Roll").to_owned(),
    }
}

/// Where a part is cut off: what it takes, rounded up to what can be measured; the whole of it where
/// only a strip to throw away would be left.
fn cut_length(job: &Job, part: &Part) -> Length {
    let rounded = part.layout.length.round_up(job.cut_step);
    match part.stock.length {
        Some(end) if end - rounded < SLIVER => end,
        _ => rounded,
    }
}

/// What is left of a part when it is cut: behind the pieces and beside them, as it lies, divided so
/// that the larger rectangle is as large as can be. What is behind the cut of a roll stays on the
/// roll.
fn leftovers(job: &Job, part: &Part) -> Vec<Left> {
    let stock = &part.stock;
    let cut = cut_length(job, part);
    let ends = part.layout.placed.iter();
    let ends = ends.map(|placed| placed.x + placed.width);
    let side = ends.max().unwrap_or_default() + stock.margin;
    let side = side.round_up(job.cut_step).min(stock.width);
    let end = stock.length.unwrap_or(cut);
    let (beside, behind) = (stock.width - side, end - cut);
    let area = |width: Length, length: Length| match width.min(length) {
        thin if thin < SLIVER => 0,
        _ => (width * length).nm2(),
    };
    let across = area(stock.width, behind).max(area(beside, cut));
    let along = area(side, behind).max(area(beside, end));
    let (width, length) = if across >= along {
        (stock.width, cut)
    } else {
        (side, end)
    };
    let left = |(x, y): (Length, Length), width: Length, length: Length| Left {
        x,
        y,
        width,
        length,
        text: size_text(width, length, job.unit.for_size()),
    };
    let rectangles = [
        left((Length::ZERO, cut), width, behind),
        left((side, Length::ZERO), beside, length),
    ];
    let piece = |left: &Left| left.width.min(left.length) >= SLIVER;
    rectangles.into_iter().filter(piece).collect()
}

fn keeps(job: &Job, width: Length, length: Length) -> bool {
    width.min(length) >= job.keep
}

fn remnant_report(job: &Job, film: &str, width: Length, length: Length) -> RemnantReport {
    let unit = job.unit.for_size();
    RemnantReport {
        film: film.to_owned(),
        width: exact(width, unit),
        length: exact(length, unit),
        text: size_text(width, length, unit),
        keep: keeps(job, width, length),
    }
}

fn remnants_after(job: &Job, films: &[FilmReport]) -> Vec<RemnantReport> {
    let layouts = || films.iter().flat_map(|film| &film.layouts);
    let used = |index: usize| layouts().any(|layout| layout.remnant == Some(size(index)));
    let unused = job
        .remnants
        .iter()
        .enumerate()
        .filter(|(index, _)| !used(*index));
    let unused = unused.map(|(_, remnant)| {
        let name = &job.films[remnant.film].name;
        remnant_report(job, name, remnant.width, remnant.length)
    });
    let left = layouts().flat_map(|layout| {
        let kept = layout.left.iter().filter(|left| left.keep).cloned();
        std::iter::repeat_n(kept, layout.copies as usize).flatten()
    });
    unused.chain(left).collect()
}

/// `12 ft 7 1/2 in`, `3.855 m`: a length of roll as it is measured off, as finely as sizes are shown.
fn long(length: Length, unit: Unit) -> String {
    let sixty_fourth = Length::inches(1, 64);
    let finest = if !unit.is_imperial() {
        Length::from_nm(Unit::Mm.nanometres() / 10)
    } else if length.round_down(sixty_fourth) == length {
        sixty_fourth
    } else {
        Length::inches(1, 1000)
    };
    let half = Length::from_nm(finest.nm() / 2);
    typed((length + half).round_down(finest), unit)
}

/// A length of roll as it may be typed again, which gives exactly this length.
fn typed(length: Length, unit: Unit) -> String {
    let foot = Length::whole(1, Unit::Ft);
    if unit.is_imperial() && length >= foot * 2 {
        let feet = length.round_down(foot);
        let mut text = exact(feet, Unit::Ft);
        if length > feet {
            text.push(' ');
            text.push_str(&exact(length - feet, Unit::In));
        }
        return text;
    }
    if !unit.is_imperial() && length >= Length::whole(2, Unit::M) {
        return exact(length, Unit::M);
    }
    exact(length, unit.for_size())
}

/// A length with its unit, to be typed again.
fn exact(length: Length, unit: Unit) -> String {
    format!("{} {}", length.exact(unit), unit.symbol())
}

/// What was assumed, in sentences.
fn assumptions(job: &Job) -> Vec<String> {
    let unit = job.unit.for_size();
    let text = |length: Length| length.text(unit);
    let mut assumed = vec![
        say!(
            "Margin {margin} on all sides; gap {gap} between borders; cuts are rounded up to {step}.",
            margin = text(job.margin),
            gap = text(job.gap),
            step = text(job.cut_step)
        ),
        say!("Remnants are used up first where they save fresh film; they cost nothing more.")
            .to_owned(),
        say!(
            "What is left is kept if its shorter side has at least {length}; the margin is still on it.",
            length = text(job.keep)
        ),
        say!("What no layout can go below is counted from areas and sides, without looking at the layout.")
            .to_owned(),
    ];
    if job.tape.is_some() {
        assumed.push(
            say!("Tape is cut as long as the border; strips lie side by side, edge to edge.")
                .to_owned(),
        );
    }
    if job.films.iter().any(|film| film.patterned) {
        assumed.push(say!("Nothing is turned on patterned film.").to_owned());
    }
    assumed
}

/// The drawings of one film's first layouts.
pub(super) fn drawings(job: &Job, laid: &FilmLaid, most: usize) -> Vec<Element> {
    let parts = laid.parts.iter().enumerate().take(most);
    parts
        .map(|(index, part)| picture(job, laid, index, part))
        .collect()
}

fn picture(job: &Job, laid: &FilmLaid, index: usize, part: &Part) -> Element {
    let unit = job.unit.for_size();
    let cut = cut_length(job, part);
    let title = title(job, laid, index);
    let film = &job.films[laid.film].name;
    let count = pieces(size(part.layout.placed.len()));
    let cut_off = part.stock.length.is_none_or(|length| cut < length);
    let cut_text = cut_off.then(|| cut.text(unit));
    let mut left = leftovers(job, part);
    let cuts = cuts(job, part);
    let mut label = say!("{film}. {title}, to scale: {pieces}", pieces = count);
    if let Some(length) = &cut_text {
        label.push_str(", ");
        label.push_str(&say!("cut {length}"));
    }
    for left in &mut left {
        let size = &left.text;
        left.text = if keeps(job, left.width, left.length) {
            say!("keep {size}")
        } else {
            say!("left over {size}")
        };
        label.push_str(", ");
        label.push_str(&left.text);
    }
    label.push_str("; ");
    label.push_str(say!("the cut list says where each piece lies"));
    drawn(&Scene {
        unit: job.unit,
        stock: part.stock,
        placed: &part.layout.placed,
        cut,
        cut_text,
        left,
        cuts: &cuts,
        label,
        below: format!("{film}: {count}"),
        whole: true,
    })
}

/// The cut list as comma-separated values, for people and their tables: its heads are in the page's language.
pub(super) fn cut_list(report: &JobReport) -> String {
    let heads = say!("film,layout,copies,number,name,x,y,width,height,turned");
    let mut text = [heads, "\r\n"].concat();
    for film in &report.films {
        for layout in &film.layouts {
            for placed in &layout.placements {
                let (copies, number) = (layout.copies.to_string(), placed.number.to_string());
                let cells = [
                    film.film.as_str(),
                    &layout.title,
                    &copies,
                    &number,
                    &placed.name,
                    &placed.x.text,
                    &placed.y.text,
                    &placed.width.text,
                    &placed.height.text,
                    if placed.turned {
                        say!(in "whether a piece is turned": "yes")
                    } else {
                        say!(in "whether a piece is turned": "no")
                    },
                ];
                for (place, cell) in cells.into_iter().enumerate() {
                    if place > 0 {
                        text.push(',');
                    }
                    list::push_cell(&mut text, cell);
                }
                text.push_str("\r\n");
            }
        }
    }
    text
}
