//! Ground track of the textbook's F-16 in a turn at 0.3 rad/s, flown open-loop from its trim, for the first 50 s: later the
//! unstable equilibrium makes every run its own. Source: SL-2003, example 3.6-6.

use base::factors::M_PER_FT;
use base::numerics::ode::runge_kutta_4;

use crate::check::Check;
use crate::files::Files;
use crate::table::Row;
use crate::textbook::{Textbook, half_digit};

const FILE: &str = "f16/example_3_6_6_turn_track.csv";
const SOURCE: &str = "SL-2003, example 3.6-6";
const STEP_S: f64 = 0.0025;
const LAST_S: f64 = 50.0;
/// Beyond the printed digits, ft: three digits are printed, and the track itself is 3,300 ft wide.
const BEYOND_FT: f64 = 1.0;

pub(super) fn checks(files: &Files<'_>) -> Vec<Check> {
    let book = match Textbook::read(files) {
        Ok(book) => book,
        Err(error) => return vec![Check::skipped("f16-turn-track", SOURCE, error.to_string())],
    };
    let Some(table) = files.table(FILE) else {
        return vec![Check::without_file("f16-turn-track", SOURCE, FILE)];
    };
    let airplane = book.airplane(0.35);
    let found = book.turn_from_north(&airplane, 502.0, 0.3);
    let world = book.world();
    let mut state = found.state.to_array();
    let (mut step, mut checks) = (0_usize, Vec::new());
    for row in table.rows().filter(|row| row.number("time_s") <= LAST_S) {
        let until = (row.number("time_s") / STEP_S).round() as usize;
        while step < until {
            let rate = |t: f64, y: &_| airplane.rate(&world, t, y, &found.inputs);
            state = runge_kutta_4(rate, step as f64 * STEP_S, &state, STEP_S);
            step += 1;
        }
        checks.extend(place(&row, [state[0] / M_PER_FT, state[1] / M_PER_FT]));
    }
    checks
}

fn place(row: &Row<'_>, [north, east]: [f64; 2]) -> [Check; 2] {
    [("north", north), ("east", east)].map(|(side, value)| {
        let column = format!("{side}_ft_published");
        let printed = row.number(&column);
        let tolerance = BEYOND_FT + third_digit(printed, row.text(&column));
        let id = format!("f16-turn-track-{:.0}s-{side}", row.number("time_s"));
        Check::absolute(id, (value, printed, tolerance), "ft", SOURCE)
    })
}

/// Half a unit of the third significant digit, as it was printed.
fn third_digit(value: f64, printed: &str) -> f64 {
    if value == 0.0 {
        return half_digit(printed);
    }
    0.5 * base::math::pow(10.0, base::math::log10(value.abs()).floor() - 2.0)
}
