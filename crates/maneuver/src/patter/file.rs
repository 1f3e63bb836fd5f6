//! Scripts as files that people write and change: TOML, a list of sentences with their places.

use std::fmt::Write;

use base::typed_toml::{Faults, Section, read};

use super::fill::{PLACEHOLDERS, unknown_places};
use super::{Script, ScriptLine};
use crate::definition::{Form, Maneuver, When};

/// Words longer than this in one sentence are a slip, or an attack.
const LETTERS_MOST: usize = 400;

impl Script {
    /// Reads a script for a maneuver and a form. `name` is that of the file, for messages.
    ///
    /// # Errors
    /// Every fault with its line: another maneuver or form, a part or a place that the figure does not have, an unknown name in
    /// braces, no sentence at all.
    pub fn from_toml(
        text: &str,
        name: &str,
        maneuver: &dyn Maneuver,
        form: &Form,
    ) -> Result<Self, Faults> {
        read(text, name, |root| {
            let id = root.text("maneuver");
            if let Some(id) = id.as_deref().filter(|id| *id != maneuver.id()) {
                let hint = format!(
                    "write maneuver = {:?}, or give the file to that maneuver",
                    maneuver.id()
                );
                root.fault("maneuver", format!("these are words for {id:?}"), hint);
            }
            let key = root.optional_text("form").unwrap_or_else(|| form.key.into());
            if key != form.key {
                let hint =
                    format!("leave the form out for every form, or write form = {:?}", form.key);
                root.fault("form", format!("these are words for the form {key:?}"), hint);
            }
            let sections = root.sections("line");
            if sections.is_empty() {
                root.fault(
                    "line",
                    "no sentence in this script",
                    "write [[line]] and under it when, demonstrating, directing, monitoring, short",
                );
            }
            let lines: Vec<Option<ScriptLine>> =
                sections.iter().map(|section| line(section, maneuver)).collect();
            let lines = lines.into_iter().collect::<Option<_>>()?;
            Some(Self { maneuver: id?, form: form.key.into(), own: Some(name.into()), lines })
        })
    }

    /// The script as a file that [`Script::from_toml`] reads, with a word on how it is changed.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let mut out = String::from(HEAD);
        for (name, what) in PLACEHOLDERS {
            push(&mut out, format_args!("#   {{{name}}}: {what}\n"));
        }
        push(
            &mut out,
            format_args!(
                "\nmaneuver = {}\nform = {}\n",
                quoted(&self.maneuver),
                quoted(&self.form)
            ),
        );
        for line in &self.lines {
            let when = match line.when {
                When::Before => "before".to_string(),
                When::At(progress_deg) => format!("at {progress_deg}"),
                When::After => "after".to_string(),
            };
            push(&mut out, format_args!("\n[[line]]\nwhen = {}\n", quoted(&when)));
            if line.part > 0 {
                push(&mut out, format_args!("part = {}\n", line.part + 1));
            }
            push(&mut out, format_args!("values_at = {}\n", line.value_at_deg));
            let [demonstrating, directing, monitoring] = &line.texts;
            let texts = [
                ("demonstrating", demonstrating),
                ("directing", directing),
                ("monitoring", monitoring),
                ("short", &line.short),
            ];
            for (key, text) in texts {
                push(&mut out, format_args!("{key} = {}\n", quoted(text)));
            }
        }
        out
    }
}

const HEAD: &str = "\
# Patter: what is said while the maneuver is flown. The words are yours to change.
#
# Each [[line]] is one sentence in three voices and a short form, which is said in every voice when there are not enough seconds.
# when: \"before\", \"after\", or \"at 45\": the progress of the part at which it is begun. part: which one of several, from 1.
# values_at: the progress from which values are quoted. In braces, filled from the flight:
";

fn push(out: &mut String, text: std::fmt::Arguments<'_>) {
    out.write_fmt(text).expect("writing to a string does not fail");
}

/// A text as a TOML string.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' | '\\' => out.extend(['\\', letter]),
            c if c.is_control() => push(&mut out, format_args!("\\u{:04X}", c as u32)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

fn line(section: &Section<'_>, maneuver: &dyn Maneuver) -> Option<ScriptLine> {
    let shape = maneuver.shape();
    let when = section.text("when").and_then(|word| when(section, &word, shape.span_deg));
    let part = section.optional_number("part", 1.0..=shape.parts as f64);
    if let Some(part) = part.filter(|part| part.fract() != 0.0) {
        section.fault("part", format!("part {part} is no whole number"), "write part = 1 or 2");
    }
    let quoted = section.optional_number("values_at", 0.0..=shape.span_deg);
    let texts =
        ["demonstrating", "directing", "monitoring", "short"].map(|key| words(section, key));
    section.refuse_unknown();
    let part = part.unwrap_or(1.0) as usize - 1;
    let when = when?;
    if when == When::Before && part > 0 {
        section.fault("when", "only the first part has a before", "write when = \"at 0\"");
    }
    let own_place = match when {
        When::Before => 0.0,
        When::At(progress_deg) => progress_deg,
        When::After => shape.span_deg,
    };
    let [demonstrating, directing, monitoring, short] = texts;
    let texts = [demonstrating?, directing?, monitoring?];
    let value_at_deg = quoted.unwrap_or(own_place);
    Some(ScriptLine { part, when, value_at_deg, texts, short: short? })
}

/// "before", "after", or "at 45".
fn when(section: &Section<'_>, word: &str, span_deg: f64) -> Option<When> {
    let place = word.strip_prefix("at ").and_then(|rest| rest.trim().parse::<f64>().ok());
    match (word, place) {
        ("before", _) => Some(When::Before),
        ("after", _) => Some(When::After),
        (_, Some(place)) if (0.0..=span_deg).contains(&place) => Some(When::At(place)),
        (_, Some(place)) => {
            let hint = format!("a part runs from 0 to {span_deg}");
            section.fault("when", format!("the figure has no place {place}"), hint);
            None
        }
        _ => {
            let hint = "write \"before\", \"after\", or a place such as \"at 45\"";
            section.fault("when", format!("{word:?} is no place in the maneuver"), hint);
            None
        }
    }
}

/// A sentence whose names in braces are known.
fn words(section: &Section<'_>, key: &'static str) -> Option<String> {
    let text = section.text(key)?;
    let letters = text.chars().count();
    if letters > LETTERS_MOST {
        let what = format!("{key} is {letters} letters long");
        section.fault(key, what, format!("at most {LETTERS_MOST}: part it into sentences"));
        return None;
    }
    if text.chars().any(char::is_control) {
        section.fault(
            key,
            format!("{key} holds a line end or another control character"),
            "write it on one line",
        );
        return None;
    }
    for name in unknown_places(&text) {
        let known: Vec<String> =
            PLACEHOLDERS.iter().map(|(known, _)| format!("{{{known}}}")).collect();
        section.fault(
            key,
            format!("{{{name}}} is not known"),
            format!("one of: {}", known.join(", ")),
        );
    }
    Some(text)
}
