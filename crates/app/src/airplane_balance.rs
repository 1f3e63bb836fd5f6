//! Weight and balance of the day.

use base::units::Mass;
use flight::airplane::Airplane;
use flight::airplane::balance::{Balance, FUEL_KG_PER_L, Load, Loaded};
use report::model::Document;

use crate::answer::{self, Answer};
use crate::error::{AppError, Outcome};
use crate::{suggest, typed};

/// Liters in a US gallon.
const L_PER_US_GAL: f64 = base::factors::M3_PER_US_GAL * 1000.0;

/// An airplane as loaded.
#[derive(Debug, Clone)]
pub struct BalanceAnswer {
    airplane: Airplane,
    loaded: Loaded,
}

impl BalanceAnswer {
    /// Mass at take-off.
    #[must_use]
    pub fn mass(&self) -> Mass {
        self.loaded.take_off.mass
    }
    /// Limits that are passed, with numbers.
    #[must_use]
    pub fn passed(&self) -> &[String] {
        &self.loaded.passed
    }
}

impl Answer for BalanceAnswer {
    fn outcome(&self) -> Outcome {
        if self.loaded.passed.is_empty() { Outcome::Done } else { Outcome::Nothing }
    }
    fn formats(&self) -> Vec<&'static str> {
        answer::with_pictures()
    }
    fn document(&self) -> Option<Document> {
        Some(report::airplane_balance::document(&self.airplane, &self.loaded))
    }
    fn json(&self) -> String {
        wire::to_json(&wire::airplane_balance::AirplaneBalance::new(&self.airplane, &self.loaded))
    }
}

/// Loads an airplane: each text names a station and what is put there, `front seats=160kg`, `fuel=100l`.
///
/// # Errors
/// The airplane states no weight and balance; a load of another form, an unknown station, a quantity that is refused.
pub fn balance(airplane: Airplane, texts: &[String]) -> Result<BalanceAnswer, AppError> {
    let Some(balance) = &airplane.stated.balance else {
        return Err(AppError::request(
            format!("{} states no weight and balance", airplane.id),
            "add [balance] with its limits and a [[station]] for each seat, tank and locker to its file",
        ));
    };
    let loads: Vec<Load> =
        texts.iter().map(|text| load(balance, text)).collect::<Result<_, _>>()?;
    let loaded = airplane.loaded(&loads).expect("the airplane states weight and balance");
    Ok(BalanceAnswer { airplane, loaded })
}

fn load(balance: &Balance, text: &str) -> Result<Load, AppError> {
    let hint = "write the name of the station, an equals sign and the mass: \"front seats=160kg\"; fuel in liters or gallons too: fuel=100l, fuel=26gal";
    let Some((name, amount)) = text.rsplit_once('=') else {
        return Err(AppError::request(format!("load: {text:?} is no station and mass"), hint));
    };
    let station = balance.station(name).ok_or_else(|| {
        let known: Vec<&str> = balance.stations.iter().map(|one| one.name.as_str()).collect();
        suggest::unknown("station", name.trim(), &known)
    })?;
    let volume = balance.stations[station].fuel.then(|| liters(amount)).flatten();
    let mass = match volume {
        Some(liters) => Mass::from_kg(liters * FUEL_KG_PER_L),
        None => typed::load(amount)
            .map_err(|refused| AppError::request(format!("load: {}", refused.what), hint))?,
    };
    Ok(Load { station, mass })
}

/// `100l`, `26 gal`: liters.
fn liters(text: &str) -> Option<f64> {
    let text = text.trim().to_lowercase();
    let (number, scale) = if let Some(number) = text.strip_suffix("gal") {
        (number, L_PER_US_GAL)
    } else {
        (text.strip_suffix('l')?, 1.0)
    };
    let value: f64 = number.trim().parse().ok()?;
    (0.0..=5000.0).contains(&value).then_some(value * scale)
}
