//! The local page: turn a knob, see the ways ranked anew and the drive in motion.
//!
//! A server on the loopback address for one person at this machine. axum on tokio: it is the
//! maintained pair that has time limits for slow clients, bodies that stop when nobody listens any
//! more (a moved knob ends the trials of the last one), and connections that cost no thread;
//! `tiny_http` has none of the three.
//!
//! The page holds the two texts and sends them with every question, so the server keeps nothing
//! of a person but the last few answers.

mod assets;
mod controls;
pub mod picture;
mod answer;
mod figure;
mod question;
mod refine;
mod guard;
mod routes;
mod server;

use std::net::{Ipv4Addr, SocketAddrV4};

use crate::failure::Failure;
use crate::terminal;
pub use assets::Texts;

/// Serves the page on 127.0.0.1 until the program is stopped; `port` 0 takes one that is free.
///
/// # Errors
/// When the port can't be had, or the address can't be told.
pub fn serve(begin: Texts, port: u16, open: bool) -> Result<(), Failure> {
    let stopped = |why: String| Failure::Stopped(why);
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .max_blocking_threads(8)
        .enable_all()
        .build()
        .map_err(|why| stopped(format!("can't start the page: {why}")))?;
    runtime.block_on(async {
        let wanted = SocketAddrV4::new(Ipv4Addr::LOCALHOST, port);
        let listener = tokio::net::TcpListener::bind(wanted).await.map_err(|why| {
            stopped(format!(
                "can't serve on 127.0.0.1:{port}: {why}\n  help: leave out --port, and any port \
                 that is free is taken"
            ))
        })?;
        let port = listener
            .local_addr()
            .map_err(|why| stopped(format!("can't tell the page's address: {why}")))?
            .port();
        let address = format!("http://127.0.0.1:{port}/");
        terminal::answer(&format!(
            "{address}\nfor this machine alone; Ctrl-C closes the page\n"
        ))?;
        if open && let Err(why) = opener::open_browser(&address) {
            terminal::aside(&format!(
                "warning: no browser could be opened ({why}): open the address yourself"
            ));
        }
        server::run(listener, routes::desk(begin, port)?).await
    })
}
