//! What is on printed sheets: read from a PDF by a library that draws them.

use crate::{Result, Trouble};
use hayro_interpret::font::GlyphRun;
use hayro_interpret::hayro_cmap::BfString;
use hayro_interpret::hayro_syntax::Pdf;
use hayro_interpret::kurbo::{Affine, BezPath, PathEl, Rect};
use hayro_interpret::{
    BlendMode, ClipPath, Context, Device, DrawMode, DrawProps, Image, ImageDrawProps,
    InterpreterCache, InterpreterSettings, SoftMask, interpret_page,
};

/// Millimetres of a point: an inch has 72 (ISO 32000-1, 8.3.2.3) and 25.4 mm.
const POINT: f64 = 25.4 / 72.0;

/// A printed sheet; lengths are millimetres on the paper.
#[derive(Debug, Default)]
pub struct Printed {
    /// Its width and height.
    pub size: (f64, f64),
    /// All that is written on it, without any white space.
    pub text: String,
    /// Straight lines, each from one point to another: from the left, from the foot.
    pub lines: Vec<[(f64, f64); 2]>,
}

/// The sheets of a PDF.
///
/// # Errors
/// When it is none.
pub fn printed(pdf: Vec<u8>) -> Result<Vec<Printed>> {
    let pdf = Pdf::new(pdf).map_err(|error| Trouble::new(format!("No PDF: {error:?}")))?;
    let cache = InterpreterCache::new();
    let mut sheets = Vec::new();
    for page in pdf.pages().iter() {
        let bounds = page.media_box();
        let mut sheet = Printed {
            size: (
                (bounds.x1 - bounds.x0) * POINT,
                (bounds.y1 - bounds.y0) * POINT,
            ),
            ..Printed::default()
        };
        let mut context = Context::new(
            Affine::IDENTITY,
            Rect::new(0.0, 0.0, 10_000.0, 10_000.0),
            &cache,
            pdf.xref(),
            InterpreterSettings::default(),
        );
        interpret_page(page, &mut context, &mut sheet);
        sheets.push(sheet);
    }
    Ok(sheets)
}

impl Device<'_> for Printed {
    fn draw_path(&mut self, path: &BezPath, props: DrawProps<'_>, _: &DrawMode) {
        let mut from = None;
        for element in props.transform * path {
            let to = match element {
                PathEl::MoveTo(to) | PathEl::LineTo(to) => Some((to.x * POINT, to.y * POINT)),
                _ => None,
            };
            if let (PathEl::LineTo(_), Some(from), Some(to)) = (element, from, to) {
                self.lines.push([from, to]);
            }
            from = to;
        }
    }

    fn draw_glyph_run(&mut self, run: &GlyphRun<'_, '_>, _: DrawProps<'_>, _: &DrawMode) {
        for glyph in run.glyphs() {
            match glyph.as_unicode() {
                Some(BfString::Char(letter)) => self.text.push(letter),
                Some(BfString::String(letters)) => self.text.push_str(&letters),
                None => {}
            }
        }
        self.text.retain(|letter| !letter.is_whitespace());
    }

    fn push_clip_path(&mut self, _: &ClipPath) {}
    fn push_transparency_group(&mut self, _: f32, _: Option<SoftMask<'_>>, _: BlendMode) {}
    fn draw_image(&mut self, _: Image<'_, '_>, _: ImageDrawProps<'_>) {}
    fn pop_clip(&mut self) {}
    fn pop_transparency_group(&mut self) {}
}
