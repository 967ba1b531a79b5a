//! The instances of `tests/data` that layouts are measured on, as the core's inputs in JSON: the core
//! and the module in a browser are asked the same.

use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};

/// Width and length, or the two sides of a piece.
pub type Size = (i32, i32);

/// Equal pieces on a sheet.
pub struct Sheet {
    /// Sheet and piece, to find it by.
    pub name: String,
    /// Where it comes from.
    pub family: String,
    /// The symbol of the unit of its lengths.
    pub unit: String,
    /// Width, length, margin and gap of the sheet, width and height of the piece.
    pub typed: [String; 6],
    /// The count that is proven to be the most possible, where a source states it.
    pub most: Option<u32>,
}

/// Pieces of several sizes on a roll whose best length is known.
pub struct Strip {
    /// As its source calls it.
    pub name: String,
    /// `C` for the literature's, `D` for our own.
    pub family: &'static str,
    /// Width of the roll, without unit.
    pub width: i32,
    /// Each piece: its size across and along the roll, in that unit.
    pub pieces: Vec<Size>,
    /// The least length that is known to be possible, in that unit.
    pub best: i32,
}

/// The rows of a file, those of words left out.
fn rows(file: &Path) -> Vec<Vec<String>> {
    let text = fs::read_to_string(file).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    lines
        .map(|line| line.split(',').map(|cell| cell.trim().to_owned()).collect())
        .collect()
}

/// The folder of the instances, below the project's.
fn data(project: &Path) -> PathBuf {
    project.join("tests/data")
}

/// The instances of the literature with those drawn at random, then our own.
pub fn sheets(project: &Path) -> Vec<Sheet> {
    let mut sheets = Vec::new();
    for row in rows(&data(project).join("pallet.csv")).iter().skip(1) {
        let note = row[7].split(['-', ';']).next().unwrap_or_default();
        // What is in thousandths of an inch counts as tenths of a millimetre here, what has no unit
        // as centimetres: only proportions matter.
        let text = |cell: &String| match cell.split_at_checked(cell.len() - 1) {
            Some((whole, tenths)) if note == "decal" => format!("{whole}.{tenths}"),
            _ => format!("{cell}0"),
        };
        let [length, width, h, w] = [&row[0], &row[1], &row[2], &row[3]].map(text);
        sheets.push(Sheet {
            name: row[..4].join(" "),
            family: note.to_owned(),
            unit: "mm".to_owned(),
            typed: [width, length, "0".into(), "0".into(), w, h],
            most: row[6].parse().ok(),
        });
    }
    for row in rows(&data(project).join("decal-sheets.csv")).iter().skip(1) {
        let unit = row[0].clone();
        let typed: [String; 6] = std::array::from_fn(|cell| row[cell + 1].clone());
        let [width, length, _, _, w, h] = &typed;
        sheets.push(Sheet {
            name: format!("{width} × {length} {unit}, {w} × {h}"),
            family: "our own".to_owned(),
            unit,
            typed,
            most: None,
        });
    }
    sheets
}

impl Sheet {
    /// The question of how many fit, for the core.
    pub fn input(&self, effort: &str) -> Value {
        let [width, length, margin, gap, w, h] = &self.typed;
        json!({
            "unit": self.unit,
            "sheet": { "width": width, "length": length },
            "margin": margin,
            "gap": gap,
            "pieces": [{ "width": w, "height": h }],
            "effort": effort,
        })
    }
}

/// The instances of the literature, then our own.
pub fn strips(project: &Path) -> Vec<Strip> {
    let mut strips = Vec::new();
    for (folder, family) in [("strip", "C"), ("strip/decal", "D")] {
        let folder = data(project).join(folder);
        let mut index = rows(&folder.join("index.csv")).split_off(1);
        index.sort_unstable();
        for row in index {
            let number = |cell: &String| cell.parse::<i32>().unwrap_or(0);
            let mut pieces = Vec::new();
            for row in rows(&folder.join(format!("{}.csv", row[0]))).iter().skip(2) {
                let size = (number(&row[0]), number(&row[1]));
                pieces.extend((0..number(&row[2])).map(|_| size));
            }
            strips.push(Strip {
                family,
                width: number(&row[2]),
                best: number(&row[6]),
                name: row[0].clone(),
                pieces,
            });
        }
    }
    strips
}

impl Strip {
    /// The order for the core: each unit of the instance is a millimetre, each piece a line of its own.
    pub fn job(&self, turn: bool) -> Value {
        let line = |(w, h): &Size| json!({ "width": w, "height": h, "turn": turn });
        json!({
            "unit": "mm",
            "films": [{ "name": "film", "width": self.width }],
            "lines": self.pieces.iter().map(line).collect::<Vec<_>>(),
            "effort": "thorough",
        })
    }
}
