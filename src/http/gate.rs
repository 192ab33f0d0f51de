//! The gate: what every request passes on its way in and every answer on its way out.

use super::call::{Answer, Call, Caller, Reply, Sent, listed};
use super::media::Media;
use super::operation::{Operation, Takes};
use super::problem::{
    BUSY_KEY, ERASED, FAULT, FORBIDDEN, FULL, HOST, Kind, MEDIA, OTHER_BODY, Problem, RATE, SLOW,
    TOKEN, TOO_LONG, TYPE,
};
use super::service::Service;
use super::uri;
use crate::store::{Replay, ReplayKey, Role, Stored, ids};
use axum::body::{Body, Bytes, HttpBody};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Request, Response, StatusCode, header};
use http_body_util::{BodyExt, LengthLimitError, Limited};
use std::sync::Arc;
use tokio::time::{Instant, timeout};

/// Answers a request for a call.
pub async fn pass(
    service: Arc<Service>,
    operation: &'static Operation,
    request: Request<Body>,
) -> Response<Body> {
    let (id, started) = (ids::new_id(), Instant::now());
    let answer = match Arc::clone(&service.clients).try_acquire_owned() {
        Ok(_place) => let_in(&service, operation, request, &id).await,
        Err(_) => Err(Problem::plain(FULL)),
    };
    out(&service, (operation.method, operation.path), &id, started, answer)
}

/// Answers a request for which there is no call.
pub fn refuse(service: &Service, kind: &'static Kind) -> Response<Body> {
    let problem = Err(Problem::plain(kind));
    out(service, ("OTHER", "none"), &ids::new_id(), Instant::now(), problem)
}

/// Turns an answer into bytes, and counts and logs it: the route, never the path.
fn out(
    service: &Service,
    (method, route): (&'static str, &'static str),
    id: &str,
    started: Instant,
    answer: Answer,
) -> Response<Body> {
    let (status, headers, media, body, log) = match answer {
        Ok(reply) => {
            let body = match reply.body {
                Sent::Whole(text) => Body::from(text),
                Sent::Stream(body) => body,
            };
            (reply.status, reply.headers, reply.media, body, None)
        }
        Err(problem) => {
            let mut headers = Vec::new();
            if let Some(seconds) = problem.retry_after {
                headers.push(("retry-after", seconds.to_string()));
            }
            if problem.kind.status == 401 {
                headers.push(("www-authenticate", "Bearer".to_owned()));
            }
            let body = Body::from(problem.body(id));
            (problem.kind.status, headers, "application/problem+json", body, problem.log)
        }
    };
    let took = started.elapsed();
    service.metrics.count(method, route, status, took);
    if service.logs {
        let millis = u64::try_from(took.as_millis()).unwrap_or(u64::MAX);
        super::log::request(id, method, route, status, millis, log.as_deref());
    }
    let mut response = Response::new(body);
    *response.status_mut() = StatusCode::from_u16(status).unwrap_or(StatusCode::OK);
    let all = response.headers_mut();
    let page = media.starts_with("text/html");
    let policy = match page {
        true => {
            "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
        }
        false => "default-src 'none'; frame-ancestors 'none'",
    };
    for (name, value) in [
        ("x-request-id", id),
        ("cache-control", "no-store"),
        ("content-security-policy", policy),
        ("x-content-type-options", "nosniff"),
        ("x-frame-options", "DENY"),
        ("referrer-policy", "no-referrer"),
        ("cross-origin-resource-policy", "same-origin"),
        ("vary", "accept, authorization"),
    ] {
        put(all, name, value);
    }
    if status != 204 && status != 304 {
        put(all, "content-type", media);
    }
    headers.iter().for_each(|(name, value)| put(all, name, value));
    response
}

fn put(headers: &mut HeaderMap, name: &str, value: &str) {
    if let (Ok(name), Ok(value)) = (name.parse::<HeaderName>(), HeaderValue::from_str(value)) {
        headers.insert(name, value);
    }
}

async fn let_in(
    service: &Arc<Service>,
    operation: &'static Operation,
    request: Request<Body>,
    id: &str,
) -> Answer {
    let (parts, body) = request.into_parts();
    let headers = parts.headers;
    let who = match operation.role {
        // Each of these calls has a rate of its own: who floods one does not hide the service's health.
        None => Caller { token: format!("open {}", operation.id), role: Role::Look, site: None },
        Some(_) => match caller(service, &headers).await {
            Ok(who) => who,
            Err(problem) => {
                // Whoever tries tokens out is slowed down too.
                within_rate(service, "refused")?;
                return Err(problem);
            }
        },
    };
    within_rate(service, &who.token)?;
    let path = uri::steps(operation.path, parts.uri.path())?;
    if operation.role.is_some_and(|role| who.role < role) {
        return Err(Problem::plain(FORBIDDEN));
    }
    // The same answer whether or not the other site is there.
    if let (Some(own), Some(site)) = (&who.site, path.get("site"))
        && own != site
    {
        return Err(Problem::plain(FORBIDDEN));
    }
    let query = uri::query(operation, parts.uri.query().unwrap_or(""))?;
    let accept = listed(&headers, header::ACCEPT);
    let media =
        Media::wanted(accept.as_deref(), operation.media).ok_or_else(|| Problem::plain(MEDIA))?;
    let body = match operation.takes {
        Takes::Nothing => Bytes::new(),
        Takes::Form(_) | Takes::Text(_) => {
            is_json(&headers)?;
            read(service, body).await?
        }
    };
    let call = Call {
        service: Arc::clone(service),
        operation,
        path,
        query,
        headers,
        body,
        who,
        request: id.to_owned(),
        media,
        key: None,
    };
    match key(&call)? {
        None => (operation.run)(call).await,
        Some(key) => once(call, key).await,
    }
}

fn within_rate(service: &Service, token: &str) -> Result<(), Problem> {
    let wait = |seconds| Problem { retry_after: Some(seconds), ..Problem::plain(RATE) };
    service.may_ask(token).map_err(wait)
}

/// Who asks, by the token; whoever sits at this machine while there is no token at all, and only on a
/// service that listens to this machine alone: the last token may be revoked while it runs.
async fn caller(service: &Service, headers: &HeaderMap) -> Result<Caller, Problem> {
    let Some(told) = headers.get(header::AUTHORIZATION) else {
        let beyond = !service.settings.listen.ip().is_loopback();
        if beyond || service.store.has_tokens().await? {
            return Err(Problem::plain(TOKEN));
        }
        // A page of another site, or a name that was bent to point here, must not act in the name
        // of whoever sits here.
        let text = |name: &str| headers.get(name).and_then(|value| value.to_str().ok());
        if text("sec-fetch-site").is_some_and(|site| site != "same-origin" && site != "none") {
            return Err(Problem::plain(FORBIDDEN));
        }
        let host = text("host").unwrap_or("localhost");
        let host = host.rsplit_once(':').map_or(host, |(name, port)| {
            if port.chars().all(|c| c.is_ascii_digit()) { name } else { host }
        });
        if !["localhost", "127.0.0.1", "[::1]"].contains(&host) {
            return Err(Problem::plain(HOST));
        }
        return Ok(Caller { token: "nobody".into(), role: Role::Run, site: None });
    };
    let given = told.to_str().ok().and_then(|text| {
        let (scheme, token) = text.split_once(' ')?;
        scheme.eq_ignore_ascii_case("bearer").then_some(token.trim())
    });
    let token = match given {
        Some(given) => service.store.token(given).await?,
        None => None,
    };
    let token = token.ok_or_else(|| Problem::plain(TOKEN))?;
    Ok(Caller { token: token.id, role: token.role, site: token.site })
}

fn is_json(headers: &HeaderMap) -> Result<(), Problem> {
    let text = |name: header::HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    let media = text(header::CONTENT_TYPE).unwrap_or("").split(';').next().unwrap_or("").trim();
    let plain = text(header::CONTENT_ENCODING).is_none_or(|coding| coding == "identity");
    if media.eq_ignore_ascii_case("application/json") && plain {
        return Ok(());
    }
    Err(Problem::plain(TYPE))
}

async fn read(service: &Service, body: Body) -> Result<Bytes, Problem> {
    // Who says at once that it is too long need not send it.
    if body.size_hint().lower() > service.settings.body as u64 {
        return Err(Problem::plain(TOO_LONG));
    }
    let limited = Limited::new(body, service.settings.body);
    match timeout(service.settings.body_time, limited.collect()).await {
        Err(_) => Err(Problem::plain(SLOW)),
        Ok(Ok(whole)) => Ok(whole.to_bytes()),
        Ok(Err(error)) if error.is::<LengthLimitError>() => Err(Problem::plain(TOO_LONG)),
        Ok(Err(_)) => Err(Problem::about(SLOW, "The body broke off.")),
    }
}

/// What a request with an idempotency key is known by.
fn key(call: &Call) -> Result<Option<ReplayKey>, Problem> {
    // A job is kept, whoever asks for it.
    let keyed = call.operation.keyed || (call.operation.job && super::jobs::wanted(call));
    let Some(key) = call.headers.get("idempotency-key").filter(|_| keyed) else {
        return Ok(None);
    };
    let key = key.as_bytes();
    if call.headers.get_all("idempotency-key").iter().count() > 1 {
        return Err(Problem::parameter(
            "Idempotency-Key",
            "this stands a second time",
            "give it once",
        ));
    }
    if key.is_empty() || key.len() > 200 {
        let (cause, mend) = ("this key is empty or too long", "give 1 to 200 characters");
        return Err(Problem::parameter("Idempotency-Key", cause, mend));
    }
    let mut about = call.body.to_vec();
    about.extend_from_slice(if super::jobs::wanted(call) { b" async" } else { b"" });
    let steps: Vec<&str> = call.path.values().map(String::as_str).collect();
    Ok(Some(ReplayKey {
        token: call.who.token.clone(),
        route: format!("{} {} {}", call.operation.method, call.operation.path, steps.join(" ")),
        key: ids::digest(key),
        body: ids::digest(&about),
        site: call.path.get("site").cloned(),
    }))
}

/// Carries a request out once; whoever sends it again gets the same answer. It goes on when the
/// asker hangs up, who can fetch the answer with the same key.
async fn once(mut call: Call, key: ReplayKey) -> Answer {
    let service = Arc::clone(&call.service);
    match service.store.take_key(&key).await? {
        Replay::Again(stored) => again(stored),
        Replay::Other => Err(Problem::plain(OTHER_BODY)),
        Replay::Busy => Err(Problem { retry_after: Some(1), ..Problem::plain(BUSY_KEY) }),
        Replay::New(owner) => {
            call.key = Some(owner.clone());
            let place = Arc::clone(&service.clients).try_acquire_owned();
            let going_on = tokio::spawn(async move {
                let _place = place;
                let run = call.operation.run;
                let answer = run(call).await;
                if answer.is_err() {
                    // If it cannot be let go now it is when it has been taken for long.
                    let _ = service.store.drop_key(&owner).await;
                }
                answer
            });
            going_on.await.unwrap_or_else(|_| Err(Problem::plain(FAULT)))
        }
    }
}

fn again(stored: Stored) -> Answer {
    let body = stored.body.ok_or_else(|| Problem::plain(ERASED))?;
    let form = format!("content-type: {}", Media::Text.header());
    let in_words = stored.headers.lines().any(|line| line == form);
    let media = if in_words { Media::Text } else { Media::Json };
    let mut reply = Reply::new(stored.status, media, body).with("idempotency-replayed", "true");
    for name in ["location", "etag", "preference-applied"] {
        let start = format!("{name}: ");
        if let Some(value) = stored.headers.lines().find_map(|line| line.strip_prefix(&start)) {
            reply = reply.with(name, value);
        }
    }
    Ok(reply)
}
