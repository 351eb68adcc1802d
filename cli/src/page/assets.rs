//! What the page is made of, embedded in the program: markup, look, scripts, worked examples.

use super::Texts;
use crate::texts::Text;

/// A file of the page.
pub struct Asset {
    /// Its path on the server.
    pub path: &'static str,
    /// Its media type.
    pub kind: &'static str,
    /// Its text.
    pub text: &'static str,
}

const JS: &str = "text/javascript; charset=utf-8";

macro_rules! script {
    ($name:literal) => {
        Asset {
            path: concat!("/", $name),
            kind: JS,
            text: include_str!(concat!("assets/", $name)),
        }
    };
}

/// Every file, the page itself first.
pub const ASSETS: [Asset; 15] = [
    Asset {
        path: "/",
        kind: "text/html; charset=utf-8",
        text: include_str!("assets/page.html"),
    },
    Asset {
        path: "/look.css",
        kind: "text/css; charset=utf-8",
        text: include_str!("assets/look.css"),
    },
    Asset {
        path: "/drawing.css",
        kind: "text/css; charset=utf-8",
        text: include_str!("assets/drawing.css"),
    },
    Asset {
        path: "/icon.svg",
        kind: "image/svg+xml",
        text: include_str!("assets/icon.svg"),
    },
    script!("main.js"),
    script!("ask.js"),
    script!("controls.js"),
    script!("files.js"),
    script!("answer.js"),
    script!("before.js"),
    script!("charts.js"),
    script!("ink.js"),
    script!("drive.js"),
    script!("track.js"),
    script!("player.js"),
];

/// A worked example that can be opened on the page.
pub struct Example {
    /// Name in an address.
    pub id: &'static str,
    job: (&'static str, &'static str),
    lathe: (&'static str, &'static str),
}

macro_rules! example {
    ($id:literal on $lathe:literal) => {
        Example {
            id: $id,
            job: (
                concat!($id, ".toml"),
                include_str!(concat!("../../../scenarios/", $id, ".toml")),
            ),
            lathe: (
                concat!($lathe, ".toml"),
                include_str!(concat!("../../../scenarios/", $lathe, ".toml")),
            ),
        }
    };
}

/// The worked examples, the main job first.
pub const EXAMPLES: [Example; 8] = [
    example!("tapered-socket" on "worn-lathe"),
    example!("snug-slide-socket" on "snug-lathe"),
    example!("long-bar-socket" on "worn-lathe"),
    example!("plug-cock" on "metric-lathe"),
    example!("taper-sleeve" on "toolroom-lathe"),
    example!("air-out-of-the-cut" on "worn-lathe"),
    example!("air-too-weak" on "worn-lathe"),
    example!("air-into-the-cut" on "worn-lathe"),
];

impl Example {
    /// Its two texts.
    pub fn texts(&self) -> Texts {
        let text = |(name, text): (&str, &str)| Text {
            name: name.to_owned(),
            text: text.to_owned(),
        };
        Texts {
            job: text(self.job),
            lathe: text(self.lathe),
        }
    }

    /// What it is called, from its own text.
    pub fn title(&self) -> &'static str {
        let text = self.job.1;
        text.lines()
            .find_map(|line| line.strip_prefix("name = \""))
            .map_or(self.id, |name| name.trim_end_matches('"'))
    }
}
