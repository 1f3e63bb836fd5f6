//! Indicated against calibrated airspeed, through the position error of the airplane's file.

use base::kinds::{CalibratedAirspeed, IndicatedAirspeed};

use crate::airplane::{Airplane, PositionErrorRow};

impl Airplane {
    /// Calibrated from indicated airspeed through the position-error table; the same when there is none.
    #[must_use]
    pub fn calibrated(&self, indicated: IndicatedAirspeed) -> CalibratedAirspeed {
        let at = (indicated.to_mps(), |row: &PositionErrorRow| row.indicated.to_mps());
        let found = self.through_errors(at, |row| row.calibrated.to_mps());
        CalibratedAirspeed::from_mps(found)
    }
    /// Indicated from calibrated airspeed through the position-error table; the same when there is none.
    #[must_use]
    pub fn indicated(&self, calibrated: CalibratedAirspeed) -> IndicatedAirspeed {
        let at = (calibrated.to_mps(), |row: &PositionErrorRow| row.calibrated.to_mps());
        let found = self.through_errors(at, |row| row.indicated.to_mps());
        IndicatedAirspeed::from_mps(found)
    }
    /// From one column of the table to the other, m/s, linear, continued past the ends; as it is where there is no table.
    fn through_errors(
        &self,
        (at, from): (f64, impl Fn(&PositionErrorRow) -> f64),
        to: impl Fn(&PositionErrorRow) -> f64,
    ) -> f64 {
        let rows = &self.position_error;
        match rows.as_slice() {
            [] => return at,
            [one] => return to(one).max(0.0),
            _ => {}
        }
        let index = rows.partition_point(|row| from(row) <= at).clamp(1, rows.len() - 1);
        let [x, y] = [&rows[index - 1], &rows[index]].map(|row| (from(row), to(row)));
        (x.1 + (y.1 - x.1) * (at - x.0) / (y.0 - x.0)).max(0.0)
    }
}
