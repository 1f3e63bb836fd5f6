//! The clock of a figure that is counted in phases: where each phase begins and ends.

/// Most marks: the begin, the end and the changes between of six phases.
const MOST: usize = 7;

/// Places in time order with the progress reached there (100 for each phase that is done). Between two places progress runs
/// with time.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Phases {
    marks: [(usize, f64); MOST],
    n: usize,
}

impl Phases {
    /// From places and their progress, both rising. What does not rise, or is one too many, is left out.
    pub(crate) fn new(marks: &[(usize, f64)]) -> Self {
        let mut phases = Self::default();
        for &(place, progress) in marks {
            let last = phases.marks[..phases.n].last();
            let rises = last.is_none_or(|last| place > last.0 && progress > last.1);
            if rises && phases.n < MOST {
                phases.marks[phases.n] = (place, progress);
                phases.n += 1;
            }
        }
        phases
    }
    /// Progress at a place: that of the first mark before it, of the last after it; nil without marks.
    pub(crate) fn at(&self, place: usize) -> f64 {
        let marks = &self.marks[..self.n];
        let after = marks.partition_point(|mark| mark.0 <= place);
        match (after.checked_sub(1).map(|before| marks[before]), marks.get(after)) {
            (Some(before), Some(next)) => {
                let share = (place - before.0) as f64 / (next.0 - before.0) as f64;
                before.1 + share * (next.1 - before.1)
            }
            (Some(last), None) => last.1,
            (None, Some(first)) => first.1,
            (None, None) => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Phases;

    #[test]
    fn prop_progress_runs_with_time_between_marks() {
        let phases = Phases::new(&[(10, 0.0), (20, 100.0), (20, 200.0), (40, 300.0)]);
        assert!((phases.at(5) - 0.0).abs() < 1e-12);
        assert!((phases.at(15) - 50.0).abs() < 1e-12);
        assert!((phases.at(30) - 200.0).abs() < 1e-12);
        assert!((phases.at(50) - 300.0).abs() < 1e-12);
        assert!(Phases::default().at(3).abs() < 1e-12);
    }
}
