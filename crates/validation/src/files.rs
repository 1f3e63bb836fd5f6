//! What is there of the folder of check files. The files themselves are opened elsewhere.

use crate::table::Table;

/// Access to the check folder.
#[derive(Clone, Copy)]
pub struct Files<'a> {
    read: &'a dyn Fn(&str) -> Option<Vec<u8>>,
}

impl std::fmt::Debug for Files<'_> {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Files")
    }
}

impl<'a> Files<'a> {
    /// From a function that gives the bytes of a file below the check folder (forward slashes), `None` when it is not there.
    #[must_use]
    pub const fn new(read: &'a dyn Fn(&str) -> Option<Vec<u8>>) -> Self {
        Self { read }
    }
    /// Bytes of a file.
    #[must_use]
    pub fn bytes(&self, path: &str) -> Option<Vec<u8>> {
        (self.read)(path)
    }
    /// Text of a file; bytes that are no text are replaced, so that the comparison fails where they are.
    #[must_use]
    pub fn text(&self, path: &str) -> Option<String> {
        self.bytes(path).map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
    }
    /// A comma-separated table.
    #[must_use]
    pub fn table(&self, path: &str) -> Option<Table> {
        self.text(path).map(|text| Table::parse(&text))
    }
}
