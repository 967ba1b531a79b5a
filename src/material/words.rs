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
        None => format!("of roll for {}", pieces(laid.pieces())),
        Some(_) if last > 0 => format!("the last {}", cut(laid, last)),
        Some(_) => cut(laid, last),
    }
}

/// The answer in a sentence without a full stop.
pub(super) fn detail(laid: &Laid) -> String {
    let best = best(laid);
    let last = laid.layouts.len() - 1;
    let full = |index: usize| laid.layouts[index].1.placed.len() == laid.count as usize;
    match (laid.order.stock.length, laid.order.quantity) {
        (None, _) => format!(
            "{} of roll for {}; {best}",
            long_text(laid.cut_length(&laid.layouts[0].1), laid.order.unit),
            pieces(laid.pieces())
        ),
        (Some(_), None) => format!("{} fit; {}; {best}", laid.count, cut(laid, 0)),
        (Some(_), Some(quantity)) => {
            let on_last = laid.layouts[last].1.placed.len();
            let rest = if full(last) || last == 0 {
                cut(laid, last)
            } else {
                format!("{on_last} on the last, {}", cut(laid, last))
            };
            let each = format!("{} for {}", sheets(laid), pieces(quantity));
            format!("{each}; {} a sheet; {rest}; {best}", laid.count)
        }
    }
}

/// The film taken for one piece.
pub(super) fn share(laid: &Laid) -> String {
    let length = laid.film_length().scaled_up(1, i64::from(laid.pieces()));
    let each = laid.order.stock.width * length;
    let text = each.text(laid.order.unit.for_size());
    format!("{text} of film a piece with its share of waste")
}

/// What of the film taken is not decal; `share` from 0 to 1.
pub(super) fn waste(share: f64) -> String {
    format!(
        "{} % of the film taken is waste",
        decimals(share * 100.0, 0)
    )
}

/// What the other kind of cuts would give.
pub(super) fn comparison(laid: &Laid) -> String {
    let (shown, other) = (laid.figures(), laid.other);
    let straight = laid.order.cuts == Cuts::Straight;
    let more = if straight { "less" } else { "more" };
    let length = shown.cut.max(other.cut) - shown.cut.min(other.cut);
    let length = length.text(laid.order.unit.for_size());
    let price = if shown.sheets != other.sheets {
        match shown.sheets.abs_diff(other.sheets) {
            1 => format!("1 sheet {more}"),
            sheets => format!("{sheets} sheets {more}"),
        }
    } else if laid.order.quantity.is_none() && shown.count != other.count {
        let fewer = if straight { "more" } else { "fewer" };
        format!("{} {fewer}", shown.count.abs_diff(other.count))
    } else if shown.cut != other.cut {
        match (laid.order.stock.length, laid.order.quantity) {
            (None, _) => format!("{length} {more} of the roll"),
            (Some(_), None) => format!("as many, with {length} {more} of the sheet"),
            (Some(_), Some(_)) => format!("{length} {more} of the last sheet"),
        }
    } else if straight && laid.proven() {
        return "cuts of any other kind bring nothing more".to_owned();
    } else if straight {
        return "nothing better was found by cuts of any other kind".to_owned();
    } else if laid.straight() {
        return "also possible with straight cuts from edge to edge: nothing is lost".to_owned();
    } else {
        "nothing is lost, with another layout".to_owned()
    };
    if straight {
        format!("as the cutter goes: {price}")
    } else {
        format!("straight cuts from edge to edge: {price}")
    }
}

/// Straight cuts in words with their numbers, those of one part that run the same way together.
pub(super) fn cut_steps(cuts: &[Cut], unit: Unit) -> Vec<String> {
    let together = |a: &Cut, b: &Cut| a.across == b.across && a.span == b.span && a.at < b.at;
    let mut number = 1;
    let steps = cuts.chunk_by(together).map(|step| {
        let first = number;
        number += step.len();
        let words = cuts_in_words(step, unit);
        match step.len() {
            1 => format!("{first}: {words}"),
            2 => format!("{first} and {}: {words}", number - 1),
            _ => format!("{first} to {}: {words}", number - 1),
        }
    });
    steps.collect()
}

/// Straight cuts of one part that run the same way: `across the stock, 9 3/8 in from the loaded end`.
pub(super) fn cuts_in_words(cuts: &[Cut], unit: Unit) -> String {
    let Some((last, others)) = cuts.split_last() else {
        return String::new();
    };
    let (way, place, ends) = if last.across {
        ("across", "the loaded end", "the side")
    } else {
        ("along", "the side", "the end")
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
        format!("{} and {}", others.join(", "), text(last.at))
    };
    if last.whole {
        return format!("{way} the stock, {at} from {place}");
    }
    let (from, to) = (bare(last.span.from), text(last.span.to));
    format!("{way}, {at} from {place}, between {from} and {to} from {ends}")
}

/// What was assumed, in sentences.
pub(super) fn assumptions(laid: &Laid) -> Vec<String> {
    let text = |length: Length| length.text(laid.order.unit.for_size());
    let found = if best_straight(laid) {
        "Best of all layouts by straight cuts, which were all tried"
    } else {
        "Best found"
    };
    let bounded = if laid.proven() {
        "Nothing better is possible: what area and rows of pieces side by side allow was counted \
         without looking at the layout, and it comes to the same."
            .to_owned()
    } else if let Some(length) = laid.length_bound {
        format!(
            "{found}; no layout can be shorter than {}, counted from area and rows of pieces side \
             by side without looking at the layout.",
            text(length)
        )
    } else {
        format!(
            "{found}; no layout can hold more than {}, counted from area and rows of pieces side \
             by side without looking at the layout.",
            laid.bound
        )
    };
    let taken = match (laid.order.stock.length, laid.order.quantity) {
        (Some(_), None) => "The whole sheet is counted as taken by the pieces on it.",
        (Some(_), Some(_)) => {
            "A full sheet is counted whole, a sheet that is not full only as far as it is cut off."
        }
        (None, _) => "The roll is counted as far as it is cut off.",
    };
    let mut assumptions = vec![
        clearances(&laid.order),
        bounded,
        format!("Cuts are rounded up to {}.", text(laid.order.cut_step)),
        taken.to_owned(),
    ];
    if laid.straight() {
        let asked = if laid.order.cuts == Cuts::Straight {
            "Every cut goes"
        } else {
            "It can be cut by hand, every cut"
        };
        assumptions.push(format!(
            "{asked} straight from edge to edge of the part that it divides, in the middle of the gap: \
             no piece keeps more than half a gap round its border, and a knife takes nothing away. \
             Cuts across are measured from the end that is loaded, cuts along from the side at the \
             loading corner."
        ));
    }
    assumptions
}

/// Whether what is shown is the best of all layouts by straight cuts, and was asked to be.
fn best_straight(laid: &Laid) -> bool {
    laid.order.cuts == Cuts::Straight && laid.every_straight
}

/// What is kept clear, and whether pieces may be turned, in a sentence.
pub(super) fn clearances(order: &Order) -> String {
    let kept = |length: Length, none: &str, some: [&str; 2]| {
        if length == Length::ZERO {
            none.to_owned()
        } else {
            some.join(&length.text(order.unit.for_size()))
        }
    };
    let turn = if order.piece.turn {
        "pieces may be turned"
    } else {
        "pieces may not be turned"
    };
    format!(
        "{}; {}; {turn}.",
        kept(
            order.stock.margin,
            "No margin",
            ["Margin ", " on all four sides"]
        ),
        kept(
            order.stock.gap,
            "no gap between borders",
            ["", " between borders"]
        ),
    )
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

fn cut(laid: &Laid, index: usize) -> String {
    if leftover(laid, index).is_some() {
        format!("cut at {}", cut_text(laid, index))
    } else {
        "nothing to cut off".to_owned()
    }
}

fn best(laid: &Laid) -> String {
    let unit = laid.order.unit.for_size();
    let last = laid
        .layouts
        .last()
        .map_or(0, |(_, layout)| layout.placed.len());
    let all_full = last == laid.count as usize;
    match laid.length_bound {
        Some(_) if laid.proven() => "no layout is shorter".to_owned(),
        Some(_) if best_straight(laid) => "no layout by straight cuts is shorter".to_owned(),
        None if !laid.proven() && best_straight(laid) && all_full => {
            "no layout by straight cuts holds more".to_owned()
        }
        None if !laid.proven() && best_straight(laid) => {
            "no layout by straight cuts takes less".to_owned()
        }
        Some(bound) => format!("best found, at least {} needed", bound.text(unit)),
        None if !laid.proven() && laid.count < laid.bound => {
            format!("best found, at most {} a sheet possible", laid.bound)
        }
        None if !laid.proven() => "the shortest found, not proven".to_owned(),
        None if all_full => "no layout holds more".to_owned(),
        None => "no layout takes less".to_owned(),
    }
}

fn sheets(laid: &Laid) -> String {
    let sheets: u32 = laid.layouts.iter().map(|(copies, _)| copies).sum();
    match sheets {
        1 => "1 sheet".to_owned(),
        more => format!("{more} sheets"),
    }
}
