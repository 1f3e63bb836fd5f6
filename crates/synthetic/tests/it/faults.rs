//! What was done wrong on purpose, and what the debrief makes of it: every figure with every deviation, by several hands in
//! several winds. Lines and signatures are not tuned to these flights; what is missed is counted and kept.

use crate::debriefed;
use assess::Attempt as Found;
use base::geodesy::Geodetic;
use base::kinds::{CalibratedAirspeed, GeometricHeight, Track, TrueHeading};
use base::numerics::statistics::SIGMAS_OF_95_PERCENT as SIGMAS;
use base::units::{Angle, Length, Mass, Speed};
use flight::air::Day;
use flight::airplane::{Airplane, bundled};
use flight::wind::Wind;
use maneuver::Direction::{Left, Right};
use synthetic::dice::Dice;
use synthetic::flown::{Attempt, Flown};
use synthetic::receiver::Receiver;
use synthetic::script::{Deviation, Figure, Hand, Piece, Setting};
use synthetic::{demo, table};

const fn deg(value: f64) -> Angle {
    Angle::from_deg(value)
}

/// Figure, form and what is done wrong.
const WRONG: &[(&str, &str, &[Deviation])] = &[
    (
        "steep-turn",
        "50",
        &[
            Deviation::None,
            Deviation::RolledOutEarly(deg(20.0)),
            Deviation::RolledOutLate(deg(20.0)),
            Deviation::HeightLost(Length::from_ft(180.0)),
        ],
    ),
    (
        "chandelle",
        "shallow",
        &[
            Deviation::None,
            Deviation::BankOff(deg(9.0)),
            Deviation::BankOff(deg(-9.0)),
            Deviation::RolledOutEarly(deg(16.0)),
            Deviation::RolledOutLate(deg(18.0)),
            Deviation::NoseLowAtTheEnd(deg(10.0)),
        ],
    ),
    (
        "lazy-eight",
        "standard",
        &[
            Deviation::None,
            Deviation::BankOff(deg(10.0)),
            Deviation::BankOff(deg(-10.0)),
            Deviation::RolledOutEarly(deg(16.0)),
            Deviation::RolledOutLate(deg(18.0)),
            Deviation::NoseLowAtTheEnd(deg(6.0)),
            Deviation::HurriedRoll(2.0),
        ],
    ),
    (
        "wing-over",
        "60",
        &[
            Deviation::BankOff(deg(5.0)),
            Deviation::BankOff(deg(-15.0)),
            Deviation::RolledOutEarly(deg(16.0)),
            Deviation::RolledOutLate(deg(18.0)),
            Deviation::NoseLowAtTheEnd(deg(8.0)),
            Deviation::HurriedRoll(1.7),
        ],
    ),
];

/// One flight of a figure with each of its deviations, ordinary flying between.
fn lesson(
    seed: u64,
    airplane: &Airplane,
    (key, form, wrong): (&'static str, &'static str, &[Deviation]),
) -> Flown {
    let mut dice = Dice::new(seed, 11);
    let from = Track::from_deg(dice.between(0.0, 359.0));
    let wind = Wind { from, speed: Speed::from_kt(dice.between(0.0, 25.0)) };
    let day = Day { wind, ..Day::standard() };
    let height = GeometricHeight::from_ft(3500.0);
    let setting = Setting {
        airplane,
        mass: Mass::from_kg(930.0),
        day: &day,
        place: Geodetic::from_deg(47.1, -31.4, 0.0),
        height,
        heading: TrueHeading::from_deg(dice.between(0.0, 359.0)),
        speed: CalibratedAirspeed::from_kt(dice.between(91.0, 95.5)),
        hand: Hand { bank_deg: dice.between(0.6, 1.4), ..Hand::PRACTISED },
        seed,
    };
    let mut pieces = vec![Piece::Straight { seconds: 20.0 }];
    for deviation in wrong {
        let direction = if dice.share() < 0.5 { Left } else { Right };
        let figure = Figure { maneuver: key, form, direction, deviation: *deviation };
        let through = deg(dice.between(50.0, 140.0));
        pieces.push(Piece::Figure(figure));
        pieces.push(Piece::Straight { seconds: 12.0 });
        pieces.push(Piece::Descent { to: height });
        pieces.push(Piece::Turn { direction: direction.opposite(), through, bank: deg(20.0) });
        pieces.push(Piece::Straight { seconds: 25.0 });
    }
    synthetic::fly(setting, &pieces).expect("the airplane flies it")
}

#[derive(Default, Debug, PartialEq)]
struct Count {
    flown: usize,
    found: usize,
    invented: usize,
    wrong: usize,
    named: usize,
    right: usize,
    right_but_blamed: usize,
}

/// Fault keys that answer to a deviation: far enough short of its turn, a figure was broken off.
fn answers(fault: &'static str) -> Vec<&'static str> {
    match fault {
        "rolled-out-early" => vec![fault, "stopped-short"],
        _ => vec![fault],
    }
}

fn fits(wanted: &Attempt, found: &Found) -> bool {
    let both = wanted.end_s.min(found.end_s) - wanted.start_s.max(found.start_s);
    let either = wanted.end_s.max(found.end_s) - wanted.start_s.min(found.start_s);
    let figure = &wanted.figure;
    both > 0.5 * either
        && found.maneuver == figure.maneuver
        && found.direction == Some(figure.direction)
}

impl Count {
    fn add(&mut self, seed: u64, flown: &Flown, found: &[Found]) {
        self.flown += flown.attempts.len();
        let mut matched = 0;
        for wanted in &flown.attempts {
            let figure = &wanted.figure;
            let name = format!("seed {seed} {} {:?}", figure.maneuver, figure.deviation);
            let Some(found) = found.iter().find(|found| fits(wanted, found)) else {
                println!("{name}: not found");
                continue;
            };
            matched += 1;
            let named: Vec<&str> =
                found.parts.iter().flat_map(|part| &part.faults).map(|fault| fault.id).collect();
            match figure.fault() {
                Some(fault) => {
                    self.wrong += 1;
                    let seen = named.iter().any(|id| answers(fault).contains(id));
                    self.named += usize::from(seen);
                    let turned: Vec<String> = found
                        .parts
                        .iter()
                        .map(|part| {
                            let at = part.turned_deg;
                            format!("turned {:.1} ± {:.1}", at.value, SIGMAS * at.sigma)
                        })
                        .collect();
                    println!(
                        "{name}: {} {named:?} {}",
                        if seen { "named" } else { "missed" },
                        turned.join(", ")
                    );
                }
                None => {
                    self.right += 1;
                    self.right_but_blamed += usize::from(!named.is_empty());
                    println!("{name}: {named:?}");
                }
            }
        }
        self.found += matched;
        self.invented += found.len() - matched;
    }
}

#[test]
fn prop_every_deviation_is_found_and_most_are_named() {
    let airplane = bundled::load(demo::AIRPLANE).expect("bundled");
    let mut count = Count::default();
    for seed in 1..=4 {
        for wrong in WRONG {
            let flown = lesson(seed, &airplane, *wrong);
            let fixes = Receiver::usual(if seed % 2 == 0 { 2 } else { 10 }, 1, seed).fixes(&flown);
            let debrief = debriefed(wrong.0, &table::csv("", demo::start(), &fixes), &airplane);
            count.add(seed, &flown, &debrief.attempts);
        }
    }
    println!("deviations: {count:?}");
    // All should be found, none invented.
    assert!(count.flown == 92 && count.found == 92 && count.invented == 0, "{count:?}");
    // All but those too near their line for the recording should be named. Missed today: three chandelles that turn 15 degrees too far,
    // known to 6.4 at 95 %, where 10 are allowed (the hand was to turn 18 too far, and has no more speed for it); a wing-over rolled 1.7
    // times too fast, at one fix a second (named at five).
    // MISSED: at most one is wanted; today's count is held, so that any change is seen.
    assert_eq!((count.wrong, count.wrong - count.named), (76, 4), "{count:?}");
    assert_eq!((count.right, count.right_but_blamed), (16, 0), "{count:?}");
}
