//! What a layout by true shape is told as, beside that by weeding borders.

use super::flat::count;
use super::input::ArtworkInput;
use super::nest::{MOST, Nest, NestInput, Placement, Search, Turns};
use super::told::Prepared;
use crate::drawing::{Element, Frame, number};
use crate::error::InputErrors;
use crate::input::read_by_members;
use crate::material::{self, MaterialInput, Terms};
use crate::measure::{
    Count, Length, LengthInput, Measured, Range, Unit, decimals, pieces, required,
};
use say::say;
use serde::Serialize;

read_by_members! {
    /// A drawing, and the film that copies of it are laid on by their true shape.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct TrueShapeInput {
        /// The drawing, and how large it is cut.
        pub artwork: ArtworkInput = default,
        /// The film, margin and gap, and how many are needed. Where the piece may be turned, copies are turned by
        /// right angles and by half a turn.
        pub material: MaterialInput = default,
    }
}

read_by_members! {
    /// The layout by weeding borders that a layout by true shape is held against.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct BordersInput {
        /// Where it is cut off; on a sheet, the fullest one.
        pub length: Option<LengthInput> = default,
        /// The pieces that are on it.
        pub count: Option<Count> = default,
    }
}

/// The same, read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Borders {
    /// Where it is cut off.
    pub length: Length,
    /// The pieces that are on it.
    pub count: u32,
}

impl BordersInput {
    /// The layout, whose length is in `unit`.
    ///
    /// # Errors
    /// A length or count that is missing or none.
    pub fn read(&self, unit: Unit) -> Result<Borders, InputErrors> {
        let length = required(
            self.length.as_ref(),
            "length",
            unit,
            Range::up_to(Length::MAX),
        )?;
        let count = Count::optional(self.count.as_ref(), "count")?;
        let count = count.unwrap_or(1);
        Ok(Borders { length, count })
    }
}

/// A layout by true shape.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct TrueShapeReport {
    /// The unit of every length in this report.
    pub unit: Unit,
    /// The answer in a few words: `9 a sheet`, `21 3/4 in`.
    pub headline: String,
    /// What goes with them: `of roll for 12 pieces, by true shape`.
    pub note: String,
    /// What it saves against the layout by weeding borders.
    pub saved_text: String,
    /// Copies that are laid.
    pub count: u32,
    /// Where they are cut off, rounded up as the layout by borders is.
    pub length: Measured,
    /// Where the layout by borders is cut off; of a sheet, that of its fullest layout.
    pub border_length: Measured,
    /// Copies by borders; on a sheet as many as are laid on one.
    pub border_count: u32,
    /// Share of the film taken that lies within outer outlines, from 0 to 1.
    pub used: f64,
    /// Where each copy lies.
    pub placements: Vec<TrueShapePlacement>,
    /// What was assumed, in sentences.
    pub assumptions: Vec<String>,
    #[serde(skip)]
    drawing: Option<Element>,
}

/// Where one copy lies, in the unit of the report.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct TrueShapePlacement {
    /// Where the upper left corner of the drawing comes to lie across the film, after it is turned about it.
    pub x: f64,
    /// The same along the film.
    pub y: f64,
    /// By how much it is turned clockwise, in degrees.
    pub turn: u16,
}

/// What is said where there is more than one film.
const ONE_LAYOUT: &str = say!(
    "All colours are laid together as one film: each of the films is cut in this layout and takes as \
     much, whatever its colour leaves free."
);

/// No more of a long roll is shown than so many of its widths.
const SHOWN: f64 = 8.0;

impl Prepared {
    /// Lays copies by their true shape; `watch` is told how much is done and the layout where a better one was
    /// found, and ends the search by answering false.
    ///
    /// # Errors
    /// Every length of the input that is none, or out of range; where a copy does not fit; for more than 500 copies.
    pub fn lay(
        &self,
        input: &TrueShapeInput,
        borders: Borders,
        watch: &mut dyn FnMut(f64, Option<TrueShapeReport>) -> bool,
    ) -> Result<TrueShapeReport, InputErrors> {
        let unit = input.material.unit;
        let terms = material::terms(&input.material).map_err(|errors| errors.within("material"))?;
        let (rings, silhouette) = self.outer(&input.artwork)?;
        let mm = |length: Length| length.to_f64(Unit::Mm);
        let nest = NestInput {
            rings: &rings,
            turns: if terms.turn {
                Turns::Quarter
            } else {
                Turns::None
            },
            width: mm(terms.width),
            length: terms.length.map(mm),
            margin: mm(terms.margin),
            gap: mm(terms.gap),
            quantity: terms.quantity.unwrap_or(MOST),
        };
        let place = |path: &str| match path {
            "quantity" => "material.pieces[0].quantity".to_owned(),
            "width" | "length" => format!("material.sheet.{path}"),
            _ => "artwork.svg".to_owned(),
        };
        let mut search = Search::new(&nest).map_err(|error| {
            let field = place(&error.field);
            error.at(field)
        })?;
        let films = self.joined().films.len();
        let told = |nest: &Nest| {
            let mut report = report(nest, borders, terms, unit, &silhouette);
            if films > 1 {
                report.assumptions.push(ONE_LAYOUT.to_owned());
            }
            report
        };
        let mut go_on = watch(0.0, Some(told(search.best())));
        while go_on && !search.is_done() {
            let better = search.search();
            go_on = watch(search.share_done(), better.then(|| told(search.best())));
        }
        Ok(told(search.best()))
    }
}

impl TrueShapeReport {
    /// The layout to scale.
    #[must_use]
    pub fn drawing(&self) -> Element {
        self.drawing.clone().unwrap_or_else(|| Element::new("svg"))
    }
}

/// Lays copies of a drawing by their true shape, beside the layout by weeding borders.
///
/// # Errors
/// Those of [`prepare`](super::prepare) and [`Prepared::lay`].
pub fn true_shape(input: &TrueShapeInput) -> Result<TrueShapeReport, InputErrors> {
    let prepared =
        super::prepare(&input.artwork, &mut |_| {}).map_err(|errors| errors.within("artwork"))?;
    let report = material::report(&input.material).map_err(|errors| errors.within("material"))?;
    let borders = Borders {
        length: report.cut_length(),
        count: report.first_count(),
    };
    prepared.lay(input, borders, &mut |_, _| true)
}

fn report(
    nest: &Nest,
    borders: Borders,
    terms: Terms,
    unit: Unit,
    silhouette: &str,
) -> TrueShapeReport {
    let exact = Length::from_metres(nest.length_mm / 1_000.0).unwrap_or(Length::MAX);
    let up = exact.round_up(terms.cut_step);
    let length = terms.length.map_or(up, |sheet| up.min(sheet));
    let count = count(nest.placements.len());
    let sheet = terms.length.is_some();
    let text = |length: Length| length.text(unit.for_size());
    let (headline, note) = if sheet {
        (
            say!("{count} a sheet"),
            say!("by true shape, cut at {length}", length = text(length)),
        )
    } else {
        (
            text(length),
            say!(
                "of roll for {pieces}, by true shape",
                pieces = pieces(count)
            ),
        )
    };
    let step = Length::whole(1, unit).to_f64(Unit::Mm);
    TrueShapeReport {
        unit,
        headline,
        note,
        saved_text: saved(length, count, borders, sheet, unit),
        count,
        length: length.measured(unit),
        border_length: borders.length.measured(unit),
        border_count: borders.count,
        used: nest.share_used,
        placements: nest
            .placements
            .iter()
            .map(|copy| TrueShapePlacement {
                x: copy.dx / step,
                y: copy.dy / step,
                turn: copy.turn,
            })
            .collect(),
        assumptions: assumptions(terms),
        drawing: Some(drawing(nest, terms.width, length, unit, silhouette)),
    }
}

fn saved(length: Length, count: u32, borders: Borders, sheet: bool, unit: Unit) -> String {
    let unit = unit.for_size();
    let (by, fits) = (borders.length, borders.count);
    if sheet && count > fits {
        return say!(
            "{more} more than by weeding borders, {fits} a sheet",
            more = count - fits
        );
    }
    if count >= fits && length < by {
        let share = 100.0 * (by - length).to_f64(Unit::Mm) / by.to_f64(Unit::Mm);
        return say!(
            "Saves {saved} against {length} by weeding borders, {percent} %",
            saved = (by - length).text(unit),
            length = by.text(unit),
            percent = decimals(share, 0)
        );
    }
    let borders = if sheet {
        say!("{count} a sheet", count = fits)
    } else {
        by.text(unit)
    };
    if count < fits || length > by {
        say!("Saves nothing: the layout by weeding borders, {borders}, is better")
    } else {
        say!("Saves nothing: the layout by weeding borders, {borders}, is as good")
    }
}

fn assumptions(terms: Terms) -> Vec<String> {
    let mut assumptions = vec![
        say!(
            "Copies keep the gap from each other, outline to outline, and are cut apart along it: there is no weeding border \
             round each."
        )
        .to_owned(),
        say!(
            "What lies between the pieces of a decal is free for other copies: letters may lie between each other, and \
             straight cuts then do not part them."
        )
        .to_owned(),
        say!(
            "The room inside of outer outlines stays free. The best found in a search of bounded steps; nothing is proven."
        )
        .to_owned(),
    ];
    assumptions.push(if terms.turn {
        say!("Copies are turned by right angles and by half a turn.").to_owned()
    } else {
        say!("Film that may not be turned lies all one way.").to_owned()
    });
    assumptions
}

/// The film standing, the loaded end at the top, each copy as it lies.
fn drawing(nest: &Nest, width: Length, length: Length, unit: Unit, silhouette: &str) -> Element {
    let (wide, whole) = (width.to_f64(Unit::Mm), length.to_f64(Unit::Mm));
    let shown = whole.min(wide * SHOWN);
    let size = (
        width,
        Length::from_metres(shown / 1_000.0).unwrap_or(length),
    );
    let pieces = pieces(count(nest.placements.len()));
    let length = length.text(unit.for_size());
    let label = if shown < whole {
        say!("The layout by true shape to scale: {pieces} on {length} of film; its first part")
    } else {
        say!("The layout by true shape to scale: {pieces} on {length} of film")
    };
    Frame {
        size,
        lines: 0,
        unit,
        label: &label,
        whole: true,
    }
    .around(&|type_size| {
        let film = Element::new("rect")
            .with("class", "stock")
            .with("width", number(wide))
            .with("height", number(shown))
            .with("fill", "#fffdf5")
            .with("stroke", "#8a8471")
            .with("stroke-width", number(type_size / 20.0));
        let shape = Element::new("path")
            .with("id", "true-shape")
            .with("d", silhouette)
            .with("fill-rule", "evenodd");
        let copies = nest.placements.iter().filter(|copy| copy.dy < shown + wide);
        let copies = copies.map(|Placement { dx, dy, turn }| {
            Element::new("use").with("href", "#true-shape").with(
                "transform",
                format!("translate({} {}) rotate({turn})", number(*dx), number(*dy)),
            )
        });
        vec![
            film,
            Element::new("defs").child(shape),
            Element::new("g")
                .with("class", "film")
                .with("fill", "#1d4e5f")
                .children(copies),
        ]
    })
}
