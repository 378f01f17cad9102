//! The table a bout leaves on the serial line: its head, its longest row, how fast the line must be.

use super::Source;

/// What the serial line must be for a row at every look.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Trace {
    /// The head of the table, without its end of line.
    pub(super) head: String,
    /// Characters of the longest row, its end of line among them.
    pub(super) longest: usize,
}

/// A name as a field of a table (RFC 4180).
fn field(name: &str) -> String {
    if name.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", name.replace('"', "\"\""))
    } else {
        name.to_owned()
    }
}

impl Trace {
    pub(super) fn of(source: &Source<'_>) -> Self {
        let (ports, program) = (source.ports, source.program);
        let mut head = String::from("ms");
        for port in &ports.inputs {
            head.push(',');
            head.push_str(&field(&port.name));
        }
        head.push_str(",drive-left,drive-right,state,reflex");
        let longest_of =
            |names: &mut dyn Iterator<Item = &str>| names.map(str::len).max().unwrap_or(0);
        let state = longest_of(&mut program.states.iter().map(|s| s.name.as_str()));
        let reflex = longest_of(&mut program.reflexes.iter().map(|r| r.name.as_str()));
        // A clock of six digits (a quarter of an hour), readings of up to six signs, efforts of five,
        // a comma behind each.
        let longest = 7 + 7 * ports.inputs.len() + 12 + state + 1 + reflex + 1;
        Self { head, longest }
    }

    /// The slowest of `rates` (bits a second, ten for a character) that leaves a fifth of each look of
    /// `tick_ms` free; the fastest if none does.
    pub(super) fn rate(&self, rates: &[u32], tick_ms: u32) -> u32 {
        let fits = |rate: &&u32| {
            let sent = u64::from(**rate) / 10 * u64::from(tick_ms) * 8 / 10_000;
            u64::try_from(self.longest).is_ok_and(|n| n <= sent)
        };
        let found = rates.iter().find(fits).or(rates.last());
        found.copied().unwrap_or(115_200)
    }
}

impl Trace {
    /// What is to be said where a row does not fit into what waits for the line.
    pub(super) fn remark(&self, says: usize) -> Option<String> {
        (self.longest >= says).then(|| {
            format!(
                "A row of the trace may have {} characters where {says} find room: the longest are left out, \
                 and counted.",
                self.longest
            )
        })
    }
}
