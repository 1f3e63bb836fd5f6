//! Published light airplanes: what the class or a half of the figures predicts, against the rest. Nothing predicted follows directly from a
//! figure supplied.

use base::factors::{KG_PER_LB, M_PER_FT, MPS_PER_FPM, MPS_PER_KT, N_PER_LBF, W_PER_HP};
use handbook::Figures;
use handbook::fit::{Band, Fitted, fit};
use handbook::model::{Condition, LevelPower, place};

fn head(gear: &str, wing: &str, mass: &str, area: &str, span: &str) -> String {
    format!(
        "id = \"x\"\nname = \"X\"\nsource = \"as published\"\n[layout]\ngear = \"{gear}\"\nwing = \"{wing}\"\nseats = 4\n[mass]\nmaximum = \"{mass}\"\n[wing]\narea = \"{area}\"\nspan = \"{span}\"\n"
    )
}

fn fitted(text: &str) -> Fitted {
    fit(&Figures::from_toml(text, "published").unwrap_or_else(|faults| panic!("{faults}")))
}

/// Prints and judges one value against its 95 % band.
fn within(name: &str, band: Band, published: f64, unit: f64) {
    let (low, high) = band.ends();
    println!(
        "{name}: published {:.4}, predicted {:.4}, band {:.4} to {:.4}",
        published / unit,
        band.value / unit,
        low / unit,
        high / unit
    );
    assert!((low..=high).contains(&published), "{name}");
}

/// Drag coefficient at a lift coefficient with its band, from the covariance of the unknowns.
fn drag(fitted: &Fitted, lift: f64) -> Band {
    let (zero, induced) =
        (fitted.values[place::DRAG_ZERO], fitted.values[place::DRAG_INDUCED] * lift * lift);
    let (n, covariance) = (fitted.unknowns.len(), fitted.covariance());
    let at = |i: usize, j: usize| covariance[i * n + j];
    let (a, b) = (place::DRAG_ZERO, place::DRAG_INDUCED);
    let variance =
        zero * zero * at(a, a) + induced * induced * at(b, b) + 2.0 * zero * induced * at(a, b);
    Band { value: zero + induced, sigma: variance.sqrt() }
}

/// LOWRY-1999, the sample with a constant-speed propeller (235 hp, 3,100 lb, gear up): data plate, and its row at 8,000 ft, 65 % power and
/// 60 kt, predicted from the class and the sizes alone.
#[test]
fn val_lowry_sample_from_the_class() {
    let text = head("retractable", "high", "3100 lb", "174 ft2", "36 ft")
        + "[engine]\npower = \"235 hp\"\nspeed_rated = \"2400 rpm\"\n[propeller]\ntype = \"constant-speed\"\ndiameter = \"6.83 ft\"\n";
    let fitted = fitted(&text);
    let sigma =
        |i: usize| Band { value: fitted.values[i], sigma: fitted.values[i] * fitted.sigma_log(i) };
    within("drag without lift", sigma(place::DRAG_ZERO), 0.028_74, 1.0);
    let aspect = 36.0 * 36.0 / 174.0;
    within(
        "induced drag",
        sigma(place::DRAG_INDUCED),
        1.0 / (std::f64::consts::PI * aspect * 0.72),
        1.0,
    );
    let climb = Condition::ClimbAtPower {
        height_m: 8000.0 * M_PER_FT,
        mass_kg: 3100.0 * KG_PER_LB,
        calibrated_mps: 60.0 * MPS_PER_KT,
        shaft_w: 0.65 * 235.0 * W_PER_HP,
    };
    within(
        "climb at 65 % and 60 kt",
        fitted.predict(&climb).unwrap(),
        273.2 * MPS_PER_FPM,
        MPS_PER_FPM,
    );
    let thrust =
        fitted.model().thrust_at_n(8000.0 * M_PER_FT, 67.6 * MPS_PER_KT, 0.65 * 235.0 * W_PER_HP);
    println!("thrust {:.0} lbf, published 453", thrust / N_PER_LBF);
    assert!((thrust / (453.0 * N_PER_LBF) - 1.0).abs() < 0.15);
}

/// Navion (NELSON-1998: CD 0.05 at CL 0.41; FAA-RD-71-6: 0.04 at 0.30) and the Cessna 182 class of ROSKAM-AFD (0.032 at 0.307, its drag from
/// memory) from class and sizes alone.
#[test]
fn val_published_drag_from_the_class() {
    let engine = "[engine]\npower = \"185 hp\"\n[propeller]\ntype = \"constant-speed\"\n";
    let navion = fitted(&(head("retractable", "low", "2750 lb", "184 ft2", "33.4 ft") + engine));
    within("Navion drag at 0.41", drag(&navion, 0.41), 0.05, 1.0);
    within("Navion drag at 0.30", drag(&navion, 0.30), 0.04, 1.0);
    let engine = "[engine]\npower = \"230 hp\"\n[propeller]\ntype = \"constant-speed\"\n";
    let single = fitted(&(head("fixed", "high", "2650 lb", "174 ft2", "36 ft") + engine));
    within("182 class drag at 0.307", drag(&single, 0.307), 0.032, 1.0);
}

/// LOWRY-1999 p. 108: greatest lift coefficient 1.51, flaps up, from 52 kt calibrated at 2,400 lb and 174 ft2.
#[test]
fn val_stall_speed_from_the_class() {
    let engine = "[engine]\npower = \"160 hp\"\n[propeller]\ntype = \"fixed\"\n";
    let fitted = fitted(&(head("fixed", "high", "2400 lb", "174 ft2", "36 ft") + engine));
    let stall = Condition::Stall { position: 0, mass_kg: 2400.0 * KG_PER_LB };
    within("stall", fitted.predict(&stall).unwrap(), 52.0 * MPS_PER_KT, MPS_PER_KT);
}

/// DHC-2 Beaver: power for level flight at 6,000 ft and climb at sea level from the flight-identified model LR-556 (rows of our own
/// trim of it in the check table). Supplied: level speeds at two powers. Predicted: a third, and the climb at 35 m/s at two powers, with gear, wing
/// and size of the class; diameter 8.5 ft from memory.
#[test]
fn val_beaver_from_two_rows() {
    let rows = "[[cruise]]\nheight = \"6000 ft\"\npower = \"116.84 kW\"\ntrue_airspeed = \"45.0 m/s\"\n[[cruise]]\nheight = \"6000 ft\"\npower = \"152.38 kW\"\ntrue_airspeed = \"55.0 m/s\"\n";
    let text = head("fixed", "high", "2288.2 kg", "23.23 m2", "14.63 m")
        + "[engine]\npower = \"450 hp\"\nspeed_rated = \"2300 rpm\"\n[propeller]\ntype = \"constant-speed\"\ndiameter = \"8.5 ft\"\n"
        + rows;
    let fitted = fitted(&text);
    let mass_kg = 2288.231;
    let level =
        Condition::LevelSpeed { height_m: 1828.8, mass_kg, power: LevelPower::Shaft(131_129.4) };
    within("Beaver level at 131 kW", fitted.predict(&level).unwrap(), 50.0, 1.0);
    for (shaft_w, climb_rad) in
        [(76_198.5, -0.019_386_8), (122_379.6, 0.019_972_7), (168_560.8, 0.062_779_6)]
    {
        let climb =
            Condition::ClimbAtPower { height_m: 0.0, mass_kg, calibrated_mps: 35.0, shaft_w };
        let published = 35.0 * base::math::sin(climb_rad);
        within(
            &format!("Beaver at {:.0} kW, 35 m/s", shaft_w / 1000.0),
            fitted.predict(&climb).unwrap(),
            published,
            MPS_PER_FPM,
        );
    }
}
