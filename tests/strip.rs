//! The rolls of several sizes that layouts are measured on: each can be cut without waste, as said.

use std::fs;
use std::path::Path;

/// The rows of a file of numbers below `tests/data/strip`, a name in front of each or not.
fn rows(file: &str) -> Vec<Vec<String>> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/strip")
        .join(file);
    let text = fs::read_to_string(file).unwrap();
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    lines
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect()
}

fn numbers(row: &[String]) -> Vec<u32> {
    row.iter().map(|cell| cell.parse().unwrap()).collect()
}

/// Width of the roll and each piece of an instance, one by one, in order.
fn instance(file: &str) -> (u32, Vec<[u32; 2]>) {
    let rows = rows(file);
    assert_eq!(rows[0][0], "width", "{file}");
    assert_eq!(rows[1], ["w", "h", "qty"], "{file}");
    let width = rows[0][1].parse().unwrap();
    let mut pieces = Vec::new();
    for row in &rows[2..] {
        let [w, h, quantity] = numbers(row)[..] else {
            panic!("{file}: {row:?}");
        };
        pieces.extend((0..quantity).map(|_| [w, h]));
    }
    pieces.sort_unstable();
    (width, pieces)
}

/// Width of the roll, number of pieces and best length of each instance of an index.
fn index(file: &str) -> Vec<(String, [u32; 3])> {
    let rows = rows(file).into_iter().skip(1);
    rows.map(|row| {
        let number = |cell: usize| row[cell].parse().unwrap();
        (row[0].clone(), [number(2), number(3), number(6)])
    })
    .collect()
}

/// The pieces fill the stated length, so that none of whole numbers is shorter. The published `C7_3`
/// lacks 50 of its 38 400 squares.
#[test]
fn every_roll_is_full_at_its_best_length() {
    for (folder, count) in [("", 21), ("decal/", 12)] {
        let index = index(&format!("{folder}index.csv"));
        assert_eq!(index.len(), count);
        for (name, [width, items, length]) in index {
            let (stated, pieces) = instance(&format!("{folder}{name}.csv"));
            assert_eq!((stated, pieces.len()), (width, items as usize), "{name}");
            let area: u32 = pieces.iter().map(|[w, h]| w * h).sum();
            let full = width * (length - 1) + 1..=width * length;
            assert!(full.contains(&area), "{name}: {area}");
        }
    }
}

/// The cuts of our own cases give their pieces, side by side and one behind the other.
#[test]
fn our_own_rolls_can_be_cut_as_said() {
    let layouts = rows("decal-layouts.csv");
    for (name, [width, _, length]) in index("decal/index.csv") {
        let mut taken = vec![false; (width * length) as usize];
        let mut cut = Vec::new();
        for row in layouts.iter().filter(|row| row[0] == name) {
            let [left, top, columns, rows, w, h] = numbers(&row[1..])[..] else {
                panic!("{row:?}");
            };
            assert!(
                left + columns * w <= width && top + rows * h <= length,
                "{row:?}"
            );
            for y in top..top + rows * h {
                for x in left..left + columns * w {
                    let square = &mut taken[(y * width + x) as usize];
                    assert!(!*square, "{name}: two pieces at {x}, {y}");
                    *square = true;
                }
            }
            cut.extend((0..columns * rows).map(|_| [w, h]));
        }
        assert!(!taken.contains(&false), "{name}");
        cut.sort_unstable();
        assert_eq!(cut, instance(&format!("decal/{name}.csv")).1, "{name}");
    }
}
