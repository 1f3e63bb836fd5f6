//! What the sheets claim against what the flight does where they claim it: every maneuver, form, side, voice and airplane, in wind.

use crate::brief::{Brief, BriefRequest, brief};
use crate::catalog;
use crate::patter::{Said, Sheet};
use crate::reference::{ReferenceFlight, ReferencePart};
use crate::rigid::{ControlSample, RigidFlight};
use base::factors::RAD_PER_DEG;
use flight::air::Day;
use flight::airplane::bundled;
use flight::trajectory::FlightSample;
use flight::wind::Wind;

/// A sentence in its place.
struct Place<'a> {
    flight: &'a ReferenceFlight,
    hands: Option<&'a RigidFlight>,
    part: &'a ReferencePart,
    said: &'a Said,
}

impl Place<'_> {
    fn samples(&self) -> &[FlightSample] {
        self.flight.part_samples(self.part)
    }
    /// The sample so many seconds after the sentence is begun; the last one beyond the end.
    fn after(&self, seconds: f64) -> &FlightSample {
        let all = &self.flight.samples;
        let at = all.partition_point(|s| s.time_s < self.said.time_s + seconds);
        &all[at.min(all.len() - 1)]
    }
    fn control(&self, seconds: f64) -> Option<&ControlSample> {
        let all = &self.hands?.controls;
        let at = all.partition_point(|c| c.time_s < self.said.time_s + seconds);
        all.get(at.min(all.len() - 1))
    }
    /// Whether something holds at some time from the begin of the sentence to so many seconds after it.
    fn soon(&self, seconds: f64, holds: impl Fn(&FlightSample) -> bool) -> bool {
        let (from_s, to_s) = (self.said.time_s - 0.2, self.said.time_s + seconds);
        self.flight.samples.iter().any(|s| (from_s..=to_s).contains(&s.time_s) && holds(s))
    }
    /// Whether the wings roll that way (right 1, left -1) within five seconds of the sentence; near the vertical bank says nothing.
    fn rolls(&self, way: f64) -> bool {
        self.flight.samples.windows(2).any(|pair| {
            let near = (pair[0].time_s - self.said.time_s).abs() <= 5.0;
            let rolled_rad = base::math::wrap_pi(pair[1].bank_rad - pair[0].bank_rad);
            let seconds = pair[1].time_s - pair[0].time_s;
            near && pitch(&pair[0]).abs() < 70.0 && way * rolled_rad > 0.2 * RAD_PER_DEG * seconds
        })
    }
    /// A value of the part, greatest (sign 1) or least (sign -1), and whether it is met about now.
    fn extreme(&self, seconds: f64, slack: f64, value: impl Fn(&FlightSample) -> f64) -> bool {
        let most = self.samples().iter().map(&value).fold(f64::NEG_INFINITY, f64::max);
        self.soon(seconds, |s| value(s) >= most - slack)
    }
    fn side(&self) -> f64 {
        self.part.direction.sign()
    }
}

fn deg(rad: f64) -> f64 {
    rad / RAD_PER_DEG
}
fn bank(s: &FlightSample) -> f64 {
    deg(s.bank_rad.abs())
}
fn pitch(s: &FlightSample) -> f64 {
    deg(s.pitch_rad)
}
/// Speed over the ground of two samples.
fn ground(place: &Place<'_>, s: &FlightSample) -> f64 {
    let all = &place.flight.samples;
    let at = all.partition_point(|x| x.time_s < s.time_s).clamp(1, all.len() - 1);
    let (a, b) = (&all[at - 1], &all[at]);
    let (dn, de) = (b.north_m - a.north_m, b.east_m - a.east_m);
    base::math::hypot(dn, de) / (b.time_s - a.time_s)
}

/// Words that claim something, and whether it is so.
type Claim = (&'static str, fn(&Place<'_>) -> bool);

const CLAIMS: &[Claim] = &[
    ("steepest", |p| p.extreme(4.0, 2.0, bank)),
    ("highest", |p| p.extreme(2.0, 2.0, pitch)),
    ("lowest soon", |p| p.extreme(4.0, 3.0, |s| -pitch(s))),
    ("lowest", |p| p.extreme(4.0, 3.0, |s| -pitch(s))),
    ("fastest", |p| p.extreme(3.0, 0.5, |s| ground(p, s))),
    ("slowest", |p| p.extreme(3.0, 0.5, |s| -ground(p, s))),
    ("fast over the ground", |p| p.extreme(3.0, 1.0, |s| ground(p, s))),
    ("slow over the ground", |p| p.extreme(3.0, 1.0, |s| -ground(p, s))),
    ("light.", |p| p.soon(1.0, |s| s.load_factor < 0.9)),
    ("inverted", |p| p.soon(1.0, |s| bank(s) > 150.0)),
    ("nose on the horizon.", |p| p.soon(1.0, |s| pitch(s).abs() < 8.0)),
    ("through the horizon", |p| p.soon(1.0, |s| pitch(s).abs() < 3.0)),
    ("wings across", |p| p.soon(1.0, |s| (bank(s) - 90.0).abs() < 10.0)),
    ("head back", |p| p.soon(3.0, |s| pitch(s) > 45.0 || bank(s) > 90.0)),
    ("over the top", |p| p.soon(1.0, |s| bank(s) > 150.0)),
    ("bank goes on growing", |p| bank(p.after(1.5)) > bank(p.after(0.0)) + 1.0),
    ("keep rolling", |p| {
        p.flight.progress != crate::definition::Progress::Turn
            || bank(p.after(1.5)) > bank(p.after(0.0)) + 1.0
    }),
    ("roll goes on", |p| bank(p.after(1.5)) > bank(p.after(0.0)) + 1.0),
    ("bank comes off", |p| bank(p.after(6.0)) < bank(p.after(0.0)) - 0.5),
    ("bank coming off", |p| bank(p.after(6.0)) < bank(p.after(0.0)) - 0.5),
    ("bank keeps coming off", |p| bank(p.after(3.0)) < bank(p.after(0.0)) - 1.0),
    ("now bank off", |p| bank(p.after(3.0)) < bank(p.after(0.0)) - 1.0),
    ("take the bank off", |p| bank(p.after(4.0)) < bank(p.after(0.0)) - 1.0),
    ("roll out", |p| p.soon(15.0, |s| bank(s) < bank(p.after(0.0)) - 3.0)),
    ("bank growing", |p| bank(p.after(6.0)) > bank(p.after(0.0)) + 0.5),
    ("shallow", |p| {
        let mut all: Vec<f64> = p.samples().iter().map(bank).collect();
        all.sort_by(f64::total_cmp);
        p.soon(6.0, |s| bank(s) <= all[all.len() / 2] + 1.0)
    }),
    ("full power", |p| p.soon(6.0, |s| s.power_share > 0.95)),
    ("power idle", |p| p.soon(6.0, |s| s.power_share < 0.05)),
    ("throttle back", |p| {
        let now = p.after(0.0).power_share;
        p.soon(8.0, |s| s.power_share < now - 0.02)
    }),
    ("power up", |p| p.after(4.0).power_share > p.samples()[0].power_share + 0.005),
    ("ease the pull", |p| p.after(2.0).load_factor < p.after(0.0).load_factor + 0.02),
    ("pull eases", |p| p.after(2.0).load_factor < p.after(0.0).load_factor),
    ("relax the pull", |p| p.after(2.0).load_factor < p.after(0.0).load_factor + 0.02),
    ("pull again", |p| p.after(3.0).load_factor > p.after(0.0).load_factor),
    ("pull grows", |p| p.soon(3.0, |s| s.load_factor > p.after(0.0).load_factor + 0.1)),
    ("push: the line", |p| p.soon(3.0, |s| s.load_factor < 0.3)),
    ("stall: nose down", |p| p.soon(4.0, |s| pitch(s) < pitch(p.after(0.0)) - 3.0)),
    ("nose up and held", |p| pitch(p.after(4.0)) > pitch(p.after(0.0))),
    ("climbing", |p| {
        p.soon(8.0, |s| s.climb_rad > 0.0)
            || p.flight.samples.last().is_some_and(|s| s.climb_rad > 0.0)
    }),
    ("right foot", |p| {
        p.hands.is_none()
            || [0.0, 2.0, 4.0, 6.0, 9.0]
                .iter()
                .any(|&s| p.control(s).is_some_and(|c| c.pedal_right > 0.005))
    }),
    ("left foot", |p| {
        p.hands.is_none()
            || [0.0, 2.0, 4.0].iter().any(|&s| p.control(s).is_some_and(|c| c.pedal_right < 0.0))
    }),
    ("more right foot", |p| {
        p.hands.is_none()
            || [2.0, 4.0, 6.0, 8.0].iter().any(|&s| {
                p.control(s)
                    .zip(p.control(0.0))
                    .is_some_and(|(later, now)| later.pedal_right > now.pedal_right)
            })
    }),
    ("more pull", |p| {
        p.hands.is_none()
            || p.control(5.0)
                .zip(p.control(0.0))
                .is_some_and(|(later, now)| later.stick_back > now.stick_back)
    }),
    ("a little left aileron", |p| p.control(0.0).is_none_or(|c| c.stick_right < 0.0)),
    ("a little right aileron", |p| p.control(0.0).is_none_or(|c| c.stick_right > 0.0)),
    ("roll right", |p| p.side() < 0.0 || p.rolls(1.0)),
    ("roll left", |p| p.side() > 0.0 || p.rolls(-1.0)),
    ("one bank", one_bank),
    ("the same bank", one_bank),
    ("the bank stays", |p| (bank(p.after(3.0)) - bank(p.after(0.0))).abs() < 1.0),
    ("roll level", |p| p.soon(6.0, |s| bank(s) < 0.7 * bank(p.after(0.0)))),
    ("nose rises", |p| pitch(p.after(6.0)) > pitch(p.after(0.0))),
    ("nose comes up with the wings", |p| p.soon(6.0, |s| pitch(s) > pitch(p.after(0.0)) + 3.0)),
];

/// The steeper half of the part's banks, roll-in and roll-out aside, within two degrees: in wind it is not.
fn one_bank(place: &Place<'_>) -> bool {
    let mut all: Vec<f64> = place.samples().iter().map(bank).collect();
    all.sort_by(f64::total_cmp);
    all[all.len() - 1 - all.len() / 20] - all[all.len() / 2] < 2.0
}

fn flown(id: &str, form: crate::Form, airplane: &str, wind: &str) -> Brief {
    let mut day = Day::standard();
    day.wind = Wind::parse(wind).unwrap();
    let request =
        BriefRequest { form: Some(form), day, field_told: true, ..BriefRequest::default() };
    brief(catalog::find(id).unwrap(), &bundled::load(airplane).unwrap(), &request)
}

/// Claims of one sheet that the flight does not bear out.
fn untrue(brief: &Brief, sheet: &Sheet, checked: &mut usize) -> Vec<String> {
    let index = brief.sides.iter().position(|flight| flight.direction == sheet.direction);
    let flight = &brief.sides[index.unwrap()];
    let hands = brief.hands.get(index.unwrap()).and_then(|hands| hands.as_ref().ok());
    let mut out = Vec::new();
    for said in sheet.lines.iter().filter(|said| said.when != crate::definition::When::Before) {
        let place = Place { flight, hands, part: &flight.parts[said.part], said };
        let text = said.text.to_lowercase();
        for (words, holds) in CLAIMS.iter().filter(|(words, _)| text.contains(words)) {
            *checked += 1;
            if !holds(&place) {
                out.push(format!(
                    "{} {} {} {} {:?} part {} at {:?}: \"{words}\" in \"{}\"",
                    brief.maneuver.id(),
                    brief.form.key,
                    brief.airplane_id,
                    sheet.direction.word(),
                    sheet.voice,
                    said.part + 1,
                    said.when,
                    said.text
                ));
            }
        }
    }
    out
}

#[test]
fn prop_the_words_say_what_the_flight_does() {
    let (mut wrong, mut checked) = (Vec::new(), 0);
    for maneuver in catalog::ALL {
        for (form_index, form) in maneuver.forms().iter().enumerate() {
            for (airplane, _) in bundled::ALL {
                for wind in ["calm", "270/12kt"].iter().skip(usize::from(form_index > 0)) {
                    let brief = flown(maneuver.id(), *form, airplane, wind);
                    for sheet in &brief.patter {
                        wrong.extend(untrue(&brief, sheet, &mut checked));
                    }
                }
            }
        }
    }
    wrong.sort();
    wrong.dedup();
    assert!(wrong.is_empty(), "{} of {checked}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(checked > 500, "{checked}");
}
