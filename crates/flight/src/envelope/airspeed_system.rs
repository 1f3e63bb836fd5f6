//! Indicated against calibrated airspeed, through the position error of the airplane's file.

use base::kinds::{CalibratedAirspeed, IndicatedAirspeed};
use base::numerics::interpolation::linear;

use crate::airplane::Airplane;

impl Airplane {
    /// Calibrated from indicated airspeed through the position-error table; the same when there is none.
    #[must_use]
    pub fn calibrated(&self, indicated: IndicatedAirspeed) -> CalibratedAirspeed {
        let (from, to) = self.position_error_columns();
        if from.is_empty() {
            return CalibratedAirspeed::from_mps(indicated.to_mps());
        }
        CalibratedAirspeed::from_mps(linear(&from, &to, indicated.to_mps()).max(0.0))
    }
    /// Indicated from calibrated airspeed through the position-error table; the same when there is none.
    #[must_use]
    pub fn indicated(&self, calibrated: CalibratedAirspeed) -> IndicatedAirspeed {
        let (to, from) = self.position_error_columns();
        if from.is_empty() {
            return IndicatedAirspeed::from_mps(calibrated.to_mps());
        }
        IndicatedAirspeed::from_mps(linear(&from, &to, calibrated.to_mps()).max(0.0))
    }
    fn position_error_columns(&self) -> (Vec<f64>, Vec<f64>) {
        self.position_error
            .iter()
            .map(|row| (row.indicated.to_mps(), row.calibrated.to_mps()))
            .unzip()
    }
}
