//! The built site in a real browser.
//!
//! All of it is one program: it is linked once, and both browsers that run at a time are busy to the end.

#[path = "../../../rate_cards/card.rs"]
mod card;

mod artwork;
mod bears;
mod book;
mod copying;
mod faults;
mod faults_parts;
mod languages;
mod law;
mod maker;
mod moving;
mod offline;
mod order;
mod package;
mod page;
mod papers;
mod publishing;
mod reach;
mod readable;
mod security;
mod shop;
mod shop_hostile;
mod sight;
mod stopwatch;
mod story;
