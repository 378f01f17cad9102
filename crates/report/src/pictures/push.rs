//! Push against speed: what the motors give, what the tyres hold, and which of them ends it.

use super::canvas::{Canvas, Fill, INK, Pen};
use super::chart::{Chart, Series};
use crate::check::Examined;

/// Draws it.
pub(super) fn picture(e: &Examined<'_>) -> Option<String> {
    let drive = e.paper.drive.as_ref().filter(|d| d.free_speed_m_s > 0.0)?;
    let slips = drive.motors_push_n > drive.grip_n;
    let subtitle = if slips {
        format!(
            "At standstill the motors could push {:.2} N, but the tyres slide at {:.2} N: grip ends the push. A \
             quicker gear or a taller wheel would lose nothing.",
            drive.motors_push_n, drive.grip_n
        )
    } else {
        format!(
            "At standstill the motors stall at {:.2} N; the tyres would hold {:.2} N: the motors end the push. A \
             slower gear or a smaller wheel would push harder.",
            drive.motors_push_n, drive.grip_n
        )
    };
    let title = format!("{}: push against speed", e.setting.robot.name);
    let mut canvas = Canvas::new(&title, &subtitle);
    let chart = Chart {
        x: "speed in m/s".into(),
        y: "push in N".into(),
        series: vec![Series {
            label: "motors".into(),
            points: (drive.line.iter())
                .map(|p| (p.speed_m_s, p.motors_n.max(0.0)))
                .collect(),
        }],
        limits: vec![(drive.grip_n, "the tyres hold".into())],
        from_zero: true,
    };
    let frame = chart.draw(&mut canvas);
    canvas.circle(
        frame.place((0.0, drive.push_n)),
        4.5,
        Fill::Plain(INK),
        Pen::solid(INK, 1.0),
    );
    canvas.paragraph(&format!(
        "The dot is the push of a stalled robot, {:.2} N{}. Without load it reaches {:.2} m/s; pushing at a stall \
         its motors may draw {:.1} A, and the pack sags to {:.1} V.",
        drive.push_n,
        if slips {
            ": sliding tyres hold less than tyres about to slide"
        } else {
            ""
        },
        drive.free_speed_m_s,
        drive.stalled_a,
        drive.stalled_v
    ));
    Some(canvas.finish())
}
