//! Lines of a program with their indentation.

/// A text that grows line by line.
#[derive(Debug, Default)]
pub(crate) struct Page {
    text: String,
    depth: usize,
}

impl Page {
    /// A line at the depth at hand.
    pub(crate) fn line(&mut self, line: impl AsRef<str>) {
        let line = line.as_ref();
        if !line.is_empty() {
            for _ in 0..self.depth {
                self.text.push_str("    ");
            }
            self.text.push_str(line);
        }
        self.text.push('\n');
    }

    /// Lines at the depth at hand.
    pub(crate) fn lines<L: AsRef<str>>(&mut self, lines: impl IntoIterator<Item = L>) {
        for line in lines {
            self.line(line);
        }
    }

    /// A line, what `inner` writes one step further in, and `end` if it is not empty.
    pub(crate) fn block(
        &mut self,
        line: impl AsRef<str>,
        end: &str,
        inner: impl FnOnce(&mut Self),
    ) {
        self.line(line);
        self.depth += 1;
        inner(self);
        self.depth -= 1;
        if !end.is_empty() {
            self.line(end);
        }
    }

    /// Bytes so far.
    pub(crate) fn len(&self) -> usize {
        self.text.len()
    }

    /// All of it.
    pub(crate) fn finish(self) -> String {
        self.text
    }
}
