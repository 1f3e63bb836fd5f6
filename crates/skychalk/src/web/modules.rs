//! The modules that the first picture needs, as one: each would cost the browser a request of its own, and forty requests cost it more
//! than drawing. Only what our own modules do is understood (imports and exports by name, one statement a line, no cycles); anything
//! else is an error, and the modules are then served one by one.

use std::collections::HashMap;
use std::fmt;

/// A module that cannot be put together with others.
#[derive(Debug)]
pub(super) struct NotTogether {
    path: String,
    line: usize,
    what: &'static str,
}

impl fmt::Display for NotTogether {
    fn fmt(&self, out: &mut fmt::Formatter) -> fmt::Result {
        write!(out, "{}, line {}: {}", self.path, self.line, self.what)
    }
}

/// A module: its path below the folder of the page, and its text.
pub(super) type File = (String, String);

/// Puts together the module `first` and those that it imports before it runs; what is imported when it is wanted (`import('…')`) stays
/// apart. `text` gives the text of the module at a path. Given back are `first`, which stands for all of them, and for every other one
/// a module that passes on what the first holds, so that each exists once, whoever imports it later.
///
/// # Errors
/// [`NotTogether`]: a module that is not there, a statement that is not understood, modules that import each other in a circle.
pub(super) fn together(
    first: &str,
    text: &dyn Fn(&str) -> Option<String>,
) -> Result<Vec<File>, NotTogether> {
    let mut order = Order { text, done: Vec::new(), open: Vec::new(), exports: HashMap::new() };
    order.add(first, first, 0)?;
    let mut all: String = order.done.iter().map(|(_, body)| body.as_str()).collect();
    let names: Vec<String> = order.done.iter().map(|(path, _)| variable(path)).collect();
    all += &format!("export {{ {} }};\n", names.join(", "));
    let others = order.done.iter().filter(|(path, _)| path != first).map(|(path, _)| {
        let own = variable(path);
        let exports: Vec<&str> = order.exports[path].iter().map(|(outer, _)| &**outer).collect();
        let exports = exports.join(", ");
        let passed =
            format!("import {{ {own} }} from '/{first}';\nexport const {{ {exports} }} = {own};\n");
        (path.clone(), passed)
    });
    Ok([(first.to_string(), all)].into_iter().chain(others).collect())
}

/// Modules in the order in which they run.
struct Order<'a> {
    text: &'a dyn Fn(&str) -> Option<String>,
    done: Vec<(String, String)>,
    /// Modules whose imports are being added.
    open: Vec<String>,
    exports: HashMap<String, Exports>,
}

/// What a module exports: the name by which others know it, and its own.
type Exports = Vec<(String, String)>;

impl Order<'_> {
    /// Adds the module at `path`, after what it imports; `by` and `line` are where it is imported.
    fn add(&mut self, path: &str, by: &str, line: usize) -> Result<(), NotTogether> {
        let wrong = |what| NotTogether { path: by.to_string(), line, what };
        if self.exports.contains_key(path) {
            return Ok(());
        }
        if self.open.iter().any(|open| open == path) {
            return Err(wrong("modules import each other in a circle"));
        }
        let text = (self.text)(path).ok_or_else(|| wrong("the module is not there"))?;
        self.open.push(path.to_string());
        let mut exports = Vec::new();
        let mut body = format!("const {} = (() => {{\n", variable(path));
        for (i, line) in text.lines().enumerate() {
            body += &self.line(line, path, i + 1, &mut exports)?;
            body.push('\n');
        }
        let told: Vec<String> = exports.iter().map(|(outer, own)| pair(outer, own)).collect();
        body += &format!("return {{ {} }};\n}})();\n", told.join(", "));
        self.open.pop();
        self.exports.insert(path.to_string(), exports);
        self.done.push((path.to_string(), body));
        Ok(())
    }

    /// One line of the module at `path` as it stands inside the one text. What it exports is added to `exports`.
    fn line(
        &mut self,
        line: &str,
        path: &str,
        number: usize,
        exports: &mut Exports,
    ) -> Result<String, NotTogether> {
        let wrong = |what| NotTogether { path: path.to_string(), line: number, what };
        if line.starts_with("import ") || line.starts_with("import{") {
            let (names, from) = import(line).ok_or_else(|| wrong("an import of another kind"))?;
            let from = resolve(from, path);
            self.add(&from, path, number)?;
            let has = |name| self.exports[&from].iter().any(|(outer, _)| outer == name);
            if !list(names).all(|(name, _)| has(name)) {
                return Err(wrong("a name that the module does not export, one a statement"));
            }
            let names: Vec<String> = list(names).map(|(own, here)| pair(own, here)).collect();
            return Ok(format!("const {{ {} }} = {};", names.join(", "), variable(&from)));
        }
        if let Some(rest) = line.strip_prefix("export ") {
            if let Some(names) = rest.strip_prefix('{') {
                let names = names.strip_suffix("};").ok_or_else(|| wrong("a list of exports"))?;
                exports.extend(exported(names));
                return Ok(String::new());
            }
            let declared = ["const ", "function ", "async function ", "class "];
            let name = declared.iter().find_map(|kind| rest.strip_prefix(kind));
            let name = name.ok_or_else(|| wrong("an export of another kind"))?;
            let end = name.find(|c: char| !(c.is_ascii_alphanumeric() || c == '_' || c == '$'));
            let name = &name[..end.unwrap_or(name.len())];
            if name.is_empty() {
                return Err(wrong("an export without a name"));
            }
            exports.push((name.to_string(), name.to_string()));
            return Ok(relocated(rest, path));
        }
        // What a library exports stands at the end of its one line.
        if let Some((code, names)) = line.rsplit_once(";export{") {
            let names = names.strip_suffix("};").ok_or_else(|| wrong("a list of exports"))?;
            exports.extend(exported(names));
            return Ok(format!("{code};"));
        }
        if line.contains("*/ export ") {
            return Err(wrong("an export that does not begin its line"));
        }
        Ok(relocated(line, path))
    }
}

/// A property and what it holds; the short form where both have one name.
fn pair(property: &str, name: &str) -> String {
    if property == name { name.to_string() } else { format!("{property}: {name}") }
}

/// What a list of exports tells.
fn exported(names: &str) -> impl Iterator<Item = (String, String)> {
    list(names).map(|(own, outer)| (outer.to_string(), own.to_string()))
}

/// The names of a list such as `a, b as c`, each with its other name.
fn list(names: &str) -> impl Iterator<Item = (&str, &str)> {
    let names = names.split(',').map(str::trim).filter(|name| !name.is_empty());
    names.map(|name| name.split_once(" as ").unwrap_or((name, name)))
}

/// What the statement `import { names } from './module.js';` names, and the module.
fn import(line: &str) -> Option<(&str, &str)> {
    let names = line.strip_prefix("import {")?;
    let (names, from) = names.split_once("} from '")?;
    Some((names, from.strip_suffix("';")?))
}

/// The line with modules that are imported when they are wanted named from the root: the one text lies elsewhere than the module.
fn relocated(line: &str, path: &str) -> String {
    let mut out = String::new();
    let mut rest = line;
    while let Some((before, after)) = rest.split_once("import('.") {
        // Types in comments name modules in the same way, and no harm is done to them.
        let Some((name, behind)) = after.split_once("')") else { break };
        out += &format!("{before}import('/{}')", resolve(&format!(".{name}"), path));
        rest = behind;
    }
    out + rest
}

/// The path below the folder of the page of what the module at `path` calls `name`.
fn resolve(name: &str, path: &str) -> String {
    let mut parts: Vec<&str> = path.split('/').collect();
    parts.pop();
    for part in name.split('/') {
        match part {
            "." => (),
            ".." => drop(parts.pop()),
            part => parts.push(part),
        }
    }
    parts.join("/")
}

/// The name under which a module stands in the one text.
fn variable(path: &str) -> String {
    let name = path.trim_end_matches(".js");
    format!("in_{}", name.replace(|c: char| !c.is_ascii_alphanumeric(), "_"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(files: &'static [(&str, &str)]) -> impl Fn(&str) -> Option<String> {
        move |path| files.iter().find(|(name, _)| *name == path).map(|(_, text)| text.to_string())
    }

    #[test]
    fn modules_are_put_together_in_the_order_in_which_they_run() {
        let files = of(&[
            (
                "main.js",
                "import { b } from './parts/b.js';\nimport { a as first } from './core/a.js';\nb(first);",
            ),
            (
                "parts/b.js",
                "import { a } from '../core/a.js';\nexport const b = x => x + a;\nexport async function later() { return import('./c.js'); }",
            ),
            ("core/a.js", "const x=1;export{x as a};"),
        ]);
        let files = together("main.js", &files).unwrap();
        assert_eq!(
            files[0].1,
            "const in_core_a = (() => {\nconst x=1;\nreturn { a: x };\n})();\n\
             const in_parts_b = (() => {\nconst { a } = in_core_a;\nconst b = x => x + a;\nasync function later() { return import('/parts/c.js'); }\nreturn { b, later };\n})();\n\
             const in_main = (() => {\nconst { b } = in_parts_b;\nconst { a: first } = in_core_a;\nb(first);\nreturn {  };\n})();\n\
             export { in_core_a, in_parts_b, in_main };\n"
        );
        assert_eq!(
            files[1..],
            [
                ("core/a.js".to_string(), "import { in_core_a } from '/main.js';\nexport const { a } = in_core_a;\n".to_string()),
                ("parts/b.js".to_string(), "import { in_parts_b } from '/main.js';\nexport const { b, later } = in_parts_b;\n".to_string()),
            ]
        );
    }

    #[test]
    fn what_is_not_understood_is_an_error_that_says_where() {
        for (files, says) in [
            (
                &[("main.js", "\nimport * as a from './a.js';")][..],
                "main.js, line 2: an import of another kind",
            ),
            (
                &[("main.js", "import { a } from './a.js';")][..],
                "main.js, line 1: the module is not there",
            ),
            (
                &[
                    ("main.js", "import { b } from './b.js';"),
                    ("b.js", "export const a = 1, b = 2;"),
                ][..],
                "main.js, line 1: a name that the module does not export, one a statement",
            ),
            (&[("main.js", "export let a = 1;")][..], "main.js, line 1: an export of another kind"),
            (&[("main.js", "export default 1;")][..], "main.js, line 1: an export of another kind"),
            (
                &[("main.js", "export const { a } = b;")][..],
                "main.js, line 1: an export without a name",
            ),
            (
                &[("main.js", "export { a } from './a.js';")][..],
                "main.js, line 1: a list of exports",
            ),
            (
                &[
                    ("main.js", "import { b } from './b.js';"),
                    ("b.js", "//\nimport { a } from './main.js';"),
                ][..],
                "b.js, line 2: modules import each other in a circle",
            ),
        ] {
            assert_eq!(together("main.js", &of(files)).unwrap_err().to_string(), says);
        }
    }
}
