//! Steps that are all done, whatever becomes of those before, and summed up at the end.

use crate::Result;
use std::time::{Duration, Instant};

/// The steps so far, each with its failure if it has one, and how long it took.
#[derive(Default)]
pub struct Steps {
    done: Vec<(&'static str, Result<()>, Duration)>,
    /// Steps that could not be done here, and why.
    skipped: Vec<(&'static str, &'static str)>,
}

impl Steps {
    /// Does a step and says whether it passed. Later steps are done all the same: one run shows all that is wrong.
    pub fn step(&mut self, name: &'static str, work: impl FnOnce() -> Result<()>) -> bool {
        println!("\n== {name}");
        let start = Instant::now();
        let outcome = work();
        if let Err(sentence) = &outcome {
            println!("{sentence}");
        }
        let passed = outcome.is_ok();
        self.done.push((name, outcome, start.elapsed()));
        passed
    }

    /// Notes a step that cannot be done here; the sum names it, so that nobody takes it for done.
    pub fn skip(&mut self, name: &'static str, why: &'static str) {
        println!("\n== {name}\nskipped: {why}");
        self.skipped.push((name, why));
    }

    /// Prints what became of each step.
    ///
    /// # Errors
    /// When one of them failed: their names.
    pub fn sum_up(self) -> Result<()> {
        println!();
        for (name, outcome, took) in &self.done {
            let word = if outcome.is_ok() { "pass" } else { "FAIL" };
            println!("{word}  {:>5} s  {name}", took.as_secs());
        }
        for (name, why) in &self.skipped {
            println!("skip           {name}: {why}");
        }
        let failed: Vec<&str> = self
            .done
            .iter()
            .filter(|(_, outcome, _)| outcome.is_err())
            .map(|(name, ..)| *name)
            .collect();
        if failed.is_empty() {
            Ok(())
        } else {
            Err(format!("Not good yet: {}.", failed.join(", ")))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_failure_fails_the_whole_and_hides_no_later_step() {
        let mut steps = Steps::default();
        assert!(steps.step("first", || Ok(())));
        assert!(!steps.step("second", || Err("It broke.".into())));
        let mut ran = false;
        steps.step("third", || {
            ran = true;
            Ok(())
        });
        assert!(ran);
        assert_eq!(steps.sum_up(), Err("Not good yet: second.".into()));
    }
}
