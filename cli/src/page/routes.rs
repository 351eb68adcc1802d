//! What the page may ask, and how long it waits for an answer.

use std::collections::VecDeque;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::{Path, Request, State};
use axum::http::{StatusCode, header};
use axum::middleware;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use rayon::ThreadPool;
use serde_json::{Value, json};
use tokio::sync::{OwnedSemaphorePermit, Semaphore, mpsc};

use super::answer::Answered;
use super::assets::{ASSETS, EXAMPLES, Texts};
use super::question::{Asked, Question};
use super::refine::{Listener, News, refine};
use super::{figure, guard};
use crate::failure::Failure;
use crate::trials;

/// Longest body of a question, bytes.
const BODY: usize = 256 * 1024;
/// Longest a body may take to come, and a question to have its turn.
const PATIENCE: Duration = Duration::from_secs(10);
/// Answers worked out at a time, and refined at a time.
const AT_A_TIME: usize = 2;
/// Answers kept, for the figures and the trials that are asked for next.
const KEPT: usize = 3;
/// News that may wait for a slow reader before the trials wait with it.
const WAITING: usize = 4;

/// All that the server keeps.
pub struct Desk {
    /// Port it serves on.
    port: u16,
    begin: Texts,
    firsts: Arc<Semaphore>,
    answers: Arc<Semaphore>,
    refinements: Arc<Semaphore>,
    /// Threads for answers, so that a question doesn't wait behind trials that nobody wants any
    /// more.
    running: ThreadPool,
    /// Threads for trials.
    trying: ThreadPool,
    kept: Mutex<VecDeque<(u64, Arc<Kept>)>>,
}

struct Kept {
    question: Question,
    asked: Asked,
    answered: Option<Answered>,
}

/// A desk with nothing on it yet.
///
/// # Errors
/// When the system gives no threads.
pub fn desk(begin: Texts, port: u16) -> Result<Arc<Desk>, Failure> {
    Ok(Arc::new(Desk {
        port,
        begin,
        firsts: Arc::new(Semaphore::new(AT_A_TIME)),
        answers: Arc::new(Semaphore::new(AT_A_TIME)),
        refinements: Arc::new(Semaphore::new(AT_A_TIME)),
        running: trials::pool(None)?,
        trying: trials::pool(None)?,
        kept: Mutex::new(VecDeque::new()),
    }))
}

/// Every address of the page.
pub fn router(desk: Arc<Desk>) -> Router {
    let mut router = Router::new()
        .route("/api/start", get(start))
        .route("/api/example/{id}", get(example))
        .route("/api/first", post(first))
        .route("/api/run", post(run))
        .route("/api/refine", post(refined))
        .route("/api/figure/{name}", post(drawn));
    for asset in &ASSETS {
        let embedded = move || async move { ([(header::CONTENT_TYPE, asset.kind)], asset.text) };
        router = router.route(asset.path, get(embedded));
    }
    router
        .layer(middleware::from_fn_with_state(desk.port, guard::guard))
        .with_state(desk)
}

fn json(value: &Value) -> Response {
    (
        [(header::CONTENT_TYPE, "application/json")],
        value.to_string(),
    )
        .into_response()
}

fn refused(status: StatusCode, why: &str) -> Response {
    let body = json!({ "refused": why }).to_string();
    (status, [(header::CONTENT_TYPE, "application/json")], body).into_response()
}

async fn start(State(desk): State<Arc<Desk>>) -> Response {
    let examples: Vec<Value> = EXAMPLES
        .iter()
        .map(|example| json!({ "id": example.id, "title": example.title() }))
        .collect();
    let mut value = told(&desk.begin);
    value["examples"] = json!(examples);
    value["version"] = json!(env!("CARGO_PKG_VERSION"));
    json(&value)
}

fn told(texts: &Texts) -> Value {
    json!({
        "job": { "name": texts.job.name, "text": texts.job.text },
        "lathe": { "name": texts.lathe.name, "text": texts.lathe.text },
    })
}

async fn example(Path(id): Path<String>) -> Response {
    match EXAMPLES.iter().find(|example| example.id == id) {
        Some(example) => json(&told(&example.texts())),
        None => refused(StatusCode::NOT_FOUND, "there is no such example"),
    }
}

/// Reads a question, of bounded size and in bounded time.
async fn question(request: Request) -> Result<Question, Response> {
    let body = match tokio::time::timeout(PATIENCE, to_bytes(request.into_body(), BODY)).await {
        Err(_) => {
            return Err(refused(
                StatusCode::REQUEST_TIMEOUT,
                "the question never came",
            ));
        }
        Ok(Err(_)) => {
            return Err(refused(
                StatusCode::PAYLOAD_TOO_LARGE,
                "job and lathe together may be 256 kB long",
            ));
        }
        Ok(Ok(body)) => body,
    };
    serde_json::from_slice(&body)
        .map_err(|why| refused(StatusCode::BAD_REQUEST, &format!("no question: {why}")))
}

/// Waits for its turn.
async fn turn(seats: &Arc<Semaphore>) -> Result<OwnedSemaphorePermit, Response> {
    match tokio::time::timeout(PATIENCE, Arc::clone(seats).acquire_owned()).await {
        Ok(Ok(seat)) => Ok(seat),
        _ => Err(refused(
            StatusCode::SERVICE_UNAVAILABLE,
            "too many questions at a time: ask again in a moment",
        )),
    }
}

/// The answer to a question: one at hand, or worked out now.
async fn answered(desk: &Arc<Desk>, question: Question) -> Result<Arc<Kept>, Response> {
    let mut hasher = DefaultHasher::new();
    question.hash(&mut hasher);
    let key = hasher.finish();
    if let Some(kept) = at_hand(desk, key, &question) {
        return Ok(kept);
    }
    let seat = turn(&desk.answers).await?;
    // Held by this future, which ends when the page stops listening: then the run stops too.
    let listening = Arc::new(());
    let heard = Arc::downgrade(&listening);
    let at = Arc::clone(desk);
    let worked = tokio::task::spawn_blocking(move || {
        let asked = question.clone().read().map_err(|why| why.0)?;
        let answered = asked.run(&at.running, &|| heard.strong_count() > 0);
        drop(seat);
        Ok::<_, String>(Kept {
            question,
            asked,
            answered,
        })
    })
    .await;
    drop(listening);
    match worked {
        Ok(Ok(kept)) => {
            let kept = Arc::new(kept);
            let mut all = desk.kept.lock().unwrap_or_else(PoisonError::into_inner);
            all.push_front((key, Arc::clone(&kept)));
            all.truncate(KEPT);
            Ok(kept)
        }
        Ok(Err(why)) => Err(refused(StatusCode::BAD_REQUEST, &why)),
        Err(_) => Err(refused(
            StatusCode::INTERNAL_SERVER_ERROR,
            "this could not be worked out; please keep the two texts and report it",
        )),
    }
}

fn at_hand(desk: &Desk, key: u64, question: &Question) -> Option<Arc<Kept>> {
    let all = desk.kept.lock().unwrap_or_else(PoisonError::into_inner);
    let found = all
        .iter()
        .find(|(other, kept)| *other == key && kept.question == *question)?;
    Some(Arc::clone(&found.1))
}

/// One way by itself, in a fraction of the time that all of them take.
async fn first(State(desk): State<Arc<Desk>>, request: Request) -> Response {
    let question = match question(request).await {
        Ok(question) => question,
        Err(refusal) => return refusal,
    };
    let seat = match turn(&desk.firsts).await {
        Ok(seat) => seat,
        Err(refusal) => return refusal,
    };
    let worked = tokio::task::spawn_blocking(move || {
        let asked = question.read().map_err(|why| why.0)?;
        let told = asked.told(asked.first().map(|first| first.told()));
        drop(seat);
        Ok::<_, String>(told)
    });
    match worked.await {
        Ok(Ok(told)) => json(&told),
        Ok(Err(why)) => refused(StatusCode::BAD_REQUEST, &why),
        Err(_) => refused(
            StatusCode::INTERNAL_SERVER_ERROR,
            "this could not be worked out; please keep the two texts and report it",
        ),
    }
}

async fn run(State(desk): State<Arc<Desk>>, request: Request) -> Response {
    let question = match question(request).await {
        Ok(question) => question,
        Err(refusal) => return refusal,
    };
    let kept = match answered(&desk, question).await {
        Ok(kept) => kept,
        Err(refusal) => return refusal,
    };
    let worded = tokio::task::spawn_blocking(move || {
        let answer = kept.answered.as_ref().map(Answered::told);
        kept.asked.told(answer)
    });
    match worded.await {
        Ok(value) => json(&value),
        Err(_) => refused(
            StatusCode::INTERNAL_SERVER_ERROR,
            "this could not be drawn; please keep the two texts and report it",
        ),
    }
}

async fn drawn(
    State(desk): State<Arc<Desk>>,
    Path(name): Path<String>,
    request: Request,
) -> Response {
    let question = match question(request).await {
        Ok(question) => question,
        Err(refusal) => return refusal,
    };
    let kept = match answered(&desk, question).await {
        Ok(kept) => kept,
        Err(refusal) => return refusal,
    };
    let drawing = tokio::task::spawn_blocking(move || {
        let answered = kept.answered.as_ref()?;
        figure::named(answered, &name)
    });
    match drawing.await {
        Ok(Some(drawing)) => json(&json!({
            "svg": drawing.svg, "title": drawing.title, "caption": drawing.caption,
        })),
        _ => refused(StatusCode::NOT_FOUND, "there is nothing to draw"),
    }
}

async fn refined(State(desk): State<Arc<Desk>>, request: Request) -> Response {
    let question = match question(request).await {
        Ok(question) => question,
        Err(refusal) => return refusal,
    };
    let kept = match answered(&desk, question).await {
        Ok(kept) => kept,
        Err(refusal) => return refusal,
    };
    let seat = match turn(&desk.refinements).await {
        Ok(seat) => seat,
        Err(refusal) => return refusal,
    };
    let (sender, news) = mpsc::channel::<News>(WAITING);
    tokio::task::spawn_blocking(move || {
        let listener = Listener(sender);
        if let Some(answered) = &kept.answered {
            refine(answered, &desk.trying, &listener);
        }
        drop(seat);
    });
    let stream = futures_util::stream::unfold(news, |mut news| async move {
        let next = news.recv().await?;
        Some((next, news))
    });
    (
        [(header::CONTENT_TYPE, "text/event-stream")],
        Body::from_stream(stream),
    )
        .into_response()
}
