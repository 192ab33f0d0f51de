//! Listening, answering connection by connection, and ending without dropping what was accepted.

use super::service::Service;
use super::settings::Settings;
use super::{jobs, log, router};
use crate::store::Store;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;
use tokio::time::{Instant, sleep, timeout_at};

/// How long a client may take for its request's head.
const HEAD: Duration = Duration::from_secs(15);

/// How long requests and jobs that were accepted may go on once the service is to end.
const GRACE: Duration = Duration::from_secs(30);

/// Serves until the program is asked to end (SIGTERM or SIGINT).
///
/// # Errors
/// A line that says why it cannot start.
pub async fn serve(settings: Settings) -> Result<(), String> {
    // The words of a panic may hold what was sent; its place in the program says enough.
    std::panic::set_hook(Box::new(|panic| {
        let place = panic.location().map_or_else(String::new, ToString::to_string);
        log::event(&format!("a fault of the program at {place}"));
    }));
    let store = Store::open(&settings.database).await;
    let store = store.map_err(|error| format!("the store cannot be opened: {error}"))?;
    let told = |error: crate::store::StoreError| format!("the store does not answer: {error}");
    if !settings.listen.ip().is_loopback() && !store.has_tokens().await.map_err(told)? {
        return Err(format!(
            "{}: nothing but this machine is listened to without a token; add one with \
             `fairturn token add`, or listen on 127.0.0.1",
            settings.listen
        ));
    }
    store.drop_unfinished_keys().await.map_err(told)?;
    store.return_interrupted_jobs().await.map_err(told)?;
    let listener = TcpListener::bind(settings.listen).await;
    let listener = listener.map_err(|e| format!("{}: cannot listen: {e}", settings.listen))?;
    let at = listener.local_addr().map_err(|e| e.to_string())?;
    log::event(&format!("listening on http://{at}"));
    let service = Service::new(settings, store, true);
    let working = tokio::spawn(jobs::work(Arc::clone(&service)));
    let store = service.store.clone();
    tokio::spawn(async move {
        if let Err(error) = store.forget_what_is_owed().await {
            log::event(&format!("what was erased is still in old pages: {error}"));
        }
    });
    let asked_to_end = end();
    let until = accept(&service, listener, asked_to_end).await;
    let _ = timeout_at(until, working).await;
    service.store.close().await;
    log::event("ended");
    Ok(())
}

/// Accepts connections until `end`, and then lets those that are busy finish; answers until when whatever
/// else goes on may do so.
async fn accept(
    service: &Arc<Service>,
    listener: TcpListener,
    end: impl Future<Output = ()>,
) -> Instant {
    let app = router(service);
    let mut http = hyper::server::conn::http1::Builder::new();
    http.timer(TokioTimer::new()).header_read_timeout(HEAD).max_buf_size(64 * 1024);
    let open = Arc::new(Semaphore::new(service.settings.clients.saturating_mul(2)));
    let graceful = GracefulShutdown::new();
    tokio::pin!(end);
    loop {
        let place = tokio::select! {
            place = Arc::clone(&open).acquire_owned() => place,
            () = &mut end => break,
        };
        let stream = tokio::select! {
            accepted = listener.accept() => match accepted {
                Ok((stream, _)) => stream,
                // Out of descriptors: those that are open will close.
                Err(_) => {
                    sleep(Duration::from_millis(50)).await;
                    continue;
                }
            },
            () = &mut end => break,
        };
        let _ = stream.set_nodelay(true);
        let connection =
            http.serve_connection(TokioIo::new(stream), TowerToHyperService::new(app.clone()));
        let connection = graceful.watch(connection);
        tokio::spawn(async move {
            // Who hangs up, or speaks no HTTP, is nobody's fault here.
            let _ = connection.await;
            drop(place);
        });
    }
    drop(listener);
    log::event("ending");
    service.stop.send_replace(true);
    let until = Instant::now() + GRACE;
    let _ = timeout_at(until, graceful.shutdown()).await;
    // Requests with a key go on although their clients have hung up.
    let all = u32::try_from(service.settings.clients).unwrap_or(u32::MAX);
    let _ = timeout_at(until, service.clients.acquire_many(all)).await;
    until
}

/// Resolves when the program is asked to end.
async fn end() {
    let interrupt = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        match signal(SignalKind::terminate()) {
            Ok(mut terminate) => {
                tokio::select! {
                    _ = interrupt => {},
                    _ = terminate.recv() => {},
                }
            }
            Err(_) => {
                let _ = interrupt.await;
            }
        }
    }
    #[cfg(not(unix))]
    {
        let _ = interrupt.await;
    }
}
