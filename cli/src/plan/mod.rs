//! What a run is to do, in the field's terms: what was typed, once it is understood.

use std::path::PathBuf;

use tautway_screens::sheet;
use tautway_sim::cut::Options;
use tautway_sim::method::Method;
use tautway_sim::quantity::{Pressure, Ratio, Units};
use tautway_sim::scenario::PreloadSource;
use tautway_sim::setup::{Feed, Rotation, Setup, Side};

pub use tautway_screens::gauging::{Balls, Bears, Blue, Diameters, Rolls, Standoff, Sum};
use tautway_screens::typed::{TypedLength, TypedTaper};

/// One command with all that it is asked.
#[derive(Debug)]
pub enum Plan {
    Compare(Compare),
    Join(Join),
    Predict(Predict),
    WithoutAttachment(WithoutAttachment),
    Preload(Preload),
    Modify(Modify),
    Page(Page),
    Sheet(Sheet),
    Lesson(Lesson),
    Piece(Piece),
    Check {
        files: Vec<PathBuf>,
        format: CheckFormat,
    },
    Readings(Readings),
    Rehearse(Rehearse),
    Blank(Blank),
    Lathe(Lathe),
    New(New),
    Fit(Box<Fit>),
    Thread(Thread),
    Taper(Taper),
    Schema(SchemaOf),
    /// Help in another form, as it is to be told.
    Help(String),
}

impl Plan {
    /// What is done for somebody who clicked on the program: the page of the example.
    pub fn of_a_desktop() -> Self {
        Self::Page(Page {
            scenario: None,
            open: true,
            out: None,
            overwrite: false,
            seed: 1,
        })
    }
}

/// Form of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    Text,
    Json,
    Csv,
}

/// Decimal sign of tables.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Decimal {
    #[default]
    Point,
    Comma,
}

/// Form of an answer that is no table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CheckFormat {
    Text,
    Json,
}

/// Form of a setup sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetFormat {
    Text,
    Html,
    Pdf,
    Json,
}

/// Form of a lesson.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LessonFormat {
    Html,
    Pdf,
    Json,
}

/// Form of a report.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReportFormat {
    Html,
    Pdf,
}

/// Paper of a printed sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    Letter,
    A4,
}

impl From<Paper> for sheet::Paper {
    fn from(paper: Paper) -> Self {
        match paper {
            Paper::Letter => Self::Letter,
            Paper::A4 => Self::A4,
        }
    }
}

/// A report as one file.
#[derive(Clone, Debug)]
pub struct Report {
    /// Its name.
    pub file: PathBuf,
    /// Its form.
    pub format: ReportFormat,
    /// None for what goes with the units.
    pub paper: Option<sheet::Paper>,
}

/// Which kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    Job,
    Lathe,
    Readings,
    Sample,
    Tests,
    Piece,
}

/// The answer of which command, as JSON.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AnswerKind {
    Check,
    Compare,
    Gauging,
    Guide,
    LatheLearn,
    LatheNext,
    LatheUpdate,
    Lesson,
    Modify,
    Piece,
    Predict,
    Preload,
    Refusal,
    Rehearse,
    Sheet,
    Taper,
    Thread,
}

/// What a schema is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SchemaOf {
    File(FileKind),
    Moves,
    Answer(AnswerKind),
}

/// Where an answer goes besides the screen, and in which units it comes.
#[derive(Clone, Debug)]
pub struct To {
    /// The folder or file.
    pub out: Option<PathBuf>,
    /// Whether what the program wrote may be replaced.
    pub overwrite: bool,
    /// The person's units, where they aren't those of the file.
    pub units: Option<Units>,
}

/// A file to be written.
#[derive(Clone, Debug)]
pub struct Write {
    /// Its name; none to write none.
    pub write: Option<PathBuf>,
    /// Whether what the program wrote may be replaced.
    pub overwrite: bool,
}

/// A file to be filled in.
#[derive(Clone, Debug)]
pub struct Blank {
    /// What for.
    pub what: BlankKind,
    /// Units of its examples.
    pub units: Units,
    /// Where it goes.
    pub file: Write,
}

/// What a file to be filled in is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BlankKind {
    Tests,
    Readings,
    Piece,
}

/// How an answer on ways is wanted.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// Its form.
    pub format: Format,
    /// Where it goes.
    pub to: To,
    /// A report as one file.
    pub report: Option<Report>,
    /// Whether more is to be told.
    pub detail: bool,
    /// With which luck and run-in it is cut.
    pub options: Options,
}

/// How an answer is wanted that is tried on many lathes.
#[derive(Clone, Debug)]
pub struct Trying {
    /// Its form.
    pub format: Format,
    /// Where it goes.
    pub to: To,
    /// Whether more is to be told.
    pub detail: bool,
    /// With which luck it is cut.
    pub options: Options,
    /// Lathes to try.
    pub trials: u64,
    /// Threads; none for all there are.
    pub threads: Option<u16>,
}

/// Which way; what is open is taken from the best that agrees.
#[derive(Clone, Copy, Debug, Default)]
pub struct Choice {
    pub side: Option<Side>,
    pub feed: Option<Feed>,
    pub rotation: Option<Rotation>,
}

impl Choice {
    /// Whether nothing was chosen.
    pub fn is_open(&self) -> bool {
        self.side.is_none() && self.feed.is_none() && self.rotation.is_none()
    }

    /// Whether a way is as chosen.
    pub fn admits(&self, setup: &Setup) -> bool {
        self.side.is_none_or(|side| side == setup.side)
            && self.feed.is_none_or(|feed| feed == setup.feed)
            && self
                .rotation
                .is_none_or(|rotation| rotation == setup.rotation)
    }
}

/// Which lathes like the one described are tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// None.
    None,
    /// As many as it takes.
    Enough,
    /// These, by number.
    These {
        /// The first.
        from: u64,
        /// How many.
        count: u64,
    },
}

/// Whose luck something is worked out with, and on how many threads.
#[derive(Clone, Copy, Debug)]
pub struct Run {
    pub options: Options,
    /// None for all there are.
    pub threads: Option<u16>,
}

/// How many lathes are tried, and what is told of them.
#[derive(Clone, Copy, Debug)]
pub struct Lathes {
    /// Which.
    pub which: Which,
    /// Whether they are a part of a whole that is joined later.
    pub is_part: bool,
    /// Part of the lathes that a range has to hold.
    pub coverage: f64,
    /// Whether the uncertainties are carried to first order, too.
    pub first_order: bool,
    /// Threads; none for all there are.
    pub threads: Option<u16>,
}

impl Lathes {
    /// The part of a whole that they are, from and how many.
    pub fn part(&self) -> Option<(u64, u64)> {
        match self.which {
            Which::These { from, count } if self.is_part => Some((from, count)),
            _ => None,
        }
    }

    /// How many of them the ways without the attachment are tried on: as many as those with it,
    /// where some were.
    pub fn without_attachment(&self, tried: Option<u64>) -> u64 {
        match (self.which, tried) {
            // The whole tells it, once joined.
            _ if self.is_part => 0,
            (_, Some(tried)) => tried,
            (Which::None, None) => 0,
            (Which::Enough, None) => u64::MAX,
            (Which::These { count, .. }, None) => count,
        }
    }
}

/// Every way compared.
#[derive(Debug)]
pub struct Compare {
    pub job: PathBuf,
    pub answer: Wanted,
    pub lathes: Lathes,
}

/// Parts of one comparison put together.
#[derive(Debug)]
pub struct Join {
    pub parts: Vec<PathBuf>,
    pub format: Format,
    pub to: To,
    pub threads: Option<u16>,
}

/// One way in detail.
#[derive(Debug)]
pub struct Predict {
    pub job: PathBuf,
    pub choice: Choice,
    pub answer: Wanted,
    pub lathes: Lathes,
    /// The very cut of this trial instead.
    pub trial: Option<u64>,
    /// The last pass again with the slide's mass.
    pub inertia: bool,
}

/// One way without the attachment.
#[derive(Debug)]
pub struct WithoutAttachment {
    pub job: PathBuf,
    pub method: Method,
    pub answer: Wanted,
    pub lathes: Lathes,
}

/// How to hold the slide.
#[derive(Debug)]
pub struct Preload {
    pub job: PathBuf,
    pub choice: Choice,
    /// Part of the lathes that the force has to hold.
    pub sure: f64,
    /// What is added to the least force.
    pub margin: f64,
    /// What is to be judged.
    pub own: Option<PreloadSource>,
    /// What seals take of the force.
    pub seals: Option<Ratio>,
    /// Pressure of the air line.
    pub line: Option<Pressure>,
    pub answer: Trying,
}

/// What changes would buy.
#[derive(Debug)]
pub struct Modify {
    pub job: PathBuf,
    pub choice: Choice,
    /// Every two together, too.
    pub pairs: bool,
    /// Another lathe instead of the list.
    pub against: Option<PathBuf>,
    pub answer: Trying,
}

/// The moving picture.
#[derive(Debug)]
pub struct Page {
    /// The job to begin with; none for the example.
    pub scenario: Option<PathBuf>,
    pub open: bool,
    /// None for the job's own page beside it.
    pub out: Option<PathBuf>,
    pub overwrite: bool,
    pub seed: u64,
}

/// A setup sheet.
#[derive(Debug)]
pub struct Sheet {
    pub job: PathBuf,
    pub choice: Choice,
    /// Another way than one set-up of the attachment, where one was chosen.
    pub method: Option<Method>,
    pub format: SheetFormat,
    pub to: To,
    /// None for what goes with the units.
    pub paper: Option<sheet::Paper>,
    pub run: Run,
}

/// A lesson.
#[derive(Debug)]
pub struct Lesson {
    pub job: PathBuf,
    pub format: LessonFormat,
    /// None for what goes with the units, or the printer's own.
    pub paper: Option<sheet::Paper>,
    pub to: To,
    pub options: Options,
}

/// What a finished piece tells.
#[derive(Debug)]
pub struct Piece {
    pub file: PathBuf,
    /// The job it was cut to, where its file doesn't name it.
    pub job: Option<PathBuf>,
    /// Cuts of each story.
    pub cuts: u64,
    pub seed: u64,
    pub threads: Option<u16>,
    pub units: Option<Units>,
    pub format: CheckFormat,
}

/// Carriage and slide readings.
#[derive(Debug)]
pub struct Readings {
    pub file: PathBuf,
    pub format: CheckFormat,
    pub to: To,
}

/// Hand moves.
#[derive(Debug)]
pub struct Rehearse {
    pub moves: PathBuf,
    pub format: Format,
    pub to: To,
}

/// The lathe's numbers.
#[derive(Debug)]
pub enum Lathe {
    Form,
    Ask {
        units: Units,
        file: Write,
    },
    Update {
        tests: PathBuf,
        /// A lathe file, or the word for a condition.
        from: String,
        job: Option<PathBuf>,
        run: Run,
        file: Write,
        format: CheckFormat,
    },
    Next {
        job: PathBuf,
        choice: Choice,
        run: Run,
        units: Option<Units>,
        format: CheckFormat,
    },
    Learn {
        job: Option<PathBuf>,
        gauged: Vec<PathBuf>,
        draws: usize,
        seed: u64,
        threads: Option<u16>,
        detail: bool,
        file: Write,
        format: CheckFormat,
    },
}

/// A pair of files.
#[derive(Debug)]
pub struct New {
    /// The directory, or the job file.
    pub place: PathBuf,
    /// Nothing is asked.
    pub example: bool,
    pub overwrite: bool,
}

/// A gauging sum.
#[derive(Debug)]
pub struct Fit {
    pub sum: Sum,
    pub units: Option<Units>,
    pub format: CheckFormat,
}

/// A taper thread.
#[derive(Debug)]
pub struct Thread {
    pub job: PathBuf,
    pub answer: Wanted,
    /// Lathes to try.
    pub trials: u64,
}

/// One taper in every form.
#[derive(Debug)]
pub struct Taper {
    /// None to list those that are known.
    pub taper: Option<TypedTaper>,
    /// Carriage travel.
    pub travel: Option<TypedLength>,
    /// Slide's reading.
    pub reading: Option<TypedLength>,
    /// Along the axis.
    pub length: Option<TypedLength>,
    pub units: Option<Units>,
    pub format: CheckFormat,
}
