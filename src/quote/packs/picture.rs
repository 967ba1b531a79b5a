//! The chart of packs: what it costs to have so many pieces, in each size of pack and in the cheapest.

use super::PacksReport;
use crate::drawing::chart::{
    BOTTOM, LEFT, RIGHT, TOP, TYPE, axis, chart, figure, pencilled, round_step, title, words,
};
use crate::drawing::{Element, number};
use rust_decimal::Decimal;
use std::fmt::Write as _;

/// Marks of crossings stand at least so far apart, that their words do not run into each other.
const APART: f64 = 64.0;

/// Each size of pack as a line of steps, the cheapest packs as a thicker one, and a mark where a larger
/// pack begins to cost less.
///
/// Classes for a style sheet, as in the step chart: `run`, with `present` for the cheapest packs;
/// `wanted` for the marks; `ruler` for the axes; `key`.
pub(super) fn drawing(report: &PacksReport) -> Element {
    let most = report.ways.table.len() - 1;
    // Small packs would lead far out of the field; what costs twice as much is no choice.
    let top = report.ways.table.last().map_or(0, |way| way.cost) * 2;
    let top = top.max(10_i128.pow(super::SCALE - report.decimals));
    let field = Field { most, top };
    let mut content = vec![
        title(format!("Cost in {} of so many pieces", report.currency)),
        costs_axis(&field, report.decimals),
        pieces_axis(&field),
    ];
    let mut free = TOP - TYPE;
    for pack in &report.ways.packs {
        let mut price = pack.price;
        price.rescale(super::SCALE);
        let (price, count) = (price.mantissa(), pack.count as usize);
        let line = |pieces: usize| price.saturating_mul(pieces.div_ceil(count) as i128);
        content.push(run("run", "1.5", field.steps(line)));
        let y = field.up(line(most));
        if y >= free + TYPE {
            free = y;
            content.push(words(RIGHT + 4.0, y + 4.0, pack.count.to_string()).with("class", "key"));
        }
    }
    let cheapest = |pieces: usize| report.ways.table.get(pieces).map_or(0, |way| way.cost);
    content.push(run("run present", "4", field.steps(cheapest)));
    let mut last = LEFT - APART;
    for pack in report.packs.iter().rev() {
        let Some(wins) = pack.wins_from.filter(|wins| *wins > 1) else {
            continue;
        };
        let x = field.across(wins as usize);
        if (x - last).abs() >= APART {
            last = x;
            content.push(pencilled(x, format!("{wins}: {}", pack.count)));
        }
    }
    let mut label = format!("What up to {most} pieces cost in packs");
    for pack in &report.packs {
        let wins = pack.wins_text.as_deref().unwrap_or("the smallest");
        // Writing into a String cannot fail.
        let _ = write!(label, "; packs of {}: {wins}", pack.count);
    }
    chart(BOTTOM + 46.0, label, content)
}

/// What the field shows: pieces from none to `most`, costs from nothing to `top`.
struct Field {
    most: usize,
    top: i128,
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a place on a picture needs three figures"
)]
impl Field {
    fn across(&self, pieces: usize) -> f64 {
        LEFT + (RIGHT - LEFT) * pieces as f64 / self.most.max(1) as f64
    }

    fn up(&self, cost: i128) -> f64 {
        BOTTOM - (BOTTOM - TOP) * cost as f64 / self.top as f64
    }

    /// The steps of a cost, up to where it leaves the field; no finer than can be seen.
    fn steps(&self, cost: impl Fn(usize) -> i128) -> String {
        const PLACES: usize = 280;
        let mut path = String::new();
        let mut last = 0;
        for place in 0..=PLACES {
            let pieces = (self.most * place).div_ceil(PLACES).max(1);
            let cost = cost(pieces);
            if cost > self.top {
                break;
            }
            let x = number(self.across(pieces));
            // Writing into a String cannot fail.
            let _ = match (place, cost == last) {
                (0, _) => write!(path, "M{x} {}", number(self.up(cost))),
                (_, true) => continue,
                _ => write!(path, "H{x}V{}", number(self.up(cost))),
            };
            last = cost;
        }
        if last <= self.top && cost(self.most) <= self.top {
            let _ = write!(path, "H{}", number(RIGHT));
        }
        path
    }
}

fn run(class: &'static str, thick: &'static str, path: String) -> Element {
    Element::new("path")
        .with("class", class)
        .with("d", path)
        .with("fill", "none")
        .with("stroke", "#24516b")
        .with("stroke-width", thick)
}

fn costs_axis(field: &Field, decimals: u32) -> Element {
    let unit = 10_i128.pow(super::SCALE - decimals);
    let whole = u64::try_from(field.top / unit).unwrap_or(u64::MAX);
    let step = round_step(whole);
    let x = number(LEFT);
    let mut path = format!("M{x} {}V{}", number(TOP), number(BOTTOM));
    let mut figures = Vec::new();
    let mut at = 0;
    while at <= whole {
        let y = field.up(i128::from(at) * unit);
        // Writing into a String cannot fail.
        let _ = write!(path, "M{x} {}h-5", number(y));
        let amount = Decimal::from_i128_with_scale(at.into(), decimals).normalize();
        figures.push(figure(
            LEFT - 8.0,
            y + TYPE * 0.36,
            "end",
            amount.to_string(),
        ));
        at += step;
    }
    axis(path, figures)
}

fn pieces_axis(field: &Field) -> Element {
    let step = usize::try_from(round_step(field.most as u64)).unwrap_or(usize::MAX);
    let bottom = number(BOTTOM);
    let mut path = format!("M{} {bottom}H{}", number(LEFT), number(RIGHT));
    let mut figures = Vec::new();
    for at in (0..=field.most).step_by(step) {
        let x = field.across(at);
        // Writing into a String cannot fail.
        let _ = write!(path, "M{} {bottom}v6", number(x));
        figures.push(figure(x, BOTTOM + 20.0, "middle", at.to_string()));
    }
    figures.push(figure(RIGHT, BOTTOM + 37.0, "end", "pieces".to_owned()));
    axis(path, figures)
}
