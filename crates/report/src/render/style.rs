//! The look as style sheets: tokens (the only place where a color is named) and rules for pictures, shared by page and
//! sheet.

/// A token of the look: its name, its value on the board (dark), its value on paper.
const TOKENS: [(&str, &str, &str); 14] = [
    ("ground", "#1d262a", "#fcfbf7"),
    ("raised", "#263135", "#f0eee6"),
    ("rule", "#3d4a4f", "#cfcdc3"),
    ("grid", "#3a474c", "#d9d7ce"),
    ("control", "#829096", "#6f7a7d"),
    ("ink", "#f4f1e8", "#172024"),
    ("muted", "#b3bdba", "#4f5b5f"),
    ("reference", "#8fd0f5", "#00549a"),
    ("attempt", "#f4cf5e", "#8f6000"),
    ("reflight", "#22b08a", "#00795a"),
    ("limit", "#f5721f", "#8c2b00"),
    ("band-opacity", ".20", ".18"),
    ("ribbon-top", ".42", ".34"),
    ("dust-opacity", ".13", "0"),
];

/// Rules for pictures; every value that differs between themes is a token.
pub(super) const PICTURE_RULES: &str = include_str!("picture.css");
/// Rules for the page.
pub(super) const PAGE_RULES: &str = include_str!("page.css");

/// Declarations of the tokens of a theme.
fn declarations(paper: bool) -> String {
    TOKENS
        .iter()
        .map(|(name, board, on_paper)| {
            format!("--{name}:{};", if paper { on_paper } else { board })
        })
        .collect()
}

/// Tokens for both themes: the reader's preference decides, the switch overrides it, print is always paper.
pub(super) fn token_rules() -> String {
    let (board, paper) = (declarations(false), declarations(true));
    format!(
        ":root{{color-scheme:light;{paper}}}\
         @media (prefers-color-scheme:dark){{:root{{color-scheme:dark;{board}}}}}\
         :root:has(#theme-board:checked){{color-scheme:dark;{board}}}\
         :root:has(#theme-paper:checked){{color-scheme:light;{paper}}}\
         @media print{{:root,:root:has(#theme-board:checked){{color-scheme:light;{paper}--ground:#ffffff;}}}}"
    )
}

/// The picture rules on paper with every token written out, for programs that know no custom properties.
pub(super) fn picture_rules_on_paper() -> String {
    TOKENS.iter().fold(PICTURE_RULES.to_string(), |rules, (name, _, paper)| {
        rules.replace(&format!("var(--{name})"), paper)
    })
}

/// A value of the sheet as it is printed: tokens written out, the ground white.
pub(super) fn printed(value: &str) -> String {
    let white = value.replace("var(--ground)", "#ffffff");
    TOKENS
        .iter()
        .fold(white, |value, (name, _, paper)| value.replace(&format!("var(--{name})"), paper))
}
