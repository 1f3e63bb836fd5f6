//! The diagram of speed and load (V-n) of a category at a mass, as data: what a picture draws and a table lists.
//!
//! Speeds are calibrated. The outline ends at the never-exceed speed; the negative limit falls off from the design cruising to the design
//! dive speed (14-CFR-23.333). Where the file states no design speeds, V_NO and V_NE stand in for them: they are not above them
//! (14-CFR-23), so that the diagram is not larger than the true one.

use base::kinds::CalibratedAirspeed;
use base::numerics::root;
use base::units::{LoadFactor, Mass, Speed};

use super::categories::rolling_limit_load;
use super::gust::{GustAt, design_gust};
use crate::air::Air;
use crate::airplane::stated::Flap;
use crate::airplane::{Airplane, Category};
use crate::airspeed::{
    calibrated_from_true, equivalent_from_true, true_from_calibrated, true_from_equivalent,
};

/// A point of the diagram.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Speed.
    pub speed: CalibratedAirspeed,
    /// Load factor.
    pub load: LoadFactor,
}

/// Where a speed of the diagram comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpeedBasis {
    /// A design speed stated by the file.
    Design,
    /// The operating limit (V_NO, V_NE), which is not above the design speed.
    OperatingLimit,
}

/// A point with a name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// What it is.
    pub name: MarkName,
    /// Where.
    pub point: Point,
}

/// Names of points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkName {
    /// Stall at one g, flaps up, idle.
    Stall,
    /// Stall at one g negative.
    StallNegative,
    /// Where the stall line meets the positive limit: `V_S sqrt(n)`.
    ManeuveringDesign,
    /// The stated maneuvering speed at this mass, on the positive limit or the stall line below it.
    ManeuveringStated,
    /// Where the negative stall line meets the negative limit.
    ManeuveringNegative,
    /// Greatest structural cruising speed, on the positive limit.
    NormalMax,
    /// Never-exceed speed, on the positive limit.
    NeverExceed,
}

/// The line of a gust from one g at rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GustLine {
    /// Which speed it is drawn to.
    pub at: GustAt,
    /// Derived gust velocity, up positive.
    pub gust: Speed,
    /// Its end; the line starts at one g and no speed.
    pub end: Point,
    /// Whether the end lies beyond the limit loads.
    pub beyond_limit: bool,
    /// Whether the wing stalls before that load is reached.
    pub stalls_first: bool,
}

/// The envelope with flaps at one position: from rest along the stall line to the limit, to the flap speed, down to nil.
#[derive(Debug, Clone, PartialEq)]
pub struct FlapEnvelope {
    /// Name of the position.
    pub name: String,
    /// Stall line up to the limit.
    pub stall: Vec<Point>,
    /// Positive limit load factor.
    pub limit: LoadFactor,
    /// Flaps-extended speed at the limit, or on the stall line where that is reached first.
    pub end: Point,
    /// Up and down gusts at the flaps-extended speed.
    pub gusts: [GustLine; 2],
}

/// The diagram.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagram {
    /// Name of the category.
    pub category: String,
    /// Mass.
    pub mass: Mass,
    /// Stall line to the positive limit, or to the never-exceed speed where that comes first; from rest.
    pub stall_positive: Vec<Point>,
    /// Stall line to the negative limit, alike.
    pub stall_negative: Vec<Point>,
    /// The whole outline, clockwise from rest (speed to the right, load up) and back to it.
    pub outline: Vec<Point>,
    /// Points with names, by speed.
    pub marks: Vec<Mark>,
    /// Design cruising speed, or V_NO.
    pub cruise: (CalibratedAirspeed, SpeedBasis),
    /// Design dive speed, or V_NE.
    pub dive: (CalibratedAirspeed, SpeedBasis),
    /// Gust lines to both speeds, up and down.
    pub gusts: Vec<GustLine>,
    /// Greatest load factor while rolling.
    pub rolling_limit: LoadFactor,
    /// With flaps; empty when the file states none.
    pub flaps: Vec<FlapEnvelope>,
}

/// Why there is no diagram.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DiagramError {
    /// The mass is not allowed in that category.
    #[error("{:.0} kg is above the {:.0} kg of the {category} category", .mass.to_kg(), .mass_max.to_kg())]
    Mass {
        /// Name of the category.
        category: String,
        /// As asked.
        mass: Mass,
        /// Greatest of the category.
        mass_max: Mass,
    },
}

/// Points of each curved line.
const N_CURVE: usize = 33;

impl Airplane {
    /// The diagram of a category at a mass in this air (the air bears on gusts only).
    ///
    /// # Errors
    /// When the category does not allow the mass.
    pub fn diagram(
        &self,
        category: &Category,
        mass: Mass,
        air: &Air,
    ) -> Result<Diagram, DiagramError> {
        if mass > category.mass_max {
            let (category, mass_max) = (category.name.clone(), category.mass_max);
            return Err(DiagramError::Mass { category, mass, mass_max });
        }
        Ok(Frame::new(self, category, mass, air).diagram())
    }
}

/// What the parts of the diagram share.
struct Frame<'a> {
    airplane: &'a Airplane,
    category: &'a Category,
    mass: Mass,
    air: &'a Air,
    /// One g, flaps up, positive and negative.
    stall: [CalibratedAirspeed; 2],
    cruise: (CalibratedAirspeed, SpeedBasis),
    dive: (CalibratedAirspeed, SpeedBasis),
    edge: CalibratedAirspeed,
}

impl<'a> Frame<'a> {
    fn new(airplane: &'a Airplane, category: &'a Category, mass: Mass, air: &'a Air) -> Self {
        let one = LoadFactor::from_g(1.0);
        let lift = &airplane.aerodynamics;
        let stall = [lift.lift_max, -lift.lift_min]
            .map(|lift| airplane.stall_speed_of_lift(mass, one, lift));
        let design = airplane.stated.design_speeds;
        let calibrated = |speed| calibrated_from_true(true_from_equivalent(speed, air), air);
        let of = |design, limit| match design {
            Some(speed) => (calibrated(speed), SpeedBasis::Design),
            None => (airplane.calibrated(limit), SpeedBasis::OperatingLimit),
        };
        let speeds = &airplane.speeds;
        Self {
            airplane,
            category,
            mass,
            air,
            stall,
            cruise: of(design.map(|design| design.cruise), speeds.normal_max),
            dive: of(design.map(|design| design.dive), speeds.never_exceed),
            edge: airplane.calibrated(speeds.never_exceed),
        }
    }
    fn diagram(&self) -> Diagram {
        let top = self.category.load_factor_max;
        let corner = at_most(self.stall[0] * top.to_g().sqrt(), self.edge);
        let corner_negative = self.corner_negative();
        let stall_positive = stall_line(self.stall[0], corner, 1.0);
        let stall_negative = stall_line(self.stall[1], corner_negative, -1.0);
        let point = |speed, load_g| Point { speed, load: LoadFactor::from_g(load_g) };
        let mut outline = stall_positive.clone();
        outline.push(point(self.edge, self.upper_g(self.edge)));
        outline.push(point(self.edge, self.lower_g(self.edge)));
        if corner_negative < self.cruise.0 && self.cruise.0 < self.edge {
            outline.push(point(self.cruise.0, self.lower_g(self.cruise.0)));
        }
        outline.extend(stall_negative.iter().rev());
        Diagram {
            category: self.category.name.clone(),
            mass: self.mass,
            stall_positive,
            stall_negative,
            outline,
            marks: self.marks(corner, corner_negative),
            cruise: self.cruise,
            dive: self.dive,
            gusts: self.gusts(),
            rolling_limit: rolling_limit_load(top),
            flaps: self.airplane.stated.flaps.iter().map(|flap| self.flap(flap)).collect(),
        }
    }
    /// Greatest load factor at a speed.
    fn upper_g(&self, speed: CalibratedAirspeed) -> f64 {
        square(speed / self.stall[0]).min(self.category.load_factor_max.to_g())
    }
    /// Least load factor at a speed.
    fn lower_g(&self, speed: CalibratedAirspeed) -> f64 {
        (-square(speed / self.stall[1])).max(self.negative_limit_g(speed))
    }
    /// The negative limit: as stated to the design cruising speed, then linearly to that of the rule at the design dive speed.
    fn negative_limit_g(&self, speed: CalibratedAirspeed) -> f64 {
        let at_cruise = self.category.load_factor_min.to_g();
        let kind = self.category.kind();
        let at_dive = kind.map_or(0.0, |kind| kind.negative_at_dive().to_g()).max(at_cruise);
        let (cruise, dive) = (self.cruise.0.to_mps(), self.dive.0.to_mps());
        let beyond = ((speed.to_mps() - cruise) / (dive - cruise).max(1e-9)).clamp(0.0, 1.0);
        at_cruise + (at_dive - at_cruise) * beyond
    }
    /// Where the negative stall line meets the negative limit, at most the never-exceed speed.
    fn corner_negative(&self) -> CalibratedAirspeed {
        let above = |speed_mps: f64| {
            let speed = CalibratedAirspeed::from_mps(speed_mps);
            -square(speed / self.stall[1]) - self.negative_limit_g(speed)
        };
        // At rest the stall line is above the limit; where it still is at the edge, the wing cannot reach the limit.
        root::find(above, 0.0, self.edge.to_mps(), 1e-9)
            .map_or(self.edge, CalibratedAirspeed::from_mps)
    }
    fn marks(&self, corner: CalibratedAirspeed, corner_negative: CalibratedAirspeed) -> Vec<Mark> {
        let upper = |speed| Point { speed, load: LoadFactor::from_g(self.upper_g(speed)) };
        let lower = |speed| Point { speed, load: LoadFactor::from_g(self.lower_g(speed)) };
        let airplane = self.airplane;
        let maneuvering = airplane.calibrated(airplane.maneuvering_speed(self.mass));
        let normal_max = airplane.calibrated(airplane.speeds.normal_max);
        let mut marks = vec![
            Mark { name: MarkName::Stall, point: upper(self.stall[0]) },
            Mark { name: MarkName::StallNegative, point: lower(self.stall[1]) },
            Mark { name: MarkName::ManeuveringDesign, point: upper(corner) },
            Mark { name: MarkName::ManeuveringStated, point: upper(maneuvering) },
            Mark { name: MarkName::ManeuveringNegative, point: lower(corner_negative) },
            Mark { name: MarkName::NormalMax, point: upper(normal_max) },
            Mark { name: MarkName::NeverExceed, point: upper(self.edge) },
        ];
        marks.sort_by(|a, b| a.point.speed.to_mps().total_cmp(&b.point.speed.to_mps()));
        marks
    }
    fn gusts(&self) -> Vec<GustLine> {
        [(GustAt::Cruise, self.cruise.0), (GustAt::Dive, self.dive.0)]
            .into_iter()
            .flat_map(|(at, speed)| {
                let least = LoadFactor::from_g(self.negative_limit_g(speed));
                let limits = [least, self.category.load_factor_max];
                [1.0, -1.0].map(|sign| self.gust(at, sign, speed, limits, self.stall))
            })
            .collect()
    }
    fn gust(
        &self,
        at: GustAt,
        sign: f64,
        speed: CalibratedAirspeed,
        [least, most]: [LoadFactor; 2],
        stall: [CalibratedAirspeed; 2],
    ) -> GustLine {
        let gust = design_gust(at, self.air.pressure_altitude()) * sign;
        let equivalent = equivalent_from_true(true_from_calibrated(speed, self.air), self.air);
        let answer = self.airplane.gust_answer(self.mass, self.air.density);
        let load = answer.load(equivalent, gust);
        let stalls_first =
            load.to_g() > square(speed / stall[0]) || load.to_g() < -square(speed / stall[1]);
        let beyond_limit = load > most || load < least;
        GustLine { at, gust, end: Point { speed, load }, beyond_limit, stalls_first }
    }
    fn flap(&self, flap: &Flap) -> FlapEnvelope {
        let one = LoadFactor::from_g(1.0);
        let stall = self.airplane.stall_speed_of_lift(self.mass, one, flap.lift_max);
        let extended = self.airplane.calibrated(flap.extended_max);
        let limit = flap.load_factor_max;
        let corner = at_most(stall * limit.to_g().sqrt(), extended);
        let load = LoadFactor::from_g(square(extended / stall).min(limit.to_g()));
        let line = |sign| {
            let limits = [LoadFactor::ZERO, limit];
            self.gust(GustAt::FlapsExtended, sign, extended, limits, [stall, self.stall[1]])
        };
        FlapEnvelope {
            name: flap.name.clone(),
            stall: stall_line(stall, corner, 1.0),
            limit,
            end: Point { speed: extended, load },
            gusts: [line(1.0), line(-1.0)],
        }
    }
}

fn square(x: f64) -> f64 {
    x * x
}

/// The lower of two speeds: where a line ends that would go on to the first.
fn at_most(wanted: CalibratedAirspeed, edge: CalibratedAirspeed) -> CalibratedAirspeed {
    if wanted < edge { wanted } else { edge }
}

/// Points of `n = sign (V / V_S)^2` from rest to a speed, even in speed.
fn stall_line(stall: CalibratedAirspeed, to: CalibratedAirspeed, sign: f64) -> Vec<Point> {
    (0..N_CURVE)
        .map(|i| {
            let speed = to * (i as f64 / (N_CURVE - 1) as f64);
            Point { speed, load: LoadFactor::from_g(sign * square(speed / stall)) }
        })
        .collect()
}
