//! What the page is made of, embedded in the program: markup, look, scripts, worked examples.

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
pub const EXAMPLES: [Example; 9] = [
    example!("tapered-socket" on "worn-lathe"),
    example!("snug-slide-socket" on "snug-lathe"),
    example!("long-bar-socket" on "worn-lathe"),
    example!("plug-cock" on "metric-lathe"),
    example!("taper-sleeve" on "toolroom-lathe"),
    example!("air-out-of-the-cut" on "worn-lathe"),
    example!("air-too-weak" on "worn-lathe"),
    example!("air-into-the-cut" on "worn-lathe"),
    example!("spring-held-cone" on "worn-lathe"),
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

/// The two texts that a page begins with.
#[derive(Clone, Debug)]
pub struct Texts {
    /// The job.
    pub job: Text,
    /// Its lathe.
    pub lathe: Text,
}

impl Texts {
    /// The worked example that a page without a file begins with.
    pub fn example() -> Self {
        EXAMPLES[0].texts()
    }
}

impl From<[Text; 2]> for Texts {
    fn from([job, lathe]: [Text; 2]) -> Self {
        Self { job, lathe }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_script_says_first_what_it_is_for_and_is_short() {
        for asset in ASSETS.iter().filter(|asset| asset.kind == JS) {
            assert!(asset.text.starts_with("// "), "{}", asset.path);
            assert!(asset.text.lines().count() < 500, "{}", asset.path);
        }
    }

    #[test]
    fn nothing_is_fetched_from_elsewhere_and_no_text_becomes_markup() {
        for asset in &ASSETS {
            let own = asset.text.replace("http://www.w3.org/2000/svg", "");
            for word in [
                "http:",
                "https:",
                "//cdn",
                "innerHTML",
                "insertAdjacent",
                "eval(",
            ] {
                assert!(!own.contains(word), "{word} in {}", asset.path);
            }
        }
    }

    #[test]
    fn every_import_of_a_script_is_an_asset() {
        for asset in ASSETS.iter().filter(|asset| asset.kind == JS) {
            for line in asset
                .text
                .lines()
                .filter(|line| line.starts_with("import "))
            {
                let from = line.rsplit('"').nth(1).unwrap_or_default();
                let path = from.strip_prefix('.').unwrap_or(from);
                assert!(ASSETS.iter().any(|other| other.path == path), "{line}");
            }
        }
    }

    #[test]
    fn every_example_names_the_lathe_that_comes_with_it() {
        for example in &EXAMPLES {
            let Texts { job, lathe } = example.texts();
            let named = tautway_sim::scenario::lathe_named_in(job.source());
            assert_eq!(named.expect("a name"), lathe.name, "{}", example.id);
        }
    }
}
