//! The order of reading as the tags of a PDF.

use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, ListNumbering, Node, SpanTag, TableHeaderScope,
    Tag, TagGroup, TagKind, TagTree,
};
use std::num::NonZeroU16;

use crate::layout::{Element, Kind};

/// Collects what is drawn by the element that it belongs to.
pub(super) struct Tags<'a> {
    elements: &'a [Element],
    drawn: Vec<Vec<Identifier>>,
}

impl<'a> Tags<'a> {
    pub(super) fn of(elements: &'a [Element]) -> Self {
        Self { elements, drawn: elements.iter().map(|_| Vec::new()).collect() }
    }

    /// Whether nothing of the element is drawn yet.
    pub(super) fn is_new(&self, element: usize) -> bool {
        self.drawn[element].is_empty()
    }

    /// What is drawn from here on belongs to the element.
    pub(super) fn begin(&mut self, surface: &mut Surface, element: usize) {
        let tag = match self.elements[element].kind {
            Kind::Decoration => {
                let kind = ArtifactType::Layout;
                surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(kind)));
                return;
            }
            Kind::Figure(_) => ContentTag::Other,
            _ => ContentTag::Span(SpanTag::empty()),
        };
        let drawn = surface.start_tagged(tag);
        self.drawn[element].push(drawn);
    }

    /// The tree, in the order in which the elements were made.
    pub(super) fn tree(mut self) -> TagTree {
        let mut children: Vec<Vec<usize>> = vec![Vec::new(); self.elements.len()];
        let mut top = Vec::new();
        for (index, element) in self.elements.iter().enumerate().skip(1) {
            match element.parent {
                Some(parent) => children[parent].push(index),
                None => top.push(index),
            }
        }
        let mut tree = TagTree::new().with_lang(Some("en".into()));
        for index in top {
            tree.push(self.group(index, &children));
        }
        tree
    }

    fn group(&mut self, index: usize, children: &[Vec<usize>]) -> TagGroup {
        let mut inner: Vec<Node> =
            std::mem::take(&mut self.drawn[index]).into_iter().map(Node::from).collect();
        for child in &children[index] {
            inner.push(self.group(*child, children).into());
        }
        let kind = kind(&self.elements[index].kind);
        if matches!(self.elements[index].kind, Kind::Item) {
            // an item is its body: the sign before it is part of the line
            inner = vec![TagGroup::with_children(Tag::LBody, inner).into()];
        }
        TagGroup::with_children(kind, inner)
    }
}

fn kind(kind: &Kind) -> TagKind {
    match kind {
        Kind::Heading(level, words) => {
            let level = NonZeroU16::new(u16::from(*level)).unwrap_or(NonZeroU16::MIN);
            Tag::Hn(level, Some(words.clone())).into()
        }
        Kind::List => Tag::L(ListNumbering::Disc).into(),
        Kind::Item => Tag::LI.into(),
        Kind::Table => Tag::Table.into(),
        Kind::Caption => Tag::Caption.into(),
        Kind::Row => Tag::TR.into(),
        Kind::HeadCell => Tag::TH(TableHeaderScope::Column).into(),
        Kind::Cell => Tag::TD.into(),
        Kind::Figure(said) => Tag::Figure(Some(said.clone())).into(),
        Kind::Paragraph | Kind::Decoration => Tag::P.into(),
    }
}
