//! The chart of packs: what it costs to have so many pieces, in each size of pack and in the cheapest.

use super::PacksReport;
use crate::drawing::{Chart, Element, Line};
use say::say;

/// The cheapest packs and each size of pack as lines of steps, and marks where a larger pack begins to
/// cost less than smaller ones.
pub(super) fn drawing(report: &PacksReport) -> Element {
    let ways = &report.ways;
    let most = ways.table.len() - 1;
    let cheapest = |pieces: usize| ways.table.get(pieces).map_or(0, |way| way.cost);
    // Small packs would lead far up; what costs twice as much is no choice.
    let top = cheapest(most) * 2;
    let mut names = Vec::new();
    let mut marks = Vec::new();
    let mut last = 0;
    let mut label = say!("What up to {most} pieces cost in packs");
    for pack in &report.packs {
        let count = pack.count;
        names.push(say!("by {count}"));
        let wins = pack.wins_text.as_deref().unwrap_or(say!("the smallest"));
        label.push_str("; ");
        label.push_str(&say!("packs of {count}: {wins}"));
        // The words of the marks need room.
        if let Some(wins) = pack
            .wins_from
            .filter(|wins| *wins as usize > last + most / 5)
        {
            last = wins as usize;
            marks.push((f64::from(wins), say!("{count} from {wins}")));
        }
    }
    let mut lines = vec![Line {
        name: say!("cheapest"),
        points: steps(most, top, &cheapest),
        dots: false,
    }];
    for (pack, name) in ways.packs.iter().zip(&names) {
        let (price, count) = (pack.units(), pack.count as usize);
        let cost = |pieces: usize| price.saturating_mul(pieces.div_ceil(count) as i128);
        lines.push(Line {
            name,
            points: steps(most, top, &cost),
            dots: false,
        });
    }
    let chart = Chart {
        label,
        across: say!("pieces needed").to_owned(),
        up: report.currency.clone(),
        bands: Vec::new(),
        lines,
        marks: marks
            .iter()
            .map(|(wins, text)| (*wins, text.as_str()))
            .collect(),
        ticks: Vec::new(),
    };
    chart.drawing()
}

/// The corners of a line of steps, up to where it leaves the picture; no finer than can be seen.
#[expect(
    clippy::cast_precision_loss,
    reason = "a place on a picture needs three figures"
)]
fn steps(most: usize, top: i128, cost: &dyn Fn(usize) -> i128) -> Vec<(f64, f64)> {
    const PLACES: usize = 280;
    let mut points = Vec::new();
    let mut before = None;
    for place in 0..=PLACES {
        let pieces = (most * place).div_ceil(PLACES).max(1);
        let cost = cost(pieces);
        if cost > top {
            break;
        }
        let (x, y) = (pieces as f64, cost as f64 / 1e12);
        if before != Some(y) || place == PLACES {
            points.extend(before.map(|before| (x, before)));
            points.push((x, y));
        }
        before = Some(y);
    }
    points
}
