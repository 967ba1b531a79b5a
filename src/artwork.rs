//! The drawing that is cut: read, measured, checked for the bench and joined.
//!
//! Coordinates are floats, for curves have no exact lengths: millimetres at the size in which the drawing
//! was made, y downwards, as SVG has it. Only what is told is exact again.

pub mod outline;
pub mod read;
pub mod write;
