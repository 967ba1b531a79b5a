//! The functions of the WebAssembly module: one plain object in, one plain object out.
//!
//! Each export reads its input, calls one function of the core and writes the report. Fields that
//! nobody knows are refused; a mistake is thrown as an `Error` with `code`, `field`, `message`, `hint`,
//! and with `errors`, all mistakes of the input.

#[cfg(all(target_arch = "wasm32", feature = "exports"))]
mod exports;
#[cfg(not(target_arch = "wasm32"))]
mod json;
#[cfg(all(target_arch = "wasm32", any(feature = "page", feature = "aside")))]
pub(crate) mod members;
#[cfg(target_arch = "wasm32")]
mod object;
#[cfg(target_arch = "wasm32")]
mod plain;
mod reader;
#[cfg(all(target_arch = "wasm32", feature = "aside"))]
pub(crate) mod tell;
#[cfg(target_arch = "wasm32")]
mod writer;

#[cfg(all(target_arch = "wasm32", feature = "exports"))]
pub use exports::{
    at_arms_length, cut_file, drawing_time, legibility_at_distance, licences_export,
    material_yield, measure_artwork, moving_viewer, payback_export, plan_job, postage,
    quote_export, size_steps, supply_list, supply_packs, true_shape_yield,
};
#[cfg(not(target_arch = "wasm32"))]
pub use json::decode;
#[cfg(all(target_arch = "wasm32", any(feature = "page", feature = "aside")))]
pub(crate) use plain::{read, write};
#[cfg(all(target_arch = "wasm32", feature = "page"))]
pub(crate) use writer::Never;
