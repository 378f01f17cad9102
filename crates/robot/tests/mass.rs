//! Mass properties of whole robots against the tables of the textbooks.

use glam::{DMat3, DVec3};
use quantity::{Draws, Figure, Length, Origin};
use robot::{Item, PartsBox, Place, Robot, Shape};

fn length(si: f64) -> Figure<Length> {
    Figure::new(si, Origin::Stated, "length")
}

fn item(mass: f64, at: [f64; 3], shape: Shape) -> Item {
    Item {
        name: "x".into(),
        part: None,
        kits: Vec::new(),
        mass: Figure::new(mass, Origin::Stated, "mass"),
        price: None,
        at: at.map(length),
        shape,
        place: Place::whole("test"),
    }
}

fn cuboid(mass: f64, at: [f64; 3], size: [f64; 3]) -> Item {
    item(mass, at, Shape::Box(size.map(length)))
}

fn roller(mass: f64, at: [f64; 3], radius: f64, width: f64) -> Item {
    let shape = Shape::CylinderAcross {
        radius: length(radius),
        width: length(width),
    };
    item(mass, at, shape)
}

/// A robot from a file, of whose parts only these weigh anything.
fn made_of(parts: Vec<Item>) -> Robot {
    let box_of_parts = PartsBox::built_in().unwrap_or_else(|e| panic!("{e:#?}"));
    let text = include_str!("whole.toml");
    let mut robot = robot::read("whole.toml", text, &box_of_parts, &|_| Some(String::new()))
        .unwrap_or_else(|e| panic!("{e:#?}"));
    robot.motors.clear();
    robot.wheels.clear();
    robot.sensors.clear();
    robot.blade = None;
    for section in [
        &mut robot.battery.item,
        &mut robot.driver.item,
        &mut robot.board.item,
    ] {
        section.mass = Figure::new(0.0, Origin::Stated, "mass");
    }
    robot.parts = parts;
    robot
}

#[track_caller]
fn near(value: f64, expected: f64, share: f64) {
    assert!(
        (value - expected).abs() <= share * expected.abs() + 1e-15,
        "{value} for {expected}"
    );
}

/// Moments and products about the origin from the table (Meriam and Kraige, Engineering Mechanics:
/// Dynamics, tables D/3 and D/4 and appendix B, from memory): rectangular parallelepiped
/// m(b² + c²)/12, circular cylinder ½mr² about its axis and ¼mr² + ml²/12 across, each moved by
/// I = Ī + md² and I_xy = Ī_xy + m d_x d_y. The tensor's entries off the diagonal are −I_xy.
fn about_origin(items: &[Item]) -> (f64, DVec3, DMat3) {
    let (mut mass, mut moment, mut sum) = (0.0, DVec3::ZERO, DMat3::ZERO);
    for i in items {
        let (m, d) = (
            i.mass.si(),
            DVec3::from_array([0, 1, 2].map(|k: usize| i.at[k].si())),
        );
        let [xx, yy, zz] = match &i.shape {
            Shape::Point => [0.0; 3],
            Shape::Box(size) => {
                let [a, b, c] = [0, 1, 2].map(|k: usize| size[k].si());
                [b * b + c * c, a * a + c * c, a * a + b * b].map(|s| m * s / 12.0)
            }
            Shape::CylinderAcross { radius, width } => {
                let (r, l) = (radius.si(), width.si());
                let across = m * r * r / 4.0 + m * l * l / 12.0;
                [across, m * r * r / 2.0, across]
            }
        };
        let (xy, xz, yz) = (m * d.x * d.y, m * d.x * d.z, m * d.y * d.z);
        sum += DMat3::from_cols(
            DVec3::new(xx + m * (d.y * d.y + d.z * d.z), -xy, -xz),
            DVec3::new(-xy, yy + m * (d.x * d.x + d.z * d.z), -yz),
            DVec3::new(-xz, -yz, zz + m * (d.x * d.x + d.y * d.y)),
        );
        mass += m;
        moment += m * d;
    }
    (mass, moment / mass, sum)
}

#[test]
fn a_robot_that_is_one_box_has_the_textbook_inertia() {
    // Closed form m(b² + c²)/12; `MuJoCo` 4.0.0 prints the same in `body_inertia`.
    let one = made_of(vec![cuboid(0.5, [0.02, -0.01, 0.03], [0.1, 0.1, 0.06])]);
    let p = one.mass_properties(&Draws::nominal());
    near(p.mass_kg, 0.5, 1e-12);
    near(p.centre_m.x, 0.02, 1e-12);
    for (k, expected) in [5.6667e-4, 5.6667e-4, 8.3333e-4].into_iter().enumerate() {
        near(p.inertia_kg_m2.col(k)[k], expected, 1e-5);
    }
    assert!(p.inertia_kg_m2.x_axis.y.abs() < 1e-15);
}

/// The box cut into eight boxes, two of them halved again, is the same robot.
#[test]
fn a_box_cut_into_pieces_weighs_and_turns_as_the_whole() {
    let whole = cuboid(0.8, [0.01, 0.02, 0.03], [0.1, 0.08, 0.04]);
    let mut pieces = Vec::new();
    for (sx, sy, sz) in [-1.0, 1.0].into_iter().flat_map(|x| {
        [
            (x, -1.0, -1.0),
            (x, -1.0, 1.0),
            (x, 1.0, -1.0),
            (x, 1.0, 1.0),
        ]
    }) {
        let at = [0.01 + 0.025 * sx, 0.02 + 0.02 * sy, 0.03 + 0.01 * sz];
        pieces.push(cuboid(0.1, at, [0.05, 0.04, 0.02]));
    }
    let all = |items| made_of(items).mass_properties(&Draws::nominal());
    let (a, b) = (all(vec![whole]), all(pieces));
    near(a.mass_kg, b.mass_kg, 1e-12);
    assert!((a.centre_m - b.centre_m).length() < 1e-15);
    for k in 0..3 {
        let apart = (a.inertia_kg_m2.col(k) - b.inertia_kg_m2.col(k)).length();
        assert!(apart < 1e-15, "{apart}");
    }
}

/// Five point masses worked by hand; products of inertia with the sign of Ixy = −Σ m x y.
#[test]
fn a_robot_of_five_lumps_has_the_products_of_inertia_worked_by_hand() {
    let lumps = [
        (0.120, [0.0, 0.0, 0.020]),
        (0.050, [0.030, 0.040, 0.016]),
        (0.050, [-0.030, -0.040, 0.016]),
        (0.090, [-0.010, 0.0, 0.030]),
        (0.040, [0.040, 0.0, 0.010]),
    ];
    let lumps = lumps.map(|(m, at)| item(m, at, Shape::Point)).to_vec();
    let p = made_of(lumps).mass_properties(&Draws::nominal());
    let i = p.inertia_kg_m2;
    near(p.mass_kg, 0.350, 1e-12);
    near(p.centre_m.x, 0.002_00, 1e-12);
    near(p.centre_m.z, 0.020_286, 1e-4);
    near(i.x_axis.x, 1.7457e-4, 1e-4);
    near(i.y_axis.y, 1.7617e-4, 1e-4);
    near(i.z_axis.z, 3.2160e-4, 1e-4);
    near(i.y_axis.x, -1.2000e-4, 1e-4);
    near(i.z_axis.x, 2.520e-5, 1e-4);
    assert!(i.z_axis.y.abs() < 1e-15);
}

/// The robot's tensor about its centre, moved back to the origin, is the table's sum.
#[test]
fn boxes_wheels_and_lumps_add_up_as_the_tables_say() {
    let items = vec![
        cuboid(0.210, [-0.012, 0.003, 0.021], [0.09, 0.08, 0.03]),
        cuboid(0.065, [0.021, -0.017, 0.034], [0.02, 0.05, 0.012]),
        roller(0.030, [-0.02, 0.05, 0.016], 0.016, 0.02),
        roller(0.030, [-0.02, -0.05, 0.016], 0.016, 0.02),
        item(0.044, [0.041, 0.012, 0.006], Shape::Point),
    ];
    let (mass, centre, expected) = about_origin(&items);
    let p = made_of(items).mass_properties(&Draws::nominal());
    near(p.mass_kg, mass, 1e-12);
    assert!((p.centre_m - centre).length() < 1e-15);
    let c = centre;
    let moved = DMat3::from_diagonal(DVec3::splat(c.length_squared()))
        - DMat3::from_cols(c * c.x, c * c.y, c * c.z);
    let found = p.inertia_kg_m2 + moved * mass;
    for k in 0..3 {
        let apart = (found.col(k) - expected.col(k)).length();
        assert!(apart < 1e-12 * expected.col(k).length(), "{apart}");
        assert!(
            expected.col(k)[(k + 1) % 3].abs() > 1e-7,
            "products are there"
        );
    }
}

/// Solid cylinder 30 g, 16 mm, 20 mm wide, 50 mm from the yaw axis: 3.840e-6 about its axle and, by
/// the parallel axis, 7.792e-5 kg·m² about the robot's (closed forms, any mechanics text).
#[test]
fn a_wheel_counts_by_the_parallel_axis() {
    let heavy = cuboid(1e3, [0.0, 0.0, 0.016], [1e-6; 3]);
    let without = made_of(vec![heavy.clone()]).mass_properties(&Draws::nominal());
    let wheel = roller(0.03, [0.0, 0.05, 0.016], 0.016, 0.02);
    let with = made_of(vec![heavy, wheel]).mass_properties(&Draws::nominal());
    let added = with.inertia_kg_m2.z_axis.z - without.inertia_kg_m2.z_axis.z;
    near(added, 7.792e-5, 1e-3);
    let spin = with.inertia_kg_m2.y_axis.y - without.inertia_kg_m2.y_axis.y;
    near(spin, 3.840e-6, 1e-3);
}

/// Left and right exchanged: the products with y change their sign and nothing else does.
#[test]
fn the_mirrored_robot_has_the_mirrored_inertia() {
    let of = |side: f64| {
        let p = made_of(vec![
            cuboid(0.2, [0.01, 0.02 * side, 0.02], [0.05, 0.03, 0.02]),
            roller(0.05, [-0.03, -0.01 * side, 0.03], 0.02, 0.01),
        ]);
        p.mass_properties(&Draws::nominal()).inertia_kg_m2
    };
    let (left, right) = (of(1.0), of(-1.0));
    let mirror = DMat3::from_diagonal(DVec3::new(1.0, -1.0, 1.0));
    let back = mirror * right * mirror;
    for k in 0..3 {
        assert!((left.col(k) - back.col(k)).length() < 1e-18);
    }
    assert!(left.y_axis.x.abs() > 1e-6);
}
