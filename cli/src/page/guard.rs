//! Who may ask: this machine's browser on this page, by Host and Origin; and what every answer
//! tells the browser not to do.

use axum::extract::{Request, State};
use axum::http::header::{self, HeaderName, HeaderValue};
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// Nothing but what the page brought with it, nothing inline, in nobody's frame.
const POLICY: &str = "default-src 'self'; base-uri 'none'; form-action 'none'; \
                      frame-ancestors 'none'; object-src 'none'";

/// Refuses what doesn't come from the page itself, and puts the safety headers on every answer.
pub async fn guard(State(port): State<u16>, request: Request, next: Next) -> Response {
    let mut answer = match refusal(request.method(), request.headers(), port) {
        Some((status, why)) => (status, why).into_response(),
        None => next.run(request).await,
    };
    let headers = answer.headers_mut();
    for (name, value) in [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
        (header::X_FRAME_OPTIONS, "DENY"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    answer
}

/// Why a request is refused, if it is.
///
/// A name that another site made point at this machine comes with that name as Host. Another
/// site's page comes with its own Origin, or says `cross-site`.
fn refusal(method: &Method, headers: &HeaderMap, port: u16) -> Option<(StatusCode, &'static str)> {
    let ours = [format!("127.0.0.1:{port}"), format!("localhost:{port}")];
    let one = |name: &HeaderName| {
        let mut all = headers.get_all(name).iter();
        let first = all.next().map(|value| value.to_str().unwrap_or("?"));
        if all.next().is_some() {
            Some("?")
        } else {
            first
        }
    };
    let host = one(&header::HOST);
    if !host.is_some_and(|host| ours.iter().any(|own| own == host)) {
        return Some((
            StatusCode::MISDIRECTED_REQUEST,
            "This page answers to 127.0.0.1 only.\n",
        ));
    }
    if let Some(origin) = one(&header::ORIGIN) {
        let known = ours.iter().any(|own| {
            origin
                .strip_prefix("http://")
                .is_some_and(|rest| rest == own)
        });
        if !known {
            return Some((StatusCode::FORBIDDEN, "This page answers itself only.\n"));
        }
    }
    let site = one(&HeaderName::from_static("sec-fetch-site"));
    let followed = method == Method::GET && site == Some("none");
    if site.is_some_and(|site| site != "same-origin") && !followed {
        return Some((StatusCode::FORBIDDEN, "This page answers itself only.\n"));
    }
    let typed = one(&header::CONTENT_TYPE).unwrap_or("");
    if method == Method::POST && typed.split(';').next() != Some("application/json") {
        return Some((
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "Send JSON, as application/json.\n",
        ));
    }
    None
}
