//! Mass, centre of mass and inertia from the parts.

use glam::{DMat3, DVec3};
use quantity::{Draws, Figure, Length};

use crate::{Item, Robot, Shape};

/// Mass properties of a whole robot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassProperties {
    /// Mass in kg.
    pub mass_kg: f64,
    /// Centre of mass in the design frame, m.
    pub centre_m: DVec3,
    /// Inertia tensor about the centre of mass in kg·m²: the elements off the diagonal are
    /// −Σ m x y, as URDF stores them.
    pub inertia_kg_m2: DMat3,
}

/// Mass, centre and inertia about the item's own centre of one item.
fn item_properties(item: &Item, draws: &Draws) -> (f64, DVec3, DVec3) {
    let name = &item.name;
    let of = |f: &Figure<Length>| draws.of(f, name);
    let mass = draws.of(&item.mass, name);
    let at = DVec3::new(of(&item.at[0]), of(&item.at[1]), of(&item.at[2]));
    let own = match &item.shape {
        Shape::Point => DVec3::ZERO,
        Shape::Box(size) => {
            let s = DVec3::new(of(&size[0]), of(&size[1]), of(&size[2]));
            let q = s * s;
            DVec3::new(q.y + q.z, q.x + q.z, q.x + q.y) * (mass / 12.0)
        }
        Shape::CylinderAcross { radius, width } => {
            let (r, w) = (of(radius), of(width));
            let across = mass / 12.0 * (3.0 * r * r + w * w);
            DVec3::new(across, 0.5 * mass * r * r, across)
        }
    };
    (mass, at, own)
}

/// Inertia of a point mass at `d` about the origin: m(|d|² 1 − d dᵀ).
fn point_inertia(mass: f64, d: DVec3) -> DMat3 {
    (DMat3::from_diagonal(DVec3::splat(d.length_squared()))
        - DMat3::from_cols(d * d.x, d * d.y, d * d.z))
        * mass
}

impl Robot {
    /// Mass properties under `draws`, by the parallel-axis theorem over all items. Items are boxes
    /// or cylinders of even density, aligned with the axes.
    #[must_use]
    pub fn mass_properties(&self, draws: &Draws) -> MassProperties {
        let mut mass = 0.0;
        let mut moment = DVec3::ZERO;
        let all: Vec<_> = self.items().map(|i| item_properties(i, draws)).collect();
        for (m, at, _) in &all {
            mass += m;
            moment += *m * *at;
        }
        let centre = if mass > 0.0 {
            moment / mass
        } else {
            DVec3::ZERO
        };
        let mut inertia = DMat3::ZERO;
        for (m, at, own) in &all {
            inertia += DMat3::from_diagonal(*own) + point_inertia(*m, *at - centre);
        }
        MassProperties {
            mass_kg: mass,
            centre_m: centre,
            inertia_kg_m2: inertia,
        }
    }

    /// Spin inertia in kg·m² of wheel `index` about its axle, taken as a solid cylinder: ½ m r².
    #[must_use]
    pub fn wheel_spin_inertia(&self, index: usize, draws: &Draws) -> f64 {
        item_properties(&self.wheels[index].item, draws).2.y
    }
}

#[cfg(test)]
mod tests {
    use quantity::{Figure, Origin};

    use super::*;
    use crate::Place;

    fn length(si: f64) -> Figure<Length> {
        Figure::new(si, Origin::Stated, "l")
    }

    fn item(mass: f64, at: [f64; 3], shape: Shape) -> Item {
        Item {
            name: "x".into(),
            part: None,
            kits: Vec::new(),
            mass: Figure::new(mass, Origin::Stated, "m"),
            price: None,
            at: at.map(length),
            shape,
            place: Place::whole("test"),
        }
    }

    #[track_caller]
    fn near(value: f64, expected: f64) {
        let tolerance = 1e-3 * expected.abs() + 1e-12;
        assert!(
            (value - expected).abs() <= tolerance,
            "{value} for {expected}"
        );
    }

    /// Closed form m(b² + c²)/12; `MuJoCo` 4.0.0 prints the same in `body_inertia`.
    #[test]
    fn a_box_has_the_textbook_inertia() {
        let own = item_properties(
            &item(0.5, [0.0; 3], Shape::Box([0.1, 0.1, 0.06].map(length))),
            &Draws::nominal(),
        )
        .2;
        near(own.x, 5.6667e-4);
        near(own.y, 5.6667e-4);
        near(own.z, 8.3333e-4);
    }

    /// Solid cylinder and parallel axis, closed forms (any mechanics text).
    #[test]
    fn a_wheel_has_the_textbook_inertia() {
        let shape = Shape::CylinderAcross {
            radius: length(0.016),
            width: length(0.02),
        };
        let (mass, at, own) =
            item_properties(&item(0.03, [0.05, 0.0, 0.0], shape), &Draws::nominal());
        near(own.y, 3.840e-6);
        near(own.x, 2.920e-6);
        near(own.z + point_inertia(mass, at).z_axis.z, 7.792e-5);
    }

    /// Five point masses worked by hand; products of inertia with the sign of Ixy = −Σ m x y.
    #[test]
    fn products_of_inertia_keep_their_sign() {
        let points = [
            (0.120, [0.0, 0.0, 0.020]),
            (0.050, [0.030, 0.040, 0.016]),
            (0.050, [-0.030, -0.040, 0.016]),
            (0.090, [-0.010, 0.0, 0.030]),
            (0.040, [0.040, 0.0, 0.010]),
        ];
        let mass: f64 = points.iter().map(|p| p.0).sum();
        let centre = points
            .iter()
            .map(|(m, at)| *m * DVec3::from_array(*at))
            .sum::<DVec3>()
            / mass;
        near(mass, 0.350);
        near(centre.x, 0.002_00);
        near(centre.z, 0.020_285_7);
        let mut i = DMat3::ZERO;
        for (m, at) in points {
            i += point_inertia(m, DVec3::from_array(at) - centre);
        }
        near(i.x_axis.x, 1.7457e-4);
        near(i.y_axis.y, 1.7617e-4);
        near(i.z_axis.z, 3.2160e-4);
        near(i.y_axis.x, -1.2000e-4);
        near(i.z_axis.x, 2.520e-5);
        assert!(i.z_axis.y.abs() < 1e-15);
    }
}
