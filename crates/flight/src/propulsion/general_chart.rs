//! A general propeller chart: efficiency of any usual constant-speed propeller from its power coefficient, advance ratio and
//! blade activity, when neither blades nor a chart of its own are known.
//!
//! One chart serves all because the power coefficient is divided by a factor of the blade activity, and efficiency is drawn over
//! `J / CP^(1/3)`, in which the speed of rotation cancels. Where a body stands behind the disk, its size slows the air.
//!
//! Source: LOWRY-1999, chapter 6 and the author's worksheet (curves of degree six fitted by him to a propeller maker's chart of
//! the 1940s), read where others quote them.

use base::math::cbrt;

/// A constant-speed propeller, as the chart wants it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GeneralPropeller {
    /// Activity factor of one blade times the number of blades.
    pub activity: f64,
    /// Diameter of the body one propeller diameter behind the disk, over that of the propeller; the propeller pulls.
    pub body: f64,
}

/// Curves: power coefficient over its factor, and powers 0 to 6 of `J / CP^(1/3)`.
const CURVES: [(f64, [f64; 7]); 8] = [
    (
        0.15,
        [
            -0.027_280_541_924_927_8,
            1.157_818_942_224_25,
            -0.548_923_123_012_512,
            0.038_551_650_269_489_9,
            0.064_580_555_280_077,
            -0.026_301_243_310_875_8,
            0.003_017_419_880_654_48,
        ],
    ),
    (
        0.25,
        [
            -0.038_502_996_895_366_4,
            1.046_135_815_787_57,
            -0.485_313_329_667_262,
            0.130_100_232_509_281,
            -0.027_326_610_123_745_4,
            0.003_139_013_960_676_47,
            -0.000_131_566_344_754_572,
        ],
    ),
    (
        0.4,
        [
            -0.026_741_905,
            0.717_582_413_5,
            -0.084_673_35,
            -0.074_451_68,
            0.026_437_051,
            -0.003_537_565,
            0.000_177_733,
        ],
    ),
    (
        0.6,
        [
            0.038_100_252_151_794_4,
            0.199_522_455_590_403,
            0.458_898_025_445_346,
            -0.318_992_736_679_5,
            0.081_357_821_405_472_3,
            -0.009_083_801_711_810_81,
            0.000_350_613_125_807_782,
        ],
    ),
    (
        0.8,
        [
            0.251_897_476,
            -0.561_665_84,
            1.139_055_13,
            -0.602_193_33,
            0.144_341_736,
            -0.016_194_73,
            0.000_664_038,
        ],
    ),
    (
        1.0,
        [
            0.140_144_145_675_375,
            0.071_636_129_793_756_9,
            -0.057_356_417_626_562_8,
            0.276_378_945_894_403,
            -0.159_843_307_010_587,
            0.034_239_846_258_490_3,
            -0.002_573_002_785_645_54,
        ],
    ),
    (
        1.2,
        [
            -0.705_604_05,
            2.868_232_531,
            -3.651_371_295,
            2.487_262_933,
            -0.863_421_2,
            0.146_478_331_5,
            -0.009_686_855,
        ],
    ),
    (
        1.4,
        [
            -2.340_532_183_939_23,
            7.563_937_897_149_59,
            -9.020_964_992_474_91,
            5.550_045_133_294_38,
            -1.793_776_917_489_34,
            0.291_020_480_453_595,
            -0.018_743_169_312_525_8,
        ],
    ),
];

impl GeneralPropeller {
    /// What the power coefficient is divided by.
    #[must_use]
    pub fn power_factor(&self) -> f64 {
        0.001_515 * self.activity - 0.088
    }

    /// Share of the chart's efficiency that the body behind the disk leaves (for a propeller that pulls); above one for a slim
    /// body, because the chart was drawn for a propeller with one.
    #[must_use]
    pub fn body_leaves(&self) -> f64 {
        let z = self.body;
        1.052_63 - z * (0.007_22 + z * (0.164_62 + z * 0.183_41))
    }

    /// Efficiency at an advance ratio and a power coefficient, body included.
    ///
    /// # Range
    /// `None` outside the chart: a power coefficient over its factor below 0.15 or above 1.4, or figures that are not above nil.
    #[must_use]
    pub fn efficiency(&self, advance: f64, power: f64) -> Option<f64> {
        read(advance, power, self.power_factor()).map(|bare| bare * self.body_leaves())
    }
}

/// Efficiency without a body, with the factor of the power coefficient given; range as for [`GeneralPropeller::efficiency`].
#[must_use]
pub fn read(advance: f64, power: f64, factor: f64) -> Option<f64> {
    if !(advance > 0.0 && power > 0.0 && factor > 0.0) {
        return None;
    }
    let (adjusted, place) = (power / factor, advance / cbrt(power));
    let pair = CURVES.windows(2).find(|pair| (pair[0].0..=pair[1].0).contains(&adjusted))?;
    let at = |powers: &[f64; 7]| powers.iter().rev().fold(0.0, |sum, power| sum * place + power);
    let ((low, below), (high, above)) = (&pair[0], &pair[1]);
    let share = (adjusted - low) / (high - low);
    Some((1.0 - share) * at(below) + share * at(above))
}

#[cfg(test)]
mod tests {
    use super::{GeneralPropeller, cbrt, read};

    #[test]
    fn val_the_authors_own_row_and_factors() {
        // LOWRY-1999, the author's worksheet: total activity 195.9, body 0.688: factor 0.2088, body 0.910.
        let propeller = GeneralPropeller { activity: 195.9, body: 0.688 };
        assert!((propeller.power_factor() - 0.2088).abs() < 5e-5);
        assert!((propeller.body_leaves() - 0.910).abs() < 5e-4);
    }

    #[test]
    fn outside_the_chart_there_is_no_answer() {
        for (advance, power) in [(0.6, 0.02), (0.6, 0.4), (0.0, 0.05), (f64::NAN, 0.05)] {
            assert_eq!(read(advance, power, 0.2), None, "{advance} {power}");
        }
    }

    #[test]
    fn prop_neighboring_curves_meet_and_stay_below_one() {
        for adjusted in [0.25, 0.4, 0.6, 0.8] {
            for i in 4..16 {
                let power = adjusted * 0.2;
                let advance = 0.2 * f64::from(i) * cbrt(power);
                let (a, b) = (
                    read(advance, power * (1.0 - 1e-9), 0.2),
                    read(advance, power * (1.0 + 1e-9), 0.2),
                );
                let (a, b) = (a.unwrap(), b.unwrap());
                assert!((a - b).abs() < 1e-7 && (0.0..0.95).contains(&a), "{adjusted} {i} {a} {b}");
            }
        }
    }
}
