//! Connections: accepted on loopback, limited in number, and never waited for long.

use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;

use super::routes::{Desk, router};
use crate::failure::Failure;

/// Connections open at a time; more wait to be accepted.
const CONNECTIONS: usize = 128;
/// Time for a client to send its request's head, also between requests.
const HEAD: Duration = Duration::from_secs(10);
/// Longest a connection lives, whatever it does: the trials of one page are long done.
const LIFE: Duration = Duration::from_secs(600);

/// Serves until the program is stopped.
///
/// # Errors
/// None so far: a fault of one connection ends that one.
pub async fn run(listener: TcpListener, desk: Arc<Desk>) -> Result<(), Failure> {
    let app = router(desk);
    let seats = Arc::new(Semaphore::new(CONNECTIONS));
    loop {
        let Ok(seat) = Arc::clone(&seats).acquire_owned().await else {
            return Ok(());
        };
        let stream = match listener.accept().await {
            Ok((stream, _)) => stream,
            // Too many open files, or a client gone before it came: the next may do.
            Err(_) => {
                tokio::time::sleep(Duration::from_millis(50)).await;
                continue;
            }
        };
        let service = TowerToHyperService::new(app.clone());
        tokio::spawn(async move {
            let served = http1::Builder::new()
                .timer(TokioTimer::new())
                .header_read_timeout(HEAD)
                .max_buf_size(64 * 1024)
                .serve_connection(TokioIo::new(stream), service);
            let _: Result<Result<(), hyper::Error>, _> = tokio::time::timeout(LIFE, served).await;
            drop(seat);
            Ok::<(), Infallible>(())
        });
    }
}
