//! The list of maneuvers. One more maneuver is one more file here and one more line in [`ALL`].

use crate::definition::Maneuver;

/// Every maneuver, in syllabus order. Help, completion, documentation, detection and tests walk this list.
pub const ALL: &[&dyn Maneuver] = &[];

/// The maneuver of a catalogue key.
#[must_use]
pub fn find(id: &str) -> Option<&'static dyn Maneuver> {
    ALL.iter().copied().find(|maneuver| maneuver.id() == id)
}
