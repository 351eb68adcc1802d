//! One way to make the cut: which side, which feed, which rotation, and every sign that follows.
//!
//! Signs are decided here and nowhere else. Axes by ISO 841: `Z` along the spindle, positive
//! away from the headstock; `X` the cross-slide, positive toward the operator. One coordinate
//! decides everything: the tool's position *into the cut*, `n = inward * side * X`.

use schemars::JsonSchema;
use serde::Serialize;

/// Outside work or a bore.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Turned on the outside.
    Outside,
    /// Bored.
    Inside,
}

/// An end of the taper, named as one stands at the lathe.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum End {
    /// Toward the chuck.
    Headstock,
    /// Toward the tailstock.
    Tailstock,
}

/// Where the tool meets the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// On the operator's side.
    Front,
    /// On the far side.
    Rear,
}

/// Hand of a cutting tool: which way its main edge is ground.
///
/// Held with its face up and its shank toward you, a right-hand turning tool has its main edge on
/// the left; a right-hand boring bar has its point on the left, and its main edge at its far end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum ToolHand {
    /// Right-hand.
    Right,
    /// Left-hand.
    Left,
}

/// Carriage feed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Feed {
    /// Toward the headstock.
    Headstock,
    /// Toward the tailstock.
    Tailstock,
}

/// Hand of a thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Hand {
    /// Right-hand.
    Right,
    /// Left-hand.
    Left,
}

/// Which way a preload acts on the slide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub enum Toward {
    /// Toward the operator.
    #[serde(rename = "toward the operator")]
    Operator,
    /// Away from the operator.
    #[serde(rename = "away from the operator")]
    Away,
}

/// Spindle rotation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Rotation {
    /// The ordinary way: the work's front comes down.
    Forward,
    /// Reversed.
    Reverse,
}

/// The tool's cutting face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Face {
    /// Face up.
    Up,
    /// Face down.
    Down,
}

/// What the guide does to the tool as the carriage feeds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub enum Pull {
    /// It pulls the tool into the cut.
    #[serde(rename = "pull-in")]
    In,
    /// It draws the tool away.
    #[serde(rename = "draw-away")]
    Away,
    /// A straight cut: it does neither.
    #[serde(rename = "straight")]
    Neither,
}

/// Which way the main force acts on the slide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Press {
    /// Presses it on its ways.
    Down,
    /// Lifts it.
    Lift,
}

/// How the cross screw is loaded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum ScrewLoad {
    /// Pulled.
    Tension,
    /// Pushed.
    Compression,
}

/// One way to make the cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Setup {
    /// Outside or inside.
    pub kind: Kind,
    /// Which end is big.
    pub big_end: End,
    /// Front or rear.
    pub side: Side,
    /// Toward headstock or tailstock.
    pub feed: Feed,
    /// Forward or reversed.
    pub rotation: Rotation,
    /// Tool face up or down.
    pub face: Face,
}

macro_rules! sign {
    ($type:ty, $($positive:pat_param)|+) => {
        impl $type {
            /// As a sign, by the convention of this module.
            pub fn sign(self) -> f64 {
                if matches!(self, $($positive)|+) { 1.0 } else { -1.0 }
            }
        }
    };
}
sign!(Side, Self::Front);
sign!(Feed, Self::Tailstock);
sign!(Rotation, Self::Forward);
sign!(Face, Self::Up);
sign!(Press, Self::Down);

impl Pull {
    /// +1 pulled in, -1 drawn away, 0 straight.
    pub fn sign(self) -> f64 {
        match self {
            Self::In => 1.0,
            Self::Away => -1.0,
            Self::Neither => 0.0,
        }
    }
}

impl Setup {
    /// All sixteen combinations of side, feed, rotation and tool face for one piece of work,
    /// plainest and safest first (front before rear, forward before reverse, face up before
    /// down).
    pub fn all(kind: Kind, big_end: End) -> Vec<Self> {
        let mut all = Vec::with_capacity(16);
        for side in [Side::Front, Side::Rear] {
            for rotation in [Rotation::Forward, Rotation::Reverse] {
                for face in [Face::Up, Face::Down] {
                    for feed in [Feed::Headstock, Feed::Tailstock] {
                        all.push(Self {
                            kind,
                            big_end,
                            side,
                            feed,
                            rotation,
                            face,
                        });
                    }
                }
            }
        }
        all
    }

    /// +1 when "into the cut" is a larger radius (inside work), -1 when a smaller (outside).
    pub fn inward(&self) -> f64 {
        match self.kind {
            Kind::Inside => 1.0,
            Kind::Outside => -1.0,
        }
    }

    /// Sign of the change of radius along `+Z`.
    pub fn slope_sign(&self) -> f64 {
        match self.big_end {
            End::Tailstock => 1.0,
            End::Headstock => -1.0,
        }
    }

    /// Which way the guide bar leans: the sign of `dX/dZ = side * slope` that it imposes. +1 when
    /// its tailstock end is the one nearer the operator, wherever along X the bar stands.
    pub fn guide_lean(&self) -> f64 {
        self.side.sign() * self.slope_sign()
    }

    /// Whether the guide pulls the tool into the cut: `sign(inward * slope * feed)`. The side of
    /// the tool does not enter.
    pub fn pull(&self) -> Pull {
        if self.inward() * self.slope_sign() * self.feed.sign() > 0.0 {
            Pull::In
        } else {
            Pull::Away
        }
    }

    /// The tool's face looks at the oncoming surface, so that it cuts: `face = side * rotation`.
    pub fn cuts(&self) -> bool {
        self.face.sign() == self.side.sign() * self.rotation.sign()
    }

    /// The main force presses the slide down or lifts it, for a tool that cuts:
    /// `side * rotation`.
    pub fn press(&self) -> Press {
        if self.side.sign() * self.rotation.sign() > 0.0 {
            Press::Down
        } else {
            Press::Lift
        }
    }

    /// The hand of thread this way cuts: right-hand iff `rotation * feed = -1`.
    pub fn hand(&self) -> Hand {
        if self.rotation.sign() * self.feed.sign() < 0.0 {
            Hand::Right
        } else {
            Hand::Left
        }
    }

    /// The hand of tool whose main edge goes ahead this way. A turning tool's goes with
    /// `face x point` (its left, seen from its shank): right-hand iff `face * side * feed = -1`. A
    /// bar's shank is always toward the tailstock, so its hand tells where it points alone:
    /// right-hand iff `face * side = 1`; fed back out it asks for another edge, not another hand
    /// ([`Setup::cuts_backward`]).
    pub fn tool_hand(&self) -> ToolHand {
        let points = self.face.sign() * self.side.sign();
        let right = match self.kind {
            Kind::Outside => points * self.feed.sign() < 0.0,
            Kind::Inside => points > 0.0,
        };
        if right {
            ToolHand::Right
        } else {
            ToolHand::Left
        }
    }

    /// Whether a bar is fed toward its own shank: its main edge has to look back.
    pub fn cuts_backward(&self) -> bool {
        self.kind == Kind::Inside && self.feed == Feed::Tailstock
    }

    /// Load on the cross screw when the drive carries a force into the cut (`first_face`) or out
    /// of it, guide at the rear: tension iff `side * inward * sign(L) = -1`.
    pub fn screw(&self, first_face: bool) -> ScrewLoad {
        let load = if first_face { 1.0 } else { -1.0 };
        if self.side.sign() * self.inward() * load < 0.0 {
            ScrewLoad::Tension
        } else {
            ScrewLoad::Compression
        }
    }

    /// A force toward the operator (`+X`) as a preload out of the cut (positive) or into it
    /// (negative): `n = inward * side * X`, and out is `-n`.
    pub fn out_of_cut(&self, toward: Toward) -> f64 {
        let x = match toward {
            Toward::Operator => 1.0,
            Toward::Away => -1.0,
        };
        -self.inward() * self.side.sign() * x
    }

    /// The way along X that is out of the cut, or into it.
    pub fn toward_in_x(&self, out_of_cut: bool) -> Toward {
        if (self.out_of_cut(Toward::Operator) > 0.0) == out_of_cut {
            Toward::Operator
        } else {
            Toward::Away
        }
    }

    /// The same cut seen in the mirror of the bed: other side, other rotation, same face.
    pub fn mirrored(&self) -> Self {
        Self {
            side: match self.side {
                Side::Front => Side::Rear,
                Side::Rear => Side::Front,
            },
            rotation: match self.rotation {
                Rotation::Forward => Rotation::Reverse,
                Rotation::Reverse => Rotation::Forward,
            },
            ..*self
        }
    }

    /// The end of the taper where this feed starts.
    pub fn starts_at(&self) -> End {
        match self.feed {
            Feed::Headstock => End::Tailstock,
            Feed::Tailstock => End::Headstock,
        }
    }
}
