//! Natural modes and taps that have a closed form or were computed elsewhere.

mod common;

use common::{ALUMINIUM, boxed, hinge, near, portal, strip, tube};
use frame::{
    End, Frame, Hold, Link, Load, Lump, Member, Node, Point, Rim, Section, Slack, Tap, Trouble,
    fixed, free,
};

use quantity::maths::{PI, TAU, ln, sin};

const X: Hold = Hold::Fixed;
const O: Hold = Hold::Free;

/// Only bending in the plane xz.
fn flat(f: &mut Frame) {
    for n in &mut f.nodes {
        for axis in [1, 3, 5] {
            n.held[axis] = X;
        }
    }
}

fn frequencies(f: &Frame, count: usize) -> Vec<f64> {
    let modes = f.modes(count, Slack::TakenUp).expect("it has modes").modes;
    assert!(modes.iter().all(|m| m.residual <= 1e-8), "{modes:?}");
    modes.iter().map(|m| m.frequency_hz).collect()
}

/// (βL)² of beams: W. T. Thomson, Theory of Vibration with Applications, table 9.5-1 and appendix
/// D (firm). The strip of 20 × 3 mm and 150 mm has 108.80, 305.4 and 692.4 Hz.
#[test]
fn beams_ring_as_the_table_says() {
    let unit = 108.80 / 3.516_015; // Hz for each (βL)², from the cantilever's first
    for (first, last, betas, lowest) in [
        ([X; 6], free(), [3.516, 22.03, 61.70], 108.80),
        (
            [X, X, X, O, O, O],
            [O, X, X, O, O, O],
            [9.87, 39.5, 88.9],
            305.4,
        ),
        ([X; 6], [O, X, X, X, X, X], [22.37, 61.67, 120.9], 692.4),
        ([X; 6], [O, X, X, X, O, X], [15.4, 50.0, 104.0], 476.6),
    ] {
        let (mut f, _) = strip(16, first, last);
        flat(&mut f);
        let got = frequencies(&f, 3);
        for (got, beta) in got.iter().zip(betas) {
            near(*got, beta * unit, 3e-3);
        }
        near(got[0], lowest, 2e-3);
    }
}

/// Free at both ends: six movements of a stiff body at zero, then 692.35 Hz, as an independent
/// program with scipy's eigh has it (firm).
#[test]
fn a_strip_in_the_air_has_six_free_movements_and_then_rings() {
    let (f, _) = strip(16, free(), free());
    let got = frequencies(&f, 9);
    assert!(got[..6].iter().all(|f| *f == 0.0), "{got:?}");
    near(got[6], 692.35, 2e-3);
}

/// A strip of 24.3 g with 200 g on its tip: root βL = 0.77154 of the transcendental equation,
/// 18.4208 Hz (firm).
#[test]
fn a_mass_on_the_tip_slows_a_cantilever() {
    let (mut f, chain) = strip(8, fixed(), free());
    f.lumps.push(Lump::point(chain[8], 0.2));
    near(frequencies(&f, 1)[0], 18.4208, 2e-4);
}

/// First sway of the portal with 0.25 kg on each corner, and with springs in the corners (an
/// independent program, eight pieces a member, scipy's eigh; firm).
#[test]
fn a_portal_sways_as_another_program_says() {
    for (corner, want) in [
        (End::RIGID, 149.6),
        (hinge(Some(200.0)), 114.3),
        (hinge(Some(50.0)), 104.1),
        (hinge(Some(20.0)), 101.2),
        (hinge(Some(5.0)), 99.7),
    ] {
        let (mut f, tops) = portal(&tube(), corner, 8);
        for top in tops {
            f.lumps.push(Lump::point(top, 0.25));
        }
        near(frequencies(&f, 1)[0], want, 1e-3);
    }
    let (f, _) = portal(&tube(), End::RIGID, 8);
    near(frequencies(&f, 1)[0], 680.4, 1e-3);
}

/// The box frame of the same program (firm). With give in shear it had the mass matrix of a beam
/// without it; ours also lets slices resist turning, which is 0.3 % here.
#[test]
fn a_box_frame_rings_as_another_program_says() {
    let (mut f, _) = boxed(false, End::RIGID, 6);
    for (got, want) in frequencies(&f, 4).iter().zip([449.7, 468.1, 490.4, 526.8]) {
        near(*got, want, 1e-3);
    }
    f.lumps.clear();
    near(frequencies(&f, 1)[0], 1058.0, 1e-3);
    let (f, _) = boxed(true, End::RIGID, 6);
    for (got, want) in frequencies(&f, 4).iter().zip([420.1, 433.8, 455.7, 493.6]) {
        near(*got, want, 5e-3);
    }
    let r = Link::Rigid;
    for (k, want) in [(100.0, 337.3), (20.0, 323.1)] {
        let corner = End {
            links: [r, r, r, r, Link::Spring(k), Link::Spring(k)],
            capacity: None,
        };
        let (f, _) = boxed(false, corner, 6);
        near(frequencies(&f, 1)[0], want, 1e-3);
    }
}

/// A square plate of 150 × 150 × 3 mm of 6061, ν 0.33, as a grid of n × n strips.
fn plate(n: usize, held: [Hold; 6], kind: Rim) -> Frame {
    let mut f = Frame::default();
    let d = 0.150 / n as f64;
    let within = [X, X, O, O, O, X];
    for j in 0..=n {
        for i in 0..=n {
            let rim = i == 0 || j == 0 || i == n || j == n;
            let own = if rim { held } else { free() };
            let both = core::array::from_fn(|a| if within[a] == X { X } else { own[a] });
            f.node(Node::new("n", [i as f64 * d, j as f64 * d, 0.0]).held(both));
        }
    }
    let material = frame::Material::isotropic(68.9e9, 0.33, 2700.0);
    let at = |i: usize, j: usize| j * (n + 1) + i;
    for j in 0..=n {
        let wide = if j == 0 || j == n { d / 2.0 } else { d };
        let s = Section::plate_strip(wide, 0.003, 0.33, kind);
        for i in 0..n {
            f.member(Member::new(
                "x",
                at(i, j),
                at(i + 1, j),
                s.clone(),
                material,
            ));
            f.member(Member::new(
                "y",
                at(j, i),
                at(j, i + 1),
                s.clone(),
                material,
            ));
        }
    }
    f
}

/// Simply supported 647.1 Hz (λ² = 19.739), clamped 1179.7 Hz (35.99), free 442 Hz (13.49) (Leissa,
/// Vibration of Plates, NASA SP-160, from memory; medium, the free case weak for this ν). Measured
/// with 24 × 24 strips: 0.8, 0.3 and 3.5 % too low; with 12 × 12: 2.0, 1.2 and 4.5 %.
#[test]
fn a_grid_of_strips_rings_like_the_plate() {
    for (held, kind, want, tolerance, skip) in [
        ([X, X, X, O, O, O], Rim::Held, 647.1, 0.01, 0),
        ([X; 6], Rim::Held, 1179.7, 0.005, 0),
        ([O; 6], Rim::Free, 442.0, 0.04, 3),
    ] {
        near(
            frequencies(&plate(24, held, kind), 1 + skip)[skip],
            want,
            tolerance,
        );
    }
}

/// Another material with the same payload: frequency in proportion to √E where the payload is all
/// the mass, 4.44 from 6061 to PLA at 3.5 GPa (arithmetic; firm).
#[test]
fn another_material_rings_in_proportion_to_the_root_of_its_stiffness() {
    let (mut f, _) = boxed(false, End::RIGID, 4);
    for m in &mut f.members {
        m.material.density_kg_m3 = 0.0;
    }
    let hard = frequencies(&f, 1)[0];
    for m in &mut f.members {
        m.material.shear_pa *= 3.5e9 / m.material.youngs_pa;
        m.material.youngs_pa = 3.5e9;
    }
    near(hard / frequencies(&f, 1)[0], 4.44, 1e-3);
}

#[test]
fn modes_of_one_frequency_are_all_found() {
    // Twelve like wires, each of which swings to two sides at the same frequency: 24 of one kind,
    // more than the first block has vectors.
    let mut f = Frame::default();
    for i in 0..12 {
        let y = 0.01 * f64::from(i);
        let a = f.node(Node::new("root", [0.0, y, 0.0]).held(fixed()));
        let b = f.node(Node::new("tip", [0.1, y, 0.0]));
        let wire = Member::new("wire", a, b, Section::round(0.001, 0.0), ALUMINIUM);
        f.chain(&wire, 3);
    }
    let got = frequencies(&f, 30);
    for x in &got[..24] {
        near(*x, got[0], 1e-6);
    }
    assert!(got[24] > 5.0 * got[0], "{got:?}");
}

#[test]
fn asking_for_more_modes_than_there_are_gives_all() {
    let (mut f, _) = strip(1, fixed(), free());
    flat(&mut f);
    assert_eq!(frequencies(&f, 50).len(), 3);
}

#[test]
fn without_mass_nothing_swings() {
    let (mut f, _) = strip(2, fixed(), free());
    for m in &mut f.members {
        m.material.density_kg_m3 = 0.0;
    }
    assert_eq!(f.modes(3, Slack::TakenUp), Err(Trouble::Massless));
}

#[test]
fn a_lump_off_its_node_swings_about_it() {
    // A pendulum on a torsion spring: ω² = k / (J + m r²), all else stiff.
    let mut f = Frame::default();
    let spring = [X, X, X, Hold::Spring(3.0), X, X];
    let n = f.node(Node::new("hub", [0.0; 3]).held(spring));
    f.lumps.push(Lump {
        node: n,
        mass_kg: 0.2,
        offset_m: [0.0, 0.03, 0.04],
        inertia_kg_m2: [1e-4, 1.0, 1.0],
    });
    let want = (3.0_f64 / (1e-4 + 0.2 * 0.0025)).sqrt() / TAU;
    near(frequencies(&f, 1)[0], want, 1e-9);
}

#[test]
fn a_joint_inside_its_play_swings_more_slowly_than_one_pressed_home() {
    let (mut f, _) = strip(4, fixed(), free());
    f.members[0].ends[0].links[4] = Link::Play {
        stiffness: 50.0,
        slack: 0.01,
    };
    let first = |slack| f.modes(2, slack).expect("it swings").modes[0].frequency_hz;
    assert!(first(Slack::Inside) == 0.0);
    assert!(first(Slack::TakenUp) > 20.0);
}

/// One mode of 149.62 Hz and 0.5 kg, damping 0.02, impulse 0.5 N·s.
fn oscillator() -> Frame {
    let mut f = Frame::default();
    let w = 149.62 * TAU;
    let held = [Hold::Spring(0.5 * w * w), X, X, X, X, X];
    let n = f.node(Node::new("mass", [0.0; 3]).held(held));
    f.lumps.push(Lump::point(n, 0.5));
    f
}

/// First peak 1.031 mm, decay to 5 % in 0.1593 s and 23.8 cycles, logarithmic decrement 0.1257
/// (closed form; firm). The blow here lasts a twentieth of a millisecond.
#[test]
fn a_struck_mass_rings_as_the_closed_form_says() {
    let modes = oscillator().modes(1, Slack::TakenUp).expect("it swings");
    let ahead = Point::at(0, [2.0, 0.0, 0.0]);
    let tap = Tap {
        on: ahead,
        impulse_n_s: 0.5,
        lasts_s: 5e-5,
        damping: 0.02,
    };
    let heard = modes.tap(&tap, &[ahead], 0.05).expect("a blow").remove(0);
    near(heard.peak_m, 1.031e-3, 1e-3);
    let period = 1.0 / 149.62;
    // The envelope starts at 1.064 mm and reaches 5 % of *that* at 0.1593 s. It meets 5 % of the peak
    // ln(1.064/1.031) / ζω later; the movement itself last reached it within half a swing before.
    let envelope = 0.1593 + ln(1.064 / 1.031) / (0.02 * 149.62 * TAU);
    let quiet = heard.quiet_s.expect("it is damped");
    assert!(quiet <= envelope * 1.001, "{quiet} {envelope}");
    assert!(quiet >= envelope - 0.5 * period, "{quiet} {envelope}");
    let ratio = heard.at(heard.peak_s) / heard.at(heard.peak_s + period * 1.0002);
    near(ln(ratio), 0.1257, 2e-3);
}

/// A blow against step by step integration with tiny steps (fourth order, Runge and Kutta), several
/// modes at once, during the blow and after it.
#[test]
fn a_long_blow_agrees_with_step_by_step_integration() {
    let (f, chain) = strip(6, fixed(), free());
    let modes = f.modes(6, Slack::TakenUp).expect("it swings");
    let tap = Tap {
        on: Point::at(chain[6], [0.0, 0.0, -1.0]),
        impulse_n_s: 0.01,
        lasts_s: 3e-3,
        damping: 0.03,
    };
    let at = Point::at(chain[4], [0.0, 0.0, 1.0]);
    let heard = modes.tap(&tap, &[at], 0.1).expect("a blow").remove(0);
    let height = tap.impulse_n_s * PI / (2.0 * tap.lasts_s);
    let dt = 1e-6;
    let mut state = vec![[0.0_f64; 2]; modes.modes.len()];
    let force = |t: f64| {
        if t < tap.lasts_s {
            height * sin(PI * t / tap.lasts_s)
        } else {
            0.0
        }
    };
    for step in 0..20_000_u32 {
        let t = f64::from(step) * dt;
        for (s, m) in state.iter_mut().zip(&modes.modes) {
            let w = m.frequency_hz * TAU;
            let gain = -m.shape[chain[6]][2];
            let rate = |t: f64, y: [f64; 2]| {
                [y[1], gain * force(t) - 2.0 * 0.03 * w * y[1] - w * w * y[0]]
            };
            let go = |k: [f64; 2], h: f64| [s[0] + h * k[0], s[1] + h * k[1]];
            let a = rate(t, *s);
            let b = rate(t + dt / 2.0, go(a, dt / 2.0));
            let c = rate(t + dt / 2.0, go(b, dt / 2.0));
            let d = rate(t + dt, go(c, dt));
            for i in 0..2 {
                s[i] += dt / 6.0 * (a[i] + 2.0 * b[i] + 2.0 * c[i] + d[i]);
            }
        }
        if step % 1000 == 999 {
            let want: f64 = state
                .iter()
                .zip(&modes.modes)
                .map(|(s, m)| s[0] * m.shape[chain[4]][2])
                .sum();
            let got = heard.at(t + dt);
            assert!(
                (got - want).abs() < 1e-7 * heard.peak_m,
                "{t}: {got} {want}"
            );
        }
    }
    let sampled = heard.over(0.2, 200_001);
    let most = sampled.iter().fold(0.0, |m: f64, x| m.max(x.abs()));
    near(heard.peak_m, most, 1e-5);
    let last = sampled.iter().rposition(|x| x.abs() >= 0.1 * heard.peak_m);
    near(
        heard.quiet_s.expect("damped"),
        last.expect("above") as f64 * 1e-6,
        1e-4,
    );
}

/// A slow blow only leans on the frame: its peak is the static deflection under its height.
#[test]
fn a_slow_blow_deflects_like_a_steady_load() {
    let (f, chain) = strip(6, fixed(), free());
    let modes = f.modes(20, Slack::TakenUp).expect("it swings");
    let down = Point::at(chain[6], [0.0, 0.0, -1.0]);
    let tap = Tap {
        on: down,
        impulse_n_s: 10.0 * 2.0 * 2.0 / PI,
        lasts_s: 2.0,
        damping: 0.02,
    };
    let heard = modes.tap(&tap, &[down], 0.5).expect("a blow").remove(0);
    let leaning = f
        .solve(&[Load::force(chain[6], [0.0, 0.0, -10.0])])
        .expect("it stands")
        .moved[chain[6]][2];
    near(heard.peak_m, -leaning, 1e-4);
    near(heard.peak_s, 1.0, 1e-3);
}

#[test]
fn a_blow_that_cannot_be_is_refused_with_every_reason() {
    let modes = oscillator().modes(1, Slack::TakenUp).expect("it swings");
    let tap = Tap {
        on: Point::at(7, [0.0; 3]),
        impulse_n_s: f64::NAN,
        lasts_s: 0.0,
        damping: 1.0,
    };
    match modes.tap(&tap, &[], 1.5) {
        Err(Trouble::Flawed(flaws)) => assert_eq!(flaws.len(), 6, "{flaws:#?}"),
        other => panic!("{other:?}"),
    }
}
