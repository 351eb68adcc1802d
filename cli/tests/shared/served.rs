//! The page served by the program, for a test to ask over plain TCP.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use serde_json::{Value, json};

/// The worked examples.
pub fn scenarios() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios")
}

/// A running page, ended when dropped.
pub struct Served {
    child: Child,
    /// Its port on 127.0.0.1.
    pub port: u16,
}

/// What came back.
pub struct Came {
    /// Status, 0 when the connection was closed without one.
    pub status: u16,
    /// Head, in lower case.
    pub head: String,
    /// Body, out of its chunks.
    pub body: Vec<u8>,
}

impl Served {
    /// Serves a job of the worked examples.
    pub fn job(name: &str) -> Self {
        Self::with(&[&scenarios().join(name).display().to_string()])
    }

    /// Serves with these arguments.
    pub fn with(arguments: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_tautway"))
            .arg("page")
            .args(arguments)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let out = child.stdout.take().expect("its stdout");
        let mut first = String::new();
        BufReader::new(out)
            .read_line(&mut first)
            .expect("its address");
        let port = first
            .trim()
            .strip_prefix("http://127.0.0.1:")
            .and_then(|rest| rest.strip_suffix('/'))
            .and_then(|port| port.parse().ok())
            .unwrap_or_else(|| panic!("no address in {first:?}"));
        Self { child, port }
    }

    /// Its address.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}/", self.port)
    }

    /// Memory it holds, kB.
    pub fn resident(&self) -> u64 {
        let status = fs::read_to_string(format!("/proc/{}/status", self.child.id()));
        let status = status.expect("its status");
        let line = status.lines().find(|line| line.starts_with("VmRSS:"));
        let kb = line.and_then(|line| line.split_whitespace().nth(1));
        kb.and_then(|kb| kb.parse().ok()).expect("VmRSS in kB")
    }

    /// Sends bytes and takes what comes until the connection is closed.
    pub fn raw(&self, bytes: &[u8]) -> Came {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("a connection");
        let patience = Some(Duration::from_secs(60));
        stream.set_read_timeout(patience).expect("a time limit");
        // It may refuse and close before all was sent.
        let _ = stream.write_all(bytes);
        let mut all = Vec::new();
        let _ = stream.read_to_end(&mut all);
        Came::of(&all)
    }

    /// A request with a head of its own.
    pub fn ask(&self, method: &str, path: &str, head: &[(&str, &str)], body: &[u8]) -> Came {
        let mut text = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
        let host = format!("127.0.0.1:{}", self.port);
        if !head.iter().any(|(name, _)| *name == "Host") {
            text.push_str(&format!("Host: {host}\r\n"));
        }
        for (name, value) in head {
            text.push_str(&format!("{name}: {value}\r\n"));
        }
        text.push_str(&format!("Content-Length: {}\r\n\r\n", body.len()));
        self.raw(&[text.as_bytes(), body].concat())
    }

    /// A page's GET.
    pub fn get(&self, path: &str) -> Came {
        self.ask("GET", path, &[], b"")
    }

    /// A page's POST of JSON.
    pub fn post(&self, path: &str, value: &Value) -> Came {
        let origin = self.address();
        let head = [
            ("Content-Type", "application/json"),
            ("Origin", origin.trim_end_matches('/')),
        ];
        self.ask("POST", path, &head, value.to_string().as_bytes())
    }

    /// What the page begins with, as a question.
    pub fn question(&self) -> Value {
        let start = self.get("/api/start").json();
        json!({ "job": start["job"], "lathe": start["lathe"], "seed": 1 })
    }

    /// The same with knobs turned.
    pub fn turned(&self, set: &[(&str, &str)]) -> Value {
        let mut question = self.question();
        question["set"] = json!(set);
        self.post("/api/run", &question).json()
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Came {
    fn of(all: &[u8]) -> Self {
        let end = all.windows(4).position(|four| four == b"\r\n\r\n");
        let Some(end) = end else {
            return Self {
                status: 0,
                head: String::new(),
                body: Vec::new(),
            };
        };
        let head = String::from_utf8_lossy(&all[..end]).to_lowercase();
        let status = head.split(' ').nth(1).and_then(|code| code.parse().ok());
        let body = &all[end + 4..];
        let body = if head.contains("transfer-encoding: chunked") {
            unchunked(body)
        } else {
            body.to_vec()
        };
        Self {
            status: status.unwrap_or(0),
            head,
            body,
        }
    }

    /// The body as text.
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    /// The body as JSON.
    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.body)
            .unwrap_or_else(|why| panic!("{why}: {} {}", self.status, self.text()))
    }

    /// The events of a stream, in order.
    pub fn events(&self) -> Vec<(String, Value)> {
        let text = self.text();
        text.split("\n\n")
            .filter_map(|block| {
                let (event, data) = block.split_once('\n')?;
                let data = serde_json::from_str(data.strip_prefix("data: ")?).ok()?;
                Some((event.strip_prefix("event: ")?.to_owned(), data))
            })
            .collect()
    }
}

fn unchunked(mut rest: &[u8]) -> Vec<u8> {
    let mut whole = Vec::new();
    while let Some(end) = rest.windows(2).position(|two| two == b"\r\n") {
        let long = usize::from_str_radix(&String::from_utf8_lossy(&rest[..end]), 16).unwrap_or(0);
        let from = end + 2;
        if long == 0 || rest.len() < from + long {
            break;
        }
        whole.extend_from_slice(&rest[from..from + long]);
        rest = rest.get(from + long + 2..).unwrap_or_default();
    }
    whole
}
