//! Rules of the air by country, as far as the program carries them: what bears on training maneuvers, each with its source, and whether
//! the program can check it. One file a country and one line in [`ALL`].
//!
//! Not the law: a reading aid, incomplete. Rules change; what is marked as from memory is still to be confirmed.

mod australia;
mod canada;
mod europe;
mod south_africa;
mod united_kingdom;
mod united_states;

use crate::definition::{Form, Maneuver};

/// A country or a group of countries with one law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Country {
    /// Stable key: "us".
    pub key: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// Its rules.
    pub rules: &'static [Rule],
}

/// One rule, in our words.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// What it asks.
    pub text: &'static str,
    /// Source key; "from-memory" when still to be confirmed.
    pub source: &'static str,
    /// Which figures it is about.
    pub about: About,
    /// What the program can check of it.
    pub check: Check,
}

/// Which figures a rule is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum About {
    /// All of them.
    Every,
    /// Aerobatic ones: those that need an entry in the list of approved maneuvers.
    Aerobatic,
    /// Stalls.
    Stalls,
}

/// What the program can check of a rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Check {
    /// Nothing: the instructor's.
    Yours,
    /// Nothing of the figure goes below this height above the ground, ft.
    FloorFt(f64),
    /// The flight visibility, statute miles.
    VisibilityMi(f64),
    /// Bank and pitch beyond which it applies, degrees.
    AnglesDeg {
        /// Bank.
        bank: f64,
        /// Nose up or down.
        pitch: f64,
    },
}

/// Every country.
pub const ALL: &[Country] = &[
    united_states::RULES,
    europe::RULES,
    united_kingdom::RULES,
    canada::RULES,
    australia::RULES,
    south_africa::RULES,
];

/// The country of a key.
#[must_use]
pub fn find(key: &str) -> Option<&'static Country> {
    ALL.iter().find(|country| country.key == key)
}

impl Rule {
    /// Whether it is about a figure.
    #[must_use]
    pub fn is_about(&self, maneuver: &dyn Maneuver, form: &Form) -> bool {
        match self.about {
            About::Every => true,
            About::Aerobatic => maneuver.needs_approval(form),
            About::Stalls => maneuver.id().contains("stall"),
        }
    }
}

const fn rule(text: &'static str, source: &'static str, about: About, check: Check) -> Rule {
    Rule { text, source, about, check }
}
/// A rule that only people can check.
const fn yours(text: &'static str, source: &'static str, about: About) -> Rule {
    rule(text, source, about, Check::Yours)
}

#[cfg(test)]
mod tests {
    use super::{ALL, Check, find};

    #[test]
    fn prop_every_country_has_a_key_of_its_own_and_rules_with_sources() {
        for (index, country) in ALL.iter().enumerate() {
            assert!(ALL[..index].iter().all(|other| other.key != country.key));
            assert_eq!(find(country.key).unwrap().title, country.title);
            assert!(!country.rules.is_empty());
            for rule in country.rules {
                assert!(!rule.text.is_empty() && !rule.source.is_empty(), "{}", country.key);
                assert!(!rule.text.ends_with('.'), "{}", rule.text);
            }
        }
        assert!(find("atlantis").is_none());
    }

    /// 14 CFR 91.303 and 91.307: 1,500 ft, 3 statute miles, 60 and 30 degrees.
    #[test]
    fn val_the_figures_of_the_united_states() {
        let checks: Vec<Check> = find("us").unwrap().rules.iter().map(|rule| rule.check).collect();
        assert!(checks.contains(&Check::FloorFt(1500.0)));
        assert!(checks.contains(&Check::VisibilityMi(3.0)));
        assert!(checks.contains(&Check::AnglesDeg { bank: 60.0, pitch: 30.0 }));
    }
}
