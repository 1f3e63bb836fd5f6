//! House-keeping tasks of the workspace.

fn main() {}
