//! Vehicles to fly, built in code: a light trainer of invented figures, with a shaft of closed forms that turns either way.

use base::frames::Vec3;
use flight::aerodynamics::Reference;
use flight::aerodynamics::component::{
    BodyFigures, Component, ComponentFigures, LiftFigures, Surface, Wing,
};
use flight::budget::{Budget, Cause, Switches, Wrench};
use flight::controls::{Actuator, Actuators, Inputs};
use flight::flow::Flow;
use flight::propulsion::{Propulsion, Running, Wash};
use flight::vehicle::{Inertia, MassProperties, Vehicle};

/// How much longer, slower and heavier everything is: factors of length, time and mass.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Scale {
    pub(crate) length: f64,
    pub(crate) time: f64,
    pub(crate) mass: f64,
}

impl Scale {
    pub(crate) const ONE: Self = Self { length: 1.0, time: 1.0, mass: 1.0 };

    pub(crate) fn speed(self) -> f64 {
        self.length / self.time
    }
    pub(crate) fn inertia(self) -> f64 {
        self.mass * self.length * self.length
    }
}

const WING: Wing = Wing {
    lift: LiftFigures {
        zero: 0.3,
        slope_per_rad: 4.5,
        greatest: 1.48,
        least: -0.87,
        sharpness_per_rad: 15.0,
    },
    taper: 0.7,
    moment_zero: -0.04,
    center_ahead: 0.05,
    center_back_separated: 0.12,
    roll_per_rad_sideslip: -0.06,
    aileron_roll_per_rad: -0.165,
    aileron_adverse: 0.15,
    wash_share: 0.12,
    flap_lift_per_rad: 0.9,
    flap_drag_per_rad: 0.1,
    flap_moment_per_rad: -0.1,
};
const BODY: BodyFigures = BodyFigures {
    drag_zero_lift: 0.033,
    drag_induced: 0.0611,
    drag_sideslip: 0.3,
    side_per_rad: -0.12,
    yaw_per_rad: -0.04,
};
const TAIL: Surface = Surface {
    area_m2: 3.0,
    arm_m: 4.6,
    height_m: 0.2,
    slope_per_rad: 3.5,
    incidence_rad: -0.035,
    control_share: 0.55,
    wash_slope: 0.4,
    wash_share: 0.5,
    lift_max: 1.1,
};
const FIN: Surface = Surface {
    area_m2: 1.5,
    arm_m: 4.7,
    height_m: 0.9,
    slope_per_rad: 2.6,
    incidence_rad: 0.01,
    control_share: 0.5,
    wash_slope: 0.1,
    wash_share: 0.6,
    lift_max: 1.2,
};

fn figures(side: f64, scale: Scale) -> ComponentFigures {
    let (length, area) = (scale.length, scale.length * scale.length);
    let surface = |s: Surface, side: f64| Surface {
        area_m2: s.area_m2 * area,
        arm_m: s.arm_m * length,
        height_m: s.height_m * length,
        incidence_rad: s.incidence_rad * side,
        ..s
    };
    ComponentFigures {
        reference: Reference {
            area_m2: 15.8 * area,
            span_m: 10.4 * length,
            chord_m: 1.52 * length,
        },
        wing: WING,
        body: BODY,
        tail: surface(TAIL, 1.0),
        fin: surface(FIN, side),
    }
}

/// A trainer whose shaft turns clockwise (`side` 1) or the other way (-1); its fin, set askew against it, is mirrored too.
pub(crate) fn trainer(side: f64, scale: Scale) -> Vehicle {
    let inertia = scale.inertia();
    let inertia = Inertia {
        xx: 1150.0 * inertia,
        yy: 1650.0 * inertia,
        zz: 2550.0 * inertia,
        xz: 40.0 * inertia,
    };
    let following = Actuator {
        limits_rad: (-0.4, 0.35),
        rate_max_radps: 1.5 / scale.time,
        lag_s: 0.05 * scale.time,
    };
    let even = Actuator { limits_rad: (-0.35, 0.35), ..following };
    Vehicle {
        mass: MassProperties::new(930.0 * scale.mass, inertia).expect("a body"),
        reference_from_center: Vec3::new(0.03, 0.0, 0.05) * scale.length,
        aerodynamics: Box::new(Component::new(figures(side, scale)).expect("a stall")),
        propulsion: Box::new(Shaft { side, scale }),
        actuators: Actuators { elevator: following, aileron: even, rudder: even },
        switches: Switches::ALL,
    }
}

/// Closed forms with every cause in them: constant power at a speed of the shaft that follows the throttle.
#[derive(Debug)]
struct Shaft {
    side: f64,
    scale: Scale,
}

impl Propulsion for Shaft {
    fn run(&self, flow: &Flow, inputs: &Inputs, state: f64, budget: &mut Budget) -> Running {
        let s = self.scale;
        let radius_m = 0.95 * s.length;
        let disk_m2 = std::f64::consts::PI * radius_m * radius_m;
        let thrust_n =
            flow.air.density_kgpm3 * disk_m2 * state * state * radius_m * radius_m * 0.006;
        let power_w = thrust_n * (flow.speed_mps + 10.0 * s.speed());
        let torque_nm = 0.06 * thrust_n * radius_m;
        let momentum = 1.3 * s.inertia() * state;
        let pressure_rise_pa = thrust_n / disk_m2;
        let speed = flow.speed_mps;
        let rise = (speed * speed + 2.0 * pressure_rise_pa / flow.air.density_kgpm3).sqrt() - speed;
        let place = Vec3::new(1.6, 0.0, -0.1) * s.length;
        budget.add(Cause::Thrust, Wrench::at(Vec3::new(thrust_n, 0.0, 0.0), place));
        let torque = Vec3::new(-self.side * torque_nm, 0.0, 0.0);
        budget.add(Cause::Torque, Wrench::moment(torque));
        let (across, up) = (flow.beta_sin_cos.0, flow.alpha_sin_cos.0);
        let normal = Vec3::new(0.0, -0.1 * thrust_n * across, -0.1 * thrust_n * up);
        let arm = self.side * 0.05 * thrust_n * radius_m;
        let moment = Vec3::new(0.0, -arm * across, -arm * up);
        let turned = Wrench::at(normal, place);
        let normal = Wrench { force_n: turned.force_n, moment_nm: turned.moment_nm + moment };
        budget.add(Cause::NormalForce, normal);
        let spin = Vec3::new(self.side * momentum, 0.0, 0.0);
        budget.add(Cause::Gyroscopic, Wrench::moment(spin.cross(flow.rates_radps)));
        let wash = Wash {
            pressure_rise_pa,
            speed_rise_mps: rise,
            radius_m: 0.8 * radius_m,
            swirl_radps: self.side * 0.1 * state,
        };
        let state_rate = (250.0 * inputs.throttle / s.time - state) / (0.5 * s.time);
        Running { state_rate, wash, thrust_n, power_w, speed_radps: state }
    }
    fn settled(&self, _: &Flow, inputs: &Inputs) -> f64 {
        250.0 * inputs.throttle / self.scale.time
    }
}
