//! What the gauging sums are given.

use clap::{Args, Subcommand, ValueEnum};
use tautway_sim::gauging::Gauge;
use tautway_sim::scenario::{End, Kind};

use super::choice::SideArg;
use crate::plan;
use tautway_screens::typed::{TypedLength, TypedTaper};

/// Which sum.
#[derive(Debug, Subcommand)]
pub enum Sum {
    /// Standoff of a ring or plug gauge: what to take off at the dial, and a table of ten rows.
    #[command(
        after_help = "Example:\n  tautway gauging standoff --taper \"1-1/2 in/ft\" --read \"0.100 in\" --kind inside"
    )]
    Standoff(StandoffArgs),
    /// Blue: which end bears, so which way and how far to nudge the guide.
    #[command(
        after_help = "Example:\n  tautway gauging blue --taper \"1-1/2 in/ft\" --kind outside --big-end headstock --bears big \\\n      --shake \"0.002 in\" --over \"3 in\""
    )]
    Blue(BlueArgs),
    /// Two equal rolls at two heights on an outside taper standing on a plate.
    #[command(
        after_help = "Example:\n  tautway gauging rolls --roll \"0.250 in\" --low \"1.7702 in\" --high \"1.9368 in\" --high-blocks \"1 in\"\nWith --taper in place of --high, one measure gives the sizes."
    )]
    Rolls(RollsArgs),
    /// A small and a large ball in a tapered bore, mouth up: depths to their tops.
    #[command(
        after_help = "Example:\n  tautway gauging balls --small \"0.500 in\" --small-depth \"3.1 in\" --big \"0.750 in\" --big-depth \"1.47 in\"\nWith --taper in place of the small ball, one ball gives the mouth."
    )]
    Balls(BallsArgs),
    /// Diameters at two places.
    #[command(
        after_help = "Example:\n  tautway gauging diameters --big \"1.378 in\" --small \"1.000 in\" --apart \"3 in\" --wanted \"1-1/2 in/ft\""
    )]
    Diameters(DiametersArgs),
}

/// Standoff.
#[derive(Args, Debug)]
pub struct StandoffArgs {
    /// Taper on diameter, or a standard taper's name.
    #[arg(long, allow_hyphen_values = true)]
    pub taper: TypedTaper,
    /// How far the gauge stands off; left out, only the table is given.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub read: Option<TypedLength>,
    /// How far it should stand off at size [default: closed up].
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "read",
        allow_hyphen_values = true
    )]
    pub at_size: Option<TypedLength>,
    /// A ring on outside work, or a plug in a bore: says whether the work is big or small.
    #[arg(long, value_enum)]
    pub kind: Option<KindArg>,
    /// Standoff from row to row of the table [default: 0.001 in or 0.02 mm on diameter a row].
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub step: Option<TypedLength>,
}

/// Blue.
#[derive(Args, Debug)]
pub struct BlueArgs {
    /// Taper on diameter, or a standard taper's name: that of the gauge.
    #[arg(long, allow_hyphen_values = true)]
    pub taper: TypedTaper,
    /// A ring on outside work, or a plug in a bore.
    #[arg(long, value_enum)]
    pub kind: KindArg,
    /// The end of the lathe that the big end of the work looks at.
    #[arg(long, value_enum)]
    pub big_end: EndArg,
    /// Where the tool meets the work: seen by the operator.
    #[arg(long, value_enum, default_value_t = SideArg::Front)]
    pub side: SideArg,
    /// Where the gauge bears.
    #[arg(long, value_enum)]
    pub bears: BearsArg,
    /// All of an indicator's movement when the gauge is rocked on its bearing end.
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "over",
        conflicts_with = "mark",
        allow_hyphen_values = true
    )]
    pub shake: Option<TypedLength>,
    /// From the bearing end to the indicator; with --bears all, the length of the taper.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub over: Option<TypedLength>,
    /// Length of the mark of blue, from the bearing end.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub mark: Option<TypedLength>,
    /// Thickness of the blue [assumed: 0.0003 in +- 0.0002 in].
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub film: Option<TypedLength>,
    /// From the guide's pivot to the end that is nudged [assumed: 10 in +- 4 in].
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub guide_end: Option<TypedLength>,
    /// Which end of the guide is nudged.
    #[arg(long, value_enum, default_value_t = EndArg::Tailstock)]
    pub nudge: EndArg,
}

/// Rolls.
#[derive(Args, Debug)]
pub struct RollsArgs {
    /// Diameter of either roll.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub roll: TypedLength,
    /// Over the rolls at the lower height.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub low: TypedLength,
    /// Blocks under the rolls at the lower height [default: none, on the plate].
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub low_blocks: Option<TypedLength>,
    /// Over the rolls at the upper height.
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "high_blocks",
        required_unless_present = "taper",
        allow_hyphen_values = true
    )]
    pub high: Option<TypedLength>,
    /// Blocks under the rolls at the upper height.
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "high",
        allow_hyphen_values = true
    )]
    pub high_blocks: Option<TypedLength>,
    /// Taper on diameter, or a standard taper's name: where it is known, one height is enough.
    #[arg(long, conflicts_with = "high", allow_hyphen_values = true)]
    pub taper: Option<TypedTaper>,
    /// With --taper: the work stands on its small end.
    #[arg(long, requires = "taper")]
    pub big_end_up: bool,
    /// Length along the axis: from the plate to the upper end of the taper, if the diameter there
    /// is wanted.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub length: Option<TypedLength>,
    /// Taper to hold the result against.
    #[arg(
        long,
        value_name = "TAPER",
        conflicts_with = "taper",
        allow_hyphen_values = true
    )]
    pub wanted: Option<TypedTaper>,
}

/// Balls.
#[derive(Args, Debug)]
pub struct BallsArgs {
    /// The smaller diameter: of the two balls.
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "small_depth",
        required_unless_present = "taper",
        allow_hyphen_values = true
    )]
    pub small: Option<TypedLength>,
    /// From the face of the mouth down to the small ball's top.
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "small",
        allow_hyphen_values = true
    )]
    pub small_depth: Option<TypedLength>,
    /// The bigger diameter: of the two balls.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub big: TypedLength,
    /// From the face of the mouth down to the big ball's top; with a minus when it stands proud.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub big_depth: TypedLength,
    /// Taper on diameter, or a standard taper's name: where it is known, the big ball alone is enough.
    #[arg(long, conflicts_with = "small", allow_hyphen_values = true)]
    pub taper: Option<TypedTaper>,
    /// Taper to hold the result against.
    #[arg(
        long,
        value_name = "TAPER",
        conflicts_with = "taper",
        allow_hyphen_values = true
    )]
    pub wanted: Option<TypedTaper>,
}

/// Diameters.
#[derive(Args, Debug)]
pub struct DiametersArgs {
    /// The bigger diameter: of the two places.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub big: TypedLength,
    /// The smaller diameter: of the two places.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub small: TypedLength,
    /// Between the two places, along the axis.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub apart: TypedLength,
    /// Ask for the diameter so far beyond the bigger one (with a minus: toward the smaller).
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub beyond: Option<TypedLength>,
    /// What the diameters were measured with, where their error is not typed.
    #[arg(long = "with", value_name = "GAUGE", value_enum, default_value_t = GaugeArg::Mike)]
    pub gauge: GaugeArg,
    /// Taper to hold the result against.
    #[arg(long, value_name = "TAPER", allow_hyphen_values = true)]
    pub wanted: Option<TypedTaper>,
}

/// Kind of work as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum KindArg {
    /// Outside work, a ring gauge.
    Outside,
    /// A bore, a plug gauge.
    Inside,
}

impl From<KindArg> for Kind {
    fn from(typed: KindArg) -> Self {
        match typed {
            KindArg::Outside => Self::Outside,
            KindArg::Inside => Self::Inside,
        }
    }
}

/// An end as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum EndArg {
    /// Toward the chuck.
    Headstock,
    /// Toward the tailstock.
    Tailstock,
}

impl From<EndArg> for End {
    fn from(typed: EndArg) -> Self {
        match typed {
            EndArg::Headstock => Self::Headstock,
            EndArg::Tailstock => Self::Tailstock,
        }
    }
}

/// Where blue came off, as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum BearsArg {
    /// At the big end only.
    Big,
    /// At the small end only.
    Small,
    /// All along.
    All,
    /// At both ends and not between, or only between.
    Uneven,
}

/// A gauge as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum GaugeArg {
    /// Outside mike.
    Mike,
    /// Bore gauge.
    BoreGauge,
    /// Telescoping gauge with a mike over it.
    TelescopingGauge,
    /// Caliper.
    Caliper,
}

impl From<GaugeArg> for Gauge {
    fn from(typed: GaugeArg) -> Self {
        match typed {
            GaugeArg::Mike => Self::Mike,
            GaugeArg::BoreGauge => Self::BoreGauge,
            GaugeArg::TelescopingGauge => Self::TelescopingGauge,
            GaugeArg::Caliper => Self::Caliper,
        }
    }
}

impl From<Sum> for plan::Sum {
    fn from(typed: Sum) -> Self {
        match typed {
            Sum::Standoff(args) => Self::Standoff(args.into()),
            Sum::Blue(args) => Self::Blue(args.into()),
            Sum::Rolls(args) => Self::Rolls(args.into()),
            Sum::Balls(args) => Self::Balls(args.into()),
            Sum::Diameters(args) => Self::Diameters(args.into()),
        }
    }
}

impl From<StandoffArgs> for plan::Standoff {
    fn from(typed: StandoffArgs) -> Self {
        Self {
            taper: typed.taper,
            read: typed.read,
            at_size: typed.at_size,
            kind: typed.kind.map(Into::into),
            step: typed.step,
        }
    }
}

impl From<BlueArgs> for plan::Blue {
    fn from(typed: BlueArgs) -> Self {
        Self {
            taper: typed.taper,
            kind: typed.kind.into(),
            big_end: typed.big_end.into(),
            side: typed.side.into(),
            bears: typed.bears.into(),
            shake: typed.shake,
            over: typed.over,
            mark: typed.mark,
            film: typed.film,
            guide_end: typed.guide_end,
            nudge: typed.nudge.into(),
        }
    }
}

impl From<RollsArgs> for plan::Rolls {
    fn from(typed: RollsArgs) -> Self {
        Self {
            roll: typed.roll,
            low: typed.low,
            low_blocks: typed.low_blocks,
            high: typed.high,
            high_blocks: typed.high_blocks,
            taper: typed.taper,
            big_end_up: typed.big_end_up,
            length: typed.length,
            wanted: typed.wanted,
        }
    }
}

impl From<BallsArgs> for plan::Balls {
    fn from(typed: BallsArgs) -> Self {
        Self {
            small: typed.small,
            small_depth: typed.small_depth,
            large: typed.big,
            large_depth: typed.big_depth,
            taper: typed.taper,
            wanted: typed.wanted,
        }
    }
}

impl From<DiametersArgs> for plan::Diameters {
    fn from(typed: DiametersArgs) -> Self {
        Self {
            big: typed.big,
            small: typed.small,
            apart: typed.apart,
            beyond: typed.beyond,
            gauge: typed.gauge.into(),
            wanted: typed.wanted,
        }
    }
}

impl From<BearsArg> for plan::Bears {
    fn from(typed: BearsArg) -> Self {
        match typed {
            BearsArg::Big => Self::Big,
            BearsArg::Small => Self::Small,
            BearsArg::All => Self::All,
            BearsArg::Uneven => Self::Uneven,
        }
    }
}
