//! What watches a long search and may end it.

/// Is told now and then how many steps a search has taken since it was told last, steps of a few
/// nanoseconds up to a few tens; ends the search with what is found by then by answering false, and
/// then has to go on answering so.
pub type Watch<'a> = dyn FnMut(u64) -> bool + 'a;
