//! The program: a command line and a page over the use cases of `app`.
//!
//! Data goes to standard output, everything else to standard error. Exit status: 0 done; 1 the answer is "cannot be done"
//! or "nothing found"; 2 the request or a file is wrong; 3 the machine failed.

mod cli;
mod web;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::main()
}
