//! The drawing that is cut: read, measured, checked for the bench and joined.
//!
//! The way through: `read` makes shapes of a file, `join` makes contours of their outlines where they
//! overlap, `measures` tells what these measure, `width` how wide what stays and what goes is at its
//! narrowest, `outlines` what is wrong with the outlines as they were drawn. `told` says all of it at the
//! chosen size, `picture` shows it, `write` saves what is to be cut, `nest` lays it by its true
//! shape.
//!
//! Coordinates are floats, for curves have no exact lengths: millimetres at the size in which the drawing
//! was made, y downwards, as SVG has it. Only what is told is exact again.

mod boxes;
mod flat;
mod input;
pub mod join;
mod laid;
pub mod measures;
pub mod nest;
pub mod outline;
pub mod outlines;
mod picture;
pub mod read;
mod sorted;
mod told;
pub mod width;
pub mod write;

pub use input::{ArtworkInput, Colours, CutFileInput, LimitsInput, Lines};
pub use laid::{
    Borders, BordersInput, TrueShapeInput, TrueShapePlacement, TrueShapeReport, true_shape,
};
pub use told::{
    ArtworkReport, CheckReport, CutFileReport, FilmLayerReport, JoinedReport, LetterHeightReport,
    Prepared, cut_file, prepare, report,
};
