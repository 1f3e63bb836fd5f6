//! Each cause can be switched off, and what is then missing is its share.

use flight::air::{AirColumn, Day};
use flight::budget::{Cause, Switches, Wrench};
use flight::earth::Earth;
use flight::vehicle::{Instant, World};
use flight::wind::Wind;

use super::airframes::{Scale, trainer};
use super::{hands, lively};

fn instant(switches: Switches) -> Instant {
    let air = AirColumn::of_day(&Day::standard(), 0.0, 6000.0);
    let world = World { earth: Earth::FLAT, air: &air, wind: &Wind::CALM };
    let vehicle = flight::vehicle::Vehicle { switches, ..trainer(1.0, Scale::ONE) };
    vehicle.instant(&world, 0.0, &lively(&Earth::FLAT), &hands())
}

fn assert_same(words: &str, a: Wrench, b: Wrench) {
    let (force, moment) = (a.force_n - b.force_n, a.moment_nm - b.moment_nm);
    assert!(force.norm() < 1e-9 && moment.norm() < 1e-9, "{words}: {a:?} {b:?}");
}

#[test]
fn prop_shares_sum_to_the_total() {
    let budget = instant(Switches::ALL).budget;
    let sum = Cause::ALL.iter().fold(Wrench::ZERO, |sum, &cause| sum + budget.share(cause));
    assert_same("all", sum, budget.total());
    assert!(budget.total().force_n.norm() > 1000.0);
}

#[test]
fn prop_what_is_switched_off_is_missing() {
    // The lag of the downwash depends on all forces; with it off every cause stands alone.
    let still = Switches::ALL.without(Cause::IncidenceRate);
    let whole = instant(still).budget;
    for &cause in Cause::ALL.iter().filter(|&&cause| cause != Cause::IncidenceRate) {
        let budget = instant(still.without(cause)).budget;
        assert_same(cause.key(), budget.total() + whole.share(cause), whole.total());
        assert_same(cause.key(), budget.share(cause), Wrench::ZERO);
        assert!(whole.share(cause) != Wrench::ZERO, "{cause:?} must act here");
    }
    let every = instant(Switches::ALL).budget;
    assert_same("lag", whole.total() + every.share(Cause::IncidenceRate), every.total());
}

#[test]
fn prop_alone_one_after_the_other_they_make_the_whole() {
    let only = |kept: Cause| {
        let others = Cause::ALL.iter().filter(|&&cause| cause != kept);
        others.fold(Switches::ALL, |switches, &cause| switches.without(cause))
    };
    let causes = Cause::ALL.iter().filter(|&&cause| cause != Cause::IncidenceRate);
    let sum = causes.fold(Wrench::ZERO, |sum, &cause| sum + instant(only(cause)).budget.total());
    let still = Switches::ALL.without(Cause::IncidenceRate);
    assert_same("one by one", sum, instant(still).budget.total());
}
