//! Why there is no answer.

use core::fmt;

/// What a flaw is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// The node of this index.
    Node(usize),
    /// The member of this index.
    Member(usize),
    /// The first or second end (0 or 1) of the member of this index.
    End(usize, usize),
    /// The lump of this index.
    Lump(usize),
    /// The load of this index.
    Load(usize),
    /// The frame as a whole.
    Frame,
}

/// Something in the description that cannot be.
#[derive(Debug, Clone, PartialEq)]
pub struct Flaw {
    /// What it is in.
    pub of: Of,
    /// What is wrong and what is expected, in words, with the name of the thing.
    pub what: String,
}

/// A part of a mechanism.
#[derive(Debug, Clone, PartialEq)]
pub struct Loose {
    /// What moves: a node, or the end of a member within its joint.
    pub of: Of,
    /// Its name.
    pub name: String,
    /// Shifts along x, y, z and turns about them in the free movement, as shares of the largest
    /// shift and turn of the whole movement. For a node in the frame's axes, for an end in the
    /// member's.
    pub moves: [f64; 6],
}

/// A movement that nothing resists.
#[derive(Debug, Clone, PartialEq)]
pub struct Mechanism {
    /// What moves, most first.
    pub loose: Vec<Loose>,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Trouble {
    /// The description has flaws: all of them.
    Flawed(Vec<Flaw>),
    /// Part of the frame moves freely.
    Mechanism(Mechanism),
    /// Joints with play did not settle within the allowed number of steps.
    Unsettled {
        /// How many steps were made.
        steps: usize,
        /// What is left of the imbalance, as a share of the load.
        imbalance: f64,
    },
    /// The modes could not be found to the accuracy that is promised.
    Unconverged {
        /// The largest residual among the wanted modes.
        residual: f64,
    },
    /// The frame has no mass that could swing.
    Massless,
}

const WAYS: [&str; 6] = [
    "shifts along x",
    "shifts along y",
    "shifts along z",
    "turns about x",
    "turns about y",
    "turns about z",
];

/// Movements below this share of the largest are not told.
const TOLD: f64 = 0.1;

impl Loose {
    /// The ways it moves, in words.
    #[must_use]
    pub fn ways(&self) -> String {
        let ways: Vec<&str> = (0..6)
            .filter(|&i| self.moves[i].abs() >= TOLD)
            .map(|i| WAYS[i])
            .collect();
        ways.join(", ")
    }
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Flawed(flaws) => {
                let all: Vec<&str> = flaws.iter().map(|x| x.what.as_str()).collect();
                write!(f, "{}", all.join("; "))
            }
            Self::Mechanism(m) => {
                write!(f, "part of the frame moves freely:")?;
                for (i, l) in m.loose.iter().take(6).enumerate() {
                    let sep = if i == 0 { "" } else { ";" };
                    let what = match l.of {
                        Of::End(..) => "in its joint, ",
                        _ => "",
                    };
                    write!(f, "{sep} {what}{} {}", l.name, l.ways())?;
                }
                if m.loose.len() > 6 {
                    write!(f, "; and {} more", m.loose.len() - 6)?;
                }
                Ok(())
            }
            Self::Unsettled { steps, imbalance } => write!(
                f,
                "the joints with play did not settle in {steps} steps; {imbalance:.1e} of the load is left unbalanced"
            ),
            Self::Unconverged { residual } => {
                write!(
                    f,
                    "the modes did not settle; the largest residual is {residual:.1e}"
                )
            }
            Self::Massless => write!(f, "nothing in the frame has a mass that could swing"),
        }
    }
}

impl core::error::Error for Trouble {}
