//! How much of a drawing is read: far more than a plotter cuts, and little enough that a page goes on answering.
//! All of them are rules of thumb.

/// Bytes of text.
pub const TEXT: usize = 8 << 20;
/// Signs that begin a tag, `<`: an element has two at most.
pub const MARKS: usize = 500_000;
/// Signs of equality: an attribute has one.
pub const VALUES: usize = 500_000;
/// Attributes of one element.
pub const ATTRIBUTES: usize = 200;
/// Bytes of the name of an attribute.
pub const NAME: usize = 200;
/// Prefixes of namespaces.
pub const PREFIXES: usize = 64;
/// Entities of the document type.
pub const ENTITIES: usize = 256;
/// Elements that are drawn, those that are used several times as often.
pub const ELEMENTS: usize = 200_000;
/// Elements within elements, what is used counted where it is used.
pub const DEPTH: usize = 256;
/// Lines and curves of all outlines.
pub const SEGMENTS: usize = 400_000;
/// Lines whose strokes are outlined; a curve takes as long as several.
pub const STROKED: usize = 120_000;
/// Lines that take as long as a curve when they are stroked.
pub const CURVE: usize = 4;
/// Dashes and gaps of all strokes.
pub const DASHES: f64 = 25_000.0;
/// Selectors of all style sheets.
pub const SELECTORS: usize = 10_000;
/// Simple selectors one behind the other in one selector.
pub const COMPOUNDS: usize = 16;
/// Steps of what is neither drawn nor counted otherwise: bytes of attributes, comparisons of selectors.
pub const STEPS: usize = 60_000_000;
/// The longest value of a property that is looked at: lists of dashes are the longest.
pub const VALUE: usize = 4096;
/// The coordinate that is farthest out, in millimetres.
pub const FAR: f64 = 1e7;
/// The greatest number that is taken from an attribute.
pub const HUGE: f64 = 1e15;
