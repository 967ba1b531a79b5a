//! One way to sort, for all lists of this room.
//!
//! The standard library's sort is made anew for every type and key that it is called with, some 3 KB of
//! the module each time; its heap, which sorts as well and takes about twice as long, is a tenth of that.

use std::collections::BinaryHeap;

/// Puts items in rising order of their keys; items of equal keys stay in the order they had.
pub(super) fn sort_by_key<T: Clone>(items: &mut [T], key: impl Fn(&T) -> (i128, i64)) {
    let keys = items.iter().map(key).enumerate();
    let keys: BinaryHeap<(i128, i64, usize)> = keys
        .map(|(place, (first, second))| (first, second, place))
        .collect();
    let sorted: Vec<T> = keys
        .into_sorted_vec()
        .into_iter()
        .filter_map(|(.., place)| items.get(place).cloned())
        .collect();
    for (place, item) in items.iter_mut().zip(sorted) {
        *place = item;
    }
}

#[cfg(test)]
mod tests {
    use super::sort_by_key;
    use proptest::prelude::*;

    proptest! {
        /// The standard library's stable sort.
        #[test]
        fn items_are_sorted_and_equal_ones_keep_their_order(
            mut items in prop::collection::vec((-3_i64..3, -3_i64..3, 0..9_u8), 0..40)
        ) {
            let mut known = items.clone();
            known.sort_by_key(|(first, second, _)| (*first, *second));
            sort_by_key(&mut items, |(first, second, _)| (i128::from(*first), *second));
            prop_assert_eq!(items, known);
        }
    }
}
