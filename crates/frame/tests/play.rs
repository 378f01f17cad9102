//! Joints with play.

mod common;

use common::{ALUMINIUM, near, strip};
use frame::{End, Frame, Hold, Link, Load, Member, Node, Section, Slack, fixed, free};

const SLACK: f64 = 0.01;

fn loose(stiffness: f64) -> Link {
    Link::Play {
        stiffness,
        slack: SLACK,
    }
}

/// A cantilever whose root first swings freely by the play and then bends with its spring: PL/k +
/// play at the root, PL³/3EI along the strip (closed form).
#[test]
fn a_loose_root_adds_its_play_to_the_deflection() {
    let (mut f, chain) = strip(3, fixed(), free());
    f.members[0].ends[0].links[4] = loose(50.0);
    for p in [-4.0, -1e-6, 1e-6, 2.0] {
        let s = f
            .solve(&[Load::force(chain[3], [0.0, 0.0, p])])
            .expect("it settles");
        let turn = SLACK * p.signum() + p * 0.15 / 50.0;
        let bend = 3.6284e-4 * p;
        near(s.moved[chain[3]][2], turn * 0.15 + bend, 1e-5);
        near(s.joints[0][0].give[4], -turn, 1e-7);
        assert!(!s.joints[0][0].rattles);
    }
}

/// Held by a soft spring as well, the joint stays inside its play under a small load.
#[test]
fn a_small_load_leaves_the_joint_inside_its_play() {
    let (mut f, chain) = strip(3, fixed(), free());
    f.members[0].ends[0].links[4] = loose(50.0);
    f.nodes[chain[3]].held[2] = Hold::Spring(1000.0);
    let s = f
        .solve(&[Load::force(chain[3], [0.0, 0.0, -1.0])])
        .expect("it settles");
    assert!(s.joints[0][0].rattles);
    near(s.moved[chain[3]][2], -1e-3, 1e-6);
    near(s.reactions[chain[3]][2], 1.0, 1e-6);
    // 1e-8 of 50 N·m/rad is left inside the play.
    assert!(s.joints[0][0].moment_n_m[1].abs() < 1e-8);
}

#[test]
fn without_a_load_nothing_moves() {
    let (mut f, _) = strip(3, fixed(), free());
    f.members[0].ends[0].links[4] = loose(50.0);
    let s = f.solve(&[]).expect("it settles");
    assert!(s.moved.iter().flatten().all(|x| *x == 0.0));
    assert!(s.joints[0][0].rattles);
}

#[test]
fn play_of_zero_is_a_spring() {
    let (mut f, chain) = strip(3, fixed(), free());
    let load = [Load::force(chain[3], [0.0, 1.0, -4.0])];
    f.members[0].ends[0].links[4] = Link::Play {
        stiffness: 50.0,
        slack: 0.0,
    };
    let loose = f.solve(&load).expect("it settles");
    f.members[0].ends[0].links[4] = Link::Spring(50.0);
    let sprung = f.solve(&load).expect("it stands");
    for (a, b) in loose
        .moved
        .iter()
        .flatten()
        .zip(sprung.moved.iter().flatten())
    {
        assert!((a - b).abs() < 1e-9 * 6e-3, "{a} {b}");
    }
}

/// A cage of bars of which every joint has play in every turn, and some in shifts too: it settles
/// under every load, the balance holds, and turning the load round turns the answer round.
#[test]
fn a_cage_of_loose_joints_settles_in_balance() {
    let mut f = Frame::default();
    let plan = [(0.0, 0.0), (0.18, 0.0), (0.18, 0.14), (0.0, 0.14)];
    let feet = plan.map(|(x, y)| f.node(Node::new("foot", [x, y, 0.0]).held(fixed())));
    let tops = plan.map(|(x, y)| f.node(Node::new("top", [x, y, 0.06])));
    let play = |slack: f64, stiffness: f64| Link::Play { stiffness, slack };
    let r = Link::Rigid;
    let turn = play(0.01, 20.0);
    let end = End {
        links: [play(1e-4, 1e6), r, r, turn, turn, turn],
        capacity: None,
    };
    let tube = Section::rectangular_tube(0.01, 0.01, 0.001);
    for i in 0..4 {
        f.member(Member::new("post", feet[i], tops[i], tube.clone(), ALUMINIUM).joined(end, end));
        let ring = Member::new("ring", tops[i], tops[(i + 1) % 4], tube.clone(), ALUMINIUM);
        f.member(ring.joined(end, end));
    }
    for (i, force) in [
        [20.0, 0.0, 0.0],
        [0.0, -30.0, 1.0],
        [5.0, 5.0, -40.0],
        [1e-3, 0.0, 0.0],
    ]
    .into_iter()
    .enumerate()
    {
        let one = f.solve(&[Load::force(tops[i], force)]).expect("it settles");
        let back = f
            .solve(&[Load::force(tops[i], force.map(|x| -x))])
            .expect("it settles");
        for axis in 0..3 {
            let held: f64 = one.reactions.iter().map(|r| r[axis]).sum();
            assert!(
                (held + force[axis]).abs() < 1e-6 * 40.0,
                "{i} {axis}: {held}"
            );
        }
        for (a, b) in one.moved.iter().flatten().zip(back.moved.iter().flatten()) {
            assert!((a + b).abs() < 1e-6, "{a} {b}");
        }
        // Nothing rests inside its play and still passes a moment on.
        for joint in one.joints.iter().flatten() {
            for axis in 0..3 {
                if joint.give[3 + axis].abs() < 0.01 * (1.0 - 1e-6) {
                    assert!(joint.moment_n_m[axis].abs() < 1e-5, "{joint:?}");
                } else {
                    let over = joint.give[3 + axis].abs() - 0.01;
                    let want = 20.0 * over;
                    assert!(
                        (joint.moment_n_m[axis].abs() - want).abs() < 1e-5,
                        "{joint:?}"
                    );
                }
            }
        }
    }
    assert!(
        f.modes(4, Slack::TakenUp)
            .expect("it swings")
            .first_hz()
            .is_some()
    );
}
