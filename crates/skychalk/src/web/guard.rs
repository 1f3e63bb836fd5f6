//! Which requests are taken, and what browsers may do with answers.

use axum::extract::Request;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HOST, ORIGIN, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::api;

/// The page takes nothing from other hosts and cannot be framed.
const PAGE_POLICY: HeaderValue = HeaderValue::from_static(
    "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data: blob:; media-src blob:; \
     connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
);

/// A document that needs nothing else: its own style and font, no script.
pub(super) const DOCUMENT_POLICY: HeaderValue = HeaderValue::from_static(
    "default-src 'none'; style-src 'unsafe-inline'; font-src data:; base-uri 'none'; form-action 'none'; \
     frame-ancestors 'none'",
);

/// Refuses requests that name this server by anything but an address or `localhost`: a foreign page whose name was made to
/// lead here could otherwise read answers (rebinding). Requests that another site sends through a visitor's browser, too.
pub(super) async fn only_this_host(request: Request, next: Next) -> Response {
    if is_allowed(request.headers()) {
        return next.run(request).await;
    }
    let hint = "open the page at the address that the program printed";
    api::refusal(StatusCode::FORBIDDEN, "this server answers only to its address", hint)
        .into_response()
}

fn is_allowed(headers: &HeaderMap) -> bool {
    let text = |name| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
    let host = text(HOST).unwrap_or_default();
    // A browser says where a request that carries something comes from.
    let from_own = text(ORIGIN).is_none_or(|origin| origin.strip_prefix("http://") == Some(host));
    is_own(host) && from_own
}

/// Whether a `Host` header is an address or `localhost`, with or without a port.
fn is_own(host: &str) -> bool {
    let name = match host.strip_prefix('[') {
        Some(rest) => rest.split(']').next().unwrap_or_default(),
        None => host.split(':').next().unwrap_or_default(),
    };
    name == "localhost" || name.parse::<std::net::IpAddr>().is_ok()
}

/// Headers that every answer has; a policy set by the route stays.
pub(super) async fn with_headers(mut response: Response) -> Response {
    let headers = response.headers_mut();
    headers.entry(CONTENT_SECURITY_POLICY).or_insert(PAGE_POLICY);
    headers.insert(X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    headers.insert(REFERRER_POLICY, HeaderValue::from_static("no-referrer"));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    response
}

#[cfg(test)]
mod tests {
    use super::is_own;

    #[test]
    fn prop_addresses_and_localhost_are_own_and_names_are_not() {
        for own in ["127.0.0.1:8640", "localhost", "localhost:1", "[::1]:8640", "192.168.1.7:80"] {
            assert!(is_own(own), "{own}");
        }
        for foreign in
            ["", "example.org", "localhost.example.org:80", "127.0.0.1.example.org", "[x]"]
        {
            assert!(!is_own(foreign), "{foreign}");
        }
    }
}
