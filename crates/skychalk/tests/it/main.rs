//! The program as its users meet it: the built binary, run on files.

mod airplane_build;
mod answers;
mod browser;
mod debriefs;
mod errors;
mod lists;
mod recording_show;
mod recordings;
mod run;
mod validate;
