//! How JSON text is laid out: objects indented, arrays without line breaks of their own, so that a column of numbers is one
//! line.

use serde_json::ser::{Formatter, PrettyFormatter};
use std::io::{self, Write};

/// Objects as the usual indented form has them, arrays compact.
#[derive(Default)]
pub(crate) struct Layout {
    objects: PrettyFormatter<'static>,
}

impl Formatter for Layout {
    fn begin_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.objects.begin_object(writer)
    }
    fn end_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.objects.end_object(writer)
    }
    fn begin_object_key<W: ?Sized + Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.objects.begin_object_key(writer, first)
    }
    fn begin_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.objects.begin_object_value(writer)
    }
    fn end_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.objects.end_object_value(writer)
    }
}
