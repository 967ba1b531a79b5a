//! Packings against a checker of their own, against exhaustive search, and against strips whose least
//! length is known.

use super::*;
use proptest::prelude::*;

const fn kind(along: i64, across: i64, turn: bool, count: u32) -> Kind {
    Kind {
        along,
        across,
        turn,
        count,
    }
}

const fn space(along: i64, across: i64) -> Space {
    Space { along, across }
}

const fn roll(kinds: Vec<Kind>, across: i64) -> Question {
    Question {
        kinds,
        remnants: Vec::new(),
        fresh: Fresh::Roll { across },
        straight: false,
    }
}

/// What is wrong with a packing, told by looking at every piece and every pair of pieces.
fn fault(question: &Question, packing: &Packing) -> Option<String> {
    let mut counts: Vec<u32> = question.kinds.iter().map(|kind| kind.count).collect();
    let mut remnants = Vec::new();
    let mut fresh = Vec::new();
    for filled in &packing.filled {
        let stock = match (filled.remnant, question.fresh) {
            (Some(index), _) => {
                if !fresh.is_empty() {
                    return Some("a remnant behind fresh film".to_owned());
                }
                remnants.push(index);
                question.remnants[index]
            }
            (None, Fresh::Roll { across }) => space(i64::MAX, across),
            (None, Fresh::Sheets(sheet)) => sheet,
        };
        if filled.remnant.is_none() {
            fresh.push(filled.along);
        }
        let mut rectangles: Vec<[i64; 4]> = Vec::new();
        for lie in &filled.lies {
            let kind = question.kinds[lie.kind as usize];
            if lie.turned && !kind.turn {
                return Some(format!("{lie:?} is turned"));
            }
            let (along, across) = if lie.turned {
                (kind.across, kind.along)
            } else {
                (kind.along, kind.across)
            };
            let new = [
                lie.along,
                lie.along + along,
                lie.across,
                lie.across + across,
            ];
            if new[0] < 0 || new[2] < 0 || new[1] > stock.along || new[3] > stock.across {
                return Some(format!("{lie:?} is outside"));
            }
            let meets = |old: &[i64; 4]| {
                old[0] < new[1] && new[0] < old[1] && old[2] < new[3] && new[2] < old[3]
            };
            if rectangles.iter().any(meets) {
                return Some(format!("{lie:?} lies on another"));
            }
            rectangles.push(new);
            match counts[lie.kind as usize].checked_sub(1) {
                Some(left) => counts[lie.kind as usize] = left,
                None => return Some(format!("{lie:?} is one too many")),
            }
        }
        if question.straight && !come_apart(&rectangles) {
            return Some(format!("{rectangles:?} do not come apart by straight cuts"));
        }
        if rectangles.iter().map(|piece| piece[1]).max() != Some(filled.along) {
            return Some(format!("the last piece does not end at {}", filled.along));
        }
    }
    if counts.iter().any(|count| *count > 0) {
        return Some(format!("missing: {counts:?}"));
    }
    if !remnants.is_sorted_by(|a, b| a < b) {
        return Some(format!("remnants {remnants:?}"));
    }
    if !fresh.is_sorted_by(|a, b| a >= b) {
        return Some("the last sheet is not the least full".to_owned());
    }
    if fresh.len() > 1 && matches!(question.fresh, Fresh::Roll { .. }) {
        return Some("two rolls".to_owned());
    }
    None
}

/// Whether rectangles, given by start and end along and across, come apart by cuts that each go right
/// across. Where a cut is possible it does no harm, so that the first one found will do.
fn come_apart(rectangles: &[[i64; 4]]) -> bool {
    if rectangles.len() < 2 {
        return true;
    }
    for (start, end) in [(0, 1), (2, 3)] {
        for cut in rectangles.iter().map(|r| r[start]) {
            let (before, behind): (Vec<[i64; 4]>, Vec<[i64; 4]>) =
                rectangles.iter().copied().partition(|r| r[end] <= cut);
            if !before.is_empty() && !behind.is_empty() && behind.iter().all(|r| r[start] >= cut) {
                return come_apart(&before) && come_apart(&behind);
            }
        }
    }
    false
}

/// Fresh sheets, and the length taken of the last, or of the roll.
fn taken(packing: &Packing) -> (usize, i64) {
    let mut fresh = packing.filled.iter().filter(|f| f.remnant.is_none());
    (
        fresh.clone().count(),
        fresh.next_back().map_or(0, |f| f.along),
    )
}

fn remnants(packing: &Packing) -> Vec<usize> {
    packing.filled.iter().filter_map(|f| f.remnant).collect()
}

fn best(question: &Question, steps: u64) -> Packing {
    let mut search = Search::new(question.clone());
    search.run(steps);
    assert_eq!(fault(question, search.best()), None);
    search.best().clone()
}

/// Whether pieces fit a space, found by trying every piece, and none, at the first free square.
fn fits(pieces: &mut Vec<(usize, usize, bool)>, squares: &mut [Vec<bool>], bare: usize) -> bool {
    if pieces.is_empty() {
        return true;
    }
    let rows = squares.iter().enumerate();
    let free = rows.filter_map(|(y, row)| row.iter().position(|taken| !taken).map(|x| (x, y)));
    let Some((x, y)) = free.min_by_key(|(x, y)| (*y, *x)) else {
        return false;
    };
    for index in 0..pieces.len() {
        let piece = pieces.remove(index);
        for turned in [false, true] {
            let (along, across) = if turned {
                (piece.1, piece.0)
            } else {
                (piece.0, piece.1)
            };
            let inside = y + along <= squares.len() && x + across <= squares[0].len();
            if turned && !piece.2
                || !inside
                || squares[y..y + along]
                    .iter()
                    .any(|row| row[x..x + across].contains(&true))
            {
                continue;
            }
            let mut set = |taken| {
                for row in &mut squares[y..y + along] {
                    row[x..x + across].fill(taken);
                }
            };
            set(true);
            let fit = fits(pieces, squares, bare);
            let mut set = |taken| {
                for row in &mut squares[y..y + along] {
                    row[x..x + across].fill(taken);
                }
            };
            set(false);
            if fit {
                pieces.insert(index, piece);
                return true;
            }
        }
        pieces.insert(index, piece);
    }
    if bare == 0 {
        return false;
    }
    squares[y][x] = true;
    let fit = fits(pieces, squares, bare - 1);
    squares[y][x] = false;
    fit
}

/// The least length of a strip, by exhaustive search.
fn least_length(kinds: &[Kind], across: usize) -> i64 {
    let size = |side: i64| usize::try_from(side).unwrap();
    let mut pieces = Vec::new();
    for kind in kinds {
        let piece = (size(kind.along), size(kind.across), kind.turn);
        pieces.extend((0..kind.count).map(|_| piece));
    }
    let area: usize = pieces.iter().map(|piece| piece.0 * piece.1).sum();
    let enough = pieces.iter().map(|piece| piece.0.max(piece.1)).sum();
    let length = (area.div_ceil(across)..=enough)
        .find(|length| {
            let mut squares = vec![vec![false; across]; *length];
            fits(&mut pieces, &mut squares, length * across - area)
        })
        .unwrap();
    i64::try_from(length).unwrap()
}

fn strip(text: &str) -> (Vec<(i64, i64, u32)>, i64) {
    let mut lines = text.lines();
    let width = lines.next().unwrap().split(',').nth(1).unwrap();
    let sizes = lines.skip(1).map(|line| {
        let mut numbers = line.split(',').map(|number| number.trim().parse().unwrap());
        let mut next = || numbers.next().unwrap();
        (next(), next(), u32::try_from(next()).unwrap())
    });
    (sizes.collect(), width.trim().parse().unwrap())
}

/// Mean excess over the least length of Hopper and Turton's strips, in hundredths of it: of the first
/// packings, and after so many steps.
fn mean_excess(turn: bool, straight: bool, steps: u64) -> (f64, f64) {
    let (mut first, mut later, mut strips) = (0.0, 0.0, 0.0);
    for file in std::fs::read_dir("tests/data/strip").unwrap() {
        let path = file.unwrap().path();
        if !path
            .file_name()
            .is_some_and(|name| name.to_string_lossy().starts_with('C'))
        {
            continue;
        }
        let (sizes, width) = strip(&std::fs::read_to_string(path).unwrap());
        let area: i64 = sizes.iter().map(|(w, h, n)| w * h * i64::from(*n)).sum();
        let least = (area + width - 1) / width;
        let kinds = sizes.iter().map(|(w, h, n)| kind(*h, *w, turn, *n));
        let question = Question {
            straight,
            ..roll(kinds.collect(), width)
        };
        #[expect(clippy::cast_precision_loss, reason = "lengths below a thousand")]
        let excess = |search: &Search| {
            assert_eq!(fault(&question, search.best()), None);
            100.0 * (taken(search.best()).1 as f64 / least as f64 - 1.0)
        };
        let mut search = Search::new(question.clone());
        first += excess(&search);
        search.run(steps);
        later += excess(&search);
        strips += 1.0;
    }
    assert!((strips - 21.0_f64).abs() < 0.5);
    (first / strips, later / strips)
}

#[test]
fn the_strips_of_the_literature_are_packed_closely() {
    // The first: what general-purpose packers, and the best of five orders, reach on these strips.
    // Later: most of them at the least length when turned, and unturned one unit above it.
    let (first, later) = mean_excess(true, false, 4_000_000);
    assert!(first <= 4.6, "{first}");
    assert!(later <= 0.5, "{later}");
    let (first, later) = mean_excess(false, false, 4_000_000);
    assert!(first <= 4.8, "{first}");
    assert!(later <= 1.3, "{later}");
}

#[test]
fn straight_cuts_cost_little_film() {
    // The strips are cut without waste, but hardly any of them by straight cuts only.
    let (first, later) = mean_excess(true, true, 4_000_000);
    assert!(first <= 4.6 && later <= 2.0, "{first} {later}");
    let (first, later) = mean_excess(false, true, 4_000_000);
    assert!(first <= 8.0 && later <= 4.0, "{first} {later}");
}

#[test]
fn a_pinwheel_does_not_come_apart() {
    // Four of 3 by 2 round one of 1 by 1 fill a square of 5. Two rows of two upright ones with the
    // small one beside them come apart; as short as 5 nothing does, for no row is filled without both
    // lengths and widths.
    let whole = roll(vec![kind(3, 2, true, 4), kind(1, 1, true, 1)], 5);
    assert_eq!(taken(&best(&whole, 1_000_000)), (1, 5));
    assert!(!come_apart(&[
        [0, 2, 0, 3],
        [0, 3, 3, 5],
        [3, 5, 2, 5],
        [2, 5, 0, 2],
        [2, 3, 2, 3]
    ]));
    let straight = Question {
        straight: true,
        ..whole
    };
    assert_eq!(taken(&best(&straight, 1_000_000)), (1, 6));
}

#[test]
fn what_a_remnant_holds_takes_no_fresh_film() {
    let question = Question {
        kinds: vec![kind(4, 3, false, 6)],
        remnants: vec![space(3, 100), space(9, 8), space(8, 9), space(12, 6)],
        fresh: Fresh::Roll { across: 20 },
        straight: false,
    };
    // The first is too short; the second holds four of them; the third and the fourth hold all, 2 by 3.
    let packing = best(&question, 100_000);
    assert_eq!(taken(&packing), (0, 0));
    assert_eq!(remnants(&packing).len(), 1);
}

#[test]
fn a_remnant_that_shortens_nothing_stays_whole() {
    // The long one needs the roll for its whole length; the small ones fit beside it.
    let question = Question {
        kinds: vec![kind(50, 5, false, 1), kind(5, 5, false, 8)],
        remnants: vec![space(12, 12)],
        fresh: Fresh::Roll { across: 10 },
        straight: false,
    };
    let packing = best(&question, 100_000);
    assert_eq!(taken(&packing), (1, 50));
    assert_eq!(remnants(&packing), Vec::<usize>::new());
}

#[test]
fn a_remnant_shortens_the_roll() {
    // Five rows of two without it, four rows with it.
    let question = Question {
        kinds: vec![kind(5, 5, false, 10)],
        remnants: vec![space(7, 12)],
        fresh: Fresh::Roll { across: 10 },
        straight: false,
    };
    let packing = best(&question, 100_000);
    assert_eq!(taken(&packing), (1, 20));
    assert_eq!(remnants(&packing), [0]);
}

#[test]
fn the_last_sheet_is_cut_short() {
    // Nine to a sheet of three by three; the tenth and eleventh lie side by side on the second.
    let question = Question {
        kinds: vec![kind(4, 4, true, 11)],
        remnants: Vec::new(),
        fresh: Fresh::Sheets(space(12, 13)),
        straight: false,
    };
    assert_eq!(taken(&best(&question, 100_000)), (2, 4));
}

#[test]
fn nothing_and_what_fits_nowhere_is_no_packing() {
    for kinds in [
        Vec::new(),
        vec![kind(3, 3, true, 0)],
        vec![kind(9, 9, true, 2)],
    ] {
        let sheets = Question {
            kinds: kinds.clone(),
            remnants: vec![space(2, 2)],
            fresh: Fresh::Sheets(space(8, 8)),
            straight: false,
        };
        for question in [roll(kinds.clone(), 8), sheets] {
            let mut search = Search::new(question);
            assert!(!search.run(10_000));
            assert_eq!(search.best().filled, []);
        }
    }
}

#[test]
fn a_large_order_gets_a_packing() {
    // 10 000 pieces of 1 000 sizes in eighths of an inch, on sheets of 24 by 12 in.
    let eighth = 3_175_000;
    let size = |number: i64| {
        kind(
            (4 + number * 7 % 81) * eighth,
            (4 + number * 31 % 83) * eighth,
            number % 2 == 0,
            10,
        )
    };
    let question = Question {
        kinds: (0..1_000).map(size).collect(),
        remnants: Vec::new(),
        fresh: Fresh::Sheets(space(192 * eighth, 96 * eighth)),
        straight: false,
    };
    let search = Search::new(question.clone());
    assert_eq!(fault(&question, search.best()), None);
}

/// Any question with sides of up to 30 units of `unit`.
fn questions(unit: i64) -> impl Strategy<Value = Question> {
    let kinds = prop::collection::vec((1..30_i64, 1..30_i64, any::<bool>(), 0..6_u32), 1..8);
    let remnants = prop::collection::vec((1..40_i64, 1..40_i64), 0..4);
    let fresh = (30..60_i64, 30..60_i64, any::<bool>(), any::<bool>());
    (kinds, remnants, fresh).prop_map(
        move |(kinds, remnants, (along, across, sheets, straight))| {
            let kinds = kinds.into_iter();
            let remnants = remnants.into_iter();
            Question {
                kinds: kinds
                    .map(|(a, b, turn, count)| kind(a * unit, b * unit, turn, count))
                    .collect(),
                remnants: remnants.map(|(a, b)| space(a * unit, b * unit)).collect(),
                fresh: if sheets {
                    Fresh::Sheets(space(along * unit, across * unit))
                } else {
                    Fresh::Roll {
                        across: across * unit,
                    }
                },
                straight,
            }
        },
    )
}

/// Few pieces for a narrow strip.
fn tiny() -> impl Strategy<Value = (Vec<Kind>, i64)> {
    let kinds = prop::collection::vec((1..6_i64, 1..6_i64, any::<bool>()), 1..6);
    (kinds, 5..8_i64).prop_map(|(kinds, across)| {
        let kinds = kinds.into_iter();
        (
            kinds.map(|(a, b, turn)| kind(a, b, turn, 1)).collect(),
            across,
        )
    })
}

proptest! {
    #[test]
    fn packings_are_sound_and_never_get_longer(
        question in questions(1).boxed().prop_union(questions(3_333_333_333).boxed())
    ) {
        let (bound, sheets) = match question.fresh {
            Fresh::Roll { across } => (least::roll(&question.kinds, &question.remnants, across), 0),
            Fresh::Sheets(sheet) => (0, least::sheets(&question.kinds, &question.remnants, sheet)),
        };
        let mut search = Search::new(question.clone());
        let mut last = (usize::MAX, i64::MAX);
        for _ in 0..5 {
            let packing = search.best();
            prop_assert_eq!(fault(&question, packing), None);
            let now = taken(packing);
            prop_assert!(now <= last);
            prop_assert!(now.0 >= sheets as usize && now.1 >= bound);
            last = now;
            search.run(3_000);
        }
    }

    #[test]
    fn slices_change_nothing(question in questions(7), slices in prop::collection::vec(0..4_000_u64, 1..9)) {
        let mut whole = Search::new(question.clone());
        whole.run(slices.iter().sum());
        let mut sliced = Search::new(question);
        for slice in slices {
            sliced.run(slice);
        }
        prop_assert_eq!(whole.best(), sliced.best());
        prop_assert_eq!(whole.spent(), sliced.spent());
    }
}

proptest! {
    // Each may take millions of steps; thousands of them were run once.
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn tiny_strips_are_as_short_as_exhaustive_search_finds((kinds, across) in tiny()) {
        let least = least_length(&kinds, usize::try_from(across).unwrap());
        prop_assert!(least::roll(&kinds, &[], across) <= least);
        let question = roll(kinds, across);
        prop_assert_eq!(taken(&best(&question, 3_000_000)), (1, least));
    }
}
