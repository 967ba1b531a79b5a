//! How much of a drawing is joined: far more than a plotter cuts, and little enough that a page goes on
//! answering. All of them are rules of thumb, from how long files took that were made to take long.

use crate::error::{Code, InputError};
use say::say;

/// Straight lines for all curves, those of the ground counted for every film: the memory that is taken
/// grows with them.
const LINES: usize = 1_000_000;
/// Places at which two of these lines cross or touch: each line is divided there.
const MEETINGS: usize = 100_000;
/// Films: for each the whole drawing is gone through.
const FILMS: usize = 1_000;
/// Lines of shapes and ground that lie on each other by turns, counted as often as the number of turns can be
/// halved.
const LAYERED: usize = 3_000_000;
/// Pairs of hairlines of which one lies within the other.
const NESTED: usize = 400_000;
/// Steps of looking for lines near others, those of [`FREE`] aside. Thousands of long slanted lines side by
/// side take the most.
const STEPS: usize = 40_000_000;
/// What a line takes of them later, and a place where two meet, so that not all may be at their limits at once.
const LINE: usize = 10;
const MEETING: usize = 150;
/// What is looked for along a line that lies among well spread ones takes so many of them: these are bounded by
/// the number of lines.
pub(super) const FREE: usize = 150;

/// What was taken so far of what a drawing may ask for.
#[derive(Debug, Default)]
pub(super) struct Budget {
    lines: usize,
    meetings: usize,
    layered: usize,
    nested: usize,
    steps: usize,
}

impl Budget {
    /// Looks at the number of films.
    pub(super) fn films(films: usize) -> Result<(), InputError> {
        within(
            films,
            FILMS,
            say!("the drawing has more than 1000 colours, each of which would be a film"),
            say!("cut all of them from one film, or give what belongs together the same colour"),
        )
    }

    /// Takes straight lines.
    pub(super) fn lines(&mut self, lines: usize) -> Result<(), InputError> {
        self.lines += lines;
        within(
            self.lines,
            LINES,
            say!(
                "the outlines are too long to be joined: more than 1000000 straight lines for their curves"
            ),
            say!("simplify the paths in your drawing program, or divide the drawing"),
        )?;
        self.steps(lines * LINE)
    }

    /// Takes one place where two lines meet.
    pub(super) fn meeting(&mut self) -> Result<(), InputError> {
        self.meetings += 1;
        self.steps(MEETING)?;
        within(
            self.meetings,
            MEETINGS,
            say!("the outlines cross and touch each other more than 100000 times"),
            say!(
                "leave out hatching and copies that lie on each other, unite shapes in your drawing program, or \
             divide the drawing"
            ),
        )
    }

    /// Takes lines of layers that are put together.
    pub(super) fn layered(&mut self, lines: usize) -> Result<(), InputError> {
        self.layered += lines;
        within(
            self.layered,
            LAYERED,
            say!("shapes and the ground's colour lie on each other by turns too often"),
            say!("unite shapes in your drawing program, or choose no ground"),
        )
    }

    /// Takes hairlines that lie within another one.
    pub(super) fn nested(&mut self, nested: usize) -> Result<(), InputError> {
        self.nested += nested;
        within(
            self.nested,
            NESTED,
            say!("too many lines without a fill lie within each other"),
            say!("give the shapes a fill, or divide the drawing"),
        )
    }

    /// Takes steps.
    pub(super) fn steps(&mut self, steps: usize) -> Result<(), InputError> {
        self.steps += steps;
        within(
            self.steps,
            STEPS,
            say!("the outlines lie too close together to be joined in good time"),
            say!("leave out hatching and fine patterns, or divide the drawing"),
        )
    }
}

fn within(
    count: usize,
    most: usize,
    message: &'static str,
    hint: &'static str,
) -> Result<(), InputError> {
    if count <= most {
        return Ok(());
    }
    Err(InputError::new(Code::TooLarge, message, hint))
}
