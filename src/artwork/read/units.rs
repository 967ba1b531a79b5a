//! Lengths, numbers, transforms and view boxes.

use super::limits::HUGE;
use kurbo::{Affine, Rect, Size, Vec2};
use svgtypes::{Align, AspectRatio, Length, LengthListParser, LengthUnit, NumberListParser};

/// Pixels of CSS an inch, by CSS Values and Units 3, 6.2.
const PX_PER_INCH: f64 = 96.0;
/// Millimetres a pixel of CSS.
pub const MM_PER_PX: f64 = 25.4 / PX_PER_INCH;

/// Against what lengths are measured that depend on something.
#[derive(Clone, Copy, Debug)]
pub struct Scale {
    /// The viewport, in the units of the element.
    pub viewport: Size,
    /// The size of type, in the same.
    pub font: f64,
}

/// What a percentage is a part of, by SVG 2, 8.9.
#[derive(Clone, Copy, Debug)]
pub enum Along {
    /// The width of the viewport.
    X,
    /// Its height.
    Y,
    /// Its diagonal, over the root of two.
    Other,
}

impl Scale {
    /// A length in units of the user; none where the text is no length.
    pub fn length(&self, text: &str, along: Along) -> Option<f64> {
        self.of(parsed(text)?, along)
    }

    /// A length that was read, in units of the user.
    pub fn of(&self, length: Length, along: Along) -> Option<f64> {
        let Size { width, height } = self.viewport;
        let unit = match length.unit {
            LengthUnit::Percent => {
                let whole = match along {
                    Along::X => width,
                    Along::Y => height,
                    Along::Other => f64::midpoint(width * width, height * height).sqrt(),
                };
                whole / 100.0
            }
            LengthUnit::Em => self.font,
            // Half an em where the height of an x is not known: CSS Values and Units 3, 5.1.1.
            LengthUnit::Ex => self.font / 2.0,
            unit => pixels(unit),
        };
        tame(length.number * unit)
    }
}

/// A length with its unit, whatever the case of that.
pub fn parsed(text: &str) -> Option<Length> {
    text.trim_ascii()
        .to_ascii_lowercase()
        .parse()
        .ok()
        .filter(|length: &Length| length.number.abs() <= HUGE)
}

/// Pixels of a unit of length, by CSS Values and Units 3, 6.2; 1 for those that are none.
pub const fn pixels(unit: LengthUnit) -> f64 {
    match unit {
        LengthUnit::In => PX_PER_INCH,
        LengthUnit::Cm => PX_PER_INCH / 2.54,
        LengthUnit::Mm => PX_PER_INCH / 25.4,
        LengthUnit::Pt => PX_PER_INCH / 72.0,
        LengthUnit::Pc => PX_PER_INCH / 6.0,
        _ => 1.0,
    }
}

/// A number or a percentage as a part of one.
pub fn part(text: &str) -> Option<f64> {
    let length = parsed(text)?;
    match length.unit {
        LengthUnit::None => Some(length.number),
        LengthUnit::Percent => Some(length.number / 100.0),
        _ => None,
    }
}

/// The number, unless it is too great to reckon with.
pub fn tame(number: f64) -> Option<f64> {
    (number.abs() <= HUGE).then_some(number)
}

/// A view box, by SVG 2, 8.6.
#[derive(Clone, Copy, Debug)]
pub enum ViewBox {
    /// None, or one with a mistake, which counts for none.
    Absent,
    /// One without a width or a height: nothing in it is drawn.
    Empty,
    /// A rectangle with an area.
    Box(Rect),
}

impl ViewBox {
    /// Reads the attribute.
    pub fn read(text: Option<&str>) -> Self {
        let mut numbers = [0.0; 4];
        let mut list = NumberListParser::from(text.unwrap_or_default());
        for number in &mut numbers {
            match list.next() {
                Some(Ok(read)) if read.abs() <= HUGE => *number = read,
                _ => return Self::Absent,
            }
        }
        let [x, y, width, height] = numbers;
        if list.next().is_some() || width < 0.0 || height < 0.0 {
            Self::Absent
        } else if width == 0.0 || height == 0.0 {
            Self::Empty
        } else {
            Self::Box(Rect::new(x, y, x + width, y + height))
        }
    }
}

/// How a view box is laid into a viewport, by SVG 2, 8.2, 8.6 and 8.7.
pub fn fitted(view: Rect, aspect: Option<&str>, into: Size) -> Affine {
    let aspect: AspectRatio = aspect
        .and_then(|text| text.parse().ok())
        .unwrap_or_default();
    let each = Vec2::new(into.width / view.width(), into.height / view.height());
    let scale = if aspect.align == Align::None {
        each
    } else if aspect.slice {
        Vec2::new(each.x.max(each.y), each.x.max(each.y))
    } else {
        Vec2::new(each.x.min(each.y), each.x.min(each.y))
    };
    let spare = Vec2::new(
        into.width - view.width() * scale.x,
        into.height - view.height() * scale.y,
    );
    let (right, down) = match aspect.align {
        Align::None | Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    };
    Affine::translate((spare.x * right, spare.y * down))
        * Affine::scale_non_uniform(scale.x, scale.y)
        * Affine::translate((-view.x0, -view.y0))
}

/// A list of transforms, as the attribute has it (SVG 2, 8.5) or the property (CSS Transforms 1, 8 and 9): all that
/// stays in the plane. None where something in it is not understood, as the whole of it does not count then.
pub fn transform(text: &str, scale: &Scale) -> Option<Affine> {
    let mut all = Affine::IDENTITY;
    let mut rest = text.trim_ascii();
    if rest == "none" {
        return Some(all);
    }
    while !rest.is_empty() {
        let (name, behind) = rest.split_once('(')?;
        let (list, behind) = behind.split_once(')')?;
        let name = name.trim_ascii();
        let (values, count) = arguments(name, list, scale)?;
        all *= function(name, &values, count)?;
        rest = behind.trim_ascii_start();
        rest = rest.strip_prefix(',').unwrap_or(rest).trim_ascii_start();
    }
    all.as_coeffs()
        .iter()
        .all(|number| number.abs() <= HUGE)
        .then_some(all)
}

fn function(name: &str, values: &[f64; 6], count: usize) -> Option<Affine> {
    let [a, b, c, ..] = *values;
    let turned = |degrees: f64| Affine::rotate(degrees.to_radians());
    Some(match (name, count) {
        ("matrix", 6) => Affine::new(*values),
        ("translate", 1 | 2) => Affine::translate((a, b)),
        ("translateX", 1) => Affine::translate((a, 0.0)),
        ("translateY", 1) => Affine::translate((0.0, a)),
        ("scale", 1) => Affine::scale(a),
        ("scale", 2) => Affine::scale_non_uniform(a, b),
        ("scaleX", 1) => Affine::scale_non_uniform(a, 1.0),
        ("scaleY", 1) => Affine::scale_non_uniform(1.0, a),
        ("rotate", 1) => turned(a),
        ("rotate", 3) => Affine::translate((b, c)) * turned(a) * Affine::translate((-b, -c)),
        ("skewX" | "skew", 1) => Affine::skew(a.to_radians().tan(), 0.0),
        ("skewY", 1) => Affine::skew(0.0, a.to_radians().tan()),
        ("skew", 2) => Affine::skew(a.to_radians().tan(), b.to_radians().tan()),
        _ => return None,
    })
}

/// The arguments of a function and how many they are: lengths in units of the user, numbers, angles in degrees.
fn arguments(name: &str, list: &str, scale: &Scale) -> Option<([f64; 6], usize)> {
    let mut values = [0.0; 6];
    let list = list.trim_ascii();
    // Only angles may have a unit that is none of length; then there is one of them.
    for (unit, degrees) in [
        ("deg", 1.0),
        ("grad", 0.9),
        ("rad", 180.0 / std::f64::consts::PI),
        ("turn", 360.0),
    ] {
        if let Some(number) = list.strip_suffix(unit) {
            values[0] = parsed(number)?.number * degrees;
            return Some((values, 1));
        }
    }
    let mut count = 0;
    for length in LengthListParser::from(list) {
        let length = length.ok()?;
        let along = if count == 0 && !name.ends_with('Y') {
            Along::X
        } else {
            Along::Y
        };
        *values.get_mut(count)? = if name.starts_with("scale") && length.unit == LengthUnit::Percent
        {
            length.number / 100.0
        } else {
            scale.of(length, along)?
        };
        count += 1;
    }
    Some((values, count))
}

/// The point that stays in place, from the property `transform-origin` of CSS Transforms 1, 6, in the view box.
pub fn origin(text: &str, scale: &Scale) -> Vec2 {
    let mut point = Vec2::ZERO;
    let (mut across, mut down) = (None, None);
    for word in text.split_ascii_whitespace().take(2) {
        match word {
            "left" => across = Some(0.0),
            "right" => across = Some(scale.viewport.width),
            "top" => down = Some(0.0),
            "bottom" => down = Some(scale.viewport.height),
            "center" if across.is_none() => across = Some(scale.viewport.width / 2.0),
            "center" => down = Some(scale.viewport.height / 2.0),
            length if across.is_none() => across = scale.length(length, Along::X),
            length => down = scale.length(length, Along::Y),
        }
    }
    point.x = across.unwrap_or(scale.viewport.width / 2.0);
    point.y = down.unwrap_or(scale.viewport.height / 2.0);
    point
}
