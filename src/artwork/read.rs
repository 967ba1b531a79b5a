//! Reading a drawing: from the text of an SVG file to what a knife would follow.
//!
//! What is read is what SVG 1.1 and 2 would paint, without its effects: every shape with all transforms applied, in
//! millimetres at 96 pixels an inch. Scripts are never run, and nothing that a file names is ever fetched. What a file
//! may ask for is limited (`read/limits.rs`), so that a hostile one is an error at most.
//!
//! Sections are those of the Candidate Recommendation of SVG 2 of 2018, told from memory.
//!
//! What differs from a browser: clips, masks, filters and patterns leave a shape as it is drawn, a gradient is its
//! first colour that shows, and markers are not drawn; all of these are counted in [`Artwork::omitted`]. Nested
//! drawings are not cut off at their edges, `transform-box` is the view box, of languages English is chosen, and of `@`
//! rules only `@media all` and `screen` count.

mod known;
mod limits;
mod paint;
mod painted;
mod shapes;
mod sheets;
mod strokes;
mod tidy;
mod units;
mod walk;

use crate::artwork::outline::{Artwork, Kind, Omission};
use crate::error::{Code, InputError};
use kurbo::{Affine, Size};
use roxmltree::{Document, Node, ParsingOptions};
use say::say;
use units::{MM_PER_PX, ViewBox, fitted, pixels};

/// The field at which mistakes in a drawing are told.
const FIELD: &str = "svg";
/// The namespace of SVG.
const SVG: &str = "http://www.w3.org/2000/svg";
/// The size of something that names none, in pixels: CSS 2, 10.3.2.
const NO_SIZE: Size = Size::new(300.0, 150.0);

/// How a drawing is read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ReadOptions {
    /// Whether every stroke that can be seen becomes its outline, as [`Kind::Stroke`]. Otherwise strokes round what is
    /// filled are left out, and a line without a fill is itself what is cut, as [`Kind::Line`].
    pub strokes: bool,
}

/// What is left of what a drawing may ask for.
#[derive(Debug, Default)]
struct Budget {
    steps: usize,
    elements: usize,
    segments: usize,
    stroked: usize,
    dashes: f64,
}

impl Budget {
    /// Takes steps.
    fn spend(&mut self, steps: usize) -> Result<(), InputError> {
        self.steps = self.steps.saturating_add(steps);
        if self.steps > limits::STEPS {
            return Err(too_much(
                say!("the drawing takes too long to read"),
                say!("save it as plain SVG, with fewer copies and a simpler style sheet"),
            ));
        }
        Ok(())
    }

    /// Takes one element that is drawn.
    fn element(&mut self) -> Result<(), InputError> {
        self.elements += 1;
        if self.elements > limits::ELEMENTS {
            return Err(too_much(
                say!("the drawing has more than 200000 elements, copies counted"),
                say!("simplify it, or divide it"),
            ));
        }
        Ok(())
    }

    /// Takes one line or curve.
    fn segment(&mut self) -> Result<(), InputError> {
        self.segments += 1;
        if self.segments > limits::SEGMENTS {
            return Err(too_much(
                say!("the drawing has more than 400000 lines and curves"),
                say!("simplify its paths, or divide it"),
            ));
        }
        Ok(())
    }
}

fn too_much(message: &'static str, hint: &'static str) -> InputError {
    InputError::new(Code::TooLarge, message, hint)
}

fn too_far() -> InputError {
    too_much(
        say!("a coordinate is farther out than 10 km, or is no number"),
        say!("draw it in millimetres or pixels, near the origin"),
    )
}

fn not_svg(message: &'static str, hint: &'static str) -> InputError {
    InputError::new(Code::WrongType, message, hint)
}

/// An attribute that is in no namespace, as all of SVG are but one.
fn attribute<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    node.attributes()
        .find(|attribute| attribute.name() == name && attribute.namespace().is_none())
        .map(|attribute| attribute.value())
}

/// Reads the text of an SVG file.
///
/// A subpath that ends where it began, to within a millionth of the drawing's greater side, is closed even where it
/// does not say so; one that ends elsewhere stays open. Lines and quadratic curves stay what they are, arcs become
/// cubic curves that stray from them by a millionth of their radius. Path data with a mistake in it are drawn up to it
/// (SVG 2, 9.5.4).
///
/// # Errors
/// At the field `svg`, where the text is no SVG, is more than is read, or has nothing in it that can be cut.
///
/// # Examples
/// ```
/// use decal_reckoner::artwork::read::{ReadOptions, read};
///
/// let text = r##"<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 4 2">
///     <rect x="1" width="2" height="1" fill="#c00"/></svg>"##;
/// let art = read(text, &ReadOptions::default()).unwrap();
/// let bounds = art.bounds();
/// assert_eq!((bounds.x0.round(), bounds.width().round()), (10.0, 20.0));
/// ```
pub fn read(text: &str, options: &ReadOptions) -> Result<Artwork, InputError> {
    read_at(text, *options).map_err(|error| error.at(FIELD))
}

fn read_at(text: &str, options: ReadOptions) -> Result<Artwork, InputError> {
    let text = known::begun(text)?;
    known::bounded(text)?;
    let parsing = ParsingOptions {
        allow_dtd: true,
        nodes_limit: u32::MAX,
        entity_resolver: None,
    };
    let document =
        Document::parse_with_options(text, parsing).map_err(|error| malformed(&error))?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" || !matches!(root.tag_name().namespace(), None | Some(SVG)) {
        return Err(not_svg(
            say!("this is no SVG drawing: it seems to be another kind of XML"),
            say!("open it in a drawing program and export it as SVG"),
        ));
    }
    let texts = sheet_texts(&document);
    let mut sheets = sheets::Sheets::default();
    for text in &texts {
        sheets.add(text)?;
    }
    let page = Page::of(root)?;
    let mut walk = walk::Walk::new(&document, &sheets, options);
    walk.run(root, page.placed, page.viewport)?;
    let mut art = walk.finish();
    art.sized = page.sized;
    finish(&mut art, page.size);
    if art.shapes.is_empty() {
        return Err(nothing(&art));
    }
    Ok(art)
}

/// The texts of the style sheets of a document, without comments.
fn sheet_texts(document: &Document) -> Vec<String> {
    let namespace = document.root_element().tag_name().namespace();
    document
        .descendants()
        .filter(|node| {
            node.is_element()
                && node.tag_name().name() == "style"
                && node.tag_name().namespace() == namespace
                && matches!(attribute(*node, "type"), None | Some("" | "text/css"))
                && matches!(
                    attribute(*node, "media"),
                    None | Some("" | "all" | "screen")
                )
        })
        .map(|style| {
            let parts: Vec<&str> = style
                .children()
                .filter(Node::is_text)
                .filter_map(|child| child.text())
                .collect();
            sheets::without_comments(&parts.concat())
        })
        .collect()
}

/// The outermost element's size and what it makes of its coordinates.
struct Page {
    /// Its size in millimetres, where it names one or has a view box.
    size: Option<Size>,
    /// Whether its size is in a unit of length.
    sized: bool,
    /// From its units to pixels.
    placed: Affine,
    /// Its viewport in its units.
    viewport: Size,
}

impl Page {
    /// SVG 2, 8.12; a size in percent is none, since there is no page round the drawing.
    fn of(root: Node) -> Result<Self, InputError> {
        let side = |name: &str| {
            attribute(root, name)
                .and_then(units::parsed)
                .filter(|length| {
                    length.unit != svgtypes::LengthUnit::Percent && length.number >= 0.0
                })
        };
        let (width, height) = (side("width"), side("height"));
        let view = ViewBox::read(attribute(root, "viewBox"));
        let px = |length: svgtypes::Length| {
            length.number
                * match length.unit {
                    svgtypes::LengthUnit::Em => 16.0,
                    svgtypes::LengthUnit::Ex => 8.0,
                    unit => pixels(unit),
                }
        };
        let sized = [width, height].into_iter().flatten().any(|length| {
            use svgtypes::LengthUnit::{Cm, In, Mm, Pc, Pt};
            matches!(length.unit, Cm | In | Mm | Pc | Pt)
        });
        let empty =
            |length: Option<svgtypes::Length>| length.is_some_and(|length| length.number == 0.0);
        if empty(width) || empty(height) || matches!(view, ViewBox::Empty) {
            return Err(InputError::new(
                Code::Missing,
                say!(
                    "the page of the drawing has no width or no height, so that nothing in it shows"
                ),
                say!("give the page a size in your drawing program and save it again"),
            ));
        }
        let named = match (width.map(px), height.map(px), view) {
            (Some(width), Some(height), _) => Some(Size::new(width, height)),
            // The side that is not named follows from the shape of the view box: CSS 2, 10.3.2 and 10.6.2.
            (Some(width), None, ViewBox::Box(view)) => {
                Some(Size::new(width, width * view.height() / view.width()))
            }
            (None, Some(height), ViewBox::Box(view)) => {
                Some(Size::new(height * view.width() / view.height(), height))
            }
            (None, None, ViewBox::Box(view)) => Some(view.size()),
            (width, height, _) => width.or(height).map(|_| {
                Size::new(
                    width.unwrap_or(NO_SIZE.width),
                    height.unwrap_or(NO_SIZE.height),
                )
            }),
        };
        let extent = named.unwrap_or(NO_SIZE);
        let (placed, viewport) = match view {
            ViewBox::Box(view) => {
                let aspect = attribute(root, "preserveAspectRatio");
                (fitted(view, aspect, extent), view.size())
            }
            _ => (Affine::IDENTITY, extent),
        };
        Ok(Self {
            size: named.map(|size| size * MM_PER_PX),
            sized,
            placed,
            viewport,
        })
    }
}

/// Tidies the outlines, now that the drawing's size is known, and gives the page a size if it had none.
fn finish(art: &mut Artwork, page: Option<Size>) {
    let side = |art: &Artwork| {
        let bounds = art.bounds();
        bounds.width().max(bounds.height())
    };
    let greater = side(art);
    for shape in &mut art.shapes {
        shape.path = tidy::tidied(&shape.path, greater, shape.kind != Kind::Stroke);
    }
    art.shapes.retain(|shape| !shape.path.is_empty());
    art.page = page.unwrap_or_else(|| art.bounds().size());
}

/// Why there is nothing to cut.
fn nothing(art: &Artwork) -> InputError {
    let has = |what| art.omitted.iter().any(|omitted| omitted.what == what);
    let (message, hint) = if has(Omission::Text) {
        (
            say!("the drawing has only text, whose letters depend on the fonts of a device"),
            say!(
                "in your drawing program choose the lettering and turn it into paths or curves (often called object to \
                 path, create outlines or convert to curves)"
            ),
        )
    } else if has(Omission::Image) || has(Omission::External) {
        (
            say!("the drawing has only pictures made of pixels, or names other files"),
            say!(
                "trace the picture in your drawing program, and save the outlines without the picture"
            ),
        )
    } else if has(Omission::Hidden) {
        (
            say!(
                "nothing in the drawing shows: all of it is hidden, or without a fill and a stroke"
            ),
            say!("show what is to be cut and give it a fill"),
        )
    } else {
        (
            say!("the drawing has nothing in it that could be cut"),
            say!("draw shapes or turn lettering into paths, and save the drawing again"),
        )
    };
    InputError::new(Code::Missing, message, hint)
}

/// What is wrong with the XML, and where.
fn malformed(error: &roxmltree::Error) -> InputError {
    use roxmltree::Error as E;
    let hint =
        say!("save it again as SVG in your drawing program; if a person wrote it, mend it there");
    // A name may be as long as the file.
    let short = |name: &str| -> String { name.chars().take(40).collect() };
    let message = match error {
        E::UnclosedRootNode | E::UnexpectedEndOfStream | E::NoRootNode => {
            return InputError::new(
                Code::WrongType,
                say!("the file ends before its drawing does"),
                say!("it was cut short: save or copy it again"),
            );
        }
        E::UnexpectedCloseTag(open, close, _) => say!(
            "</{close}> ends what <{open}> began",
            close = short(close),
            open = short(open)
        ),
        E::UnknownEntityReference(name, _) => {
            say!(
                "the entity &{name}; is not defined in the file",
                name = short(name)
            )
        }
        E::UnknownNamespace(name, _) => {
            say!("the prefix {name}: is not declared", name = short(name))
        }
        E::DuplicatedAttribute(name, _) => {
            say!("the attribute {name} is given twice", name = short(name))
        }
        _ => say!("this is not written as XML must be").to_owned(),
    };
    placed(InputError::new(Code::WrongType, message, hint), error.pos())
}

/// The mistake with its place in the text.
fn placed(mut error: InputError, place: roxmltree::TextPos) -> InputError {
    error.message = say!(
        "{mistake} (line {line}, column {column})",
        mistake = error.message,
        line = place.row,
        column = place.col
    )
    .into();
    error
}
