//! Tables of phone sensors: one wide table, long form, gravity taken off, signs the other way round.

use super::SensorHint;
use crate::formats::csv::read_with_columns;
use crate::formats::{ReadOptions, read};
use crate::normal::{NoteKind, QuantityKind as Q, Recording};
use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math;
use checks::assert_near;

const FORCE: [Q; 3] = [Q::DeviceForceXMps2, Q::DeviceForceYMps2, Q::DeviceForceZMps2];

fn options() -> ReadOptions {
    ReadOptions { name: "lesson".into(), ..ReadOptions::default() }
}

fn noted(recording: &Recording, kind: NoteKind, part: &str) -> bool {
    recording.notes.iter().any(|note| note.kind == kind && note.text.contains(part))
}

/// A steady turn to the right at 30 degrees of bank, the phone mounted askew: force felt, rotation and field in its axes.
/// Axes of the phone in those of the body (forward, right, down): a rotation about its own z and then y.
struct Turn {
    force: [f64; 3],
    rate: [f64; 3],
}

const BANK: f64 = 30.0 * RAD_PER_DEG;
const SPEED_MPS: f64 = 50.0;

fn turn_radps() -> f64 {
    STANDARD_GRAVITY_MPS2 * math::sin(BANK) / math::cos(BANK) / SPEED_MPS
}

fn turn() -> Turn {
    let load = STANDARD_GRAVITY_MPS2 / math::cos(BANK);
    let rate = turn_radps();
    let body_force = [0.0, 0.0, -load];
    let body_rate = [0.0, rate * math::sin(BANK), rate * math::cos(BANK)];
    let mounted = |v: [f64; 3]| {
        let (s, c) = (math::sin(0.7), math::cos(0.7));
        let [x, y, z] = [c * v[0] + s * v[1], -s * v[0] + c * v[1], v[2]];
        let (s, c) = (math::sin(2.4), math::cos(2.4));
        [c * x - s * z, y, s * x + c * z]
    };
    Turn { force: mounted(body_force), rate: mounted(body_rate) }
}

/// Two minutes of it at 10 Hz with fixes at 1 Hz; accelerations multiplied by `sign`, in m/s2.
fn table(sign: f64, fixes: bool) -> String {
    let Turn { force, rate } = turn();
    let mut out = String::from(
        "elapsed_s,acc_x,acc_y,acc_z,gyro_x,gyro_y,gyro_z,lat,lon,speed_mps,bearing_deg\n",
    );
    let radius_deg = SPEED_MPS / turn_radps() / 111_194.93;
    for tenth in 0..1200 {
        let t = f64::from(tenth) * 0.1;
        let row: Vec<String> = force
            .iter()
            .map(|f| format!("{:.3}", sign * f))
            .chain(rate.iter().map(|r| format!("{r:.4}")))
            .collect();
        out += &format!("{t:.1},{}", row.join(","));
        let track = turn_radps() * t;
        let (lat, lon) = (
            46.0 + radius_deg * math::sin(track),
            8.0 - radius_deg * math::cos(track) / math::cos(46.0 * RAD_PER_DEG),
        );
        out += &if fixes && tenth % 10 == 0 {
            format!(
                ",{lat:.7},{lon:.7},{SPEED_MPS},{:.2}\n",
                (track / RAD_PER_DEG).rem_euclid(360.0)
            )
        } else {
            ",,,,\n".to_owned()
        };
    }
    out
}

fn force(recording: &Recording) -> [f64; 3] {
    FORCE.map(|quantity| recording.series_of(quantity).unwrap().values[7])
}

#[test]
fn golden_accelerations_written_as_gravity_pulls_are_turned_around() {
    let felt = read(table(1.0, true).as_bytes(), &options()).unwrap();
    assert!(!noted(&felt, NoteKind::Assumed, "sign turned"), "{:?}", felt.notes);
    let pulled = read(table(-1.0, true).as_bytes(), &options()).unwrap();
    assert!(
        noted(
            &pulled,
            NoteKind::Assumed,
            "written as gravity pulls, not as it is felt: sign turned (in 119 turning steps the device turns +0.87 times as fast"
        ),
        "{:?}",
        pulled.notes
    );
    for (a, b) in force(&felt).iter().zip(force(&pulled)) {
        assert_near("force", *a, b, 1e-9);
    }
    let untold = read(table(1.0, false).as_bytes(), &options()).unwrap();
    assert!(
        noted(&untold, NoteKind::Assumed, "nothing in the recording tells"),
        "{:?}",
        untold.notes
    );
}

/// The map that is saved says which sign was found, or the file would read otherwise by it.
#[test]
fn regress_a_saved_map_keeps_the_sign_that_was_found() {
    for sign in [1.0, -1.0] {
        let text = table(sign, true);
        let (first, columns) = read_with_columns(text.as_bytes(), &options()).unwrap();
        let again = ReadOptions { columns: Some(columns), ..options() };
        let second = read(text.as_bytes(), &again).unwrap();
        assert_eq!(first.series, second.series, "{sign}");
    }
}

/// The phones of the check flights feel as the README there says (+9.81 on z lying flat): none is turned.
#[test]
fn val_phones_of_the_check_flights_are_not_turned() {
    for flight in ["f01", "f02", "f03", "f04", "f05"] {
        let Some(text) = checks::text(&format!("flown/{flight}/phone.csv")) else { return };
        let plain = read(text.as_bytes(), &options()).unwrap();
        assert!(!noted(&plain, NoteKind::Assumed, "sign turned"), "{flight}");
        // written the other way round, they are
        let turned: String = text
            .lines()
            .enumerate()
            .map(|(line, row)| {
                let mut cells: Vec<String> = row.split(',').map(str::to_owned).collect();
                for cell in
                    cells.iter_mut().skip(1).take(3).filter(|cell| line > 0 && !cell.is_empty())
                {
                    *cell =
                        cell.strip_prefix('-').map_or_else(|| format!("-{cell}"), str::to_owned);
                }
                cells.join(",") + "\n"
            })
            .collect();
        let turned = read(turned.as_bytes(), &options()).unwrap();
        assert!(noted(&turned, NoteKind::Assumed, "sign turned"), "{flight}: {:?}", turned.notes);
        for (a, b) in force(&plain).iter().zip(force(&turned)) {
            assert_near(flight, *a, b, 1e-9);
        }
    }
}

/// A real phone that writes accelerations in g, negative along its z on the way to take-off, its mounting not known
/// (recordings/README.md): its turns tell that this is gravity's pull.
#[test]
fn val_a_real_phone_is_turned_by_its_turns() {
    let Some(bytes) = checks::recording("csv/da20_flight_review_2018-10-15_part.csv") else {
        return;
    };
    let recording = read(&bytes, &options()).unwrap();
    assert!(
        noted(&recording, NoteKind::Assumed, "written as gravity pulls"),
        "{:?}",
        recording.notes
    );
}

#[test]
fn golden_long_form_keeps_each_sensor_at_its_own_rate() {
    let mut rows = String::from("time,sensor,x,y,z,accuracy\n");
    for tenth in 0..600 {
        let t = f64::from(tenth) * 0.1;
        rows += &format!("{t:.1},accelerometer,0.1,0.2,9.8,3\n");
        if tenth % 2 == 0 {
            rows += &format!("{t:.2},android.sensor.gyroscope,0.01,-0.02,0.03,3\n");
        }
        if tenth % 5 == 0 {
            rows += &format!("{t:.1},magnetometer,20,1,-40,3\n{t:.1},light,300,,,3\n");
        }
        rows += &format!("{t:.1},linear_acceleration,0.01,0.0,-0.01,3\n");
    }
    let recording = read(rows.as_bytes(), &options()).unwrap();
    let count = |quantity| recording.series_of(quantity).map(|series| series.values.len());
    assert_eq!(count(Q::DeviceForceXMps2), Some(600));
    assert_eq!(count(Q::DeviceRateXRadps), Some(300));
    assert_eq!(count(Q::DeviceFieldXMicrotesla), Some(120));
    assert!(
        noted(&recording, NoteKind::Assumed, "sensor accelerometer: column acc z is taken as m/s2"),
        "{:?}",
        recording.notes
    );
    assert!(
        noted(&recording, NoteKind::LeftOut, "sensor light: not read"),
        "{:?}",
        recording.notes
    );
    assert!(
        noted(&recording, NoteKind::LeftOut, "sensor linear_acceleration"),
        "{:?}",
        recording.notes
    );
    assert_near("force", force(&recording)[2], 9.8, 1e-9);
}

#[test]
fn golden_gravity_taken_off_is_told_from_the_whole() {
    let rows = |row: &str| (0..100).map(|t| format!("{t},{row}\n")).collect::<String>();
    let linear =
        "time,linear acceleration x,linear acceleration y,linear acceleration z,Roll (deg)\n"
            .to_owned()
            + &rows("0.1,0.2,0.1,3");
    let recording = read(linear.as_bytes(), &options()).unwrap();
    assert!(recording.series_of(Q::DeviceForceXMps2).is_none());
    assert!(
        noted(&recording, NoteKind::LeftOut, "gravity is taken off, or it is gravity alone"),
        "{:?}",
        recording.notes
    );
    // the same under a name that does not say it
    let silent = "time,acc_x (m/s2),acc_y (m/s2),acc_z (m/s2),Roll (deg)\n".to_owned()
        + &rows("0.1,0.2,0.1,3");
    let recording = read(silent.as_bytes(), &options()).unwrap();
    assert!(recording.series_of(Q::DeviceForceXMps2).is_none());
    assert!(
        noted(
            &recording,
            NoteKind::LeftOut,
            "have gravity taken off (together 0.24 long in the median)"
        ),
        "{:?}",
        recording.notes
    );
    let both = "time,userAccelerationX(G),userAccelerationY(G),userAccelerationZ(G),gravityX(G),gravityY(G),gravityZ(G)\n".to_owned() + &rows("0.1,0.0,-0.1,0,0,-1");
    let recording = read(both.as_bytes(), &options()).unwrap();
    assert!(
        noted(
            &recording,
            NoteKind::Assumed,
            "gravity is taken off and written beside: added again"
        ),
        "{:?}",
        recording.notes
    );
    assert_near("whole", force(&recording)[2], -1.1 * STANDARD_GRAVITY_MPS2, 1e-9);
    let beside = "time,acc_x,acc_y,acc_z,gravity_x,gravity_y,gravity_z\n".to_owned()
        + &rows("0.1,0.0,9.9,0,0,9.8");
    let recording = read(beside.as_bytes(), &options()).unwrap();
    assert!(
        noted(&recording, NoteKind::LeftOut, "the whole acceleration is recorded beside them"),
        "{:?}",
        recording.notes
    );
    assert_near("whole", force(&recording)[2], 9.9, 1e-9);
}

#[test]
fn golden_names_of_sensors_are_known() {
    for (name, hint) in [
        ("Accelerometer.csv", Some(SensorHint::Acceleration)),
        ("lesson/Linear Acceleration.csv", Some(SensorHint::LinearAcceleration)),
        ("android.sensor.gyroscope", Some(SensorHint::Rotation)),
        ("AccelerometerUncalibrated.csv", Some(SensorHint::Acceleration)),
        ("Gravity.csv", Some(SensorHint::Gravity)),
        ("Barometer.csv", Some(SensorHint::Pressure)),
        ("Location.csv", Some(SensorHint::Location)),
        ("lesson-4.csv", None),
    ] {
        assert_eq!(SensorHint::of_name(name), hint, "{name}");
    }
}
