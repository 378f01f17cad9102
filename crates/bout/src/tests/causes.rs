//! Causes of made-up ways out.

use glam::DVec2;
use quantity::maths;

use crate::cause::Blame;
use crate::grounds::Measure;
use crate::record::Cause;
use crate::trail::{Fact, Trail};

const RIM: f64 = 0.385;

/// A robot that stands 100 mm from the centre for a second and is then carried out within
/// half a second at even speed; `tell` fills in the rest of each fact (given its place in the
/// way out, 0 to 1, negative before).
fn blame(tell: impl Fn(f64, &mut Fact)) -> Blame {
    let mut trail = Trail::new();
    for k in 0..=150_u32 {
        let way = (f64::from(k) - 100.0) / 50.0;
        let out = way.max(0.0);
        let mut f = Fact {
            time_ms: k * 10,
            at: DVec2::new(0.1 + 0.32 * out, 0.0),
            outward_m_s: if way > 0.0 { 0.64 } else { 0.0 },
            upright: 1.0,
            saw: true,
            ..Fact::default()
        };
        tell(way, &mut f);
        trail.push(f);
    }
    trail.blame(RIM)
}

/// The same pushed by the opponent from `off_nose` rad against full forward effort.
fn pushed(off_nose: f64, tell: impl Fn(f64, &mut Fact)) -> Blame {
    blame(|way, f| {
        if way > 0.0 {
            f.touched = true;
            f.push_m_s = -DVec2::new(maths::cos(off_nose), maths::sin(off_nose)) * 0.05;
            f.shove_m_s = DVec2::new(0.05, 0.0);
            f.forward_m_s = -0.64;
        }
        f.effort = 1.0;
        f.sliding = true;
        tell(way, f);
    })
}

/// The same driving by itself, nose first.
fn driving(tell: impl Fn(f64, &mut Fact)) -> Blame {
    blame(|way, f| {
        f.forward_m_s = f.outward_m_s;
        f.effort = 1.0;
        tell(way, f);
    })
}

#[test]
fn pushed_from_the_front_the_tyres_or_the_motors_gave_in() {
    let slid = pushed(0.2, |_, _| {});
    assert_eq!(slid.cause, Cause::PushedTyresSlid);
    assert_eq!(slid.decided_ms, 1010, "the first push");
    let stalled = pushed(-0.2, |_, f| (f.sliding, f.stalled) = (false, true));
    assert_eq!(stalled.cause, Cause::PushedMotorsStalled);
}

#[test]
fn a_program_that_does_not_push_back_gave_way() {
    assert_eq!(pushed(0.0, |_, f| f.effort = 0.0).cause, Cause::GaveWay);
    assert_eq!(pushed(0.0, |_, f| f.effort = -1.0).cause, Cause::GaveWay);
}

#[test]
fn lifted_for_most_of_the_push() {
    assert_eq!(pushed(0.0, |_, f| f.borne = 0.3).cause, Cause::Lifted);
    let briefly = pushed(0.0, |way, f| f.borne = if way < 0.3 { 0.3 } else { 0.1 });
    assert_eq!(briefly.cause, Cause::PushedTyresSlid);
    assert_eq!(
        pushed(2.0, |_, f| f.borne = 0.3).cause,
        Cause::Lifted,
        "from behind as well"
    );
}

#[test]
fn taken_from_the_side_beyond_60_degrees_off_the_nose() {
    let deg = maths::PI / 180.0;
    assert_eq!(pushed(59.0 * deg, |_, _| {}).cause, Cause::PushedTyresSlid);
    for off in [61.0, -61.0, 90.0, 180.0] {
        assert_eq!(
            pushed(off * deg, |_, _| {}).cause,
            Cause::TakenFromSide,
            "{off}"
        );
    }
}

#[test]
fn never_having_seen_the_opponent_comes_before_how_it_was_pushed() {
    assert_eq!(pushed(2.0, |_, f| f.saw = false).cause, Cause::NeverSaw);
}

#[test]
fn turned_over_before_it_went_out() {
    assert_eq!(pushed(0.0, |_, f| f.upright = 0.1).cause, Cause::Tipped);
    assert_eq!(driving(|_, f| f.upright = -0.9).cause, Cause::Tipped);
}

#[test]
fn by_itself_the_edge_was_seen_ignored_or_not_seen() {
    // The border begins 360 mm from the centre: 81 % of the way, 410 ms after the start of it.
    let seen = |f: &mut Fact| f.edge_ahead = f.distance_m() > 0.36;
    let late = driving(|_, f| {
        seen(f);
        f.effort = if f.distance_m() > 0.37 { -1.0 } else { 1.0 };
    });
    assert_eq!(
        (late.cause, late.decided_ms),
        (Cause::EdgeSeenTooLate, 1410)
    );
    let too_fast = driving(|_, f| seen(f));
    assert_eq!(
        too_fast.cause,
        Cause::EdgeSeenTooLate,
        "40 ms are no time to react"
    );
    let ignored = driving(|_, f| f.edge_ahead = f.distance_m() > 0.2);
    assert_eq!(ignored.cause, Cause::EdgeIgnored);
    let crawl = driving(|_, f| (f.edge_ahead, f.effort) = (f.distance_m() > 0.2, 0.15));
    assert_eq!(crawl.cause, Cause::EdgeIgnored, "slow, but on it goes");
    let brakes = driving(|_, f| {
        f.edge_ahead = f.distance_m() > 0.2;
        f.effort = if f.distance_m() > 0.25 { 0.0 } else { 0.15 };
    });
    assert_eq!(brakes.cause, Cause::EdgeNotLeft, "there was room to stop");
    // 0.64 m/s stop within 34 mm: the last chance is at 351 mm, 78 % of the way.
    let unseen = driving(|_, _| {});
    assert_eq!((unseen.cause, unseen.decided_ms), (Cause::EdgeUnseen, 1390));
    assert!((unseen.at.x - 0.3496).abs() < 1e-9, "{unseen:?}");
}

#[test]
fn backing_out_is_told_from_driving_out() {
    let back = driving(|_, f| (f.forward_m_s, f.effort) = (-f.outward_m_s, -1.0));
    assert_eq!(back.cause, Cause::ReversedOut);
    let seen = driving(|_, f| {
        (f.forward_m_s, f.effort) = (-f.outward_m_s, -1.0);
        f.edge_ahead = f.distance_m() > 0.36;
    });
    assert_eq!(seen.cause, Cause::EdgeSeenTooLate);
}

#[test]
fn driving_out_with_the_opponent_on_the_nose_is_its_own_doing() {
    // It pushes outward and the opponent pushes back: inward.
    let own = driving(|way, f| {
        f.touched = way > 0.0;
        (f.push_m_s, f.shove_m_s) = (DVec2::new(-0.05, 0.0), DVec2::new(-0.05, 0.0));
    });
    assert_eq!(own.cause, Cause::EdgeUnseen);
    // A slight bump on the way does not change that.
    let bumped = driving(|way, f| {
        if (0.5..0.52).contains(&way) {
            (f.touched, f.shove_m_s) = (true, DVec2::new(0.1, 0.0));
        }
    });
    assert_eq!(bumped.cause, Cause::EdgeUnseen);
}

#[test]
fn a_robot_carried_past_the_centre_was_pushed_though_its_speed_is_older_than_its_way_out() {
    // Along y = 100 mm at 1 m/s, nearest to the centre at 400 ms; the shove took 200 ms.
    let carried = |pause: bool| {
        let mut trail = Trail::new();
        for k in 0..=80_u32 {
            let shoved = k < 20;
            trail.push(Fact {
                time_ms: k * 10,
                at: DVec2::new(0.01 * f64::from(k) - 0.4, 0.1),
                speed_m_s: if pause && k == 30 { 0.0 } else { 1.0 },
                outward_m_s: 1.0,
                upright: 1.0,
                touched: true,
                push_m_s: DVec2::new(if shoved { -0.05 } else { 0.0 }, 0.0),
                shove_m_s: DVec2::new(if shoved { 0.05 } else { 0.0 }, 0.0),
                borne: 0.5,
                edge_ahead: k > 72,
                effort: 1.0,
                saw: true,
                ..Fact::default()
            });
        }
        trail.blame(RIM)
    };
    let b = carried(false);
    // 3 mm further count as still: 24 ms.
    assert_eq!((b.cause, b.decided_ms), (Cause::Lifted, 420));
    assert_eq!(
        carried(true).cause,
        Cause::EdgeSeenTooLate,
        "it had stood since that shove"
    );
}

#[test]
fn a_push_decides_when_it_begins_not_when_the_loser_drove_out_before_it() {
    let b = pushed(0.2, |way, f| {
        let own = way > 0.0 && way < 0.4;
        if own {
            // It drives outward against the opponent, which pushes it inward.
            f.shove_m_s = DVec2::new(-0.05, 0.0);
        }
    });
    assert_eq!((b.cause, b.decided_ms), (Cause::PushedTyresSlid, 1200));
}

#[test]
fn a_lifted_robot_is_told_a_share_of_its_weight_above_the_limit() {
    // Most facts hardly above the limit, some far below it: the mean is below.
    let b = pushed(0.0, |way, f| f.borne = if way < 0.4 { 0.0 } else { 0.27 });
    let borne = b.grounds.get(Measure::Borne).map(|g| g.value);
    assert_eq!((b.cause, borne), (Cause::Lifted, Some(0.27)));
}

#[test]
fn the_border_seen_in_time_but_not_left_is_neither_too_late_nor_ignored() {
    // 0.1 m/s towards the rim, seen 85 mm before it, and it turns.
    let slow = |effort: f64, seen_m: f64| {
        driving(|way, f| {
            f.outward_m_s = if way > 0.0 { 0.1 } else { 0.0 };
            f.forward_m_s = f.outward_m_s;
            f.edge_ahead = f.distance_m() > seen_m;
            f.effort = if f.edge_ahead { effort } else { 1.0 };
        })
    };
    assert_eq!(slow(0.0, 0.3).cause, Cause::EdgeNotLeft);
    assert_eq!(slow(1.0, 0.3).cause, Cause::EdgeIgnored);
    assert_eq!(slow(0.0, 0.35).cause, Cause::EdgeSeenTooLate);
}

#[test]
fn who_could_not_stop_is_told_a_speed_above_that_from_which_it_could() {
    for seen_m in [0.3, 0.33, 0.36] {
        let b = driving(|_, f| {
            f.edge_ahead = f.distance_m() > seen_m;
            f.effort = if f.edge_ahead { -1.0 } else { 1.0 };
        });
        let speed = b.grounds.get(Measure::EdgeSpeed).expect("said");
        let could = Some(speed.value) < speed.against;
        assert_eq!(could, b.cause == Cause::EdgeNotLeft, "{seen_m}: {b:?}");
    }
}

#[test]
fn the_deciding_moment_is_after_it_last_got_back() {
    let mut trail = Trail::new();
    // Out to 300 mm, back to 150, stands there, then out for good from 2.5 s on.
    for k in 0..=350_u32 {
        let t = f64::from(k) / 100.0;
        let r = if t < 1.0 {
            0.3 * t
        } else if t < 1.5 {
            0.3 - 0.3 * (t - 1.0)
        } else if t < 2.5 {
            0.15
        } else {
            0.15 + 0.25 * (t - 2.5)
        };
        trail.push(Fact {
            time_ms: k * 10,
            at: DVec2::new(r, 0.0),
            outward_m_s: 0.25,
            upright: 1.0,
            touched: true,
            push_m_s: DVec2::new(-0.05, 0.0),
            shove_m_s: DVec2::new(0.05, 0.0),
            effort: 1.0,
            sliding: true,
            saw: true,
            ..Fact::default()
        });
    }
    let b = trail.blame(RIM);
    // 3 mm further count as still: 12 ms at 0.25 m/s.
    assert_eq!((b.cause, b.decided_ms), (Cause::PushedTyresSlid, 2510));
}
