//! Questions whose answers make a file of figures: one by one, blank for what is not known, `?` for help, `<` for one back. Opens nothing
//! and prints nothing: the caller shows prompts and brings answers.

use base::quantity;
use base::units::{Area, Length, LoadFactor, Mass, Power, Quantity};
use wire::question_list::{self, QuestionList, QuestionOut};

/// What kind of answer a question takes.
#[derive(Debug, Clone, Copy)]
enum Kind {
    /// Any words.
    Words,
    /// One of these.
    Choice(&'static [&'static str]),
    /// A number without a unit.
    Number,
    /// A quantity with its unit: checked by this function.
    Quantity(fn(&str) -> bool, &'static str),
    /// Words with commas between.
    List,
}

/// A question.
#[derive(Debug, Clone, Copy)]
struct Question {
    /// Block of the file; empty for its head. Rows begin with `+`.
    block: &'static str,
    /// Key in it.
    key: &'static str,
    /// As asked.
    words: &'static str,
    /// Said for `?`.
    help: &'static str,
    kind: Kind,
    /// Whether the file cannot do without.
    needed: bool,
}

fn is<Q: Quantity>(text: &str) -> bool {
    quantity::parse::<Q>(text).is_ok()
}

const MASS: Kind = Kind::Quantity(is::<Mass>, "2400 lb or 1089 kg");
const LENGTH: Kind = Kind::Quantity(is::<Length>, "36 ft, 11 m or 75 in");
const DIAMETER: Kind = Kind::Quantity(is::<Length>, "75 in or 1.9 m");
const EMPTY: Kind = Kind::Quantity(is::<Mass>, "1500 lb or 680 kg");
const NEGATIVE_LOAD: Kind = Kind::Quantity(is::<LoadFactor>, "-1.52 g");
const AREA: Kind = Kind::Quantity(is::<Area>, "174 ft2 or 16.2 m2");
const POWER: Kind = Kind::Quantity(is::<Power>, "160 hp or 119 kW");
const SPEED: Kind = Kind::Quantity(is::<base::units::Speed>, "99 kt or 114 mph");
const RATE: Kind = Kind::Quantity(is::<base::units::Speed>, "700 ft/min or 3.6 m/s");
const TURNS: Kind = Kind::Quantity(is::<base::units::AngularRate>, "2700 rpm");
const HEIGHT: Kind = Kind::Quantity(is::<Length>, "8000 ft");
const LOAD: Kind = Kind::Quantity(is::<LoadFactor>, "3.8 g");

const fn ask(
    block: &'static str,
    key: &'static str,
    words: &'static str,
    help: &'static str,
    kind: Kind,
) -> Question {
    Question { block, key, words, help, kind, needed: false }
}

const fn need(
    block: &'static str,
    key: &'static str,
    words: &'static str,
    help: &'static str,
    kind: Kind,
) -> Question {
    Question { block, key, words, help, kind, needed: true }
}

/// Every question in the order they are asked.
const QUESTIONS: &[Question] = &[
    need(
        "",
        "id",
        "Key of the airplane",
        "lower-case words with hyphens, such as my-172",
        Kind::Words,
    ),
    need("", "name", "Its name", "as people call it", Kind::Words),
    need(
        "",
        "source",
        "Manual, edition, date",
        "it stands beside every figure of the file",
        Kind::Words,
    ),
    need(
        "layout",
        "gear",
        "Gear",
        "fixed, or retractable: figures are then for gear up",
        Kind::Choice(&["fixed", "retractable"]),
    ),
    need("layout", "wing", "Wing", "where it stands", Kind::Choice(&["high", "low"])),
    need("layout", "seats", "Seats", "how many", Kind::Number),
    need("mass", "maximum", "Greatest mass", "take-off, normal category", MASS),
    ask("mass", "empty", "Empty mass", "of this very airplane, else the standard one", EMPTY),
    ask("mass", "typical", "Usual mass in training", "two up with half fuel", MASS),
    need("wing", "area", "Wing area", "section 1 of the manual, or the type certificate", AREA),
    need("wing", "span", "Wing span", "tip to tip", LENGTH),
    need(
        "engine",
        "power",
        "Take-off power at sea level",
        "rated power of the engine as installed",
        POWER,
    ),
    ask("engine", "speed_rated", "Speed of the propeller at it", "rated rpm", TURNS),
    need(
        "propeller",
        "type",
        "Propeller",
        "fixed blades, or a governor",
        Kind::Choice(&["fixed", "constant-speed"]),
    ),
    ask("propeller", "diameter", "Its diameter", "mind the unit: inches are usual", DIAMETER),
    ask(
        "propeller",
        "speed_static",
        "Rpm at full throttle, standing (fixed pitch)",
        "middle of the range of the manual",
        TURNS,
    ),
    ask("speeds", "maneuvering", "Maneuvering speed V_A, indicated", "at the greatest mass", SPEED),
    ask(
        "speeds",
        "normal_max",
        "Greatest cruise speed V_NO, indicated",
        "top of the green arc",
        SPEED,
    ),
    ask("speeds", "never_exceed", "Never-exceed speed V_NE, indicated", "red line", SPEED),
    ask("speeds", "best_angle", "Best angle of climb V_X, indicated, sea level", "flaps up", SPEED),
    ask("speeds", "best_rate", "Best rate of climb V_Y, indicated, sea level", "flaps up", SPEED),
    ask("speeds", "best_glide", "Best glide speed, indicated", "flaps up, greatest mass", SPEED),
    ask(
        "speeds",
        "glide_ratio",
        "Best glide ratio",
        "distance over height: 9 for 9 to 1",
        Kind::Number,
    ),
    ask(
        "+stall",
        "flaps",
        "Stall: flaps",
        "up, 10, 20, full, as the manual names them; blank when all are told",
        Kind::Words,
    ),
    need(
        "+stall",
        "power",
        "Stall: power",
        "idle is the usual one",
        Kind::Choice(&["idle", "full"]),
    ),
    need("+stall", "speed", "Stall: speed", "at the greatest mass", SPEED),
    need(
        "+stall",
        "airspeed",
        "Stall: is that speed indicated or calibrated",
        "KIAS or KCAS in the table",
        Kind::Choice(&["indicated", "calibrated"]),
    ),
    ask(
        "+stall",
        "extended_max",
        "Stall: greatest speed with the flaps so (V_FE)",
        "blank for flaps up",
        SPEED,
    ),
    ask(
        "+climb",
        "height",
        "Climb: pressure altitude",
        "of a row of the climb table; blank when all are told",
        HEIGHT,
    ),
    need(
        "+climb",
        "rate",
        "Climb: rate",
        "full throttle, flaps up, greatest mass, standard air",
        RATE,
    ),
    ask("+climb", "speed", "Climb: speed of that row, indicated", "blank for the best", SPEED),
    ask(
        "+cruise",
        "height",
        "Cruise: pressure altitude",
        "of a row of the cruise table; blank when all are told",
        HEIGHT,
    ),
    ask(
        "+cruise",
        "power_share",
        "Cruise: share of power, such as 0.75",
        "blank when the table gives horsepower or none",
        Kind::Number,
    ),
    ask("+cruise", "power", "Cruise: shaft power", "blank when told as a share", POWER),
    need("+cruise", "true_airspeed", "Cruise: true airspeed", "level, standard air", SPEED),
    ask(
        "+cruise",
        "fuel_gal_per_h",
        "Cruise: fuel, US gallons an hour",
        "a number alone",
        Kind::Number,
    ),
    ask(
        "+category",
        "name",
        "Category",
        "normal, utility or acrobatic; blank when all are told",
        Kind::Choice(&["normal", "utility", "acrobatic"]),
    ),
    ask("+category", "mass_max", "Category: greatest mass", "blank for the maximum", MASS),
    need("+category", "load_factor_max", "Category: positive limit load factor", "flaps up", LOAD),
    need(
        "+category",
        "load_factor_min",
        "Category: negative limit load factor",
        "with a minus sign",
        NEGATIVE_LOAD,
    ),
    need(
        "+category",
        "approved",
        "Category: approved maneuvers",
        "keys with commas: steep-turn, chandelle, lazy-eight; none for none",
        Kind::List,
    ),
];

/// Every question, for a form: the same words in the same order.
#[must_use]
pub fn list() -> QuestionList {
    let question = |question: &Question| {
        let row = question.block.strip_prefix('+');
        let (kind, choices, example) = match question.kind {
            Kind::Words => ("words", &[][..], None),
            Kind::Choice(words) => ("choice", words, None),
            Kind::Number => ("number", &[][..], None),
            Kind::Quantity(_, example) => ("quantity", &[][..], Some(example)),
            Kind::List => ("list", &[][..], None),
        };
        QuestionOut {
            block: row.unwrap_or(question.block),
            repeated: row.is_some(),
            key: question.key,
            words: question.words,
            help: question.help,
            kind,
            choices,
            example,
            needed: question.needed,
        }
    };
    QuestionList {
        schema: question_list::SCHEMA,
        questions: QUESTIONS.iter().map(question).collect(),
    }
}

/// As JSON (`skychalk.questions/1`).
#[must_use]
pub fn json() -> String {
    wire::to_json(&list())
}

/// What came of an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reply {
    /// Taken; the next question is there.
    Next,
    /// Something to say before the same question is asked again.
    Again(String),
    /// All questions are answered.
    Done,
}

/// A talk that makes a file of figures.
#[derive(Debug, Clone, Default)]
pub struct Questions {
    /// Question and answer, in order; blank where not known.
    answers: Vec<(usize, String)>,
}

impl Questions {
    /// Which question is next; `None` when all are answered.
    fn next(&self) -> Option<usize> {
        let Some((last, answer)) = self.answers.last() else { return Some(0) };
        let (question, after) = (&QUESTIONS[*last], last + 1);
        let group_ends = |from: usize| {
            let block = QUESTIONS[from].block;
            (from..QUESTIONS.len())
                .find(|i| QUESTIONS[*i].block != block)
                .unwrap_or(QUESTIONS.len())
        };
        let row = question.block.starts_with('+');
        let first = |i: usize| i == 0 || QUESTIONS[i - 1].block != QUESTIONS[i].block;
        let next = if row && first(*last) && answer.is_empty() {
            group_ends(*last)
        } else if row && after == group_ends(*last) {
            (0..=*last).rev().find(|i| first(*i)).expect("a block has a first question")
        } else {
            after
        };
        (next < QUESTIONS.len()).then_some(next)
    }

    /// The question, with its units or choices; `None` when all are answered.
    #[must_use]
    pub fn prompt(&self) -> Option<String> {
        let question = &QUESTIONS[self.next()?];
        let form = match question.kind {
            Kind::Words | Kind::List => String::new(),
            Kind::Number => " (a number)".into(),
            Kind::Choice(words) => format!(" ({})", words.join(", ")),
            Kind::Quantity(_, example) => format!(" (such as {example})"),
        };
        let blank = if question.needed { "" } else { ", blank if unknown" };
        Some(format!("{}{form}{blank}: ", question.words))
    }

    /// Takes an answer.
    pub fn answer(&mut self, line: &str) -> Reply {
        let Some(at) = self.next() else { return Reply::Done };
        let (question, text) = (&QUESTIONS[at], line.trim());
        match text {
            "?" => return Reply::Again(question.help.into()),
            "<" => {
                return match self.answers.pop() {
                    Some(_) => Reply::Next,
                    None => Reply::Again("this is the first question".into()),
                };
            }
            "" if question.needed => return Reply::Again("the file cannot do without it".into()),
            _ => {}
        }
        if !text.is_empty()
            && let Some(wrong) = wrong(question, text)
        {
            return Reply::Again(wrong);
        }
        self.answers.push((at, text.into()));
        if self.next().is_some() { Reply::Next } else { Reply::Done }
    }

    /// The first question that the file cannot do without and that is not answered.
    #[must_use]
    pub fn lacking(&self) -> Option<&'static str> {
        let next = self.next()?;
        let head = |question: &Question| !question.block.starts_with('+');
        let half = |at: usize| at > 0 && QUESTIONS[at].needed && !head(&QUESTIONS[at]);
        let missing = QUESTIONS[next..].iter().find(|question| question.needed && head(question));
        let row = half(next).then(|| QUESTIONS[next].words);
        row.or(missing.map(|question| question.words))
    }

    /// Key of the airplane, with letters, digits and hyphens alone.
    #[must_use]
    pub fn id(&self) -> String {
        let told = self.answers.first().map_or("airplane", |(_, id)| id.as_str());
        told.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect()
    }

    /// The file of figures.
    #[must_use]
    pub fn figures(&self) -> String {
        let mut out = String::from(
            "# Figures of a flight manual, from questions and answers. Training aid, not approved data: the flight manual decides.\n",
        );
        let mut block = "";
        for (at, answer) in &self.answers {
            let question = &QUESTIONS[*at];
            let first = *at == 0 || QUESTIONS[at - 1].block != question.block;
            if let Some(row) = question.block.strip_prefix('+') {
                if first && answer.is_empty() {
                    continue;
                }
                if first {
                    out.push_str(&format!("\n[[{row}]]\n"));
                }
            } else if question.block != block {
                out.push_str(&format!("\n[{}]\n", question.block));
            }
            block = question.block;
            if !answer.is_empty() {
                out.push_str(&format!("{} = {}\n", question.key, value(question, answer)));
            }
        }
        out
    }
}

/// What is wrong with an answer, if anything.
fn wrong(question: &Question, text: &str) -> Option<String> {
    match question.kind {
        Kind::Words | Kind::List => None,
        Kind::Choice(words) => {
            (!words.contains(&text)).then(|| format!("write one of: {}", words.join(", ")))
        }
        Kind::Number => {
            let number = text.parse::<f64>().is_ok_and(f64::is_finite);
            (!number).then(|| "write a number alone".to_string())
        }
        Kind::Quantity(fits, example) => {
            let bare = text.parse::<f64>().is_ok();
            let what = if bare { "the unit is missing" } else { "no quantity" };
            (!fits(text)).then(|| format!("{what}: write it as {example}"))
        }
    }
}

/// An answer as TOML writes it.
fn value(question: &Question, text: &str) -> String {
    let quoted = |text: &str| format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""));
    match question.kind {
        Kind::Words | Kind::Choice(_) | Kind::Quantity(..) => quoted(text),
        Kind::Number => text.into(),
        Kind::List => {
            let words = text.split(',').map(str::trim).filter(|w| !w.is_empty() && *w != "none");
            format!("[{}]", words.map(quoted).collect::<Vec<_>>().join(", "))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Questions, Reply};

    fn told(lines: &[&str]) -> Questions {
        let mut questions = Questions::default();
        for line in lines {
            questions.answer(line);
        }
        questions
    }

    const HEAD: [&str; 23] = [
        "my-single",
        "My Single",
        "a manual",
        "fixed",
        "high",
        "4",
        "2400 lb",
        "",
        "",
        "174 ft2",
        "36 ft",
        "160 hp",
        "2700 rpm",
        "fixed",
        "75 in",
        "",
        "99 kt",
        "127 kt",
        "158 kt",
        "",
        "76 kt",
        "",
        "",
    ];

    #[test]
    fn prop_answers_make_a_file_of_figures() {
        let rows = ["up", "idle", "51 kt", "calibrated", "", "", "0 ft", "700 ft/min", "", ""];
        let more =
            ["8000 ft", "0.75", "", "120 kt", "", "", "normal", "", "3.8 g", "-1.52 g", "none"];
        let mut questions = told(&[&HEAD[..], &rows, &more].concat());
        assert_eq!(questions.answer(""), Reply::Done);
        assert!(questions.prompt().is_none() && questions.lacking().is_none());
        let figures = handbook::Figures::from_toml(&questions.figures(), "answers")
            .unwrap_or_else(|faults| panic!("{faults}\n{}", questions.figures()));
        assert_eq!((figures.stalls.len(), figures.climbs.len(), figures.cruises.len()), (1, 1, 1));
        assert_eq!(figures.categories[0].name, "normal");
    }

    #[test]
    fn prop_help_back_and_slips() {
        let mut questions = Questions::default();
        assert_eq!(questions.answer(""), Reply::Again("the file cannot do without it".into()));
        assert!(matches!(questions.answer("?"), Reply::Again(help) if help.contains("hyphens")));
        assert!(matches!(questions.answer("<"), Reply::Again(_)));
        let mut questions = told(&HEAD[..6]);
        let missing = questions.answer("2400");
        assert!(matches!(missing, Reply::Again(said) if said.contains("the unit is missing")));
        assert!(matches!(questions.answer("2400 kt"), Reply::Again(_)));
        assert_eq!(questions.answer("<"), Reply::Next);
        assert!(questions.prompt().is_some_and(|prompt| prompt.starts_with("Seats")));
        assert_eq!(questions.lacking(), Some("Seats"));
    }
}
