//! A debrief with what the page draws around it.

use report::model::Document;
use report::papers::Paper;
use wire::flight::Flight;

use crate::answer::Answer;
use crate::debrief::{self, DebriefAnswer};
use crate::error::Outcome;

/// A debrief whose numbers carry the track over the ground and the reference flights.
#[derive(Debug, Clone)]
pub struct FlightAnswer {
    inner: DebriefAnswer,
}

impl FlightAnswer {
    /// Of a debrief.
    #[must_use]
    pub fn new(inner: DebriefAnswer) -> Self {
        Self { inner }
    }
}

impl Answer for FlightAnswer {
    fn outcome(&self) -> Outcome {
        self.inner.outcome()
    }
    fn formats(&self) -> Vec<&'static str> {
        self.inner.formats()
    }
    fn document(&self) -> Option<Document> {
        self.inner.document()
    }
    fn papers(&self) -> Vec<Paper> {
        self.inner.papers()
    }
    fn on_paper(&self, key: &str) -> Option<Vec<Document>> {
        self.inner.on_paper(key)
    }
    fn json(&self) -> String {
        let mut debrief = self.inner.debrief.clone();
        let references = debrief::references(&mut debrief, &self.inner.told);
        wire::to_json(&Flight::new(&debrief, &references))
    }
    fn csv(&self) -> Option<String> {
        self.inner.csv()
    }
    fn remarks(&self, format: &str) -> Vec<String> {
        self.inner.remarks(format)
    }
}
