//! The page answers its own browser on this machine and nobody else, and hostile requests don't
//! stop it.

use std::io::{Read, Write};
use std::net::{Ipv4Addr, TcpStream, UdpSocket};
use std::time::{Duration, Instant};

use crate::served::Served;
use serde_json::{Value, json};

const JSON: (&str, &str) = ("Content-Type", "application/json");

fn served() -> Served {
    Served::job("tapered-socket.toml")
}

/// Says so past the captured output: a machine without a net is no fault of the suite's.
fn no_address() {
    writeln!(
        std::io::stderr(),
        "NOT CHECKED: another address than loopback: this machine has none"
    )
    .expect("an error output");
}

#[test]
fn only_loopback_is_listened_on() {
    let page = served();
    // Asks the system which address it would go out by; nothing is sent.
    let out = UdpSocket::bind("0.0.0.0:0").and_then(|socket| {
        socket.connect("192.0.2.1:9")?;
        socket.local_addr()
    });
    let Ok(std::net::SocketAddr::V4(own)) = out else {
        no_address();
        return;
    };
    if own.ip() == &Ipv4Addr::LOCALHOST {
        no_address();
        return;
    }
    assert!(TcpStream::connect((*own.ip(), page.port)).is_err());
    assert_eq!(page.get("/").status, 200);
}

#[test]
fn another_host_is_refused() {
    let page = served();
    let own = page.port;
    for host in [
        format!("evil.example:{own}"),
        "127.0.0.1".to_owned(),
        format!("127.0.0.1:{}", own.wrapping_add(1)),
        format!("127.0.0.1.evil.example:{own}"),
        format!("[::1]:{own}"),
        format!("0.0.0.0:{own}"),
        String::new(),
    ] {
        for path in ["/", "/api/start"] {
            let came = page.ask("GET", path, &[("Host", &host)], b"");
            assert!(
                [400, 421].contains(&came.status),
                "{host:?}: {}",
                came.status
            );
            assert!(
                !came.text().contains("coupling"),
                "{host:?} was told the job"
            );
        }
    }
    let two =
        format!("GET /api/start HTTP/1.1\r\nHost: 127.0.0.1:{own}\r\nHost: evil.example\r\n\r\n");
    assert!([400, 421].contains(&page.raw(two.as_bytes()).status));
    let none = page.raw(b"GET /api/start HTTP/1.1\r\nConnection: close\r\n\r\n");
    assert!([400, 421].contains(&none.status));
    let local = format!("localhost:{own}");
    assert_eq!(page.ask("GET", "/", &[("Host", &local)], b"").status, 200);
}

#[test]
fn another_origin_is_refused() {
    let page = served();
    let body = page.question().to_string();
    for (name, value) in [
        ("Origin", "http://evil.example".to_owned()),
        ("Origin", "null".to_owned()),
        ("Origin", format!("https://127.0.0.1:{}", page.port)),
        ("Origin", "http://127.0.0.1:1".to_owned()),
        ("Sec-Fetch-Site", "cross-site".to_owned()),
        ("Sec-Fetch-Site", "same-site".to_owned()),
        ("Sec-Fetch-Site", "none".to_owned()),
    ] {
        let came = page.ask("POST", "/api/run", &[JSON, (name, &value)], body.as_bytes());
        assert_eq!(came.status, 403, "{name}: {value}");
    }
    let linked = page.ask("GET", "/", &[("Sec-Fetch-Site", "cross-site")], b"");
    assert_eq!(linked.status, 403);
    let typed = page.ask("GET", "/", &[("Sec-Fetch-Site", "none")], b"");
    assert_eq!(typed.status, 200);
    let form = [("Content-Type", "text/plain")];
    assert_eq!(
        page.ask("POST", "/api/run", &form, body.as_bytes()).status,
        415
    );
    assert_eq!(
        page.ask("POST", "/api/run", &[JSON], body.as_bytes())
            .status,
        200
    );
}

#[test]
fn every_answer_tells_the_browser_what_not_to_do() {
    let page = served();
    for came in [
        page.get("/"),
        page.get("/main.js"),
        page.get("/nothing"),
        page.post("/api/run", &page.question()),
        page.ask("GET", "/", &[("Host", "evil.example")], b""),
    ] {
        for header in [
            "content-security-policy: default-src 'self';",
            "x-content-type-options: nosniff",
            "referrer-policy: no-referrer",
            "cache-control: no-store",
            "cross-origin-resource-policy: same-origin",
        ] {
            assert!(came.head.contains(header), "{header} in {}", came.head);
        }
    }
}

#[test]
fn a_body_too_long_is_refused_and_not_kept() {
    let page = served();
    let mut question = page.question();
    question["job"]["text"] = json!("# ".repeat(200_000));
    let came = page.post("/api/run", &question);
    assert_eq!(came.status, 413, "{}", came.text());
    let before = page.resident();
    let promised = format!(
        "POST /api/run HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\n\
         Content-Length: 4000000000\r\nConnection: close\r\n\r\n",
        page.port
    );
    let long = [promised.as_bytes(), &vec![b' '; 8 << 20]].concat();
    let came = page.raw(&long);
    assert!([0, 413].contains(&came.status), "{}", came.status);
    assert!(page.resident() < before + 20_000, "the body was kept");
    assert_eq!(page.get("/").status, 200);
}

#[test]
fn clients_that_never_finish_do_not_stop_the_others() {
    let page = served();
    let mut slow = Vec::new();
    for n in 0..60 {
        let mut stream = TcpStream::connect(("127.0.0.1", page.port)).expect("a connection");
        let part = match n % 3 {
            0 => String::new(),
            1 => "GET / HTT".to_owned(),
            _ => format!(
                "POST /api/run HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\n\
                 Content-Length: 1000\r\n\r\n{{",
                page.port
            ),
        };
        stream.write_all(part.as_bytes()).expect("a part");
        slow.push(stream);
    }
    let asked = Instant::now();
    assert_eq!(page.get("/").status, 200);
    assert_eq!(page.post("/api/run", &page.question()).status, 200);
    println!("answered beside 60 slow clients in {:?}", asked.elapsed());
    // They are let go one day: the head's time is up after 10 s, the body's too.
    for mut stream in slow.into_iter().take(6) {
        stream
            .set_read_timeout(Some(Duration::from_secs(40)))
            .expect("a time limit");
        let mut rest = Vec::new();
        stream
            .read_to_end(&mut rest)
            .expect("it is closed, not held for ever");
    }
}

#[test]
fn trials_end_when_nobody_listens() {
    let page = served();
    let question = page.question().to_string();
    for _ in 0..6 {
        let mut stream = TcpStream::connect(("127.0.0.1", page.port)).expect("a connection");
        let head = format!(
            "POST /api/refine HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\n\
             Content-Length: {}\r\n\r\n",
            page.port,
            question.len()
        );
        stream.write_all(head.as_bytes()).expect("a head");
        stream.write_all(question.as_bytes()).expect("a body");
        let mut some = [0; 64];
        stream.read_exact(&mut some).expect("the first news");
    }
    // Six studies were begun and left; were they all run on, this one would wait for its turn.
    let events = page.post("/api/refine", &page.question()).events();
    assert_eq!(events.last().expect("an end").0, "done");
}

/// Numbers by chance, the same every time (Knuth's MMIX generator; from memory).
struct Chance(u64);

impl Chance {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % n
    }
}

/// One hostile or malformed request.
fn hostile(page: &Served, question: &Value, chance: &mut Chance) -> Vec<u8> {
    let host = format!("Host: 127.0.0.1:{}\r\n", page.port);
    let post = |path: &str, body: &[u8]| {
        let head = format!(
            "POST {path} HTTP/1.1\r\n{host}Content-Type: application/json\r\nConnection: close\r\n\
             Content-Length: {}\r\n\r\n",
            body.len()
        );
        [head.as_bytes(), body].concat()
    };
    let path = ["/api/run", "/api/refine", "/api/figure/cut"][chance.below(3)];
    let mut broken = question.clone();
    let which = ["job", "lathe"][chance.below(2)];
    let text = question[which]["text"].as_str().expect("a text").to_owned();
    let close = "Connection: close\r\n\r\n";
    match chance.below(14) {
        0 => {
            let noise = (0..chance.below(400)).map(|_| chance.below(256) as u8);
            let noise: Vec<u8> = noise.collect();
            // Ended as a head is, or the page would rightly wait for the rest.
            [&noise[..], b"\r\n\r\n"].concat()
        }
        1 => format!("GET /../../etc/passwd HTTP/1.1\r\n{host}{close}").into(),
        2 => format!("GET /{} HTTP/1.1\r\n{host}{close}", "a".repeat(100_000)).into(),
        3 => format!(
            "GET / HTTP/1.1\r\n{host}X: {}\r\n{close}",
            "b".repeat(100_000)
        )
        .into(),
        4 => post(path, "[".repeat(100_000).as_bytes()),
        5 => post(path, &[0xff, 0xfe, b'{', b'}']),
        6 => post(path, b"{\"job\":{},\"lathe\":[]}"),
        7 => post(path, b"{}"),
        8 => {
            broken["job"]["name"] = json!("\u{1b}[2J".repeat(1000));
            broken["unknown"] = json!(1);
            post(path, broken.to_string().as_bytes())
        }
        9 => {
            let at = (0..=chance.below(text.len()))
                .rev()
                .find(|at| text.is_char_boundary(*at));
            broken[which]["text"] = json!(text[..at.unwrap_or(0)]);
            post(path, broken.to_string().as_bytes())
        }
        10 => {
            let digits: String = text
                .chars()
                .map(|c| match c.is_ascii_digit() && chance.below(4) == 0 {
                    true => char::from(b'0' + chance.below(10) as u8),
                    false => c,
                })
                .collect();
            broken[which]["text"] = json!(digits);
            // Read and run, not refined: a thousand studies would take long.
            post("/api/run", broken.to_string().as_bytes())
        }
        11 => {
            let odd = [
                "1e308 in",
                "-1 in",
                "NaN in",
                "inf",
                "0",
                "\"\\",
                "9".repeat(5000).as_str(),
            ][chance.below(7)]
            .to_owned();
            let knob = [
                "slack", "drag", "depth", "feed", "nose", "taper", "bore", "rear",
            ];
            broken["set"] = json!([[knob[chance.below(8)], odd]]);
            post("/api/run", broken.to_string().as_bytes())
        }
        12 => {
            broken[which]["text"] = json!("a = ".to_owned() + &"[".repeat(50_000));
            post(path, broken.to_string().as_bytes())
        }
        _ => {
            broken["set"] = json!([["no such knob", "1"]]);
            broken["seed"] = json!(-1);
            post(path, broken.to_string().as_bytes())
        }
    }
}

#[test]
fn after_a_thousand_hostile_requests_it_still_answers_and_has_not_grown() {
    let page = served();
    let question = page.question();
    let right = page.post("/api/run", &question).json();
    let mut chance = Chance(20);
    for _ in 0..100 {
        page.raw(&hostile(&page, &question, &mut chance));
    }
    let before = page.resident();
    let mut refused = 0;
    for _ in 0..1000 {
        let sent = hostile(&page, &question, &mut chance);
        let came = page.raw(&sent);
        let told = String::from_utf8_lossy(&sent);
        assert_ne!(came.status, 500, "{} to {told}", came.text());
        refused += usize::from(came.status != 200);
    }
    assert!(refused > 400, "{refused} were refused");
    let after = page.resident();
    println!("{before} kB before, {after} kB after 1,000 hostile requests");
    assert!(after < before + 40_000, "grew from {before} to {after} kB");
    let again = page.post("/api/run", &question).json();
    assert_eq!(again["answer"]["records"], right["answer"]["records"]);
}
