//! What a frame is made of.

use crate::Section;

/// A linear elastic material that is the same in all directions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Young's modulus in Pa.
    pub youngs_pa: f64,
    /// Shear modulus in Pa.
    pub shear_pa: f64,
    /// Density in kg/m³. Zero is allowed for statics.
    pub density_kg_m3: f64,
}

impl Material {
    /// An isotropic material from E and Poisson's ratio ν: G = E/2(1 + ν).
    #[must_use]
    pub fn isotropic(youngs_pa: f64, poisson: f64, density_kg_m3: f64) -> Self {
        Self {
            youngs_pa,
            shear_pa: youngs_pa / (2.0 * (1.0 + poisson)),
            density_kg_m3,
        }
    }

    /// By which share the stated G lies above what E and `poisson` give, E/2(1 + ν). A printed G
    /// more than 5 % off contradicts the other two figures, if the material is isotropic.
    #[must_use]
    pub fn shear_excess(&self, poisson: f64) -> f64 {
        self.shear_pa / (self.youngs_pa / (2.0 * (1.0 + poisson))) - 1.0
    }
}

/// How one degree of freedom of a node is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hold {
    /// Not held.
    Free,
    /// Does not move.
    Fixed,
    /// Held by a spring to the ground, in N/m or N·m/rad.
    Spring(f64),
}

/// All six held.
#[must_use]
pub fn fixed() -> [Hold; 6] {
    [Hold::Fixed; 6]
}

/// None held.
#[must_use]
pub fn free() -> [Hold; 6] {
    [Hold::Free; 6]
}

/// Cannot shift, may turn.
#[must_use]
pub fn pinned() -> [Hold; 6] {
    let (x, o) = (Hold::Fixed, Hold::Free);
    [x, x, x, o, o, o]
}

/// A point where members meet. Its six degrees of freedom are the shifts along x, y, z and the
/// turns about them, in that order, in the frame's axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// What it is called in messages.
    pub name: String,
    /// Place in m.
    pub at_m: [f64; 3],
    /// How it is held.
    pub held: [Hold; 6],
}

impl Node {
    /// A node that nothing holds but its members.
    #[must_use]
    pub fn new(name: impl Into<String>, at_m: [f64; 3]) -> Self {
        Self {
            name: name.into(),
            at_m,
            held: free(),
        }
    }

    /// The same node, held.
    #[must_use]
    pub fn held(self, held: [Hold; 6]) -> Self {
        Self { held, ..self }
    }
}

/// How one axis of a member's end is joined to its node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Link {
    /// They move as one.
    Rigid,
    /// Nothing is passed on, as by a hinge about this axis.
    Released,
    /// A spring, in N/m or N·m/rad.
    Spring(f64),
    /// A spring that takes hold only after the joint has moved by `slack` (m or rad) either way.
    Play {
        /// Stiffness once in contact, N/m or N·m/rad.
        stiffness: f64,
        /// Free movement to either side, m or rad.
        slack: f64,
    },
}

/// Rigid in all six axes.
pub const RIGID: [Link; 6] = [Link::Rigid; 6];

/// What a joint can bear before it slips or breaks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capacity {
    /// Force in N, in any direction, without a moment.
    pub force_n: f64,
    /// Moment in N·m, about any axis, without a force.
    pub moment_n_m: f64,
}

/// How a member's end is joined: a link for each of the member's own axes (shift along x, y, z,
/// turn about them; x runs along the member), and what the joint can bear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// The six links.
    pub links: [Link; 6],
    /// What it can bear, if known.
    pub capacity: Option<Capacity>,
}

impl End {
    /// Joined without any give, capacity not known.
    pub const RIGID: Self = Self {
        links: RIGID,
        capacity: None,
    };

    /// Rigid against shifts, the same spring (N·m/rad) about all three axes.
    #[must_use]
    pub fn sprung(stiffness_n_m_rad: f64) -> Self {
        let (r, k) = (Link::Rigid, Link::Spring(stiffness_n_m_rad));
        Self {
            links: [r, r, r, k, k, k],
            capacity: None,
        }
    }

    /// The same end with what it can bear.
    #[must_use]
    pub fn bears(self, force_n: f64, moment_n_m: f64) -> Self {
        Self {
            capacity: Some(Capacity {
                force_n,
                moment_n_m,
            }),
            ..self
        }
    }
}

/// A straight beam between two nodes.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// What it is called in messages.
    pub name: String,
    /// Indices of the nodes that it joins, from and to.
    pub nodes: [usize; 2],
    /// Its cross-section, the same all along.
    pub section: Section,
    /// What it is made of.
    pub material: Material,
    /// A direction that the section's z axis comes as near to as it can; `None` for
    /// [`crate::UP`]'s choice.
    pub up: Option<[f64; 3]>,
    /// How its two ends are joined to their nodes.
    pub ends: [End; 2],
    /// Whether it gives in shear (Timoshenko) and its slices resist turning, or neither
    /// (Euler and Bernoulli). Matters for members shorter than about ten times their depth.
    pub shear: bool,
}

impl Member {
    /// A member joined rigidly at both ends, without give in shear.
    #[must_use]
    pub fn new(
        name: impl Into<String>,
        from: usize,
        to: usize,
        section: Section,
        material: Material,
    ) -> Self {
        Self {
            name: name.into(),
            nodes: [from, to],
            section,
            material,
            up: None,
            ends: [End::RIGID; 2],
            shear: false,
        }
    }

    /// The same member with its ends joined in this way.
    #[must_use]
    pub fn joined(self, from: End, to: End) -> Self {
        Self {
            ends: [from, to],
            ..self
        }
    }

    /// The same member with its section's z axis towards `up`.
    #[must_use]
    pub fn upright(self, up: [f64; 3]) -> Self {
        Self {
            up: Some(up),
            ..self
        }
    }

    /// The same member giving in shear.
    #[must_use]
    pub fn sheared(self) -> Self {
        Self {
            shear: true,
            ..self
        }
    }
}

/// A stiff body that rides on a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lump {
    /// Index of the node.
    pub node: usize,
    /// Mass in kg.
    pub mass_kg: f64,
    /// Its centre of mass seen from the node, m.
    pub offset_m: [f64; 3],
    /// Moments of inertia about its centre of mass along the frame's axes, kg·m².
    pub inertia_kg_m2: [f64; 3],
}

impl Lump {
    /// A mass without size at the node itself.
    #[must_use]
    pub fn point(node: usize, mass_kg: f64) -> Self {
        Self {
            node,
            mass_kg,
            offset_m: [0.0; 3],
            inertia_kg_m2: [0.0; 3],
        }
    }
}

/// What pulls at the frame, in the frame's axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// At a node.
    At {
        /// Index of the node.
        node: usize,
        /// Force in N.
        force_n: [f64; 3],
        /// Moment in N·m.
        moment_n_m: [f64; 3],
    },
    /// At a point of a member.
    On {
        /// Index of the member.
        member: usize,
        /// How far along it, 0 at its first node to 1 at its second.
        along: f64,
        /// Force in N.
        force_n: [f64; 3],
    },
    /// Spread evenly over a member.
    Spread {
        /// Index of the member.
        member: usize,
        /// Force for each metre of length, N/m.
        force_n_m: [f64; 3],
    },
}

impl Load {
    /// A force in N at a node.
    #[must_use]
    pub fn force(node: usize, force_n: [f64; 3]) -> Self {
        Self::At {
            node,
            force_n,
            moment_n_m: [0.0; 3],
        }
    }
}

/// A frame.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Frame {
    /// Where members meet.
    pub nodes: Vec<Node>,
    /// The beams.
    pub members: Vec<Member>,
    /// What rides on the nodes.
    pub lumps: Vec<Lump>,
}

impl Frame {
    /// Adds a node and gives its index.
    pub fn node(&mut self, node: Node) -> usize {
        self.nodes.push(node);
        self.nodes.len() - 1
    }

    /// Adds a member and gives its index.
    pub fn member(&mut self, member: Member) -> usize {
        self.members.push(member);
        self.members.len() - 1
    }

    /// Adds `member` as a chain of `pieces` members with nodes between them, as modes and curved
    /// deflections want it. The ends of the chain are joined as the member's ends. Gives the
    /// indices of the chain's nodes, from end to end.
    ///
    /// # Panics
    /// When the member's nodes are not there yet or `pieces` is zero.
    pub fn chain(&mut self, member: &Member, pieces: usize) -> Vec<usize> {
        assert!(pieces > 0, "a chain has at least one piece");
        let [a, b] = member.nodes.map(|n| self.nodes[n].at_m);
        let mut chain = vec![member.nodes[0]];
        for k in 1..pieces {
            let s = k as f64 / pieces as f64;
            let at = core::array::from_fn(|i| a[i] + (b[i] - a[i]) * s);
            chain.push(self.node(Node::new(format!("{} {k}/{pieces}", member.name), at)));
        }
        chain.push(member.nodes[1]);
        for k in 0..pieces {
            let ends = [
                if k == 0 { member.ends[0] } else { End::RIGID },
                if k + 1 == pieces {
                    member.ends[1]
                } else {
                    End::RIGID
                },
            ];
            self.member(Member {
                nodes: [chain[k], chain[k + 1]],
                ends,
                ..member.clone()
            });
        }
        chain
    }

    /// Length of a member in m.
    #[must_use]
    pub fn length_m(&self, member: usize) -> f64 {
        let [a, b] = self.members[member].nodes.map(|n| self.nodes[n].at_m);
        let d: [f64; 3] = core::array::from_fn(|i| b[i] - a[i]);
        (d[0] * d[0] + d[1] * d[1] + d[2] * d[2]).sqrt()
    }

    /// Mass of members and lumps together in kg.
    #[must_use]
    pub fn mass_kg(&self) -> f64 {
        let beams: f64 = (0..self.members.len())
            .map(|m| {
                let of = &self.members[m];
                of.material.density_kg_m3 * of.section.area_m2 * self.length_m(m)
            })
            .sum();
        beams + self.lumps.iter().map(|l| l.mass_kg).sum::<f64>()
    }

    /// The loads of members and lumps under an even acceleration field, such as
    /// `[0.0, 0.0, -STANDARD_GRAVITY]` for their weight.
    #[must_use]
    pub fn weight(&self, field_m_s2: [f64; 3]) -> Vec<Load> {
        let members = self.members.iter().enumerate().map(|(member, m)| {
            let line = m.material.density_kg_m3 * m.section.area_m2;
            Load::Spread {
                member,
                force_n_m: field_m_s2.map(|g| line * g),
            }
        });
        let lumps = self.lumps.iter().map(|l| {
            let force_n = field_m_s2.map(|g| l.mass_kg * g);
            Load::At {
                node: l.node,
                force_n,
                moment_n_m: crate::axes::cross(l.offset_m, force_n),
            }
        });
        members.chain(lumps).collect()
    }
}
