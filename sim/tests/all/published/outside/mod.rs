//! Numbers from outside, each beside ours, by group.

mod laws;
mod machine;
mod practice;
mod tapers;

/// How a number from outside is known.
#[derive(Clone, Copy)]
pub enum How {
    /// Closed form, or computed independently to the digits given.
    Exact,
    /// The source's text was read.
    Read,
    /// A text was read, whose title, year and page were not kept.
    Unnamed,
    /// The text was not at hand.
    Memory,
    /// Common practice of the trade, no source.
    Practice,
}

impl How {
    pub fn words(self) -> &'static str {
        match self {
            Self::Exact => "exact",
            Self::Read => "read",
            Self::Unnamed => "read, source unnamed",
            Self::Memory => "from memory",
            Self::Practice => "common practice",
        }
    }
}

/// Our number, and the source's.
pub enum Ours {
    /// Recomputed here, to this many decimals of the source's, and half of the last.
    Here(f64, f64, usize),
    /// The same with other room than half of the last decimal.
    Within(f64, f64, usize, f64),
    /// The same constant typed in the product and here, with this room: nothing is worked out, so
    /// that they agree guards against a slip of the pen only.
    Typed(f64, f64, usize, f64),
    /// What it is, checked by this test of that file, where it takes trials or a whole cut.
    There(&'static str, &'static str, &'static str),
}

/// A value from outside.
pub struct Row {
    pub source: &'static str,
    pub how: How,
    pub what: String,
    pub ours: Ours,
}

/// All of them in groups.
#[derive(Default)]
pub struct Table(pub Vec<(&'static str, Vec<Row>)>);

impl Table {
    pub fn group(&mut self, title: &'static str) {
        self.0.push((title, Vec::new()));
    }

    pub fn row(&mut self, source: &'static str, how: How, what: impl Into<String>, ours: Ours) {
        let (_, rows) = self.0.last_mut().expect("a group");
        rows.push(Row {
            source,
            how,
            what: what.into(),
            ours,
        });
    }
}

/// Every one.
pub fn every() -> Table {
    let mut table = Table::default();
    tapers::tapers(&mut table);
    tapers::setting_over(&mut table);
    tapers::threads(&mut table);
    tapers::gauging(&mut table);
    laws::cutting(&mut table);
    machine::machine(&mut table);
    laws::uncertainty(&mut table);
    practice::practice(&mut table);
    table
}
