//! One way to sort, for all lists of this room: the standard library's sort is made anew for every type and
//! key that it is called with, some 2 KB of the module each time, compressed.

/// Puts items in rising order of two keys, the second one where the first ones are alike; items of equal keys
/// stay in the order they had. Numbers that are none come last.
pub(in crate::artwork) fn sort<T>(items: &mut Vec<T>, key: impl Fn(&T) -> [f64; 2]) {
    sort_by_bits(items, |item| key(item).map(ranked));
}

/// The same by keys that are whole numbers.
pub(in crate::artwork) fn sort_by_bits<T>(items: &mut Vec<T>, key: impl Fn(&T) -> [u64; 2]) {
    let order = order(items.iter().map(key).collect());
    let mut taken: Vec<Option<T>> = std::mem::take(items).into_iter().map(Some).collect();
    items.extend(order.into_iter().filter_map(|place| taken[place].take()));
}

/// The places of keys in rising order.
fn order(keys: Vec<[u64; 2]>) -> Vec<usize> {
    let mut keys: Vec<([u64; 2], usize)> = keys.into_iter().zip(0..).collect();
    keys.sort_unstable();
    keys.into_iter().map(|(_, place)| place).collect()
}

/// A whole number that rises as a float does (IEEE 754, total order).
const fn ranked(value: f64) -> u64 {
    let bits = value.to_bits();
    if bits >> 63 == 0 {
        bits | 1 << 63
    } else {
        !bits
    }
}

#[cfg(test)]
mod tests {
    use super::sort;
    use proptest::prelude::*;

    proptest! {
        /// The standard library's stable sort.
        #[test]
        fn items_are_sorted_and_equal_ones_keep_their_order(
            mut items in prop::collection::vec((prop_oneof![-3.0..3.0_f64, Just(0.0), Just(-0.5), any::<f64>()], 0..3_u8, any::<u8>()), 0..60)
        ) {
            let mut known = items.clone();
            known.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            sort(&mut items, |(first, second, _)| [*first, f64::from(*second)]);
            let bits = |items: &[(f64, u8, u8)]| items.iter().map(|item| (item.0.to_bits(), item.1, item.2)).collect::<Vec<_>>();
            prop_assert_eq!(bits(&items), bits(&known));
        }
    }
}
