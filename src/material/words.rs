//! The answer in words.

use super::laid::Laid;
use super::order::{Cuts, Order};
use super::straight::Cut;
use crate::decal::size_text;
use crate::measure::{Length, Unit, decimals, pieces};
use say::say;

/// The answer in a few words: `7 a sheet`, `2 sheets`, `21 3/4 in`.
pub(super) fn headline(laid: &Laid) -> String {
    match (laid.order.stock.length, laid.order.quantity) {
        (None, _) => cut_text(laid, 0),
        (Some(_), Some(_)) => sheets(laid),
        (Some(_), None) => say!("{count} a sheet", count = laid.count),
    }
}

/// What goes with the few words: where to cut, or what the roll is for.
pub(super) fn note(laid: &Laid) -> String {
    let last = laid.layouts.len() - 1;
    match laid.order.stock.length {
        None => say!("of roll for {pieces}", pieces = pieces(laid.pieces())),
        Some(_) if last > 0 => match cut_at(laid, last) {
            Some(length) => say!("the last cut at {length}"),
            None => say!("the last nothing to cut off").to_owned(),
        },
        Some(_) => cut(laid, last),
    }
}

/// The answer in a sentence without a full stop.
pub(super) fn detail(laid: &Laid) -> String {
    let best = best(laid);
    let last = laid.layouts.len() - 1;
    let full = |index: usize| laid.layouts[index].1.placed.len() == laid.count as usize;
    match (laid.order.stock.length, laid.order.quantity) {
        (None, _) => {
            let taken = say!(
                "{length} of roll for {pieces}",
                length = long_text(laid.cut_length(&laid.layouts[0].1), laid.order.unit),
                pieces = pieces(laid.pieces())
            );
            format!("{taken}; {best}")
        }
        (Some(_), None) => {
            let fit = say!("{count} fit", count = laid.count);
            format!("{fit}; {}; {best}", cut(laid, 0))
        }
        (Some(_), Some(quantity)) => {
            let count = laid.layouts[last].1.placed.len();
            let rest = match cut_at(laid, last) {
                _ if full(last) || last == 0 => cut(laid, last),
                Some(length) => say!("{count} on the last, cut at {length}"),
                None => say!("{count} on the last, nothing to cut off"),
            };
            let taken = say!(
                "{sheets} for {pieces}",
                sheets = sheets(laid),
                pieces = pieces(quantity)
            );
            let each = say!("{count} a sheet", count = laid.count);
            format!("{taken}; {each}; {rest}; {best}")
        }
    }
}

/// The film taken for one piece.
pub(super) fn share(laid: &Laid) -> String {
    let length = laid.film_length().scaled_up(1, i64::from(laid.pieces()));
    let each = laid.order.stock.width * length;
    let area = each.text(laid.order.unit.for_size());
    say!("{area} of film a piece with its share of waste")
}

/// What of the film taken is not decal; `share` from 0 to 1.
pub(super) fn waste(share: f64) -> String {
    say!(
        "{percent} % of the film taken is waste",
        percent = decimals(share * 100.0, 0)
    )
}

/// What the other kind of cuts would give.
pub(super) fn comparison(laid: &Laid) -> String {
    let (shown, other) = (laid.figures(), laid.other);
    let straight = laid.order.cuts == Cuts::Straight;
    let (sheets, count) = (
        shown.sheets.abs_diff(other.sheets),
        shown.count.abs_diff(other.count),
    );
    let length = shown.cut.max(other.cut) - shown.cut.min(other.cut);
    let length = length.text(laid.order.unit.for_size());
    if sheets > 0 && straight {
        say!(sheets; "as the cutter goes: 1 sheet less", "as the cutter goes: {sheets} sheets less")
    } else if sheets > 0 {
        say!(
            sheets;
            "straight cuts from edge to edge: 1 sheet more",
            "straight cuts from edge to edge: {sheets} sheets more"
        )
    } else if laid.order.quantity.is_none() && count > 0 {
        if straight {
            say!("as the cutter goes: {count} more")
        } else {
            say!("straight cuts from edge to edge: {count} fewer")
        }
    } else if shown.cut != other.cut {
        match (straight, laid.order.stock.length, laid.order.quantity) {
            (true, None, _) => say!("as the cutter goes: {length} less of the roll"),
            (true, Some(_), None) => {
                say!("as the cutter goes: as many, with {length} less of the sheet")
            }
            (true, Some(_), Some(_)) => {
                say!("as the cutter goes: {length} less of the last sheet")
            }
            (false, None, _) => say!("straight cuts from edge to edge: {length} more of the roll"),
            (false, Some(_), None) => {
                say!("straight cuts from edge to edge: as many, with {length} more of the sheet")
            }
            (false, Some(_), Some(_)) => {
                say!("straight cuts from edge to edge: {length} more of the last sheet")
            }
        }
    } else {
        let same = if straight && laid.proven() {
            say!("cuts of any other kind bring nothing more")
        } else if straight {
            say!("nothing better was found by cuts of any other kind")
        } else if laid.straight() {
            say!("also possible with straight cuts from edge to edge: nothing is lost")
        } else {
            say!("straight cuts from edge to edge: nothing is lost, with another layout")
        };
        same.to_owned()
    }
}

/// Straight cuts in words with their numbers, those of one part that run the same way together.
pub(super) fn cut_steps(cuts: &[Cut], unit: Unit) -> Vec<String> {
    let together = |a: &Cut, b: &Cut| a.across == b.across && a.span == b.span && a.at < b.at;
    let mut number = 1;
    let steps = cuts.chunk_by(together).map(|step| {
        let first = number;
        number += step.len();
        let (last, cuts) = (number - 1, cuts_in_words(step, unit));
        match step.len() {
            1 => format!("{first}: {cuts}"),
            2 => say!("{first} and {last}: {cuts}"),
            _ => say!("{first} to {last}: {cuts}"),
        }
    });
    steps.collect()
}

/// Straight cuts of one part that run the same way: `across the stock, 9 3/8 in from the loaded end`.
pub(super) fn cuts_in_words(cuts: &[Cut], unit: Unit) -> String {
    let Some((last, others)) = cuts.split_last() else {
        return String::new();
    };
    // A number with its fraction stays in one line.
    let bare = |length: Length| -> String {
        let text = length.text(unit);
        let number = text.strip_suffix(unit.symbol()).unwrap_or(&text);
        let kept = |letter| if letter == ' ' { '\u{a0}' } else { letter };
        number.trim_end().chars().map(kept).collect()
    };
    let text = |length: Length| format!("{} {}", bare(length), unit.symbol());
    let others: Vec<String> = others.iter().map(|cut| bare(cut.at)).collect();
    let at = if others.is_empty() {
        text(last.at)
    } else {
        // Where commas have decimals behind them, others are wanted between numbers.
        let others = others.join(say!(in "between numbers in a list": ", "));
        say!("{others} and {last}", last = text(last.at))
    };
    let (from, to) = (bare(last.span.from), text(last.span.to));
    match (last.across, last.whole) {
        (true, true) => say!("across the stock, {at} from the loaded end"),
        (false, true) => say!("along the stock, {at} from the side"),
        (true, false) => {
            say!("across, {at} from the loaded end, between {from} and {to} from the side")
        }
        (false, false) => say!("along, {at} from the side, between {from} and {to} from the end"),
    }
}

/// What was assumed, in sentences.
pub(super) fn assumptions(laid: &Laid) -> Vec<String> {
    let text = |length: Length| length.text(laid.order.unit.for_size());
    let bounded = match laid.length_bound.map(text) {
        _ if laid.proven() => say!(
            "Nothing better is possible: what area and rows of pieces side by side allow was counted \
             without looking at the layout, and it comes to the same."
        )
        .to_owned(),
        Some(length) if best_straight(laid) => say!(
            "Best of all layouts by straight cuts, which were all tried; no layout can be shorter than \
             {length}, counted from area and rows of pieces side by side without looking at the layout."
        ),
        Some(length) => say!(
            "Best found; no layout can be shorter than {length}, counted from area and rows of pieces \
             side by side without looking at the layout."
        ),
        None if best_straight(laid) => say!(
            "Best of all layouts by straight cuts, which were all tried; no layout can hold more than \
             {count}, counted from area and rows of pieces side by side without looking at the layout.",
            count = laid.bound
        ),
        None => say!(
            "Best found; no layout can hold more than {count}, counted from area and rows of pieces \
             side by side without looking at the layout.",
            count = laid.bound
        ),
    };
    let taken = match (laid.order.stock.length, laid.order.quantity) {
        (Some(_), None) => say!("The whole sheet is counted as taken by the pieces on it."),
        (Some(_), Some(_)) => say!(
            "A full sheet is counted whole, a sheet that is not full only as far as it is cut off."
        ),
        (None, _) => say!("The roll is counted as far as it is cut off."),
    };
    let mut assumptions = vec![
        clearances(&laid.order),
        bounded,
        say!(
            "Cuts are rounded up to {length}.",
            length = text(laid.order.cut_step)
        ),
        taken.to_owned(),
    ];
    if laid.straight() {
        let asked = if laid.order.cuts == Cuts::Straight {
            say!(
                "Every cut goes straight from edge to edge of the part that it divides, in the middle of \
                 the gap: no piece keeps more than half a gap round its border, and a knife takes \
                 nothing away. Cuts across are measured from the end that is loaded, cuts along from \
                 the side at the loading corner."
            )
        } else {
            say!(
                "It can be cut by hand, every cut straight from edge to edge of the part that it divides, \
                 in the middle of the gap: no piece keeps more than half a gap round its border, and a \
                 knife takes nothing away. Cuts across are measured from the end that is loaded, cuts \
                 along from the side at the loading corner."
            )
        };
        assumptions.push(asked.to_owned());
    }
    assumptions
}

/// Whether what is shown is the best of all layouts by straight cuts, and was asked to be.
fn best_straight(laid: &Laid) -> bool {
    laid.order.cuts == Cuts::Straight && laid.every_straight
}

/// What is kept clear, and whether pieces may be turned, in a sentence.
pub(super) fn clearances(order: &Order) -> String {
    let text = |length: Length| length.text(order.unit.for_size());
    let margin = match order.stock.margin {
        Length::ZERO => say!("No margin").to_owned(),
        margin => say!("Margin {length} on all four sides", length = text(margin)),
    };
    let gap = match order.stock.gap {
        Length::ZERO => say!("no gap between borders").to_owned(),
        gap => say!("{length} between borders", length = text(gap)),
    };
    let turn = if order.piece.turn {
        say!("pieces may be turned")
    } else {
        say!("pieces may not be turned")
    };
    format!("{margin}; {gap}; {turn}.")
}

/// What lies beyond the cut, `24 × 2 1/4 in`; none where the whole sheet is used.
pub(super) fn leftover(laid: &Laid, index: usize) -> Option<String> {
    let cut = laid.cut_length(&laid.layouts[index].1);
    let rest = laid.order.stock.length? - cut;
    (rest > Length::ZERO)
        .then(|| size_text(laid.order.stock.width, rest, laid.order.unit.for_size()))
}

/// The length to cut off for a layout.
pub(super) fn cut_text(laid: &Laid, index: usize) -> String {
    laid.cut_length(&laid.layouts[index].1)
        .text(laid.order.unit.for_size())
}

/// A length with the larger unit beside it where that is easier to measure off: `151 1/2 in (12 ft 7
/// 1/2 in)`, `3850 mm (3.85 m)`.
fn long_text(length: Length, unit: Unit) -> String {
    let text = length.text(unit.for_size());
    let foot = Length::whole(1, Unit::Ft);
    if unit.is_imperial() && length >= foot * 6 {
        let feet = length.round_down(foot);
        let inches = (length - feet).text(Unit::In);
        return format!("{text} ({} {inches})", feet.text(Unit::Ft));
    }
    if !unit.is_imperial() && length >= Length::whole(2, Unit::M) {
        return format!("{text} ({})", length.text(Unit::M));
    }
    text
}

/// Where a layout is cut off; none where the whole sheet is used.
fn cut_at(laid: &Laid, index: usize) -> Option<String> {
    leftover(laid, index).map(|_| cut_text(laid, index))
}

fn cut(laid: &Laid, index: usize) -> String {
    match cut_at(laid, index) {
        Some(length) => say!("cut at {length}"),
        None => say!("nothing to cut off").to_owned(),
    }
}

fn best(laid: &Laid) -> String {
    let unit = laid.order.unit.for_size();
    let last = laid
        .layouts
        .last()
        .map_or(0, |(_, layout)| layout.placed.len());
    let all_full = last == laid.count as usize;
    let proven = laid.proven();
    let best = match laid.length_bound {
        Some(_) if proven => say!("no layout is shorter"),
        Some(_) if best_straight(laid) => say!("no layout by straight cuts is shorter"),
        Some(bound) => {
            return say!(
                "best found, at least {length} needed",
                length = bound.text(unit)
            );
        }
        None if !proven && best_straight(laid) && all_full => {
            say!("no layout by straight cuts holds more")
        }
        None if !proven && best_straight(laid) => say!("no layout by straight cuts takes less"),
        None if !proven && laid.count < laid.bound => {
            return say!(
                "best found, at most {count} a sheet possible",
                count = laid.bound
            );
        }
        None if !proven => say!("the shortest found, not proven"),
        None if all_full => say!("no layout holds more"),
        None => say!("no layout takes less"),
    };
    best.to_owned()
}

fn sheets(laid: &Laid) -> String {
    let sheets: u32 = laid.layouts.iter().map(|(copies, _)| copies).sum();
    sheets_text(sheets)
}

/// `1 sheet`, `3 sheets`.
pub(super) fn sheets_text(sheets: u32) -> String {
    say!(sheets; "1 sheet", "{sheets} sheets")
}
