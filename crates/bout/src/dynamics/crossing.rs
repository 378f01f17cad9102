//! Edges of two prisms that cross: how a robot that leans touches the border of another.
//!
//! Faces alone (`hull`) keep upright prisms apart. Once one leans, an edge of the one can be the
//! first to touch an edge of the other; taken for a face and a corner, that would be noticed
//! millimetres too late. What keeps crossing edges apart is square to both (separating axes of
//! convex polyhedra: Gottschalk, Lin and Manocha, "OBBTree", SIGGRAPH 1996).

use glam::DVec3;

use super::hull::PlacedPrism;

/// Prisms whose upward directions differ by less than this cosine says cannot touch edge first.
const UPRIGHT: f64 = 0.9994;
/// How much farther apart than by their best face two prisms must be along crossing edges, in m,
/// before the edges count: a face carries in several points.
const EDGE_PREFERENCE: f64 = 1e-4;
/// Edges whose directions differ by less than this sine do not cross.
const LEAST_SINE: f64 = 0.05;
/// A corner this near in m to the farthest one is as far.
const AS_FAR: f64 = 1e-9;

/// What crossing edges say about two prisms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Crossed {
    /// Nothing that faces do not say better.
    No,
    /// That they are further apart than asked.
    Apart,
    /// That they touch there.
    At(CrossedAt),
}

/// Where two edges touch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct CrossedAt {
    /// Which edges: the first's and the second's.
    pub(super) edges: [usize; 2],
    /// Unit normal from the first prism to the second.
    pub(super) normal: DVec3,
    /// Point on the second.
    pub(super) point: DVec3,
    /// Distance along the normal in m.
    pub(super) gap: f64,
}

impl PlacedPrism {
    /// Direction of an edge of the lower face, or, behind these, of the upright edges.
    fn edge(&self, k: usize) -> DVec3 {
        let n = self.low.len();
        if k == n {
            return self.rise;
        }
        self.low[(k + 1) % n] - self.low[k]
    }

    /// Edges of the lower face and the upright ones, one of each direction: opposite edges of four
    /// are parallel, for hulls with four corners are boxes seen from above.
    fn directions(&self) -> impl Iterator<Item = usize> + use<> {
        let n = self.low.len();
        let box_like = n == 4
            && self.normals[0].dot(self.normals[2]) < -1.0 + AS_FAR
            && self.normals[1].dot(self.normals[3]) < -1.0 + AS_FAR;
        (0..if box_like { 2 } else { n }).chain([n])
    }

    /// How far it reaches in direction `d`, and the start of the farthest edge of kind `k`, if that
    /// is as far.
    fn farthest(&self, k: usize, d: DVec3) -> (f64, Option<DVec3>) {
        let rise = d.dot(self.rise);
        let lift = if rise > 0.0 { self.rise } else { DVec3::ZERO };
        let mut best = (f64::NEG_INFINITY, DVec3::ZERO);
        for p in &self.low {
            let far = d.dot(*p);
            if far > best.0 {
                best = (far, *p);
            }
        }
        let reach = best.0 + rise.max(0.0);
        if k == self.low.len() {
            return (reach, Some(best.1));
        }
        let as_far = |k: usize| d.dot(self.low[k]) >= best.0 - AS_FAR;
        let n = self.low.len();
        let start = if as_far(k) {
            Some(self.low[k])
        } else if n == 4 && as_far((k + 3) % 4) && as_far((k + 2) % 4) {
            // The opposite edge, from the end that makes it run the same way.
            Some(self.low[(k + 3) % 4])
        } else {
            None
        };
        (reach, start.map(|s| s + lift))
    }

    fn centre(&self) -> DVec3 {
        self.middle + 0.5 * self.rise
    }
}

/// Looks for crossing edges of `one` and `two`, which their faces keep apart by `face_gap` m at best.
pub(super) fn crossed(one: &PlacedPrism, two: &PlacedPrism, face_gap: f64, margin: f64) -> Crossed {
    if one.up.dot(two.up) > UPRIGHT {
        return Crossed::No;
    }
    let way = two.centre() - one.centre();
    let mut best = Crossed::No;
    let mut most = face_gap + EDGE_PREFERENCE;
    for i in one.directions() {
        let p = one.edge(i);
        for j in two.directions() {
            let q = two.edge(j);
            let across = p.cross(q);
            let length = across.length();
            if length < LEAST_SINE * p.length() * q.length() {
                continue;
            }
            let normal = across * (1.0_f64.copysign(across.dot(way)) / length);
            let (from, start) = one.farthest(i, normal);
            let (to, end) = two.farthest(j, -normal);
            let gap = -to - from;
            if gap > margin {
                return Crossed::Apart;
            }
            if let (true, Some(a), Some(b)) = (gap > most, start, end) {
                most = gap;
                best = Crossed::At(CrossedAt {
                    edges: [i, j],
                    normal,
                    point: b + q * nearest(b - a, q, p),
                    gap,
                });
            }
        }
    }
    best
}

/// Where on the edge `q` from a point `apart` away from the start of the edge `p` it comes nearest
/// to that edge, 0 to 1.
fn nearest(apart: DVec3, q: DVec3, p: DVec3) -> f64 {
    let (pp, pq, qq) = (p.dot(p), p.dot(q), q.dot(q));
    let det = pp * qq - pq * pq;
    ((pq * p.dot(apart) - pp * q.dot(apart)) / det).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::{DQuat, DVec2};

    use super::super::body::Body;
    use super::super::machine::Prism;
    use super::super::scene::SCENE;

    /// A cube of 100 mm, turned and with its middle at `x`.
    fn cube(turn: DQuat, x: DVec3) -> PlacedPrism {
        let half = 0.05;
        let outline = [(1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)];
        let outline = outline
            .map(|(x, y)| DVec2::new(half * x, half * y))
            .to_vec();
        let machine = SCENE.robot(0.0, false);
        let mut body = Body::new(&machine);
        (body.q, body.x) = (turn, x);
        body.turn_matrices(&machine);
        let mut placed = PlacedPrism::default();
        placed.place(&Prism::new(outline, -half, half, 0.3), &body);
        placed
    }

    #[test]
    fn an_edge_over_an_edge_is_found_where_they_cross() {
        // One cube stands on an edge along x, the other hangs over it from an edge along y; the two
        // edges are 0.2 mm apart at the origin.
        let eighth = core::f64::consts::FRAC_PI_4;
        let reach = 0.05 * 2.0_f64.sqrt();
        let under = cube(
            DQuat::from_rotation_x(eighth),
            DVec3::new(0.01, 0.0, -reach),
        );
        let over = cube(
            DQuat::from_rotation_y(eighth),
            DVec3::new(0.0, 0.02, reach + 2e-4),
        );
        let Crossed::At(at) = crossed(&under, &over, -0.02, 1e-3) else {
            panic!("they cross");
        };
        assert!((at.gap - 2e-4).abs() < 1e-12, "{at:?}");
        assert!(at.normal.distance(DVec3::Z) < 1e-12);
        assert!(at.point.distance(DVec3::new(0.0, 0.0, 2e-4)) < 1e-12);
        let high = cube(
            DQuat::from_rotation_y(eighth),
            DVec3::new(0.0, 0.02, reach + 2e-3),
        );
        assert_eq!(crossed(&under, &high, -0.02, 1e-3), Crossed::Apart);
    }

    #[test]
    fn upright_prisms_are_left_to_their_faces() {
        let one = cube(DQuat::IDENTITY, DVec3::ZERO);
        let two = cube(DQuat::from_rotation_z(0.7), DVec3::new(0.12, 0.0, 0.0));
        assert_eq!(crossed(&one, &two, -1e-3, 1e-3), Crossed::No);
    }
}
