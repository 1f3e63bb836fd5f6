//! How answers are worked out: never more at once than the machine has processors, the same question once, and what was answered
//! kept for a while. An answer depends on nothing but its question, so what is kept is never out of date.

use std::collections::HashMap;
use std::sync::{Arc, LazyLock, Mutex, PoisonError, Weak};

use axum::body::Bytes;
use axum::http::StatusCode;
use axum::http::header::{CONTENT_SECURITY_POLICY, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use tokio::sync::{OnceCell, Semaphore};

use super::guard;

/// Answers that are kept take so much memory at most, bytes.
const KEPT_BYTES_MOST: usize = 48 * 1024 * 1024;

/// An answer, ready to be sent.
#[derive(Debug, Clone)]
pub(super) struct Ready {
    pub(super) status: StatusCode,
    pub(super) media_type: &'static str,
    /// Whether it is a document with a style of its own.
    pub(super) document: bool,
    pub(super) body: Bytes,
}

impl IntoResponse for Ready {
    fn into_response(self) -> Response {
        let mut response =
            (self.status, [(CONTENT_TYPE, self.media_type)], self.body).into_response();
        if self.document {
            response.headers_mut().insert(CONTENT_SECURITY_POLICY, guard::DOCUMENT_POLICY);
        }
        response
    }
}

/// How long work takes: what is drawn while a hand moves does not wait behind what takes seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pace {
    /// A few hundredths of a second.
    Quick,
    /// Longer.
    Long,
}

static PROCESSORS: LazyLock<usize> =
    LazyLock::new(|| std::thread::available_parallelism().map_or(2, usize::from));
static QUICK: LazyLock<Semaphore> = LazyLock::new(|| Semaphore::new(*PROCESSORS));
static LONG: LazyLock<Semaphore> =
    LazyLock::new(|| Semaphore::new(PROCESSORS.saturating_sub(1).max(1)));

/// Works something out beside the server's own threads. Those who wait come first come, first served; who goes away leaves the queue.
/// `None` when the work panicked.
pub(super) async fn once(
    pace: Pace,
    work: impl FnOnce() -> Ready + Send + 'static,
) -> Option<Ready> {
    let queue = if pace == Pace::Quick { &QUICK } else { &LONG };
    let permit = queue.acquire().await.ok();
    let worked = tokio::task::spawn_blocking(move || {
        let _held_while_working = permit;
        work()
    });
    worked.await.ok()
}

/// As [`once`], for a question that may have been put before, or is being worked on for another.
pub(super) async fn shared(
    key: String,
    pace: Pace,
    work: impl FnOnce() -> Ready + Send + 'static,
) -> Option<Ready> {
    if let Some(ready) = kept().find(&key) {
        return Some(ready);
    }
    let cell = in_work(&key);
    // Who asked first works; when he goes away the next one does.
    let ready = cell.get_or_init(|| once(pace, work)).await.clone();
    if let Some(ready) = ready.as_ref().filter(|ready| ready.status == StatusCode::OK) {
        kept().keep(key, ready);
    }
    ready
}

type Cell = OnceCell<Option<Ready>>;

/// The work on a question: that of another who asked the same and still waits, else a new one.
fn in_work(key: &str) -> Arc<Cell> {
    static IN_WORK: LazyLock<Mutex<HashMap<String, Weak<Cell>>>> = LazyLock::new(Mutex::default);
    let mut all = IN_WORK.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(cell) = all.get(key).and_then(Weak::upgrade) {
        return cell;
    }
    all.retain(|_, cell| cell.strong_count() > 0);
    let cell = Arc::new(Cell::new());
    all.insert(key.into(), Arc::downgrade(&cell));
    cell
}

/// Answers by question, those used last longest.
#[derive(Default)]
struct Kept {
    answers: HashMap<String, (Ready, u64)>,
    bytes: usize,
    uses: u64,
}

fn kept() -> std::sync::MutexGuard<'static, Kept> {
    static KEPT: LazyLock<Mutex<Kept>> = LazyLock::new(Mutex::default);
    KEPT.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Kept {
    fn find(&mut self, key: &str) -> Option<Ready> {
        self.uses += 1;
        let (ready, used) = self.answers.get_mut(key)?;
        *used = self.uses;
        Some(ready.clone())
    }

    /// Linear in the number of answers kept when one must go, a few hundred.
    fn keep(&mut self, key: String, ready: &Ready) {
        let size = |key: &str, ready: &Ready| key.len() + ready.body.len();
        let own = size(&key, ready);
        if own > KEPT_BYTES_MOST / 4 || self.answers.contains_key(&key) {
            return;
        }
        self.bytes += own;
        self.uses += 1;
        self.answers.insert(key, (ready.clone(), self.uses));
        while self.bytes > KEPT_BYTES_MOST {
            let oldest = self.answers.iter().min_by_key(|(_, (_, used))| *used);
            let Some(oldest) = oldest.map(|(key, _)| key.clone()) else { return };
            if let Some((ready, _)) = self.answers.remove(&oldest) {
                self.bytes -= size(&oldest, &ready);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{KEPT_BYTES_MOST, Kept, Pace, Ready, StatusCode, shared};
    use std::sync::atomic::{AtomicUsize, Ordering};

    fn ready(size: usize) -> Ready {
        let body = vec![0u8; size].into();
        Ready { status: StatusCode::OK, media_type: "text/plain", document: false, body }
    }

    #[test]
    fn prop_what_is_kept_stays_within_its_memory_and_the_unused_go_first() {
        let mut kept = Kept::default();
        let size = KEPT_BYTES_MOST / 10;
        for i in 0..30 {
            kept.keep(i.to_string(), &ready(size));
            let _first_is_used = kept.find("0");
            assert!(kept.bytes <= KEPT_BYTES_MOST);
        }
        assert!(kept.find("0").is_some() && kept.find("29").is_some());
        assert!(kept.find("1").is_none());
        kept.keep("large".into(), &ready(KEPT_BYTES_MOST));
        assert!(kept.find("large").is_none());
    }

    #[tokio::test]
    async fn prop_equal_questions_are_worked_out_once() {
        static WORKED: AtomicUsize = AtomicUsize::new(0);
        let ask = || {
            shared("the same".into(), Pace::Quick, || {
                WORKED.fetch_add(1, Ordering::SeqCst);
                std::thread::sleep(std::time::Duration::from_millis(60));
                ready(3)
            })
        };
        let (a, b, c) = tokio::join!(ask(), ask(), ask());
        assert!(a.is_some() && b.is_some() && c.is_some() && ask().await.is_some());
        assert_eq!(WORKED.load(Ordering::SeqCst), 1);
    }
}
