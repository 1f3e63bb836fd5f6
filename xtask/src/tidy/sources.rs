//! Keys of sources: each defined once in SOURCES.md, each used by something, and none used that is not defined there.

use super::Tree;

const LIST: &str = "SOURCES.md";

pub(super) fn check(tree: &Tree) -> Vec<String> {
    let Some(list) = tree.file(LIST) else {
        return vec![format!("{LIST}: missing")];
    };
    let keys = keys(list);
    let mut wrong = twice(&keys);
    wrong.extend(undefined(tree, &keys));
    wrong.extend(unused(tree, &keys));
    wrong
}

/// Keys of the table, in its order.
fn keys(list: &str) -> Vec<&str> {
    list.lines()
        .filter(|line| line.starts_with("| `"))
        .filter_map(|line| line.split('`').nth(1))
        .collect()
}

fn twice(keys: &[&str]) -> Vec<String> {
    let mut sorted = keys.to_vec();
    sorted.sort_unstable();
    let twice = sorted.windows(2).filter(|pair| pair[0] == pair[1]);
    twice.map(|pair| format!("{LIST}: key {} is defined twice", pair[0])).collect()
}

/// Data (`source = "KEY more"`) and code (`source: "KEY"`) that name a key which the list has not.
fn undefined(tree: &Tree, keys: &[&str]) -> Vec<String> {
    let data = |path: &str| path.starts_with("data/") && path.ends_with(".toml");
    let code =
        |path: &str| path.starts_with("crates/") && path.contains("/src/") && path.ends_with(".rs");
    let marked = tree
        .files(data)
        .map(|file| (file, "source = \""))
        .chain(tree.files(code).map(|file| (file, "source: \"")));
    let mut wrong = Vec::new();
    for ((path, text), mark) in marked {
        for (number, line) in text.lines().enumerate() {
            let Some(key) = named(line, mark).filter(|key| !keys.contains(key)) else { continue };
            let place = format!("{path}:{}", number + 1);
            wrong.push(format!("{place}: source key {key:?} is not in {LIST}"));
        }
    }
    wrong
}

/// The key after a mark that begins a line or follows a blank: what stands before the first blank or the closing quote.
fn named<'a>(line: &'a str, mark: &str) -> Option<&'a str> {
    let at = line.find(mark)?;
    let begins = line[..at].chars().next_back().is_none_or(char::is_whitespace);
    let key = line[at + mark.len()..].split([' ', '"']).next();
    // A sentence may go on after the key: its punctuation is not of it.
    key.map(|key| key.trim_end_matches(['.', ',', ';', ':'])).filter(|_| begins)
}

/// Keys that nothing names: the row is stale, or the place that uses the source does not say so.
fn unused(tree: &Tree, keys: &[&str]) -> Vec<String> {
    let elsewhere: Vec<&str> =
        tree.files(|path| path != LIST && path != "CHANGELOG.md").map(|(_, text)| text).collect();
    let used = |key: &str| elsewhere.iter().any(|text| stands_alone(text, key));
    let stale = keys.iter().filter(|key| !used(key));
    stale.map(|key| format!("{LIST}: nothing names the key {key}")).collect()
}

/// Whether a key occurs and is not a part of a longer one.
fn stands_alone(text: &str, key: &str) -> bool {
    let of_key = |character: char| character.is_ascii_alphanumeric() || character == '-';
    text.match_indices(key).any(|(at, _)| {
        let rest = &text[at + key.len()..];
        // A point ends a sentence unless a figure follows it (14-CFR-23 within 14-CFR-23.3).
        let figure = rest.strip_prefix('.').and_then(|more| more.chars().next());
        !text[..at].chars().next_back().is_some_and(of_key)
            && !rest.chars().next().is_some_and(of_key)
            && !figure.is_some_and(|character| character.is_ascii_digit())
    })
}

#[cfg(test)]
mod tests {
    use super::{keys, named, stands_alone, twice};

    #[test]
    fn keys_are_read_from_the_table_and_told_twice() {
        let list =
            "text `no`\n| key | source |\n|---|---|\n| `B` | b |\n| `A` | a `x` |\n| `B` | c |\n";
        assert_eq!(keys(list), ["B", "A", "B"]);
        assert_eq!(twice(&keys(list)), ["SOURCES.md: key B is defined twice"]);
    }

    #[test]
    fn the_key_ends_before_the_first_blank() {
        assert_eq!(named("source = \"ACS-C CA.V.A.S2\"", "source = \""), Some("ACS-C"));
        assert_eq!(named("    source: \"AFH-3C\",", "source: \""), Some("AFH-3C"));
        assert_eq!(named("resource = \"x y\"", "source = \""), None);
        assert_eq!(named("edition = \"2\"", "source = \""), None);
    }

    #[test]
    fn a_key_within_a_longer_one_does_not_count() {
        assert!(stands_alone("Source: 14-CFR-23.", "14-CFR-23"));
        assert!(stands_alone("14-CFR-23, 23.335", "14-CFR-23"));
        assert!(!stands_alone("14-CFR-23.3 and 14-CFR-23-A", "14-CFR-23"));
        assert!(!stands_alone("X-PHAK", "PHAK"));
    }
}
