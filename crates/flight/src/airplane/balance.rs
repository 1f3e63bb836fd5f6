//! Weight and balance: stations, limits, and what the center of gravity does to stall, stick force and maneuvering speed.

use base::kinds::IndicatedAirspeed;
use base::numerics::interpolation::linear;
use base::typed_toml::Section;
use base::units::{Length, Mass};

use super::Airplane;

#[cfg(test)]
mod tests;

/// Weight and balance as the manual states them. Arms behind the datum.
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// Arm of the empty airplane.
    pub empty_arm: Length,
    /// Arm of the leading edge of the mean chord.
    pub leading_edge: Length,
    /// Mean chord.
    pub chord: Length,
    /// From the quarter chord of the wing to that of the tail.
    pub tail_arm: Length,
    /// Where the airplane is neutral in pitch, stick fixed, mean chords behind the leading edge, if known.
    pub neutral_point: Option<f64>,
    /// Limits by mass, masses rising.
    pub envelope: Vec<EnvelopeRow>,
    /// Seats, tanks, lockers.
    pub stations: Vec<Station>,
}

/// Limits of the center of gravity at one mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnvelopeRow {
    /// Mass.
    pub mass: Mass,
    /// Foremost arm.
    pub forward: Length,
    /// Rearmost arm.
    pub aft: Length,
}

/// A seat, tank or locker.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// As the manual names it.
    pub name: String,
    /// Behind the datum.
    pub arm: Length,
    /// Most it may hold.
    pub mass_max: Option<Mass>,
    /// Whether it holds fuel, which burns off.
    pub fuel: bool,
}

/// Mass of a liter of aviation gasoline: 0.72 kg (6.0 lb a US gallon; common practice, no source).
pub const FUEL_KG_PER_L: f64 = 0.72;

/// What was put on a station.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// Number of the station.
    pub station: usize,
    /// How much.
    pub mass: Mass,
}

/// The airplane as loaded.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// Rows: empty airplane first, then what was put where, with arms.
    pub rows: Vec<(String, Mass, Length)>,
    /// With everything.
    pub take_off: Point,
    /// Without the fuel.
    pub no_fuel: Point,
    /// What the center of gravity does, with everything.
    pub effects: Effects,
    /// Limits that are passed, in words with numbers; empty when all are kept.
    pub passed: Vec<String>,
}

/// Mass and center of gravity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Mass.
    pub mass: Mass,
    /// Arm.
    pub arm: Length,
    /// Limits at this mass.
    pub limits: (Length, Length),
    /// Mean chords behind the leading edge.
    pub chords: f64,
}

/// What mass and center of gravity do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effects {
    /// Stall speed, flaps up, idle, one g, at this mass and center of gravity.
    pub stall: IndicatedAirspeed,
    /// The same with the center of gravity at the forward limit, as manuals state it.
    pub stall_forward: IndicatedAirspeed,
    /// Maneuvering speed at this mass; lower by the square root of mass than at the greatest, and by the stall speed where it is lower.
    pub maneuvering: IndicatedAirspeed,
    /// Static margin, mean chords, when the neutral point is known.
    pub static_margin: Option<f64>,
    /// Stick force for a g over that at the forward limit, when the neutral point is known.
    pub stick_force_share: Option<f64>,
}

/// Reads `[balance]` and `[[station]]`; `None` without the first.
pub fn read(root: &Section<'_>) -> Option<Balance> {
    let stations: Vec<Station> = root.sections("station").iter().filter_map(station).collect();
    let section = root.optional_section("balance")?;
    let _ = section.optional_text("source");
    let (empty_arm, leading_edge) =
        (section.quantity("empty_arm"), section.quantity("leading_edge"));
    let chord = section.within("chord", Length::from_m(0.4), Length::from_m(6.0));
    let tail_arm = if section.has("tail_arm") {
        section.within("tail_arm", Length::from_m(1.0), Length::from_m(20.0))
    } else {
        // Three mean chords: common practice, no source.
        chord.map(|chord: Length| chord * 3.0)
    };
    let neutral_point = section.optional_number("neutral_point", 0.1..=0.9);
    let envelope = envelope(&section);
    section.refuse_unknown();
    Some(Balance {
        empty_arm: empty_arm?,
        leading_edge: leading_edge?,
        chord: chord?,
        tail_arm: tail_arm?,
        neutral_point,
        envelope: envelope?,
        stations,
    })
}

fn station(section: &Section<'_>) -> Option<Station> {
    let (name, arm) = (section.text("name"), section.quantity::<Length>("arm"));
    let mass_max = if section.has("mass_max") { section.positive("mass_max") } else { None };
    let fuel = section.flag("fuel");
    section.refuse_unknown();
    Some(Station { name: name?, arm: arm?, mass_max, fuel })
}

/// Three lists of one length, in kg and m or in lb and in.
fn envelope(section: &Section<'_>) -> Option<Vec<EnvelopeRow>> {
    let pounds = section.has("mass_lb");
    let keys = if pounds {
        ["mass_lb", "forward_in", "aft_in"]
    } else {
        ["mass_kg", "forward_m", "aft_m"]
    };
    let [mass, forward, aft] = keys.map(|key| section.numbers(key));
    let fault = |key: &'static str, what: String| {
        let hint =
            "give three lists of one length: masses rising, foremost and rearmost arm at each";
        section.fault(key, what, hint);
        None
    };
    if mass.is_empty() || mass.len() != forward.len() || mass.len() != aft.len() {
        let what = format!(
            "{} masses, {} foremost and {} rearmost arms",
            mass.len(),
            forward.len(),
            aft.len()
        );
        return fault(keys[0], what);
    }
    if mass[0] <= 0.0 || mass.windows(2).any(|pair| pair[0] >= pair[1]) {
        return fault(keys[0], "the masses of the envelope must be above zero and rise".into());
    }
    if forward.iter().zip(&aft).any(|(forward, aft)| forward >= aft) {
        return fault(keys[1], "a foremost arm is not ahead of the rearmost one".into());
    }
    let kg = |mass: f64| if pounds { Mass::from_lb(mass) } else { Mass::from_kg(mass) };
    let m = |arm: f64| if pounds { Length::from_in(arm) } else { Length::from_m(arm) };
    let row = |i: usize| EnvelopeRow { mass: kg(mass[i]), forward: m(forward[i]), aft: m(aft[i]) };
    Some((0..mass.len()).map(row).collect())
}

impl Balance {
    /// The station of a name, in any letters; `None` when there is none or more than one begins so.
    #[must_use]
    pub fn station(&self, name: &str) -> Option<usize> {
        let typed = name.trim().to_lowercase();
        let exact = self.stations.iter().position(|one| one.name.to_lowercase() == typed);
        exact.or_else(|| {
            let begins =
                |one: &Station| !typed.is_empty() && one.name.to_lowercase().starts_with(&typed);
            let mut found = self.stations.iter().enumerate().filter(|(_, one)| begins(one));
            let first = found.next()?.0;
            found.next().is_none().then_some(first)
        })
    }
    /// Foremost and rearmost arm at a mass; held at the ends of the table.
    #[must_use]
    pub fn limits(&self, mass: Mass) -> (Length, Length) {
        let masses: Vec<f64> = self.envelope.iter().map(|row| row.mass.to_kg()).collect();
        let at = |arms: Vec<f64>| {
            let held = mass.to_kg().clamp(masses[0], masses[masses.len() - 1]);
            Length::from_m(if masses.len() == 1 { arms[0] } else { linear(&masses, &arms, held) })
        };
        (
            at(self.envelope.iter().map(|row| row.forward.to_m()).collect()),
            at(self.envelope.iter().map(|row| row.aft.to_m()).collect()),
        )
    }
    /// Mean chords behind the leading edge.
    #[must_use]
    pub fn chords(&self, arm: Length) -> f64 {
        (arm - self.leading_edge) / self.chord
    }
    fn point(&self, mass_kg: f64, moment: f64) -> Point {
        let (mass, arm) = (Mass::from_kg(mass_kg), Length::from_m(moment / mass_kg));
        Point { mass, arm, limits: self.limits(mass), chords: self.chords(arm) }
    }
    /// Greatest lift with the center of gravity so many chords back, over that with it at the quarter chord: the tail's share of lift.
    fn lift_share(&self, chords: f64) -> f64 {
        1.0 + (chords - 0.25) * (self.chord / self.tail_arm)
    }
}

impl Airplane {
    /// The airplane with loads on its stations; `None` when its file states no weight and balance.
    #[must_use]
    pub fn loaded(&self, loads: &[Load]) -> Option<Loaded> {
        let balance = self.stated.balance.as_ref()?;
        let mut rows = vec![("empty airplane".to_string(), self.masses.empty, balance.empty_arm)];
        for load in loads {
            let station = &balance.stations[load.station];
            rows.push((station.name.clone(), load.mass, station.arm));
        }
        let sum = |keep: &dyn Fn(usize) -> bool| {
            rows.iter().enumerate().filter(|(row, _)| keep(*row)).fold(
                (0.0, 0.0),
                |(mass, moment), (_, (_, more, arm))| {
                    (mass + more.to_kg(), moment + more.to_kg() * arm.to_m())
                },
            )
        };
        let fuel = |row: usize| row > 0 && balance.stations[loads[row - 1].station].fuel;
        let (mass_kg, moment) = sum(&|_| true);
        let take_off = balance.point(mass_kg, moment);
        let (mass_kg, moment) = sum(&|row| !fuel(row));
        let no_fuel = balance.point(mass_kg, moment);
        let effects = self.effects(balance, &take_off);
        let passed = self.passed(balance, loads, (&take_off, &no_fuel));
        Some(Loaded { rows, take_off, no_fuel, effects, passed })
    }

    /// What the center of gravity does.
    ///
    /// # Source
    /// Trimmed lift: balance of wing and tail about the center of gravity (any text on stability). 14-CFR-23 (23.49): stall speeds are
    /// stated with the center of gravity where they are highest. Stick force for a g: in proportion to the distance of the center of
    /// gravity from the maneuver point, which lies behind the neutral point by some 0.05 mean chords (common practice, no source).
    fn effects(&self, balance: &Balance, point: &Point) -> Effects {
        const MANEUVER_POINT_BEHIND: f64 = 0.05;
        let one = base::units::LoadFactor::from_g(1.0);
        let forward = balance.chords(point.limits.0);
        let gained = balance.lift_share(point.chords) / balance.lift_share(forward);
        let stated = self.stall_speed(point.mass, one);
        let stall = stated * (1.0 / gained.max(0.5)).sqrt();
        let lower = (stall / stated).min(1.0);
        let maneuvering = self.calibrated(self.maneuvering_speed(point.mass)) * lower;
        let margin = balance.neutral_point.map(|neutral| neutral - point.chords);
        let to_maneuver = |chords: f64| {
            balance.neutral_point.map(|neutral| neutral + MANEUVER_POINT_BEHIND - chords)
        };
        let share = to_maneuver(point.chords).zip(to_maneuver(forward));
        Effects {
            stall: self.indicated(stall),
            stall_forward: self.indicated(stated),
            maneuvering: self.indicated(maneuvering),
            static_margin: margin,
            stick_force_share: share.filter(|(_, at)| *at > 0.0).map(|(here, at)| here / at),
        }
    }

    /// Limits that are passed.
    fn passed(&self, balance: &Balance, loads: &[Load], points: (&Point, &Point)) -> Vec<String> {
        let mut out = Vec::new();
        let (take_off, no_fuel) = points;
        if take_off.mass > self.masses.maximum {
            out.push(format!(
                "take-off mass {:.0} kg is {:.0} kg over the maximum of {:.0} kg",
                take_off.mass.to_kg(),
                (take_off.mass - self.masses.maximum).to_kg(),
                self.masses.maximum.to_kg()
            ));
        }
        for (number, station) in balance.stations.iter().enumerate() {
            let on_it: f64 =
                loads.iter().filter(|l| l.station == number).map(|l| l.mass.to_kg()).sum();
            if let Some(most) = station.mass_max.filter(|most| on_it > most.to_kg() + 1e-9) {
                let over = on_it - most.to_kg();
                out.push(format!(
                    "{}: {on_it:.0} kg is {over:.0} kg over its {:.0} kg",
                    station.name,
                    most.to_kg()
                ));
            }
        }
        for (when, point) in [("at take-off", take_off), ("without fuel", no_fuel)] {
            let (forward, aft) = point.limits;
            let off = |which: &str, limit: Length| {
                format!(
                    "center of gravity {when} {:.3} m is {:.0} mm {which} the limit of {:.3} m at {:.0} kg",
                    point.arm.to_m(),
                    1000.0 * (point.arm - limit).to_m().abs(),
                    limit.to_m(),
                    point.mass.to_kg()
                )
            };
            if point.arm < forward {
                out.push(off("ahead of", forward));
            } else if point.arm > aft {
                out.push(off("behind", aft));
            }
        }
        out
    }
}
