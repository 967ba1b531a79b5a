//! Whole orders: what comes back over the wire against a checker of its own, brute force, orders cut
//! from full rectangles without waste, worked examples and laws; their film cost in exact fractions by
//! another library; their cut lists read by another reader.

use decal_reckoner::api::decode;
use decal_reckoner::error::{Code, InputErrors};
use decal_reckoner::material::{JobInput, JobPlan, JobReport, LineInput, record};
use decal_reckoner::measure::{Length, Unit};
use decal_reckoner::quote::{JobQuote, JobQuoteInput, JobQuoteReport};
use num_bigint::BigInt;
use num_rational::BigRational;
use proptest::prelude::*;
use serde_json::{Value, json};

fn input(value: &Value) -> JobInput {
    decode(&value.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"))
}

fn plan(value: &Value) -> JobPlan {
    JobPlan::new(&input(value)).unwrap_or_else(|errors| panic!("{errors:?}"))
}

/// The report when the search is at its end.
fn searched(value: &Value) -> JobReport {
    let mut plan = plan(value);
    while !plan.is_done() {
        plan.search(&mut |_| true);
    }
    plan.report()
}

/// The first report.
fn planned(value: &Value) -> JobReport {
    plan(value).report()
}

fn refused(value: &Value) -> InputErrors {
    JobPlan::new(&input(value)).expect_err("this order has a mistake")
}

/// A text as it may be typed, in nanometres.
fn typed(text: &str, unit: Unit) -> i64 {
    let length = Length::parse(text, unit);
    length
        .unwrap_or_else(|error| panic!("{text}: {error:?}"))
        .nm()
}

/// The order as it is meant, in nanometres: what reports are checked against.
#[derive(Clone, Debug)]
struct Truth {
    unit: Unit,
    margin: i64,
    gap: i64,
    cut_step: i64,
    keep: i64,
    films: Vec<Film>,
    /// Film, width, length.
    remnants: Vec<(usize, i64, i64)>,
    lines: Vec<Line>,
    /// So many of the lines stand in the list, the last ones.
    listed: usize,
    /// Whether straight cuts are asked for.
    straight: bool,
}

#[derive(Clone, Debug)]
struct Film {
    name: String,
    width: i64,
    /// None for a roll.
    length: Option<i64>,
    patterned: bool,
}

#[derive(Clone, Debug)]
struct Line {
    width: i64,
    height: i64,
    quantity: u32,
    turn: bool,
    film: usize,
}

/// A piece of film that is left: its film, width and length.
type Rest = (String, i64, i64);

/// Width and length, and whether it may be turned.
type Piece = (i64, i64, bool);

const IN: i64 = 25_400_000;
const MM: i64 = 1_000_000;

/// What is thinner is no piece of film but a strip to throw away: common practice, no source.
const SLIVER: i64 = 10 * MM;

impl Truth {
    /// Inches, no margin, no gap, no film yet.
    fn inches() -> Self {
        Self {
            unit: Unit::In,
            margin: 0,
            gap: 0,
            cut_step: IN / 8,
            keep: 3 * IN,
            films: Vec::new(),
            remnants: Vec::new(),
            lines: Vec::new(),
            listed: 0,
            straight: false,
        }
    }

    fn film(mut self, width: i64, length: Option<i64>) -> Self {
        self.films.push(Film {
            name: format!("film {}", self.films.len()),
            width,
            length,
            patterned: false,
        });
        self
    }

    fn line(mut self, width: i64, height: i64, quantity: u32) -> Self {
        self.lines.push(Line {
            width,
            height,
            quantity,
            turn: true,
            film: 0,
        });
        self
    }

    fn length(&self, nm: i64) -> String {
        let unit = self.unit;
        format!("{} {}", Length::from_nm(nm).exact(unit), unit.symbol())
    }

    fn value(&self) -> Value {
        let length = |nm: i64| self.length(nm);
        let films = self.films.iter().map(|film| {
            let mut value = json!({
                "name": film.name, "width": length(film.width), "patterned": film.patterned,
            });
            if let Some(nm) = film.length {
                value["length"] = length(nm).into();
            }
            value
        });
        let remnants = self.remnants.iter().map(|(film, width, along)| {
            json!({ "film": self.films[*film].name, "width": length(*width), "length": length(*along) })
        });
        let given = self.lines.len() - self.listed;
        let lines = self.lines[..given].iter().map(|line| {
            json!({
                "name": "as it is", "width": length(line.width), "height": length(line.height),
                "quantity": line.quantity, "turn": line.turn, "film": self.films[line.film].name,
            })
        });
        let mut list = csv::Writer::from_writer(Vec::new());
        list.write_record(["film", "width", "height", "qty", "turn"])
            .unwrap();
        for line in &self.lines[given..] {
            list.write_record([
                self.films[line.film].name.as_str(),
                &length(line.width),
                &length(line.height),
                &line.quantity.to_string(),
                if line.turn { "yes" } else { "no" },
            ])
            .unwrap();
        }
        let list = String::from_utf8(list.into_inner().unwrap()).unwrap();
        json!({
            "unit": self.unit.symbol(),
            "margin": length(self.margin), "gap": length(self.gap),
            "cutStep": length(self.cut_step), "keep": length(self.keep),
            "films": films.collect::<Vec<_>>(), "remnants": remnants.collect::<Vec<_>>(),
            "lines": lines.collect::<Vec<_>>(), "list": list,
            "cuts": if self.straight { "straight" } else { "any" },
        })
    }

    /// A length of the wire in nanometres: its number, which its text may round to what is shown.
    fn measured(&self, value: &Value) -> i64 {
        let number = value["value"].as_f64().unwrap();
        let nm = nanometres(number, self.unit);
        if nm > Length::MAX.nm() {
            // No field takes so much, and no text is read as it.
            return nm;
        }
        let shown = typed(value["text"].as_str().unwrap(), self.unit);
        let place = if self.unit.is_imperial() {
            IN / 1000
        } else {
            MM / 10
        };
        assert!(
            2 * (nm - shown).abs() <= place,
            "{value} in {:?}",
            self.unit
        );
        nm
    }

    /// Checks a report as it goes over the wire.
    fn check(&self, report: &JobReport) {
        let wire = serde_json::to_value(report).unwrap();
        assert_eq!(wire["unit"], self.unit.symbol());
        let all: u32 = self.lines.iter().map(|line| line.quantity).sum();
        assert_eq!(wire["pieces"], all);
        assert_eq!(wire["bad"], json!([]));
        self.check_lines(&wire);
        let mut cut = vec![0_u32; self.lines.len()];
        let mut remnants = vec![0_u32; self.remnants.len()];
        let mut kept = Vec::new();
        let used = (0..self.films.len()).filter(|film| self.lines.iter().any(|l| l.film == *film));
        let used: Vec<usize> = used.collect();
        assert_eq!(items(&wire["films"]).len(), used.len());
        for (told, film) in items(&wire["films"]).iter().zip(used) {
            self.check_film(told, film, (&mut cut, &mut remnants, &mut kept));
        }
        let wanted: Vec<u32> = self.lines.iter().map(|line| line.quantity).collect();
        assert_eq!(cut, wanted, "pieces of each line");
        assert!(remnants.iter().all(|times| *times <= 1), "{remnants:?}");
        for ((film, width, length), times) in self.remnants.iter().zip(remnants) {
            if times == 0 {
                kept.push((self.films[*film].name.clone(), *width, *length));
            }
        }
        let after = items(&wire["remnantsAfter"]).iter();
        let mut after: Vec<_> = after.map(|left| self.remnant(left)).collect();
        after.sort_unstable();
        kept.sort_unstable();
        assert_eq!(after, kept, "remnants on the shelf afterwards");
    }

    fn check_lines(&self, wire: &Value) {
        let lines = items(&wire["lines"]);
        assert_eq!(lines.len(), self.lines.len());
        let given = self.lines.len() - self.listed;
        for (index, (told, line)) in lines.iter().zip(&self.lines).enumerate() {
            assert_eq!(told["quantity"], line.quantity);
            assert_eq!(told["film"], self.films[line.film].name);
            // The first line of the list names the columns.
            let at = index.checked_sub(given).map(|listed| listed + 2);
            assert_eq!(told["line"], json!(at));
        }
    }

    fn remnant(&self, left: &Value) -> Rest {
        let side = |name: &str| typed(left[name].as_str().unwrap(), self.unit);
        let (width, length) = (side("width"), side("length"));
        assert_eq!(left["keep"], width.min(length) >= self.keep);
        (left["film"].as_str().unwrap().to_owned(), width, length)
    }

    fn check_film(
        &self,
        told: &Value,
        place: usize,
        (cut, remnants, kept): (&mut [u32], &mut [u32], &mut Vec<Rest>),
    ) {
        let film = &self.films[place];
        assert_eq!(told["index"], place);
        assert_eq!(told["film"], film.name);
        let kind = if film.length.is_some() {
            "sheet"
        } else {
            "roll"
        };
        assert_eq!(told["stock"], kind);
        let mut pieces = 0;
        let (mut sheets, mut lengths) = (0, Vec::new());
        let (mut taken, mut decals) = (0_i128, 0_i128);
        for layout in items(&told["layouts"]) {
            let copies = whole(&layout["copies"]);
            let (width, length) = match layout["remnant"].as_u64() {
                Some(remnant) => {
                    let remnant = usize::try_from(remnant).unwrap();
                    remnants[remnant] += copies;
                    let (of, width, length) = self.remnants[remnant];
                    assert_eq!(of, place, "a remnant of another film");
                    assert!(lengths.is_empty() && sheets == 0, "remnants come first");
                    (width, Some(length))
                }
                None => (film.width, film.length),
            };
            let placed = self.check_layout(layout, (place, width, length), cut);
            pieces += copies * whole(&layout["count"]);
            let needed = self.measured(&layout["length"]);
            let cut_length = self.measured(&layout["cutLength"]);
            assert!(cut_length >= needed);
            assert!(
                Some(cut_length) == length
                    || cut_length % self.cut_step == 0
                        && length.is_none_or(|length| cut_length < length),
                "cut at {cut_length}"
            );
            if layout["remnant"].is_null() {
                sheets += copies;
                lengths.push((needed, cut_length));
            }
            let left = self.check_left(layout, &film.name, (width, length, cut_length), &placed);
            let left = left.into_iter().filter(|(_, w, l)| w.min(l) >= &self.keep);
            let left: Vec<_> = left.collect();
            let whole_area = area(width, length.unwrap_or(cut_length));
            let kept_area: i128 = left.iter().map(|(_, w, l)| area(*w, *l)).sum();
            taken += (whole_area - kept_area) * i128::from(copies);
            let on_it: i128 = placed.iter().map(|[_, _, w, l]| area(*w, *l)).sum();
            decals += on_it * i128::from(copies);
            for _ in 0..copies {
                kept.extend(left.iter().cloned());
            }
        }
        assert_eq!(told["pieces"], pieces);
        let waste = told["waste"].as_f64().unwrap();
        let share = 1.0 - ratio(decals, taken);
        assert!(
            (waste - share).abs() < 1e-9 && (0.0..1.0).contains(&waste),
            "{waste}"
        );
        if film.length.is_some() {
            assert_eq!(told["sheets"], sheets);
            assert!(told["length"].is_null() && told["cutLength"].is_null());
            let bound = whole(&told["sheetsBound"]);
            assert!(
                bound <= sheets,
                "{bound} sheets are said to be needed of {sheets}"
            );
            assert_eq!(told["proven"], bound == sheets);
            let lengths: Vec<i64> = lengths.iter().map(|(needed, _)| *needed).collect();
            assert!(lengths.is_sorted_by(|one, next| one >= next), "{lengths:?}");
        } else {
            assert!(told["sheets"].is_null() && lengths.len() <= 1);
            let (needed, cut_length) = lengths.first().copied().unwrap_or_default();
            assert_eq!(self.measured(&told["length"]), needed);
            assert_eq!(self.measured(&told["cutLength"]), cut_length);
            let bound = self.measured(&told["lengthBound"]);
            assert!(bound <= needed, "{bound} is said to be needed of {needed}");
            assert_eq!(told["proven"], bound == needed);
        }
    }

    /// The pieces of a layout as x, y, width and height; they are counted to their lines.
    fn check_layout(
        &self,
        layout: &Value,
        (film, width, length): (usize, i64, Option<i64>),
        cut: &mut [u32],
    ) -> Vec<[i64; 4]> {
        let placements = items(&layout["placements"]);
        assert_eq!(layout["count"], placements.len());
        let mut placed = Vec::new();
        for (number, placement) in (1..).zip(placements) {
            assert_eq!(placement["number"], number);
            let line = usize::try_from(placement["line"].as_u64().unwrap()).unwrap();
            cut[line] += whole(&layout["copies"]);
            let line = &self.lines[line];
            assert_eq!(line.film, film, "a piece of another film");
            let [x, y, w, h] = ["x", "y", "width", "height"].map(|n| self.measured(&placement[n]));
            let turned = placement["turned"].as_bool().unwrap();
            assert!(!turned || line.turn && !self.films[film].patterned);
            let lies = if turned {
                (line.height, line.width)
            } else {
                (line.width, line.height)
            };
            assert_eq!((w, h), lies);
            assert!(x >= self.margin && y >= self.margin);
            assert!(x + w <= width - self.margin);
            assert!(length.is_none_or(|length| y + h <= length - self.margin));
            placed.push([x, y, w, h]);
        }
        for (index, one) in placed.iter().enumerate() {
            for other in &placed[..index] {
                let apart = |at: usize| {
                    one[at] + one[at + 2] + self.gap <= other[at]
                        || other[at] + other[at + 2] + self.gap <= one[at]
                };
                assert!(apart(0) || apart(1), "{one:?} and {other:?}");
            }
        }
        assert!(placed.is_sorted_by_key(|[x, y, _, _]| (*y, *x)));
        let followed = !items(&layout["cutSteps"]).is_empty();
        assert!(!followed || self.straight);
        assert!(!self.straight || straight(&placed), "{placed:?}");
        let end = placed.iter().map(|[_, y, _, h]| y + h).max().unwrap();
        assert_eq!(self.measured(&layout["length"]), end + self.margin);
        placed
    }

    /// What is left of a layout: there is a way to cut it that spares the pieces and their margin, and
    /// with the part that they take it is all that was there, but for strips to throw away.
    fn check_left(
        &self,
        layout: &Value,
        film: &str,
        (width, length, cut): (i64, Option<i64>, i64),
        placed: &[[i64; 4]],
    ) -> Vec<Rest> {
        let left: Vec<_> = items(&layout["left"])
            .iter()
            .map(|l| self.remnant(l))
            .collect();
        let end = length.unwrap_or(cut);
        let ends = placed.iter().map(|[x, _, w, _]| x + w);
        let side = ends.max().unwrap() + self.margin;
        let side = up(side, self.cut_step).min(width);
        // Behind the pieces, or beside them.
        let candidates = |(_, w, l): &Rest| [[0, end - l, *w, *l], [width - w, 0, *w, *l]];
        let spares = |rect: &[i64; 4]| {
            let whole = rect[2] >= SLIVER && rect[3] >= SLIVER;
            let inside = rect[0] >= 0
                && rect[1] >= 0
                && rect[0] + rect[2] <= width
                && rect[1] + rect[3] <= end;
            let clear = placed.iter().all(|[x, y, w, h]| {
                let margin = self.margin;
                !overlap(
                    rect,
                    &[x - margin, y - margin, w + 2 * margin, h + 2 * margin],
                )
            });
            whole && inside && clear
        };
        let ways: Vec<Vec<[i64; 4]>> = left
            .iter()
            .map(|left| candidates(left).into_iter().filter(spares).collect())
            .collect();
        let possible = match &ways[..] {
            [] => true,
            [one] => !one.is_empty(),
            [one, other] => one.iter().any(|a| other.iter().any(|b| !overlap(a, b))),
            _ => false,
        };
        assert!(possible, "{left:?} of {width} by {end} beside {placed:?}");
        assert!(left.iter().all(|(name, _, _)| name == film));
        let (beside, behind) = (width - side, end - cut);
        let sum: i128 = left.iter().map(|(_, w, l)| area(*w, *l)).sum();
        let rest = area(width, end) - area(side, cut);
        let thin = |size: &i64| (1..SLIVER).contains(size);
        assert!(sum <= rest);
        if ![beside, behind, side, cut].iter().any(thin) {
            assert_eq!(
                sum, rest,
                "{left:?} of {width} by {end}, of which {side} by {cut} are taken"
            );
        }
        // The larger of the two is the largest rectangle that can be cut off in one piece.
        let largest = [(width, behind), (beside, end)]
            .map(|(w, l)| if w.min(l) < SLIVER { 0 } else { area(w, l) });
        let [across, along] = largest;
        let most = left.iter().map(|(_, w, l)| area(*w, *l)).max().unwrap_or(0);
        assert_eq!(most, across.max(along));
        left
    }
}

/// Whether straight cuts from edge to edge free all pieces: one divides them into two heaps of which
/// the same is true.
fn straight(pieces: &[[i64; 4]]) -> bool {
    if pieces.len() < 2 {
        return true;
    }
    (0..2).any(|at| {
        let mut ordered = pieces.to_vec();
        ordered.sort_unstable_by_key(|piece| piece[at]);
        let mut end = 0;
        let cut = (1..ordered.len()).find(|cut| {
            let before = &ordered[cut - 1];
            end = end.max(before[at] + before[at + 2]);
            end <= ordered[*cut][at]
        });
        // Where one cut divides them, it does not matter which is made first.
        cut.is_some_and(|cut| straight(&ordered[..cut]) && straight(&ordered[cut..]))
    })
}

fn items(value: &Value) -> &Vec<Value> {
    value.as_array().unwrap()
}

fn whole(value: &Value) -> u32 {
    u32::try_from(value.as_u64().unwrap()).unwrap()
}

fn area(width: i64, length: i64) -> i128 {
    i128::from(width) * i128::from(length)
}

fn up(length: i64, step: i64) -> i64 {
    (length + step - 1) / step * step
}

fn overlap(one: &[i64; 4], other: &[i64; 4]) -> bool {
    (0..2).all(|at| one[at] < other[at] + other[at + 2] && other[at] < one[at] + one[at + 2])
}

#[expect(clippy::cast_precision_loss, reason = "compared to nine places")]
fn ratio(one: i128, other: i128) -> f64 {
    one as f64 / other as f64
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    reason = "lengths of a few kilometres are whole nanometres in 53 bits"
)]
fn nanometres(number: f64, unit: Unit) -> i64 {
    (number * unit.nanometres() as f64).round() as i64
}

/// Sixteen pieces of 9 by 3 in that may not be turned, on a roll of 24 in: two lie across it, so eight
/// rows of 3 in are the least. Beside them 6 by 24 in are left.
#[test]
fn one_size_on_a_roll() {
    let mut truth = Truth::inches().film(24 * IN, None).line(9 * IN, 3 * IN, 16);
    truth.lines[0].turn = false;
    let report = planned(&truth.value());
    truth.check(&report);
    let film = &report.films[0];
    assert_eq!(film.headline, "24 in of roll");
    assert_eq!(film.cut_length.as_ref().unwrap().text, "24 in");
    assert!(film.proven);
    assert_eq!(report.headline, "16 pieces");
    assert_eq!(film.layouts[0].title, "Roll");
    let after = &report.remnants_after;
    assert_eq!((after.len(), after[0].text.as_str()), (1, "6\u{a0}× 24 in"));
    // 16 · 27 of 18 · 24 sq in.
    assert!(film.waste.abs() < 1e-9);
    assert_eq!(
        film.film_taken(),
        Length::inches(18, 1) * Length::inches(24, 1)
    );
}

/// Two of 12 by 4 and two of 6 by 4 in take 12 in of a roll of 12 in, which is their area.
#[test]
fn several_sizes_on_a_roll() {
    let truth = Truth::inches().film(12 * IN, None);
    let truth = truth.line(12 * IN, 4 * IN, 2).line(6 * IN, 4 * IN, 2);
    let report = planned(&truth.value());
    truth.check(&report);
    assert!(report.films[0].proven);
    assert_eq!(report.films[0].length.as_ref().unwrap().text, "12 in");
    assert!(report.films[0].waste.abs() < 1e-9);
    assert_eq!(report.remnants_after, []);
}

/// Three squares of 6 in take two rows of a roll of 12 in, and one row where a remnant takes one of
/// them. One that none fits on stays, and so does one that would not make the cut any shorter.
#[test]
fn remnants_are_used_where_they_save_film() {
    let squares = |quantity: u32, remnants: &[(usize, i64, i64)]| {
        let mut truth = Truth::inches()
            .film(12 * IN, None)
            .line(6 * IN, 6 * IN, quantity);
        truth.remnants = remnants.to_vec();
        let report = searched(&truth.value());
        truth.check(&report);
        let film = report.films.into_iter().next().unwrap();
        let used: Vec<u32> = film.layouts.iter().filter_map(|l| l.remnant).collect();
        (film.length.unwrap().text, used, film.proven, film.headline)
    };
    let told = |length: &str, used: &[u32], headline: &str| {
        (length.to_owned(), used.to_vec(), true, headline.to_owned())
    };
    assert_eq!(squares(3, &[]), told("12 in", &[], "12 in of roll"));
    let (six, narrow, double) = (
        (0, 6 * IN, 6 * IN),
        (0, 5 * IN, 20 * IN),
        (0, 12 * IN, 6 * IN),
    );
    assert_eq!(squares(3, &[six]), told("6 in", &[0], "6 in of roll"));
    assert_eq!(squares(3, &[narrow]), told("12 in", &[], "12 in of roll"));
    assert_eq!(
        squares(3, &[narrow, six]),
        told("6 in", &[1], "6 in of roll")
    );
    // Two lie side by side, so that a place for one of them saves nothing.
    assert_eq!(squares(2, &[six]), told("6 in", &[], "6 in of roll"));
    assert_eq!(
        squares(2, &[six, six]),
        told("0 in", &[0, 1], "from remnants alone")
    );
    assert_eq!(squares(2, &[double, double]).1.len(), 1);
    assert_eq!(squares(2, &[double]).3, "from remnants alone");
}

/// Remnants of another film are not touched, nor are those that the margin leaves nothing of; on
/// patterned film a remnant serves one way round only.
#[test]
fn remnants_that_cannot_serve_stay() {
    let mut truth = Truth::inches().film(12 * IN, None).film(12 * IN, None);
    truth = truth.line(6 * IN, 3 * IN, 1);
    truth.remnants = vec![(1, 12 * IN, 12 * IN)];
    let report = planned(&truth.value());
    truth.check(&report);
    assert_eq!(report.remnants_after[0].film, "film 1");

    truth.remnants = vec![(0, 3 * IN, 6 * IN)];
    let used = |truth: &Truth| {
        let report = searched(&truth.value());
        truth.check(&report);
        report.films[0].layouts[0].remnant.is_some()
    };
    assert!(used(&truth));
    truth.films[0].patterned = true;
    assert!(!used(&truth));
    truth.remnants = vec![(0, 6 * IN, 3 * IN)];
    assert!(used(&truth));

    truth.margin = IN;
    truth.remnants = vec![(0, IN / 2, 12 * IN), (0, 2 * IN, 12 * IN), (0, 12 * IN, IN)];
    assert!(!used(&truth));
}

/// Ten squares of 4 in: nine on a sheet of 12 in, one more on the second, which is cut at 4 in. Three
/// of 6 by 12 in: two on the first, and the last is cut at 6 in if the piece may lie, at 12 in if not.
/// Pieces of 12 by 8, 12 by 4 and twice 6 by 4 in: one full sheet, and 4 in of the second.
#[test]
fn the_fewest_sheets_and_then_the_shortest_last_one() {
    let check = |truth: &Truth| {
        let report = searched(&truth.value());
        truth.check(&report);
        let film = &report.films[0];
        assert!(film.proven);
        let last = film.layouts.last().unwrap();
        let titles: Vec<&str> = film.layouts.iter().map(|l| l.title.as_str()).collect();
        (
            film.sheets.unwrap(),
            last.length.text.clone(),
            titles.join(", "),
        )
    };
    let sheets = || Truth::inches().film(12 * IN, Some(12 * IN));
    let told = |count: u32, last: &str, titles: &str| (count, last.to_owned(), titles.to_owned());
    let two = "Sheet 1 of 2, Sheet 2 of 2";
    assert_eq!(
        check(&sheets().line(4 * IN, 4 * IN, 10)),
        told(2, "4 in", two)
    );
    let mut three = sheets().line(6 * IN, 12 * IN, 3);
    assert_eq!(check(&three), told(2, "6 in", two));
    three.lines[0].turn = false;
    assert_eq!(check(&three), told(2, "12 in", two));
    let mixed = sheets().line(12 * IN, 8 * IN, 1).line(12 * IN, 4 * IN, 1);
    assert_eq!(check(&mixed.line(6 * IN, 4 * IN, 2)), told(2, "4 in", two));
    let many = sheets().line(4 * IN, 4 * IN, 28);
    assert_eq!(
        check(&many),
        told(4, "4 in", "Sheets 1 to 3 of 4, Sheet 4 of 4")
    );
    assert_eq!(
        check(&sheets().line(12 * IN, 12 * IN, 1)),
        told(1, "12 in", "The sheet")
    );
}

/// A remnant of 600 by 500 mm takes 6 pieces of 97 by 41 mm in each of 12 rows. With it an order of 3000
/// takes no more of the roll than one of 2928 without, and one of 70 takes none.
#[test]
fn a_remnant_saves_film_in_a_large_order_of_one_size() {
    let mut truth = Truth::inches();
    (truth.unit, truth.cut_step) = (Unit::Mm, 5 * MM);
    truth = truth.film(610 * MM, None).line(97 * MM, 41 * MM, 3_000);
    let length = |truth: &Truth| {
        let report = searched(&truth.value());
        truth.check(&report);
        let used = report.films[0]
            .layouts
            .iter()
            .filter_map(|layout| layout.remnant);
        (
            report.films[0].length.as_ref().unwrap().value,
            used.collect::<Vec<_>>(),
        )
    };
    let (without, _) = length(&truth);
    let mut fewer = truth.clone();
    fewer.lines[0].quantity -= 72;
    let (with_fewer, _) = length(&fewer);
    assert!(with_fewer < without);
    truth.remnants = vec![(0, 90 * MM, 90 * MM), (0, 600 * MM, 500 * MM)];
    let (with, used) = length(&truth);
    assert!(with <= with_fewer, "{with} {with_fewer}");
    assert!(used.contains(&1));
    truth.lines[0].quantity = 70;
    assert_eq!(length(&truth), (0.0, vec![1]));
}

/// Ten thousand of one size are told as copies: of 3 by 4 pieces on a sheet, 833 full ones and 4 left.
#[test]
fn ten_thousand_alike_are_copies_of_one_sheet() {
    let truth = Truth::inches()
        .film(9 * IN, Some(16 * IN))
        .line(3 * IN, 4 * IN, 10_000);
    let report = planned(&truth.value());
    truth.check(&report);
    let film = &report.films[0];
    assert_eq!((film.sheets, film.sheets_bound), (Some(834), Some(834)));
    let copies: Vec<(u32, u32)> = film.layouts.iter().map(|l| (l.copies, l.count)).collect();
    assert_eq!(copies, [(833, 12), (1, 4)]);
    assert_eq!(film.layouts[0].count_text, "12 pieces each");
}

/// Lines of the same size are laid out together, and each gets its own pieces.
#[test]
fn lines_of_one_size_share_a_layout() {
    let mut truth = Truth::inches().film(12 * IN, Some(12 * IN));
    for quantity in [5, 1, 9, 4] {
        truth = truth.line(4 * IN, 4 * IN, quantity);
    }
    truth.listed = 2;
    let report = planned(&truth.value());
    truth.check(&report);
    assert_eq!(report.films[0].sheets, Some(3));
    let first: Vec<u32> = report.films[0].layouts[0]
        .placements
        .iter()
        .map(|placed| placed.line)
        .collect();
    assert_eq!(first, [0, 0, 0, 0, 0, 1, 2, 2, 2]);
    truth.remnants = vec![(0, 8 * IN, 4 * IN)];
    let report = searched(&truth.value());
    truth.check(&report);
}

/// More pieces than an order may hold fit on one sheet.
#[test]
fn tiny_pieces_on_a_huge_sheet() {
    let mut truth = Truth::inches();
    truth.unit = Unit::Mm;
    truth = truth.film(5_000 * MM, Some(100_000 * MM)).line(MM, MM, 30);
    let report = planned(&truth.value());
    truth.check(&report);
    assert_eq!(report.films[0].sheets, Some(1));
}

/// A piece that is wider than the roll lies along it, and what cannot be turned is refused.
#[test]
fn a_piece_wider_than_the_film_lies_turned() {
    let mut truth = Truth::inches().film(12 * IN, None).line(30 * IN, 5 * IN, 3);
    truth.margin = IN / 4;
    truth.gap = IN / 8;
    let report = planned(&truth.value());
    truth.check(&report);
    // Two side by side, 5 + 1/8 + 5 in 11 1/2, and one behind: 60 1/8, and a margin at both ends.
    assert_eq!(report.films[0].length.as_ref().unwrap().text, "60 5/8 in");
    truth.films[0].patterned = true;
    let errors = refused(&truth.value());
    assert_eq!(
        (errors.first().code, errors.first().field.as_str()),
        (Code::DoesNotFit, "lines[0].width")
    );
}

/// The longest pieces there are, as many as there may be: 50 m each, one behind the other 500 km.
#[test]
fn the_greatest_order_is_reckoned_exactly() {
    let metre = 1_000 * MM;
    let mut truth = Truth::inches();
    truth.unit = Unit::M;
    truth = truth
        .film(5 * metre, None)
        .line(5 * metre, 50 * metre, 1_000);
    truth.lines[0].turn = false;
    truth.check(&planned(&truth.value()));
    truth = truth.line(4 * metre, 49 * metre, 1_000);
    let mut value = truth.value();
    value["tape"] = "1 mm".into();
    let report = planned(&value);
    truth.check(&report);
    // Of 1 mm wide tape 5 m take 5 000 strips of 50 m, or 50 000 of 5 m; 4 m take 4 000 of 49 m.
    let tape = report.tape.unwrap().length.value;
    assert!((tape - (5_000.0 * 50.0 + 4_000.0 * 49.0) * 1_000.0).abs() < 1e-3);
    let mut value = truth.film(5 * metre, Some(100 * metre)).value();
    for line in value["lines"].as_array_mut().unwrap() {
        line["film"] = "film 1".into();
    }
    let report = planned(&value);
    assert_eq!(report.films[0].sheets, Some(1_000));
}

/// 12 in that are cut off a roll of 30 ft leave 29 ft, and 95 mm off 10 m leave 9.905 m, neither more
/// nor less; sheets are counted. Where there is too little it says how much.
#[test]
fn what_is_left_on_the_shelf() {
    let told = |film: Value, unit: &str, height: &str| {
        let report = planned(&json!({
            "unit": unit, "films": [film], "cutStep": if unit == "in" { "1/8 in" } else { "1 mm" },
            "lines": [{ "width": height, "height": height }],
        }));
        let film = report.films.into_iter().next().unwrap();
        assert_eq!(film.short, film.left.is_none() && film.left_text.is_some());
        (film.left, film.left_text)
    };
    let some = |left: &str, text: &str| (Some(left.to_owned()), Some(text.to_owned()));
    let roll = |width: &str, left: &str| json!({ "name": "a", "width": width, "left": left });
    let feet = |left: &str, height: &str| told(roll("24", left), "in", height);
    assert_eq!(feet("30", "12"), some("29 ft", "29 ft stay on the roll"));
    assert_eq!(
        feet("30", "1 1/2"),
        some("29 ft 10 1/2 in", "29 ft 10 1/2 in stay on the roll")
    );
    assert_eq!(feet("1", "12"), some("0 in", "0 in stay on the roll"));
    assert_eq!(
        feet("18 in", "24").1.unwrap(),
        "The roll has 18 in left, 6 in too little"
    );
    let metres = |left: &str, height: &str| told(roll("600", left), "mm", height);
    assert_eq!(
        metres("10", "95"),
        some("9.905 m", "9.905 m stay on the roll")
    );
    assert_eq!(
        metres("1.5", "95"),
        some("1405 mm", "1405 mm stay on the roll")
    );
    assert_eq!(metres("10.1234567", "95").0.unwrap(), "10.0284567 m");
    let number = json!({ "name": "a", "width": 600, "left": 10_000 });
    assert_eq!(told(number, "mm", "95").0.unwrap(), "9.905 m");
    let sheets = |sheets: Value| {
        told(
            json!({ "name": "a", "width": 24, "length": 24, "sheets": sheets }),
            "in",
            "3",
        )
    };
    assert_eq!(sheets("5".into()), some("4", "4 of 5 sheets stay"));
    assert_eq!(sheets("1".into()), some("0", "0 of 1 sheets stay"));
    for none in [json!("0"), json!(0)] {
        assert_eq!(
            sheets(none),
            (None, Some("Sheets at hand: 0; too few by 1".to_owned()))
        );
    }
    assert_eq!(sheets("".into()), (None, None));
}

/// Where to cut is said as exactly as it is reckoned: 3.854 m, not the 3.85 m that would go through the
/// pieces, and 13 ft 1/8 in.
#[test]
fn where_to_cut_is_said_exactly() {
    let cut_text = |unit: &str, step: &str, width: &str, height: &str| {
        let report = planned(&json!({
            "unit": unit, "films": [{ "name": "a", "width": width }], "cutStep": step,
            "lines": [{ "width": width, "height": height, "turn": false }],
        }));
        report.films[0].layouts[0].cut_text.clone()
    };
    assert_eq!(cut_text("mm", "1", "600", "3854"), "Cut off at 3.854 m.");
    assert_eq!(
        cut_text("mm", "0.1", "600", "3854.05"),
        "Cut off at 3.8541 m."
    );
    assert_eq!(cut_text("cm", "5 mm", "60", "385.4"), "Cut off at 3.855 m.");
    assert_eq!(
        cut_text("in", "1/8", "24", "156 1/16"),
        "Cut off at 13 ft 1/8 in."
    );
    assert_eq!(
        cut_text("in", "1/8", "24", "23 1/16"),
        "Cut off at 23 1/8 in."
    );
    let sheet = planned(&json!({
        "films": [{ "name": "a", "width": 12, "length": 12 }],
        "lines": [{ "width": 12, "height": "11 7/8" }],
    }));
    // An eighth of an inch would be left.
    assert_eq!(sheet.films[0].layouts[0].cut_text, "Nothing to cut off.");
    assert!(sheet.films[0].waste < 0.02 && sheet.remnants_after.is_empty());
}

/// Strips of tape as wide as it is cover a piece side by side, the way that takes less. Of 4 in, one of
/// 9 covers 9 by 3 in (as long as three of 3); three of 5 cover 10 by 5 in (two of 10 are 20 in); four
/// by 12 in takes one of 12. Of 13 in, one of 3, of 5 and of 4.
#[test]
fn tape_is_cut_from_its_roll() {
    let tape = |width: &str| {
        let report = planned(&json!({
            "films": [{ "name": "a", "width": 24 }], "tape": width,
            "lines": [
                { "width": 9, "height": 3, "quantity": 16 },
                { "width": 10, "height": 5, "quantity": 2 },
            ],
            "list": "oar,4,12,3",
        }));
        let each = report
            .lines
            .iter()
            .map(|line| line.tape_text.clone().unwrap());
        let tape = report.tape.unwrap();
        (
            each.collect::<Vec<_>>().join(", "),
            tape.length.text,
            tape.detail,
        )
    };
    let told = |each: &str, text: &str, detail: &str| {
        (each.to_owned(), text.to_owned(), detail.to_owned())
    };
    // 16 · 9 + 2 · 15 + 3 · 12.
    assert_eq!(
        tape("4"),
        told(
            "1 strip of 9 in, 3 strips of 5 in, 1 strip of 12 in",
            "210 in",
            "17 ft 6 in of transfer tape 4 in wide"
        )
    );
    // 16 · 3 + 2 · 5 + 3 · 4.
    assert_eq!(
        tape("13 in"),
        told(
            "1 strip of 3 in, 1 strip of 5 in, 1 strip of 4 in",
            "70 in",
            "5 ft 10 in of transfer tape 13 in wide"
        )
    );
    let without = planned(
        &json!({ "films": [{ "name": "a", "width": 24 }], "lines": [{ "width": 9, "height": 3 }], "tape": " " }),
    );
    assert!(without.tape.is_none() && without.lines[0].tape_text.is_none());
}

/// On a sheet of 24 by 24 in one piece of 20 by 10 in leaves 14 in behind it across the whole sheet and
/// 4 by 10 in beside it. Both are kept, one, or none, as the shorter side is asked for; what is kept is
/// not taken.
#[test]
fn what_is_left_is_kept_from_a_size_on() {
    let after = |keep: i64| {
        let mut truth = Truth::inches()
            .film(24 * IN, Some(24 * IN))
            .line(20 * IN, 10 * IN, 1);
        truth.lines[0].turn = false;
        truth.keep = keep;
        let report = planned(&truth.value());
        truth.check(&report);
        let after = report.remnants_after.iter();
        let texts: Vec<String> = after.map(|left| left.text.clone()).collect();
        (texts.join(", "), report.films[0].film_taken().nm2())
    };
    let (behind, beside) = ("24\u{a0}× 14 in", "4\u{a0}× 10 in");
    assert_eq!(
        after(3 * IN),
        (format!("{behind}, {beside}"), area(20 * IN, 10 * IN))
    );
    assert_eq!(
        after(4 * IN),
        (format!("{behind}, {beside}"), area(20 * IN, 10 * IN))
    );
    assert_eq!(
        after(4 * IN + 1),
        (behind.to_owned(), area(24 * IN, 10 * IN))
    );
    assert_eq!(after(14 * IN + 1), (String::new(), area(24 * IN, 24 * IN)));
    // Of three sheets alike three of each are kept.
    let truth = Truth::inches()
        .film(24 * IN, Some(24 * IN))
        .line(20 * IN, 20 * IN, 3);
    let report = planned(&truth.value());
    truth.check(&report);
    assert_eq!(report.remnants_after.len(), 6);
}

/// What is left may be typed again, to the nanometre.
#[test]
fn remnants_are_told_exactly() {
    let value = json!({
        "unit": "cm", "films": [{ "name": "a", "width": "24.0001 in", "length": "70.123456 cm" }],
        "remnants": [{ "film": "a", "width": "8 1/64 in", "length": "10.00001 cm" }],
        "lines": [{ "width": "30 cm", "height": "30.00001 cm" }], "cutStep": "1/8 in",
    });
    let report = planned(&value);
    let exact = |text: &str| typed(text, Unit::Cm);
    let unused = &report.remnants_after[0];
    assert_eq!(exact(&unused.width), 203_596_875);
    assert_eq!(exact(&unused.length), 100_000_100);
    // The piece takes 11 7/8 in each way.
    let (width, length) = (24 * IN + IN / 10_000, 701_234_560);
    let taken = 95 * IN / 8;
    let left: i128 = report.remnants_after[1..]
        .iter()
        .map(|left| area(exact(&left.width), exact(&left.length)))
        .sum();
    assert_eq!(left, area(width, length) - area(taken, taken));
}

/// The cut list, read by another reader, is the report; names hold whatever was typed.
#[test]
fn the_cut_list_is_the_report() {
    let names = [
        "Loon, \"the\" diver",
        "two\nlines\r\nof it",
        "plain",
        "; and \t tab",
        "",
    ];
    let lines: Vec<Value> = names
        .iter()
        .map(|name| json!({ "name": name, "width": 7, "height": 3, "quantity": 3, "film": "White, \"matt\"" }))
        .collect();
    let mut value = json!({
        "films": [{ "name": "White, \"matt\"", "width": 12, "length": 12 }, { "name": "Red", "width": 24 }],
        "remnants": [{ "film": "white, \"MATT\"", "width": 8, "length": 4 }], "lines": lines,
        "list": "film,name,width,height,qty\nRed,,5 1/3,2,7",
    });
    value["margin"] = "1/4".into();
    let report = searched(&value);
    let text = report.cut_list();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head = [
        "film", "layout", "copies", "number", "name", "x", "y", "width", "height", "turned",
    ];
    assert_eq!(reader.headers().unwrap(), &head[..]);
    let records: Vec<Vec<String>> = reader
        .records()
        .map(|record| record.unwrap().iter().map(str::to_owned).collect())
        .collect();
    let mut told = Vec::new();
    for film in &report.films {
        for layout in &film.layouts {
            for placed in &layout.placements {
                let name = names.get(placed.line as usize).unwrap_or(&"");
                told.push(vec![
                    film.film.clone(),
                    layout.title.clone(),
                    layout.copies.to_string(),
                    placed.number.to_string(),
                    (*name).to_owned(),
                    placed.x.text.clone(),
                    placed.y.text.clone(),
                    placed.width.text.clone(),
                    placed.height.text.clone(),
                    if placed.turned { "yes" } else { "no" }.to_owned(),
                ]);
            }
        }
    }
    assert_eq!(records, told);
    let pieces: u32 = records.iter().map(|r| r[2].parse::<u32>().unwrap()).sum();
    assert_eq!(pieces, 22);
    assert!(
        records
            .iter()
            .any(|record| record[1].starts_with("Remnant, "))
    );
    // Every line ends as RFC 4180 says, the last one as well.
    assert!(text.ends_with("\r\n"));
}

/// Whether the pieces have places in the spaces, found by trying all: the first free cell of a grid is
/// covered by any of the pieces, either way round, or stays free for good. Sides are whole cells, and
/// pieces of whole cells have a best layout on the grid.
fn fits(spaces: &[(usize, usize)], pieces: &[(usize, usize, bool)]) -> bool {
    let cells: Vec<Vec<bool>> = spaces.iter().map(|(w, l)| vec![false; w * l]).collect();
    let all: usize = spaces.iter().map(|(w, l)| w * l).sum();
    let needed: usize = pieces.iter().map(|(w, h, _)| w * h).sum();
    all >= needed && covers(spaces, cells, (0, 0), pieces, all - needed)
}

fn covers(
    spaces: &[(usize, usize)],
    mut cells: Vec<Vec<bool>>,
    (mut space, mut cell): (usize, usize),
    pieces: &[(usize, usize, bool)],
    mut idle: usize,
) -> bool {
    if pieces.is_empty() {
        return true;
    }
    loop {
        while space < spaces.len() && cell == cells[space].len() {
            (space, cell) = (space + 1, 0);
        }
        if space == spaces.len() {
            return false;
        }
        if cells[space][cell] {
            cell += 1;
            continue;
        }
        let (width, length) = spaces[space];
        let (x, y) = (cell % width, cell / width);
        for (index, (w, h, turn)) in pieces.iter().enumerate() {
            if pieces[..index].contains(&pieces[index]) {
                continue;
            }
            for (w, h) in [(*w, *h), (*h, *w)]
                .into_iter()
                .take(1 + usize::from(*turn))
            {
                let inside = x + w <= width && y + h <= length;
                let rows = || (y..y + h).map(|row| row * width + x);
                if !inside || rows().any(|at| cells[space][at..at + w].contains(&true)) {
                    continue;
                }
                let mut covered = cells.clone();
                for at in rows() {
                    covered[space][at..at + w].fill(true);
                }
                let mut rest = pieces.to_vec();
                rest.remove(index);
                if covers(spaces, covered, (space, cell), &rest, idle) {
                    return true;
                }
            }
        }
        if idle == 0 {
            return false;
        }
        idle -= 1;
        cells[space][cell] = true;
    }
}

/// The brute force itself: five dominoes cover 2 by 5, four of 3 by 2 stand round the middle of 5 by 5
///, and what does not turn does not fit.
#[test]
fn brute_force_counts_right() {
    assert!(fits(&[(2, 5)], &[(1, 2, true); 5]));
    assert!(fits(&[(5, 5)], &[(3, 2, true); 4]));
    assert!(!fits(&[(5, 5)], &[(3, 2, false); 3]));
    assert!(!fits(&[(5, 5)], &[(3, 3, true); 2]));
    assert!(fits(&[(3, 3), (3, 4)], &[(3, 3, true); 2]));
}

fn small() -> impl Strategy<Value = (i64, Vec<Piece>, Option<(i64, i64)>)> {
    let piece = (1..=4_i64, 1..=4_i64, any::<bool>());
    let remnant = prop::option::of((1..=3_i64, 1..=4_i64));
    (4..=6_i64, prop::collection::vec(piece, 1..=5), remnant)
}

/// Cells of an inch.
fn in_inches(width: i64, length: Option<i64>, pieces: &[Piece]) -> Truth {
    let mut truth = Truth::inches().film(width * IN, length.map(|length| length * IN));
    for (width, height, turn) in pieces {
        truth = truth.line(width * IN, height * IN, 1);
        truth.lines.last_mut().unwrap().turn = *turn;
    }
    truth
}

fn cells(pieces: &[Piece]) -> Vec<(usize, usize, bool)> {
    let cell = |side: i64| usize::try_from(side).unwrap();
    pieces
        .iter()
        .map(|(w, h, turn)| (cell(*w), cell(*h), *turn))
        .collect()
}

/// A rectangle divided by straight cuts into pieces, without any waste.
fn divided(width: i64, length: i64, cuts: &[(usize, bool, i64)]) -> Vec<(i64, i64)> {
    let mut parts = vec![(width, length)];
    for (which, across, at) in cuts {
        let which = which % parts.len();
        let (w, l) = parts[which];
        let side = if *across { l } else { w };
        if side < 2 {
            continue;
        }
        let at = 1 + at % (side - 1);
        let (one, other) = if *across {
            ((w, at), (w, l - at))
        } else {
            ((at, l), (w - at, l))
        };
        parts[which] = one;
        parts.push(other);
    }
    parts
}

fn cuts() -> impl Strategy<Value = Vec<(usize, bool, i64)>> {
    prop::collection::vec((0..100_usize, any::<bool>(), 0..1000_i64), 0..12)
}

fn order() -> impl Strategy<Value = Truth> {
    let inch = (any::<bool>(), any::<bool>());
    let film = (100..400_i64, prop::option::of(100..500_i64), any::<bool>());
    let films = prop::collection::vec(film, 1..=3);
    let remnants = prop::collection::vec((0..3_usize, 20..300_i64, 20..400_i64), 0..4);
    let line = (4..180_i64, 4..180_i64, 1..9_u32, any::<bool>(), 0..3_usize);
    let lines = prop::collection::vec(line, 1..9);
    let clear = (prop::option::of(0..9_i64), prop::option::of(0..9_i64));
    let steps = (1..12_i64, 0..60_i64, 0..9_usize);
    (inch, films, remnants, lines, clear, steps).prop_map(
        |((inch, straight), films, remnants, lines, (margin, gap), (cut_step, keep, listed))| {
            let (unit, cell) = if inch {
                (Unit::In, IN / 16)
            } else {
                (Unit::Mm, MM * 3 / 2)
            };
            let remnant = |(film, width, length): (usize, i64, i64)| {
                (film % films.len(), width * cell, length * cell)
            };
            let film =
                |(index, (width, length, patterned)): (usize, &(i64, Option<i64>, bool))| Film {
                    name: format!("Film {index}"),
                    width: width * cell,
                    length: length.map(|length| length * cell),
                    patterned: *patterned,
                };
            let remnants: Vec<_> = remnants.into_iter().map(remnant).collect();
            let mut truth = Truth {
                unit,
                margin: margin.unwrap_or(0) * cell,
                gap: gap.unwrap_or(0) * cell,
                cut_step: cut_step * cell,
                keep: keep * cell,
                films: films.iter().enumerate().map(film).collect(),
                remnants,
                lines: Vec::new(),
                listed: 0,
                straight,
            };
            for (width, height, quantity, turn, film) in lines {
                let film = film % films.len();
                let of = &truth.films[film];
                let most =
                    of.length.map_or(of.width, |length| length.min(of.width)) - 2 * truth.margin;
                // Nothing larger than the film, whichever way round it lies.
                let (width, height) = ((width * cell).min(most), (height * cell).min(most));
                truth.lines.push(Line {
                    width,
                    height,
                    quantity,
                    turn,
                    film,
                });
            }
            truth.listed = listed.min(truth.lines.len());
            truth
        },
    )
}

/// Fresh film of each film in the order of what counts: sheets or length, then the last sheet.
fn fresh(report: &JobReport) -> Vec<(u32, f64)> {
    let film = |film: &decal_reckoner::material::FilmReport| {
        let fresh = film.layouts.iter().rfind(|layout| layout.remnant.is_none());
        (
            film.sheets.unwrap_or(0),
            fresh.map_or(0.0, |last| last.length.value),
        )
    };
    report.films.iter().map(film).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Whatever is ordered, every layout holds, and everything told of it is so.
    #[test]
    fn every_order_stands_the_check(truth in order()) {
        let plan = plan(&truth.value());
        let report = plan.report();
        truth.check(&report);
        let drawings = plan.drawings(2);
        prop_assert_eq!(drawings.len(), report.films.len());
        prop_assert!(drawings.iter().map(Vec::len).sum::<usize>() <= 2);
    }

    /// No layout of a small order is shorter than the bound says, and none is where it says so.
    #[test]
    fn no_roll_is_shorter_than_its_bound((width, pieces, remnant) in small()) {
        let mut truth = in_inches(width, None, &pieces);
        truth.remnants = remnant.map(|(w, l)| (0, w * IN, l * IN)).into_iter().collect();
        let report = planned(&truth.value());
        truth.check(&report);
        let film = &report.films[0];
        let found = film.length.as_ref().unwrap().value;
        let bound = film.length_bound.as_ref().unwrap().value;
        let held = |length: i64| {
            let spaces: Vec<Piece> = remnant.iter().map(|(w, l)| (*w, *l, false)).chain([(width, length, false)]).collect();
            let spaces: Vec<(usize, usize)> = cells(&spaces).into_iter().map(|(w, l, _)| (w, l)).collect();
            fits(&spaces, &cells(&pieces))
        };
        let least = (0..=20).find(|length| held(*length)).unwrap();
        let least = f64::from(i32::try_from(least).unwrap());
        prop_assert!(bound <= least && least <= found, "{} {} {}", bound, least, found);
        prop_assert!(!film.proven || least >= found);
    }

    /// No layout of a small order takes fewer sheets than the bound says, and none does where it says so.
    #[test]
    fn no_order_takes_fewer_sheets_than_its_bound((width, pieces, remnant) in small()) {
        let mut truth = in_inches(width, Some(4), &pieces);
        truth.remnants = remnant.map(|(w, l)| (0, w * IN, l * IN)).into_iter().collect();
        let report = planned(&truth.value());
        truth.check(&report);
        let film = &report.films[0];
        let held = |sheets: u32| {
            let spaces: Vec<Piece> = remnant.iter().map(|(w, l)| (*w, *l, false)).chain((0..sheets).map(|_| (width, 4, false))).collect();
            let spaces: Vec<(usize, usize)> = cells(&spaces).into_iter().map(|(w, l, _)| (w, l)).collect();
            fits(&spaces, &cells(&pieces))
        };
        let least = (0..=5).find(|sheets| held(*sheets)).unwrap();
        let (bound, found) = (film.sheets_bound.unwrap(), film.sheets.unwrap());
        prop_assert!(bound <= least && least <= found, "{} {} {}", bound, least, found);
        prop_assert!(!film.proven || least == found);
    }

    /// An order that a rectangle was cut into without waste takes no less than that rectangle, and not
    /// more than the bound; the gap is cut away between the pieces.
    #[test]
    fn an_order_without_waste_is_bounded_by_itself(
        width in 20..80_i64, length in 20..120_i64, cuts in cuts(), gap in 0..6_i64, margin in 0..6_i64,
        turn in any::<bool>(), copies in 1..4_u32, remnant in prop::option::of((10..60_i64, 10..60_i64)),
    ) {
        let gap_nm = gap * IN / 16;
        // In cells with the gap on two sides of each piece.
        let mut truth = Truth::inches().film((width + 2 * margin) * IN - gap_nm, None);
        truth.gap = gap_nm;
        truth.margin = margin * IN;
        prop_assume!(truth.margin <= 200 * MM);
        let part = remnant.map(|(w, l)| divided(w.min(width), l, &cuts[..cuts.len() / 2])).unwrap_or_default();
        if let Some((w, l)) = remnant {
            truth.remnants.push((0, (w.min(width) + 2 * margin) * IN - gap_nm, (l + 2 * margin) * IN - gap_nm));
        }
        for (w, l) in divided(width, length, &cuts).into_iter().chain(part) {
            truth = truth.line(w * IN - gap_nm, l * IN - gap_nm, 1);
            truth.lines.last_mut().unwrap().turn = turn;
        }
        let taken = (length + 2 * margin) * IN - gap_nm;
        let report = planned(&truth.value());
        truth.check(&report);
        let bound = |report: &JobReport| nanometres(report.films[0].length_bound.as_ref().unwrap().value, Unit::In);
        prop_assert!(bound(&report) <= taken, "{} {}", bound(&report), taken);
        if remnant.is_none() {
            // Nothing can be shorter, so that the bound is met by the rectangle.
            prop_assert_eq!(bound(&report), taken);
            // The same on sheets of that size, several of them.
            truth.films[0].length = Some(taken);
            for line in &mut truth.lines {
                line.quantity *= copies;
            }
            let report = planned(&truth.value());
            truth.check(&report);
            prop_assert_eq!(report.films[0].sheets_bound, Some(copies));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// The search never takes more fresh film than the first layout, is the same each time and however
    /// often it is looked at, and comes to its end.
    #[test]
    fn a_search_only_saves_film(truth in order()) {
        let value = truth.value();
        let first = planned(&value);
        truth.check(&first);
        let last = searched(&value);
        truth.check(&last);
        for (now, before) in fresh(&last).into_iter().zip(fresh(&first)) {
            prop_assert!(now <= before, "{:?} {:?}", now, before);
        }
        let mut watched = plan(&value);
        prop_assert_eq!(&watched.report(), &first);
        let (mut share, mut report) = (watched.share_done(), first);
        while !watched.is_done() {
            let better = watched.search(&mut |_| true);
            let (now, told) = (watched.share_done(), watched.report());
            prop_assert!((0.0..=1.0).contains(&share) && now >= share);
            prop_assert_eq!(better, told != report);
            for (now, before) in fresh(&told).into_iter().zip(fresh(&report)) {
                prop_assert!(now <= before, "{:?} {:?}", now, before);
            }
            (share, report) = (now, told);
        }
        prop_assert_eq!(share.to_bits(), 1.0_f64.to_bits());
        prop_assert_eq!(report, last);
        prop_assert!(!watched.search(&mut |_| true));
    }
}

fn priced(job: &Value, prices: &Value) -> Result<JobQuoteReport, InputErrors> {
    let value = json!({ "currency": "USD", "job": job, "prices": prices });
    let input: JobQuoteInput =
        decode(&value.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"));
    JobQuote::new(&input).map(|quote| quote.report())
}

/// Worked by hand. Sixteen pieces of 9 by 3 in cut 24 in off a roll of 24 in by 30 ft at 54.00: 3.60, and
/// 2.70 where the 6 by 24 in beside them are kept. Half a sheet at 0.25 is 0.125, so 0.13, and two of them
/// are 0.25. Remnants were paid for before, and a film without a price costs nothing.
#[test]
fn film_is_paid_for_as_it_is_taken() {
    let roll = |keep: &str, price: Value| {
        let job = json!({
            "films": [{ "name": "a", "width": 24 }], "keep": keep,
            "lines": [{ "width": 9, "height": 3, "quantity": 16, "turn": false }],
        });
        let report = priced(&job, &price).unwrap();
        assert_eq!(report.film_costs, [report.film_cost.as_str()]);
        report.film_cost
    };
    let price = json!([{ "price": "54.00", "length": "30" }]);
    assert_eq!(roll("7", price.clone()), "3.60");
    assert_eq!(roll("6", price), "2.70");
    assert_eq!(roll("7", json!([])), "0.00");
    assert_eq!(roll("7", json!([{}])), "0.00");
    assert_eq!(roll("7", json!([{ "price": "0" }])), "0.00");
    // Prices beyond the films on the shelf are for nothing.
    assert_eq!(roll("7", json!([{}, { "price": "7" }])), "0.00");
    let halves = json!({
        "films": [
            { "name": "a", "width": 12, "length": 12 }, { "name": "b", "width": 12, "length": 12 },
            { "name": "unused", "width": 12 }, { "name": "c", "width": 12, "length": 12 },
        ],
        "remnants": [{ "film": "c", "width": 12, "length": 6 }],
        "lines": [
            { "width": 12, "height": 6 }, { "width": 12, "height": 6, "film": "b" },
            { "width": 12, "height": 6, "film": "c" },
        ],
    });
    let quarter = || json!({ "price": "0.25" });
    let report = priced(&halves, &json!([quarter(), quarter(), {}, quarter()])).unwrap();
    assert_eq!(report.film_costs, ["0.13", "0.13", "0.00"]);
    // What is shown adds up: each is rounded, and then they are added.
    assert_eq!((report.film_cost.as_str(), report.decimals), ("0.26", 2));
    assert_eq!(report.job.films[2].index, 3);
}

fn fraction(top: i128, bottom: i128) -> BigRational {
    BigRational::new(BigInt::from(top), BigInt::from(bottom))
}

/// An amount with two decimals.
fn parsed(amount: &str) -> BigRational {
    let (whole, cents) = amount.split_once('.').unwrap();
    assert_eq!(cents.len(), 2);
    fraction(format!("{whole}{cents}").parse().unwrap(), 100)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// What films cost is their share of the roll or sheet, in exact fractions, rounded once, and what is shown adds up.
    #[test]
    fn film_costs_are_exact(
        truth in order(), prices in prop::collection::vec((0..100_000_u32, 1..50_u32), 3), most in any::<bool>(),
    ) {
        let texts: Vec<Value> = prices
            .iter()
            .map(|(cents, metres)| {
                let price = if most { "1000000000".to_owned() } else { format!("{}.{:02}", cents / 100, cents % 100) };
                json!({ "price": price, "length": format!("{metres} m") })
            })
            .collect();
        let quote = priced(&truth.value(), &texts.into()).unwrap();
        let wire = serde_json::to_value(&quote.job).unwrap();
        let mut sum = fraction(0, 1);
        // A cost that is no finite decimal is carried to twelve decimals.
        let trace = fraction(1, 100_000_000_000);
        let near = |shown: &BigRational, exact: &BigRational| {
            let off = shown - exact;
            let off = if off < fraction(0, 1) { -off } else { off };
            off <= fraction(1, 200) + &trace
        };
        for (film, cost) in items(&wire["films"]).iter().zip(&quote.film_costs) {
            let index = usize::try_from(film["index"].as_u64().unwrap()).unwrap();
            let stock = &truth.films[index];
            let mut taken = 0;
            for layout in items(&film["layouts"]).iter().filter(|layout| layout["remnant"].is_null()) {
                let length = stock.length.unwrap_or_else(|| truth.measured(&layout["cutLength"]));
                let kept = items(&layout["left"]).iter().filter(|left| left["keep"] == true);
                let kept: i128 = kept.map(|left| truth.remnant(left)).map(|(_, w, l)| area(w, l)).sum();
                taken += (area(stock.width, length) - kept) * i128::from(whole(&layout["copies"]));
            }
            let (cents, metres) = prices[index];
            let cents = if most { 100_000_000_000 } else { i128::from(cents) };
            let bought = stock.length.unwrap_or_else(|| i64::from(metres) * 1_000 * MM);
            let exact = fraction(cents, 100) * fraction(taken, area(stock.width, bought));
            prop_assert!(near(&parsed(cost), &exact), "{} is {}", cost, exact);
            sum += parsed(cost);
        }
        prop_assert_eq!(parsed(&quote.film_cost), sum);
    }
}

/// An order of two films, a remnant and three lines in which all is well.
fn good() -> Value {
    json!({
        "films": [
            { "name": "White", "width": 24, "left": 30, "patterned": false },
            { "name": "Red", "width": 12, "length": 12, "sheets": 4 },
        ],
        "remnants": [{ "film": "Red", "width": 8, "length": 8 }],
        "lines": [
            { "name": "a", "width": 9, "height": 3, "quantity": 2 },
            { "name": "b", "width": 9, "height": 3, "film": "red" },
            { "name": "c", "width": 2, "height": 2, "quantity": 7, "film": "  WHITE " },
        ],
        "margin": "1/4", "gap": "1/8", "cutStep": "1/8", "keep": 3, "tape": 6,
    })
}

/// Every mistake is told at its field, by itself.
fn told_at(cases: &[(&str, Value, Code, &str)]) {
    planned(&good());
    for (pointer, wrong, code, field) in cases {
        let mut value = good();
        let (object, name) = pointer.rsplit_once('/').unwrap();
        value.pointer_mut(object).unwrap()[name] = wrong.clone();
        let errors = refused(&value);
        let told = (errors.first().code, errors.first().field.as_str());
        assert_eq!(told, (*code, *field), "{pointer} {wrong}");
        assert_eq!(errors.iter().count(), 1, "{errors:?}");
        assert!(!errors.first().message.is_empty() && !errors.first().hint.is_empty());
    }
}

#[test]
fn mistakes_of_the_stock_are_told_at_their_fields() {
    told_at(&[
        ("/margin", "wide".into(), Code::NotANumber, "margin"),
        ("/margin", "".into(), Code::Missing, "margin"),
        ("/margin", "-1".into(), Code::TooSmall, "margin"),
        ("/margin", "1e9".into(), Code::UnknownUnit, "margin"),
        // Half of 12 in leaves nothing of the red sheet, though of the white roll.
        ("/margin", 6.into(), Code::DoesNotFit, "films[1].width"),
        ("/gap", "1,125".into(), Code::Ambiguous, "gap"),
        ("/gap", 1e300.into(), Code::TooLarge, "gap"),
        ("/cutStep", "0".into(), Code::TooSmall, "cutStep"),
        ("/keep", "-3".into(), Code::TooSmall, "keep"),
        ("/keep", "5 furlongs".into(), Code::UnknownUnit, "keep"),
        ("/tape", 0.into(), Code::TooSmall, "tape"),
        ("/films/0/name", "".into(), Code::Missing, "films[0].name"),
        (
            "/films/0/name",
            " \t".into(),
            Code::Missing,
            "films[0].name",
        ),
        (
            "/films/1/name",
            " white".into(),
            Code::Impossible,
            "films[1].name",
        ),
        (
            "/films/1/width",
            Value::Null,
            Code::Missing,
            "films[1].width",
        ),
        (
            "/films/1/width",
            "x".into(),
            Code::NotANumber,
            "films[1].width",
        ),
        (
            "/films/1/width",
            "1 km".into(),
            Code::TooLarge,
            "films[1].width",
        ),
        (
            "/films/1/length",
            "".into(),
            Code::Missing,
            "films[1].length",
        ),
        (
            "/films/1/length",
            "200 m".into(),
            Code::TooLarge,
            "films[1].length",
        ),
        (
            "/films/0/left",
            "-2".into(),
            Code::TooSmall,
            "films[0].left",
        ),
        (
            "/films/1/sheets",
            "2.5".into(),
            Code::NotWhole,
            "films[1].sheets",
        ),
        (
            "/films/1/sheets",
            (-1).into(),
            Code::TooSmall,
            "films[1].sheets",
        ),
    ]);
}

#[test]
fn mistakes_of_remnants_and_lines_are_told_at_their_fields() {
    told_at(&[
        (
            "/remnants/0/film",
            "Rde".into(),
            Code::NotAChoice,
            "remnants[0].film",
        ),
        (
            "/remnants/0/width",
            "".into(),
            Code::Missing,
            "remnants[0].width",
        ),
        (
            "/remnants/0/length",
            "9999999999999999".into(),
            Code::TooLarge,
            "remnants[0].length",
        ),
        (
            "/lines/2/quantity",
            0.into(),
            Code::TooSmall,
            "lines[2].quantity",
        ),
        (
            "/lines/2/quantity",
            "some".into(),
            Code::NotANumber,
            "lines[2].quantity",
        ),
        (
            "/lines/2/quantity",
            "10001".into(),
            Code::TooLarge,
            "lines[2].quantity",
        ),
        // With three pieces before it.
        (
            "/lines/2/quantity",
            9_998.into(),
            Code::TooLarge,
            "lines[2].quantity",
        ),
        (
            "/lines/1/width",
            Value::Null,
            Code::Missing,
            "lines[1].width",
        ),
        (
            "/lines/1/height",
            "-".into(),
            Code::NotANumber,
            "lines[1].height",
        ),
        (
            "/lines/1/height",
            "60 m".into(),
            Code::TooLarge,
            "lines[1].height",
        ),
        (
            "/lines/1/film",
            "blue".into(),
            Code::NotAChoice,
            "lines[1].film",
        ),
        // Larger than the red sheet between its margins, though it would lie on the white roll.
        (
            "/lines/1/width",
            "11 9/16".into(),
            Code::DoesNotFit,
            "lines[1].width",
        ),
        ("/films", json!([]), Code::Missing, "films"),
    ]);
}

/// All mistakes of an order are told together; those of prices before those of the order.
#[test]
fn several_mistakes_are_told_together() {
    let mut value = good();
    value["gap"] = "x".into();
    value["tape"] = "x".into();
    value["remnants"][0]["width"] = "x".into();
    value["remnants"][0]["film"] = "x".into();
    value["lines"][0]["width"] = "x".into();
    value["lines"][0]["quantity"] = "x".into();
    value["lines"][2]["film"] = "x".into();
    let fields = |errors: &InputErrors| -> Vec<String> {
        errors.iter().map(|error| error.field.clone()).collect()
    };
    let wrong = [
        "gap",
        "tape",
        "remnants[0].film",
        "remnants[0].width",
        "lines[0].width",
        "lines[0].quantity",
        "lines[2].film",
    ];
    assert_eq!(fields(&refused(&value)), wrong);
    // Without the length of the roll its price says nothing; of sheets it is not asked.
    let errors = priced(&value, &json!([{ "price": "5" }, { "price": "much" }])).unwrap_err();
    let inside = wrong.iter().map(|field| format!("job.{field}"));
    let own = ["prices[0].length", "prices[1].price"].map(str::to_owned);
    assert_eq!(
        fields(&errors),
        own.into_iter().chain(inside).collect::<Vec<_>>()
    );
    let one = |prices: Value| fields(&priced(&good(), &prices).unwrap_err());
    assert_eq!(
        one(json!([{ "price": "5", "length": "1 in" }])),
        ["prices[0].length"]
    );
    assert_eq!(
        one(json!([{ "price": "-5", "length": "10" }])),
        ["prices[0].price"]
    );
    assert_eq!(one(json!([{}, { "price": "" }])), ["prices[1].price"]);
    let value = json!({ "currency": "US", "job": good() });
    let input: JobQuoteInput = decode(&value.to_string()).unwrap();
    assert_eq!(fields(&JobQuote::new(&input).unwrap_err()), ["currency"]);
}

/// A field that nobody knows is refused with its path, and so is one of the wrong type.
#[test]
fn unknown_fields_are_refused() {
    let path = |json: &str| decode::<JobInput>(json).unwrap_err().first().field.clone();
    assert_eq!(
        path(r#"{"films":[{"name":"a","wide":3}]}"#),
        "films[0].wide"
    );
    assert_eq!(path(r#"{"lines":[{},{"turn":"no"}]}"#), "lines[1].turn");
    assert_eq!(path(r#"{"effort":"lazy"}"#), "effort");
}

/// A list of which some lines cannot be used: they are told with their line, and the others are cut.
#[test]
fn bad_lines_of_a_list_are_left_out() {
    let mut value = good();
    value["lines"] = json!([{ "width": 3, "height": 3, "quantity": 100 }]);
    value["list"] = "name,width,height,quantity,film,turn\n\
        loon,9,3,2,white,yes\n\
        tern,9,x,2,white,yes\n\
        coot,13,12,1,RED,yes\n\
        grebe,3,3,1,Green,yes\n\
        teal,9,3,9900,white,yes\n\
        duck,\"2 1/2\",2,4,Red,no\n"
        .into();
    let report = planned(&value);
    let bad: Vec<(u32, &str)> = report
        .bad
        .iter()
        .map(|b| (b.line, b.column.as_str()))
        .collect();
    assert_eq!(
        bad,
        [(3, "height"), (4, "width"), (5, "film"), (6, "quantity")]
    );
    assert_eq!(
        report.bad_text.as_deref(),
        Some("4 mistakes in the list; lines with a mistake are left out")
    );
    let lines: Vec<_> = report
        .lines
        .iter()
        .map(|line| {
            (
                line.line,
                line.name.as_str(),
                line.quantity,
                line.film.as_str(),
            )
        })
        .collect();
    assert_eq!(
        lines,
        [
            (None, "", 100, "White"),
            (Some(2), "loon", 2, "White"),
            (Some(7), "duck", 4, "Red")
        ]
    );
    assert_eq!(
        (report.pieces, report.headline.as_str()),
        (106, "106 pieces in 2 films")
    );

    // An empty list is no mistake beside a line, and nonsense is told, but takes nothing away.
    for (list, mistakes) in [
        ("", false),
        ("  \n\n", false),
        ("what is this?", true),
        ("\"", true),
    ] {
        value["list"] = list.into();
        let report = planned(&value);
        assert_eq!(
            (report.pieces, !report.bad.is_empty()),
            (100, mistakes),
            "{list:?}"
        );
    }
}

/// Without any line that can be cut the list is where the mistake stands, with what is wrong there.
#[test]
fn nothing_to_cut_is_a_mistake() {
    let mut value = good();
    value["lines"] = json!([]);
    let told = |value: &Value, code: Code| {
        let error = refused(value).first().clone();
        assert_eq!((error.code, error.field.as_str()), (code, "list"));
        error.message.to_string()
    };
    assert_eq!(told(&value, Code::Missing), "there is nothing to cut");
    value["list"] = "\n \n".into();
    assert_eq!(told(&value, Code::Missing), "there is nothing to cut");
    // Something is there, and what is wrong with it is told.
    value["list"] = "grebe,3,3,1,Green".into();
    assert!(told(&value, Code::Impossible).starts_with("no line can be used; line 1: "));
    value["list"] = "grebe,3,3\n".repeat(120_000).into();
    assert!(!told(&value, Code::Impossible).contains("line 0"));
}

/// Bare numbers of a list may count in another unit than those of the rest: 127 mm are 5 in exactly.
#[test]
fn a_list_may_have_a_unit_of_its_own() {
    let mut value = good();
    value["lines"] = json!([]);
    value["list"] = "a,127,25.4".into();
    value["listUnit"] = "mm".into();
    let report = planned(&value);
    assert_eq!(report.lines[0].size_text, "5\u{a0}× 1 in");
    value["list"] = "a,5 in,1 in".into();
    assert_eq!(planned(&value).lines, report.lines);
}

/// What the pieces take must be left on the roll, not what the cut is rounded up to: pieces that end at
/// 19 9/10 in fit on 19 19/20 in, of which nothing stays.
#[test]
fn a_roll_that_just_holds_the_pieces_is_enough() {
    let mut value = good();
    value["lines"] = json!([{ "name": "a", "width": 24, "height": "19.9", "turn": false }]);
    value["margin"] = 0.into();
    value["films"][0]["left"] = "19.95 in".into();
    let film = &planned(&value).films[0];
    assert_eq!((film.short, film.left.as_deref()), (false, Some("0 in")));
    value["films"][0]["left"] = "19.85 in".into();
    assert!(planned(&value).films[0].short);
}

/// However long a name is, what is said about it is not.
#[test]
fn long_names_are_told_short() {
    let long = "Ö".repeat(100_000);
    let mut value = good();
    value["lines"][0]["film"] = long.clone().into();
    assert!(refused(&value).first().message.len() < 200);
    let mut value = good();
    value["films"][0]["name"] = long.clone().into();
    value["films"][1]["name"] = long.clone().into();
    assert!(refused(&value).first().message.len() < 200);
    let mut value = good();
    value["list"] = format!("{long},3,3,1,{long}").into();
    let bad = &planned(&value).bad[0];
    assert!(bad.message.len() < 200 && bad.text.chars().count() <= 60);
}

/// A line written as a record of a list comes back from the list as it was.
#[test]
fn a_line_may_be_added_to_the_list() {
    let line = json!({ "name": "Loon, \"the\"\ndiver", "width": "9.3 cm", "height": 3, "quantity": 4, "turn": false, "film": "Red" });
    let line: LineInput = decode(&line.to_string()).unwrap();
    let whole = "film;wide;high;qty;name;turn\n";
    for (list, told) in [
        ("", true),
        (whole, true),
        ("a,1,1\n", true),
        ("width,height\n", false),
    ] {
        let record = record(&line, list, Unit::In).unwrap();
        assert_eq!(record.is_some(), told, "{list}");
        let Some(record) = record else { continue };
        let mut value = good();
        value["lines"] = json!([]);
        value["list"] = format!("{list}{record}\n").into();
        let report = planned(&value);
        assert_eq!(report.bad, []);
        let last = report.lines.last().unwrap();
        assert_eq!(
            (last.name.as_str(), last.quantity, last.film.as_str()),
            ("Loon, \"the\"\ndiver", 4, "Red")
        );
        let film = report.films.last().unwrap();
        let placed = film.layouts[0]
            .placements
            .iter()
            .filter(|p| p.name.starts_with("Loon"));
        for placed in placed {
            assert_eq!(
                (nanometres(placed.width.value, Unit::In), placed.turned),
                (93 * MM, false)
            );
        }
    }
    let errors = record(
        &LineInput {
            quantity: Some("x".into()),
            ..line
        },
        "",
        Unit::In,
    )
    .unwrap_err();
    assert_eq!(errors.first().field, "quantity");
}

/// What may stand in a field: mostly something that can be used, and all that cannot.
fn anything() -> impl Strategy<Value = Value> {
    let usual = [
        "1", "3", "12 in", "30 cm", "1/8", "0", "24", "2 1/2", "600 mm",
    ];
    let odd = [
        "",
        " ",
        "-1",
        "1e9",
        "9999999999999",
        "99999999999999999999999",
        "0.0000001",
        "1 km",
        "5 m",
        "50 m",
        "100 m",
        "1000 m",
        "1 mm",
        "0.1 mm",
        "1,125",
        "10000",
        "½",
        "4' 2",
        "1/0",
        "in",
        "\u{feff}",
        "\"",
        "\0",
        "0.5 mm",
    ];
    prop_oneof![
        6 => prop::sample::select(usual.to_vec()).prop_map(Value::from),
        2 => prop::sample::select(odd.to_vec()).prop_map(Value::from),
        1 => "\\PC{0,12}".prop_map(Value::from),
        1 => "[0-9]{1,14}([.,/][0-9]{0,12})?".prop_map(Value::from),
        1 => any::<f64>().prop_map(|number| if number.is_finite() { number.into() } else { Value::Null }),
        1 => (-10_i32..10_001).prop_map(Value::from),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// No text and no number in any field panics, nor does what is shown of the order if it is one.
    #[test]
    fn nothing_that_is_typed_panics(
        fields in prop::collection::vec(prop::option::weighted(0.3, anything()), 26),
        texts in prop::collection::vec("\\PC{0,8}|[0-9x,;\"\n ]{0,40}", 5), listed in any::<bool>(),
    ) {
        let mut value = good();
        let pointers = [
            "/margin", "/gap", "/cutStep", "/keep", "/tape", "/films/0/width", "/films/0/left", "/films/0/sheets",
            "/films/1/width", "/films/1/length", "/films/1/left", "/films/1/sheets", "/remnants/0/width", "/remnants/0/length",
            "/lines/0/width", "/lines/0/height", "/lines/0/quantity", "/lines/1/width", "/lines/1/height",
            "/lines/1/quantity", "/lines/2/width", "/lines/2/height", "/lines/2/quantity",
        ];
        for (pointer, field) in pointers.iter().zip(&fields) {
            if let Some(field) = field {
                let (object, name) = pointer.rsplit_once('/').unwrap();
                value.pointer_mut(object).unwrap()[name] = field.clone();
            }
        }
        value["lines"][0]["name"] = texts[0].clone().into();
        if listed {
            value["list"] = format!("{}\nx,3,3\n{}", texts[1], texts[2]).into();
        }
        let price = |at: usize| fields[at].clone().filter(Value::is_string).unwrap_or_else(|| "3.50".into());
        let prices = json!([{ "price": price(23), "length": fields[24] }, { "price": price(25) }]);
        if let Ok(report) = priced(&value, &prices) {
            prop_assert!(report.job.films.iter().all(|film| film.waste.is_finite()));
            prop_assert!(!report.job.cut_list().is_empty());
            for drawing in plan(&value).drawings(6).iter().flatten() {
                prop_assert!(drawing.to_svg().ends_with("</svg>"));
            }
        }
    }

    /// Names and films may be any text.
    #[test]
    fn no_name_panics(texts in prop::collection::vec("\\PC{0,12}|[ \\t\\r\\n\",]{0,4}|Red|White", 7)) {
        let mut value = good();
        let pointers = ["/films/0/name", "/films/1/name", "/remnants/0/film", "/lines/0/film", "/lines/1/film", "/lines/2/name", "/list"];
        for (pointer, text) in pointers.iter().zip(texts) {
            let (object, name) = pointer.rsplit_once('/').unwrap();
            value.pointer_mut(object).unwrap()[name] = text.into();
        }
        if let Ok(plan) = JobPlan::new(&input(&value)) {
            let report = plan.report();
            prop_assert_eq!(csv::Reader::from_reader(report.cut_list().as_bytes()).records().count() , 10);
        }
    }
}

/// A thousand lines of ten thousand pieces in three films.
#[test]
fn a_thousand_lines_are_laid_out() {
    let mut truth = Truth::inches()
        .film(24 * IN, None)
        .film(12 * IN, Some(24 * IN))
        .film(15 * IN, None);
    truth.margin = IN / 4;
    truth.gap = IN / 8;
    truth.remnants = vec![
        (0, 20 * IN, 30 * IN),
        (1, 12 * IN, 10 * IN),
        (2, 6 * IN, 40 * IN),
    ];
    for index in 0..1_000_i64 {
        // Sizes spread evenly by steps that share no factor with their ranges.
        let (width, height) = (8 + index * 37 % 100, 8 + index * 61 % 67);
        truth = truth.line(width * IN / 16, height * IN / 16, 10);
        truth.lines.last_mut().unwrap().film = usize::try_from(index % 3).unwrap();
    }
    truth.listed = 500;
    let report = planned(&truth.value());
    truth.check(&report);
}
