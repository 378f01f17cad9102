//! A bout's frames as a table for a spreadsheet (RFC 4180).

use bout::Frame;
use quantity::maths;

use crate::tale::Told;

/// Columns before those of the wheels.
const COLUMNS: [&str; 12] = [
    "time_s",
    "robot",
    "decided",
    "x_m",
    "y_m",
    "z_m",
    "heading_deg",
    "pitch_deg",
    "roll_deg",
    "effort_left",
    "effort_right",
    "load_n",
];

/// One row for each robot and frame: where it is (middle of its footprint), how it is turned, what
/// its program asks for (−1 to 1), and load and slip of each wheel in file order, then of each
/// track's patches from front to back. `decided` is 1
/// from the deciding moment on. Angles in degrees: heading counter-clockwise from x, pitch nose up,
/// roll to the right. Lines end with CRLF.
pub(crate) fn csv(told: &Told) -> String {
    let record = &told.record;
    let wheels = (record.frames.iter().flatten())
        .map(|f| f.wheels.len())
        .max()
        .unwrap_or(0);
    let mut header: Vec<String> = COLUMNS.iter().map(|&c| c.to_owned()).collect();
    for k in 1..=wheels {
        for what in ["load_n", "slip_along_m_s", "slip_across_m_s"] {
            header.push(format!("wheel_{k}_{what}"));
        }
    }
    let mut rows = vec![header];
    let longest = record.frames.iter().map(Vec::len).max().unwrap_or(0);
    for k in 0..longest {
        for (seat, frames) in record.frames.iter().enumerate() {
            if let Some(f) = frames.get(k) {
                let decided = f.time_s >= record.outcome.decided_s;
                rows.push(row(f, &told.names[seat], decided, wheels));
            }
        }
    }
    records(&rows)
}

fn row(f: &Frame, name: &str, decided: bool, wheels: usize) -> Vec<String> {
    let [heading, pitch, roll] = angles_deg(f.orientation);
    let [x, y, z] = f.position.map(|v| rounded(v, 5));
    let load: f64 = f.wheels.iter().map(|w| w.load_n).sum();
    let mut cells = vec![
        format!("{:.3}", f.time_s),
        name.to_owned(),
        u8::from(decided).to_string(),
        x,
        y,
        z,
        rounded(heading, 2),
        rounded(pitch, 2),
        rounded(roll, 2),
        format!("{:.3}", f.effort[0]),
        format!("{:.3}", f.effort[1]),
        format!("{load:.3}"),
    ];
    for k in 0..wheels {
        match f.wheels.get(k) {
            Some(w) => {
                let [along, across] = w.slip_m_s;
                cells.extend([w.load_n, along, across].map(|v| rounded(v, 4)));
            }
            None => cells.extend([const { String::new() }; 3]),
        }
    }
    cells
}

/// With `digits` after the point, and no minus sign before zeros.
fn rounded(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| b == b'0' || b == b'.') => rest.to_owned(),
        _ => text,
    }
}

/// Heading, pitch and roll in degrees of a unit quaternion x, y, z, w, turned in that order.
fn angles_deg([x, y, z, w]: [f64; 4]) -> [f64; 3] {
    let heading = maths::atan2(2.0 * (x * y + w * z), 1.0 - 2.0 * (y * y + z * z));
    // Nose up is a turn about −y.
    let pitch = -maths::asin((2.0 * (w * y - x * z)).clamp(-1.0, 1.0));
    let roll = maths::atan2(2.0 * (w * x + y * z), 1.0 - 2.0 * (x * x + y * y));
    [heading, pitch, roll].map(f64::to_degrees)
}

/// Records as text: the writer quotes what needs quotes.
fn records(rows: &[Vec<String>]) -> String {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    for row in rows {
        // Writing to memory cannot fail, and all rows are equally long.
        let _ = writer.write_record(row);
    }
    writer
        .into_inner()
        .ok()
        .and_then(|bytes| String::from_utf8(bytes).ok())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_with_quote_comma_or_line_break_is_quoted() {
        // The example of RFC 4180, section 2.
        let out = records(&[vec!["a".into(), "b\"c".into(), "d\ne".into()]]);
        assert_eq!(out, "a,\"b\"\"c\",\"d\ne\"\r\n");
    }

    #[test]
    fn zeros_have_no_sign() {
        assert_eq!(rounded(-0.000_01, 4), "0.0000");
        assert_eq!(rounded(-0.001, 3), "-0.001");
    }

    #[test]
    fn angles_come_back_from_the_quaternion_they_were_made_into() {
        let half = |d: f64| 0.5 * d.to_radians();
        let (h, p, r) = (30.0, 10.0, -20.0);
        let [hs, hc] = [maths::sin(half(h)), maths::cos(half(h))];
        let [ps, pc] = [maths::sin(half(-p)), maths::cos(half(-p))];
        let [rs, rc] = [maths::sin(half(r)), maths::cos(half(r))];
        // Turns about z, then y, then x.
        let q = product([0.0, 0.0, hs, hc], [0.0, ps, 0.0, pc]);
        let q = product(q, [rs, 0.0, 0.0, rc]);
        let back = angles_deg(q);
        for (a, b) in back.into_iter().zip([h, p, r]) {
            assert!((a - b).abs() < 1e-9, "{back:?}");
        }
    }

    /// Hamilton product a b.
    fn product([ax, ay, az, aw]: [f64; 4], [bx, by, bz, bw]: [f64; 4]) -> [f64; 4] {
        [
            aw * bx + ax * bw + ay * bz - az * by,
            aw * by - ax * bz + ay * bw + az * bx,
            aw * bz + ax * by - ay * bx + az * bw,
            aw * bw - ax * bx - ay * by - az * bz,
        ]
    }
}
