//! The scale drawing of a layout.
//!
//! The stock lies with its longer side from left to right, the loading corner at the top left; a
//! roll always runs to the right. Below it stand where to cut and the size of a piece, clear of the
//! numbers of the pieces.

use super::knife;
use super::laid::{Laid, size};
use super::layout::{Layout, Placed};
use super::order::{Cuts, Stock};
use super::straight::Cut;
use super::words::{cut_text, leftover};
use crate::decal::size_text;
use crate::drawing::{Element, Frame, number};
use crate::measure::{Length, Unit, pieces};
use say::say;
use std::fmt::Write as _;

/// Film longer than so many widths is shown broken off, for its pieces would be too small to see.
const LONGEST: i64 = 5;

/// The same for film of which all pieces are to be seen, standing, as far down as it goes.
const LONGEST_WHOLE: i64 = 40;

/// Up to so many pieces are numbered, if they are large enough.
const NUMBERED: usize = 300;

/// Width of a character of ordinary text, as a share of the type size; on the generous side.
const CHARACTER: f64 = 0.56;

/// What a picture shows of one layout.
pub(super) struct Scene<'a> {
    pub unit: Unit,
    pub stock: Stock,
    pub placed: &'a [Placed],
    /// Where it is cut off.
    pub cut: Length,
    /// The same as it is written there; none where nothing is cut off.
    pub cut_text: Option<String>,
    /// What is left, as it lies.
    pub left: Vec<Left>,
    /// Straight cuts to be shown in their order.
    pub cuts: &'a [Cut],
    /// The picture in words.
    pub label: String,
    /// What is written below the stock.
    pub below: String,
    /// Whether all of a long piece of stock is shown, rather than its first part; a roll stands then.
    pub whole: bool,
}

/// A rectangle that is left, by its corner nearest to the loading corner.
pub(super) struct Left {
    pub x: Length,
    pub y: Length,
    pub width: Length,
    pub length: Length,
    pub text: String,
}

/// The first layout, the fullest one, to scale.
pub(super) fn drawing(laid: &Laid) -> Element {
    let Some((_, layout)) = laid.layouts.first() else {
        return Element::new("svg");
    };
    let stock = laid.order.stock;
    let cut = laid.cut_length(layout);
    let left = leftover(laid, 0).map(|text| Left {
        x: Length::ZERO,
        y: cut,
        width: stock.width,
        length: stock.length.unwrap_or(cut) - cut,
        text: say!("left over {size}", size = text),
    });
    let cut_text = cut_text(laid, 0);
    let cuts = match laid.order.cuts {
        Cuts::Any => &[],
        Cuts::Straight => laid.followed(0),
    };
    let cut_text = Some(cut_text).filter(|_| stock.length.is_none() || left.is_some());
    drawn(&Scene {
        unit: laid.order.unit,
        stock,
        placed: &layout.placed,
        cut,
        cut_text,
        left: left.into_iter().collect(),
        cuts,
        label: label(laid, layout, cut, cuts.len()),
        below: say!("each {size}", size = piece_text(laid)),
        whole: false,
    })
}

/// The picture of a scene.
pub(super) fn drawn(scene: &Scene) -> Element {
    Picture::of(scene).drawn()
}

/// The picture of one size in words.
fn label(laid: &Laid, layout: &Layout, cut: Length, cuts: usize) -> String {
    let unit = laid.order.unit.for_size();
    let stock = &laid.order.stock;
    let text = |length: Length| length.text(unit);
    let (pieces, size) = (pieces(size(layout.placed.len())), piece_text(laid));
    let turned = layout.placed.iter().filter(|p| p.turned).count();
    let mut told = vec![match stock.length {
        None => say!(
            "The layout to scale: {pieces} of {size} on a roll {width} wide, {turned} of them turned",
            width = text(stock.width)
        ),
        Some(length) => say!(
            "The layout to scale: {pieces} of {size} on a sheet of {sheet}, {turned} of them turned",
            sheet = size_text(stock.width, length, unit)
        ),
    }];
    if stock.margin > Length::ZERO {
        told.push(say!("margin {length}", length = text(stock.margin)));
    }
    if stock.gap > Length::ZERO {
        told.push(say!("gap {length}", length = text(stock.gap)));
    }
    let left = leftover(laid, 0);
    if stock.length.is_none() || left.is_some() {
        told.push(say!("cut at {length}", length = text(cut)));
    }
    if let Some(size) = left {
        told.push(say!("left over {size}"));
    }
    if cuts > 0 {
        told.push(say!("{cuts} straight cuts in their order"));
    }
    let mut label = told.join(", ");
    if let Some(pieces) = laid.order.quantity.filter(|_| stock.length.is_some()) {
        let sheets: u32 = laid.layouts.iter().map(|(copies, _)| copies).sum();
        if sheets > 1 {
            label.push_str("; ");
            label.push_str(&say!("the first of {sheets} sheets for {pieces} pieces"));
        }
    }
    label
}

fn piece_text(laid: &Laid) -> String {
    let piece = laid.order.piece;
    size_text(piece.width, piece.height, laid.order.unit.for_size())
}

/// A scene with what the size of the paper decides.
struct Picture<'a> {
    scene: &'a Scene<'a>,
    /// Whether the stock's length runs from left to right.
    lying: bool,
    /// How much of the stock's length is shown.
    shown: Length,
}

/// A rectangle on the picture: from the left, from the top, width, height.
#[derive(Clone, Copy)]
struct Rect(f64, f64, f64, f64);

impl<'a> Picture<'a> {
    fn of(scene: &'a Scene<'a>) -> Self {
        let width = scene.stock.width;
        let length = scene.stock.length;
        // A roll goes on behind the cut.
        let more = scene.cut.scaled_up(1, 16).max(width.scaled_up(1, 10));
        let all = length.unwrap_or(scene.cut + more);
        let longest = if scene.whole { LONGEST_WHOLE } else { LONGEST };
        let lying = length.map_or(!scene.whole, |length| {
            length >= width && !(scene.whole && length > width * LONGEST)
        });
        Self {
            scene,
            lying,
            shown: all.min(width * longest),
        }
    }

    /// Whether the picture ends before the film does.
    fn broken(&self) -> bool {
        self.scene.stock.length != Some(self.shown)
    }

    fn drawn(&self) -> Element {
        let width = self.scene.stock.width;
        let (wide, high) = if self.lying {
            (self.shown, width)
        } else {
            (width, self.shown)
        };
        let frame = Frame {
            size: (wide, high),
            lines: 2,
            unit: self.scene.unit,
            label: &self.scene.label,
            whole: self.scene.whole && self.scene.stock.length.is_none(),
        };
        frame.around(&|type_size| {
            let mut content = vec![self.film(type_size)];
            content.extend(self.margin(type_size));
            content.extend(self.pieces(type_size));
            content.extend(self.cut_and_leftover(type_size));
            content.extend(self.knife(type_size));
            content.push(self.below(type_size, 1, 0.0, "start", &self.scene.below, false));
            content
        })
    }

    /// From lengths across and along the stock to the picture.
    fn rect(&self, x: Length, y: Length, width: Length, height: Length) -> Rect {
        let mm = |length: Length| length.to_f64(Unit::Mm);
        if self.lying {
            Rect(mm(y), mm(x), mm(height), mm(width))
        } else {
            Rect(mm(x), mm(y), mm(width), mm(height))
        }
    }

    fn whole(&self) -> Rect {
        self.rect(
            Length::ZERO,
            Length::ZERO,
            self.scene.stock.width,
            self.shown,
        )
    }

    fn film(&self, type_size: f64) -> Element {
        let Rect(_, _, wide, high) = self.whole();
        let mut outline = format!("M{} 0H0V{}H{0}", number(wide), number(high));
        if self.broken() && self.lying {
            // Torn off on the right: the film goes on.
            let (step, teeth) = (number(high / 12.0), 6);
            let tooth = number(type_size * 0.3);
            for _ in 0..teeth {
                let _ = write!(outline, "l-{tooth} -{step}l{tooth} -{step}");
            }
        } else {
            outline.push('Z');
        }
        Element::new("path")
            .with("class", "sheet")
            .with("d", outline)
            .with("fill", "#f7f3e8")
            .with("stroke", "#16232b")
            .with("stroke-width", number(type_size / 12.0))
    }

    fn margin(&self, type_size: f64) -> Option<Element> {
        let margin = self.scene.stock.margin;
        if margin == Length::ZERO {
            return None;
        }
        let end = self.scene.stock.length.unwrap_or(self.scene.cut) - margin;
        let along = end.min(self.shown) - margin;
        let usable = self.scene.stock.usable_width();
        let line = rectangle(self.rect(margin, margin, usable, along))
            .with("class", "margin")
            .with("fill", "none")
            .with("stroke", "#8a8471")
            .with("stroke-width", number(type_size / 18.0))
            .with("stroke-dasharray", number(type_size / 4.0));
        Some(line)
    }

    fn pieces(&self, type_size: f64) -> Vec<Element> {
        let shown = |(_, placed): &(u32, &Placed)| placed.y + placed.height <= self.shown;
        let rects: Vec<(u32, Rect)> = (1..)
            .zip(self.scene.placed)
            .filter(shown)
            .map(|(number, p)| (number, self.rect(p.x, p.y, p.width, p.height)))
            .collect();
        let mut outlines = String::new();
        for (_, Rect(x, y, wide, high)) in &rects {
            let (x, y, wide, high) = (number(*x), number(*y), number(*wide), number(*high));
            // Writing into a String cannot fail.
            let _ = write!(outlines, "M{x} {y}h{wide}v{high}h-{wide}Z");
        }
        let mut drawn = vec![
            Element::new("path")
                .with("class", "piece")
                .with("d", outlines)
                .with("fill", "#dbe7ea")
                .with("stroke", "#24516b")
                .with("stroke-width", number(type_size / 14.0)),
        ];
        if rects.len() > NUMBERED {
            return drawn;
        }
        for (number_of_piece, Rect(x, y, wide, high)) in rects {
            let figure = number_of_piece.to_string();
            let size = type_size
                .min(high * 0.8)
                .min(wide * 0.9 / text_width(&figure, 1.0));
            if size < type_size * 0.6 {
                continue;
            }
            drawn.push(
                Element::new("text")
                    .with("class", "piece")
                    .with("x", number(x + wide / 2.0))
                    .with("y", number(y + high / 2.0 + size * 0.36))
                    .with("text-anchor", "middle")
                    .with("font-size", number(size))
                    .with("fill", "#24516b")
                    .text(figure),
            );
        }
        drawn
    }

    fn cut_and_leftover(&self, type_size: f64) -> Vec<Element> {
        let Rect(_, _, wide, high) = self.whole();
        let cut = self.scene.cut;
        let mut drawn = Vec::new();
        if let Some(length) = &self.scene.cut_text {
            if cut > self.shown {
                let text = say!("goes on, cut {length}");
                return vec![self.below(type_size, 0, wide, "end", &text, true)];
            }
            let text = &say!("cut {length}");
            let Rect(x, y, ..) = self.rect(Length::ZERO, cut, Length::ZERO, Length::ZERO);
            let reach = type_size * 0.5;
            let line = if self.lying {
                let (x, from, to) = (number(x), number(-reach), number(high + reach));
                format!("M{x} {from}V{to}")
            } else {
                let (y, from, to) = (number(y), number(-reach), number(wide + reach));
                format!("M{from} {y}H{to}")
            };
            drawn.push(
                Element::new("path")
                    .with("class", "cut")
                    .with("d", line)
                    .with("fill", "none")
                    .with("stroke", "#a3301c")
                    .with("stroke-width", number(type_size / 5.0)),
            );
            let (end, anchor) = if !self.lying {
                (wide, "end")
            } else if x >= text_width(text, type_size) {
                (x + type_size * 0.1, "end")
            } else {
                (x - type_size * 0.1, "start")
            };
            drawn.push(self.below(type_size, 0, end, anchor, text, true));
        }
        let seen = |left: &&Left| left.y + left.length <= self.shown;
        for left in self.scene.left.iter().filter(seen) {
            let room = self.rect(left.x, left.y, left.width, left.length);
            drawn.extend(named_leftover(&left.text, room, type_size));
        }
        drawn
    }

    fn knife(&self, type_size: f64) -> Vec<Element> {
        let place = |x: Length, y: Length| {
            let Rect(left, top, ..) = self.rect(x, y, Length::ZERO, Length::ZERO);
            (left, top)
        };
        knife::lines(self.scene.cuts, self.shown, &place, type_size)
    }

    /// A line of text below the stock.
    fn below(
        &self,
        type_size: f64,
        line: u8,
        x: f64,
        anchor: &str,
        text: &str,
        cut: bool,
    ) -> Element {
        let Rect(_, _, _, high) = self.whole();
        Element::new("text")
            .with("class", if cut { "cut" } else { "size" })
            .with("x", number(x))
            .with(
                "y",
                number(high + type_size * (1.35 + 1.2 * f64::from(line))),
            )
            .with("text-anchor", anchor)
            .with("font-size", number(type_size))
            .with("fill", if cut { "#a3301c" } else { "#24516b" })
            .text(text)
    }
}

/// The name of what is left over, along the longer side of its room; none where it has no room.
fn named_leftover(text: &str, room: Rect, type_size: f64) -> Option<Element> {
    let Rect(x, y, wide, high) = room;
    let size = type_size * 0.9;
    let (long, deep) = (text_width(text, size) + size, size * 1.3);
    let (middle_x, middle_y) = (x + wide / 2.0, y + high / 2.0);
    let named = Element::new("text")
        .with("class", "leftover")
        .with("x", number(middle_x))
        .with("y", number(middle_y + size * 0.36))
        .with("text-anchor", "middle")
        .with("font-size", number(size))
        .with("fill", "#53616a");
    if wide >= long && high >= deep {
        return Some(named.text(text));
    }
    if high >= long && wide >= deep {
        let (x, y) = (number(middle_x), number(middle_y));
        return Some(
            named
                .with("transform", format!("rotate(90 {x} {y})"))
                .text(text),
        );
    }
    None
}

fn rectangle(rect: Rect) -> Element {
    let Rect(x, y, wide, high) = rect;
    Element::new("rect")
        .with("x", number(x))
        .with("y", number(y))
        .with("width", number(wide))
        .with("height", number(high))
}

/// About how wide a text is; the picture cannot ask the font.
#[expect(clippy::cast_precision_loss, reason = "a text of a few words")]
fn text_width(text: &str, type_size: f64) -> f64 {
    text.chars().count() as f64 * CHARACTER * type_size
}
