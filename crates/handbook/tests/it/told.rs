//! What a fit says of the template and of contradictions.

use base::factors::{M_PER_FT, MPS_PER_KT};
use handbook::figures::{Figures, TEMPLATE};
use handbook::fit;
use handbook::model::{Condition, LevelPower};

/// Prints a fit: one line a figure, one an unknown.
pub(crate) fn print(name: &str, fitted: &fit::Fitted) {
    println!("== {name}");
    for (one, residual) in fitted.evidence.iter().zip(&fitted.residuals) {
        println!(
            "{:52} {:>12} model {:>12} others {:>12} off {:5.1} {}",
            one.words,
            one.unit.words(one.value),
            one.unit.words(residual.model),
            one.unit.words(residual.others.value),
            residual.standardized,
            if residual.set_aside { "aside" } else { "" }
        );
    }
    for (i, (unknown, value)) in fitted.unknowns.iter().zip(&fitted.values).enumerate() {
        let sigma = 100.0 * fitted.sigma_log(i);
        println!("  {:28} {value:10.4} +- {sigma:4.1} % (usual {:.4})", unknown.key, unknown.usual);
    }
    for i in fitted.contradictions() {
        println!("  ! {}", fitted.contradiction_words(i));
    }
}

fn template(from: &str, to: &str) -> (Figures, fit::Fitted) {
    assert!(TEMPLATE.contains(from));
    let figures = Figures::from_toml(&TEMPLATE.replacen(from, to, 1), "template.toml").unwrap();
    let fitted = fit::fit(&figures);
    (figures, fitted)
}

#[test]
fn the_template_hangs_together() {
    let (figures, fitted) = template("id", "id");
    print("template", &fitted);
    assert!(fitted.contradictions().is_empty());
    let helpful = fitted.helpful(&figures);
    assert_eq!(helpful[0].words, "level speed at full throttle, low down");
    assert!(helpful.windows(2).all(|pair| pair[0].share >= pair[1].share));
    assert!(helpful.iter().all(|one| (0.0..1.0).contains(&one.share)), "{helpful:?}");
}

/// A climb rate typed 300 ft/min too high, the others untouched: named, with its line, and not absorbed.
#[test]
fn a_figure_that_cannot_be_right_is_named_and_left_out() {
    let (_, right) = template("id", "id");
    let (_, wrong) = template("rate = \"730 ft/min\"", "rate = \"1130 ft/min\"");
    print("wrong", &wrong);
    let worst = wrong.contradictions()[0];
    let words = wrong.contradiction_words(worst);
    assert!(words.contains("climb at 0 ft: handbook 1130 ft/min"), "{words}");
    assert!(wrong.residuals[worst].set_aside);
    let mass_kg = 1110.0;
    let climb = Condition::Climb { height_m: 1000.0, mass_kg, calibrated_mps: None };
    let (a, b) = (right.predict(&climb).unwrap(), wrong.predict(&climb).unwrap());
    assert!((a.value - b.value).abs() < b.sigma, "{a:?} {b:?}");
}

/// One more figure: the band of what it bears on grows narrower, and the expected gain was told.
#[test]
fn prop_a_helpful_figure_narrows_the_bands() {
    let more = "[[cruise]]\nheight = \"2000 ft\"\nfull_throttle = true\ntrue_airspeed = \"124 kt\"\n\n[[category]]\nname = \"normal\"";
    let (_, before) = template("id", "id");
    let (_, after) = template("[[category]]\nname = \"normal\"", more);
    let top = Condition::LevelSpeed {
        height_m: 3000.0 * M_PER_FT,
        mass_kg: 1110.0,
        power: LevelPower::Full,
    };
    let (wide, narrow) = (before.predict(&top).unwrap(), after.predict(&top).unwrap());
    println!("{:.2} kt, then {:.2} kt", wide.sigma / MPS_PER_KT, narrow.sigma / MPS_PER_KT);
    assert!(narrow.sigma < 0.8 * wide.sigma, "{wide:?} {narrow:?}");
}

/// Nothing but what a file must have: the class speaks, in wide bands that hold the invented truth of the template.
#[test]
fn few_figures_give_wide_bands() {
    let (figures, all) = template("id", "id");
    let few = Figures {
        climbs: vec![],
        cruises: vec![],
        stalls: vec![],
        speeds: Default::default(),
        ..figures
    };
    let few = fit::fit(&few);
    for condition in [
        Condition::Stall { position: 0, mass_kg: 1110.0 },
        Condition::Climb { height_m: 0.0, mass_kg: 1110.0, calibrated_mps: None },
        Condition::LevelSpeed { height_m: 1500.0, mass_kg: 1110.0, power: LevelPower::Share(0.65) },
    ] {
        let (wide, narrow) = (few.predict(&condition).unwrap(), all.predict(&condition).unwrap());
        assert!(wide.sigma > 1.5 * narrow.sigma, "{condition:?} {wide:?} {narrow:?}");
        assert!((wide.value - narrow.value).abs() < 2.5 * wide.sigma, "{wide:?} {narrow:?}");
    }
}

/// Every figure of the template replaced by what nobody means: an answer or named faults, never a panic, and faults have lines.
#[test]
fn prop_no_figure_breaks_it() {
    let lines: Vec<&str> = TEMPLATE.lines().collect();
    let (mut refused, mut built) = (0, 0);
    for (at, line) in lines.iter().enumerate().filter(|(_, line)| !line.starts_with('#')) {
        let Some((key, rest)) = line.split_once(" = ") else { continue };
        let digits: String = rest
            .trim_start_matches('"')
            .chars()
            .take_while(|c| c.is_ascii_digit() || *c == '.')
            .collect();
        if digits.is_empty() {
            continue;
        }
        for odd in ["0", "-3", "1e300", "1e-300", "1000000", "0.3", "nan"] {
            let changed = format!("{key} = {}", rest.replacen(&digits, odd, 1));
            let mut text = lines.clone();
            text[at] = &changed;
            match Figures::from_toml(&text.join("\n"), "odd") {
                Err(faults) => {
                    refused += 1;
                    assert!(
                        faults.faults.iter().all(|fault| fault.line > 0 && !fault.hint.is_empty()),
                        "{changed}: {faults:?}"
                    );
                }
                Ok(figures) => {
                    built += 1;
                    let fitted = fit::fit(&figures);
                    assert!(
                        fitted.values.iter().all(|value| value.is_finite() && *value > 0.0),
                        "{changed}"
                    );
                    // The file's own rules may refuse what passed here; then they say why.
                    if let Err(faults) = handbook::file::build(&figures, &fitted) {
                        assert!(!faults.hint().is_empty(), "{changed}");
                    }
                }
            }
        }
    }
    println!("{refused} refused, {built} fitted");
    assert!(refused > 150, "{refused}");
}
