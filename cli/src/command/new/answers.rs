//! What was answered so far, and the two files that come of it.

use tautway_sim::quantity::Units;
use tautway_sim::scenario::template::{self, JobAnswers, LatheAnswers};
use tautway_sim::scenario::{Kind, Source, decode_lathe};
use tautway_sim::standard_taper::{self, StandardTaper};

use crate::texts::Text;

/// The lathe file that `new` writes.
pub const LATHE: &str = "lathe.toml";

/// Nothing known of a lathe yet.
pub fn nothing_of_a_lathe() -> LatheAnswers {
    LatheAnswers {
        name: "the lathe".to_owned(),
        units: Units::Inch,
        condition: None,
        no_attachment: false,
        kind: None,
        slack: None,
        foot_slack: None,
        drive_spring: None,
        guide_travel: None,
        steepest: None,
        drag: None,
        breakaway: None,
        nose: None,
        reverse: None,
        rear_post: None,
        readout_step: None,
        readout_reads: None,
    }
}

/// Nothing known of a job yet: what the drawing has to say stands empty.
fn nothing_of_a_job(lathe: &str) -> JobAnswers {
    JobAnswers {
        name: "taper".to_owned(),
        lathe: lathe.to_owned(),
        taper: String::new(),
        tolerance: None,
        length: String::new(),
        gauge_plane: None,
        diameter: String::new(),
        size_tolerance: None,
        material: String::new(),
        held: None,
        steady_at: None,
        from_jaws: None,
        room_headstock: None,
        room_tailstock: None,
        start: None,
        surface: None,
        nose_radius: None,
        shape: None,
        edge: None,
        bar_diameter: None,
        bar_stick_out: None,
        rough: None,
        finish: Vec::new(),
        feed: None,
        speed: None,
        ..JobAnswers::default()
    }
}

/// What was answered so far.
#[derive(Clone)]
pub struct Answers {
    pub lathe: LatheAnswers,
    /// Texts that are empty were not answered.
    pub job: JobAnswers,
    /// The taper has a thread.
    pub threaded: bool,
    /// The lathe's file where there is one already, and its units.
    there: Option<(String, Units)>,
}

impl Answers {
    /// Nothing known yet, but the lathe where there is one.
    pub fn nothing(there: Option<&Text>) -> Self {
        let there = there.map(|text| {
            let units = decode_lathe(text.source()).map_or(Units::Inch, |(lathe, _)| lathe.units);
            (text.text.clone(), units)
        });
        Self {
            lathe: nothing_of_a_lathe(),
            job: nothing_of_a_job(LATHE),
            threaded: false,
            there,
        }
    }

    /// Whether the lathe is asked about.
    pub fn asks_of_the_lathe(&self) -> bool {
        self.there.is_none()
    }

    /// The person's units.
    pub fn units(&self) -> Units {
        self.there
            .as_ref()
            .map_or(self.lathe.units, |(_, units)| *units)
    }

    /// The lathe's file.
    pub fn lathe_text(&self) -> String {
        match &self.there {
            Some((text, _)) => text.clone(),
            None => template::lathe(&self.lathe),
        }
    }

    /// The standard taper that was named.
    pub fn standard(&self) -> Option<StandardTaper> {
        standard_taper::find(&self.job.taper).ok()
    }

    /// Whether a standard taper brings this: its length, or its diameter.
    fn brings(&self) -> (bool, bool) {
        let inside = self.job.kind == Kind::Inside;
        let piece = self.standard().and_then(|standard| standard.piece(inside));
        (
            piece.is_some_and(|piece| piece.length.is_some()),
            piece.is_some(),
        )
    }

    /// Whether the taper's name says how long it is.
    pub fn length_is_known(&self) -> bool {
        self.brings().0
    }

    /// Whether the taper's name says how big it is.
    pub fn diameter_is_known(&self) -> bool {
        self.brings().1
    }

    /// Whether a thread comes with the taper's name.
    pub fn thread_is_known(&self) -> bool {
        self.standard()
            .is_some_and(|standard| standard.thread.is_some())
    }

    /// The job's file: what is needed and was not answered stands open in it.
    pub fn job_text(&self) -> String {
        self.filled("don't know", ["don't know"; 3])
    }

    /// The same with examples in place of that, so that each answer can be checked by itself. No
    /// file has them.
    pub fn trial_text(&self) -> String {
        let sizes = match self.units() {
            Units::Inch => ["3 in", "3.000 in", "1018"],
            Units::Metric => ["75 mm", "75 mm", "1018"],
        };
        self.filled("1:6", sizes)
    }

    fn filled(&self, taper: &str, [length, diameter, material]: [&str; 3]) -> String {
        let mut job = self.job.clone();
        let (knows_length, knows_diameter) = self.brings();
        let fill = |place: &mut String, with: &str| {
            if place.is_empty() {
                with.clone_into(place);
            }
        };
        if !knows_length {
            fill(&mut job.length, length);
        }
        if !knows_diameter {
            fill(&mut job.diameter, diameter);
        }
        fill(&mut job.taper, taper);
        fill(&mut job.material, material);
        if self.thread_is_known() {
            job.thread = None;
        }
        template::job(&job)
    }

    /// The lathe's text as the decoder wants it.
    pub fn lathe_source(text: &str) -> Source<'_> {
        Source { name: LATHE, text }
    }
}
