//! The outlines of strokes, by SVG 2, 13.5.

use super::limits::{CURVE, DASHES, STROKED};
use super::paint::Style;
use super::{Budget, too_much};
use crate::error::InputError;
use kurbo::{
    Affine, BezPath, Cap, Circle, ParamCurveArclen, PathEl, Point, Rect, Shape, Stroke, StrokeOpts,
    Vec2, stroke,
};
use say::say;

/// So far the outline of a stroke may stray from it, in parts of the greater side of what is stroked.
const STRAY: f64 = 1e-5;
/// The greater side to which a path is brought before it is stroked, for kurbo measures dashes to 1e-6.
const SIDE: f64 = 1000.0;

/// The outline of a path's stroke, and of strokes without a length, in the same space; none where it cannot be told.
///
/// # Errors
/// Where there are too many curves to stroke, or dashes.
pub fn outlined(
    path: &BezPath,
    dots: &[Point],
    style: &Style,
    budget: &mut Budget,
) -> Result<Option<BezPath>, InputError> {
    budget.stroked += path
        .elements()
        .iter()
        .map(|element| match element {
            PathEl::QuadTo(..) | PathEl::CurveTo(..) => CURVE,
            _ => 1,
        })
        .sum::<usize>();
    if budget.stroked > STROKED {
        return Err(too_much(
            say!("the drawing has too many strokes to outline"),
            say!("turn strokes into paths in your drawing program"),
        ));
    }
    let mut out = BezPath::new();
    if !path.is_empty() {
        let bounds = path.bounding_box();
        let side = bounds.width().max(bounds.height()).max(style.width);
        let factor = SIDE / side;
        let near = Affine::scale(factor) * Affine::translate(-bounds.origin().to_vec2());
        let mut pen = Stroke::new(style.width * factor)
            .with_join(style.join)
            .with_miter_limit(style.miter)
            .with_caps(style.cap);
        let placed = near * path;
        let sum: f64 = style.dashes.iter().sum();
        if sum > 0.0 {
            let length: f64 = placed.segments().map(|segment| segment.arclen(1e-3)).sum();
            #[expect(clippy::cast_precision_loss, reason = "a count of dashes")]
            let count = length / (sum * factor) * style.dashes.len() as f64;
            budget.dashes += count;
            // What is no number is too much, too.
            if budget.dashes.is_nan() || budget.dashes > DASHES {
                return Err(too_much(
                    say!("the drawing has too many dashes to outline"),
                    say!(
                        "make the dashes longer, or turn strokes into paths in your drawing program"
                    ),
                ));
            }
            pen = pen.with_dashes(
                style.offset * factor,
                style.dashes.iter().map(|dash| dash * factor),
            );
        }
        out = stroke(&placed, &pen, &StrokeOpts::default(), STRAY * SIDE);
        out.apply_affine(near.inverse());
    }
    let half = style.width / 2.0;
    for dot in dots {
        match style.cap {
            Cap::Butt => {}
            Cap::Round => out.extend(Circle::new(*dot, half).path_elements(1e-6 * half)),
            Cap::Square => {
                let square = Rect::from_center_size(*dot, (style.width, style.width));
                out.extend(square.path_elements(0.0));
            }
        }
    }
    let sound = |point: Vec2| point.x.is_finite() && point.y.is_finite();
    let whole = out
        .elements()
        .iter()
        .filter_map(PathEl::end_point)
        .all(|point| sound(point.to_vec2()));
    Ok(whole.then_some(out))
}
