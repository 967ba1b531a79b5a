//! Three answers about one piece of cut-film lettering, tied together: from how far it can be read,
//! how much film it takes, what it should cost.
//!
//! The rooms of the house, each named for a subject of the trade. A room knows only rooms that stand
//! above it in this list; `cargo xtask test` checks that.
//!
//! Everything above `api` is plain Rust without clock, chance or global state. One way leads
//! through: form -> input struct -> pure function -> report struct -> page, paper or JSON.

/// What is wrong with an input, and what would be right.
pub mod error;

/// Where the WebAssembly module takes its memory from.
#[cfg(target_arch = "wasm32")]
mod memory;

/// How the struct of an input is read from the members of an object.
mod input;

/// Lengths, areas, weights, times, dates and angles: exact inside, typed and printed as people write them.
pub mod measure;

/// Money: exact decimal amounts in a currency of ISO 4217, rounded once and by a named rule.
pub mod money;

/// A picture as data: elements that become nodes of a page or the text of an SVG file.
pub mod drawing;

/// The decal: the one thing that all answers are about.
pub mod decal;

/// From how far lettering can be read: published rules with their sources, and the eye's geometry.
pub mod legibility;

/// The rate card: prices for customers, and not one cost.
pub mod rate_card;

/// How much film it takes: layouts on sheets and rolls, and what is left.
pub mod material;

/// The drawing that is cut: read, measured, checked for the bench and joined.
#[cfg(feature = "artwork")]
pub mod artwork;

/// What a packed piece is for the post: letter, flat or parcel, by dated public rules.
pub mod post;

/// What it costs, what to ask for it, what a price leaves, and whether the design may be sold.
pub mod quote;

/// The shop book: the maker's private figures as a file, and what older files are brought over to.
pub mod book;

/// The functions of the WebAssembly module: one plain object in, one plain object out.
pub mod api;

/// What is reckoned on a thread of its own, in a module that a page loads only when it is asked for.
#[cfg(all(target_arch = "wasm32", feature = "desk"))]
mod desk;

/// What is read off a drawing, on a thread of its own, in another such module.
#[cfg(all(target_arch = "wasm32", feature = "light-table"))]
mod light_table;

/// What is made of the shop book for others, on a thread of its own, in another such module.
#[cfg(all(target_arch = "wasm32", feature = "counter"))]
mod counter;

/// What the customers' page asks, in a module that has nothing else.
#[cfg(all(target_arch = "wasm32", feature = "shop"))]
mod shop;

/// What the threads of their own call.
#[cfg(all(target_arch = "wasm32", feature = "aside"))]
mod aside;

/// The forms and answers of the page; computes nothing.
#[cfg(all(target_arch = "wasm32", feature = "page"))]
mod page;
