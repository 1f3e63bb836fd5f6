//! The airplanes from public figures: read, fitted, built; half of their figures foretells the other half.

use handbook::evidence::{self, Evidence};
use handbook::fit::{fit, fit_to};
use handbook::model::Condition;
use handbook::{Figures, file, library, unknowns};

#[test]
fn val_every_airplane_of_the_library_hangs_together() {
    for (id, text) in library::ALL {
        let figures = Figures::from_toml(text, id).unwrap_or_else(|faults| panic!("{faults}"));
        assert_eq!(figures.id, *id);
        let fitted = fit(&figures);
        let told: Vec<String> =
            fitted.contradictions().into_iter().map(|i| fitted.contradiction_words(i)).collect();
        assert!(told.is_empty(), "{id} {told:?}");
        file::build(&figures, &fitted).unwrap_or_else(|faults| panic!("{faults}"));
    }
}

/// Performance that a fit may be asked for.
fn is_performance(one: &Evidence) -> bool {
    matches!(one.condition, Condition::Climb { .. } | Condition::LevelSpeed { .. })
}

/// Each airplane is fitted on the data plate, the speeds and every other figure of performance, and foretells the rest, twice over. A
/// figure counts with its own doubt as a published one.
#[test]
fn val_half_of_the_public_figures_foretells_the_rest() {
    let (mut inside, mut all, mut climb, mut level) = (0, 0, Vec::new(), Vec::new());
    for (id, text) in library::ALL {
        let figures = Figures::from_toml(text, id).unwrap();
        let (evidence, _) = evidence::of(&figures);
        for odd in [0, 1] {
            let mut number = 0;
            let (hidden, kept): (Vec<Evidence>, Vec<Evidence>) =
                evidence.iter().cloned().partition(|one| {
                    number += usize::from(is_performance(one));
                    is_performance(one) && number % 2 == odd
                });
            let fitted = fit_to(unknowns::frame(&figures), unknowns::of(&figures), kept, vec![]);
            for one in hidden {
                let band = fitted.predict(&one.condition).unwrap();
                let off = (one.value - band.value) / base::math::hypot(band.sigma, one.sigma);
                let share = band.value / one.value - 1.0;
                println!(
                    "{id}: {:40} {} foretold {} off {off:.1} sigmas, {:+.1} %",
                    one.words,
                    one.unit.words(one.value),
                    one.unit.words(band.value),
                    100.0 * share
                );
                all += 1;
                inside += usize::from(off.abs() < 1.96);
                let climbing = matches!(one.condition, Condition::Climb { .. });
                if climbing { climb.push(share.abs()) } else { level.push(share.abs()) }
            }
        }
    }
    let middle = |list: &[f64]| base::numerics::statistics::median(list).unwrap();
    println!(
        "{inside} of {all} inside 95 %; median error {:.1} % in climb, {:.1} % in level speed",
        100.0 * middle(&climb),
        100.0 * middle(&level)
    );
    assert!(inside * 100 >= all * 90, "{inside} of {all}");
    assert!(middle(&level) < 0.03 && middle(&climb) < 0.12, "{climb:?} {level:?}");
}
