//! How the languages of controllers say the same things.

use tactic::Turn;

/// How a language says what differs. Where there are two, one stands before and one behind.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Dialect {
    /// `and`, with its spaces.
    pub(crate) and: &'static str,
    /// `or`, with its spaces.
    pub(crate) or: &'static str,
    /// `not` before what binds tightly, with its space if any.
    pub(crate) not: &'static str,
    /// False and true.
    pub(crate) truth: [&'static str; 2],
    /// The least number, as it may be written.
    pub(crate) least: &'static str,
    /// Around the number of a reading.
    pub(crate) reading: [&'static str; 2],
    /// Around the number of a gadget that is sent somewhere.
    pub(crate) gadget: [&'static str; 2],
    /// Where a gadget without power is sent.
    pub(crate) off: &'static str,
    /// Before the names of what is remembered.
    pub(crate) memory: &'static str,
    /// Before the names of functions that look at the memory.
    pub(crate) own: &'static str,
    /// The time of the look at hand.
    pub(crate) now: &'static str,
    /// Before a name that is given its only value.
    pub(crate) keep: &'static str,
    /// Behind a statement.
    pub(crate) end: &'static str,
    /// Around a remark.
    pub(crate) remark: [&'static str; 2],
    /// Around a condition.
    pub(crate) asks: [&'static str; 2],
    /// Behind a block.
    pub(crate) closes: &'static str,
    /// What stands where nothing is done; may be empty.
    pub(crate) nothing: &'static str,
    /// Before the name of a function: of one that gives nothing, and of one that gives false or true.
    pub(crate) function: [&'static str; 2],
    /// Around what a function is handed: of one that is handed nothing, and of one that is handed a number.
    pub(crate) handed: [[&'static str; 2]; 2],
    /// The first line of what a function does, if it is one of its own.
    pub(crate) opens: &'static str,
    /// A statement that makes use of the name behind it, where something unused is not let pass.
    pub(crate) uses: Option<&'static str>,
    /// Whether the steps of every state are told how far to go, and not only those that begin again.
    pub(crate) goes_round: bool,
}

/// C99.
pub(crate) const C: Dialect = Dialect {
    and: " && ",
    or: " || ",
    not: "!",
    truth: ["false", "true"],
    least: "INT16_MIN",
    reading: ["in[", "]"],
    gadget: ["order.gadget[", "]"],
    off: "TACTIC_OFF",
    memory: "m.",
    own: "",
    now: "now",
    keep: "const bool ",
    end: ";",
    remark: ["/* ", " */"],
    asks: ["if (", ") {"],
    closes: "}",
    nothing: "",
    function: ["static void ", "static bool "],
    handed: [["(void", ")"], ["(uint8_t ", ")"]],
    opens: "{",
    uses: Some("(void)"),
    goes_round: false,
};

/// MicroPython, where functions are methods.
pub(crate) const PYTHON: Dialect = Dialect {
    and: " and ",
    or: " or ",
    not: "not ",
    truth: ["False", "True"],
    least: "-32768",
    reading: ["self.i[", "]"],
    gadget: ["self.gadget[", "]"],
    off: "OFF",
    memory: "self.",
    own: "self.",
    now: "self.now",
    keep: "",
    end: "",
    remark: ["# ", ""],
    asks: ["if ", ":"],
    closes: "",
    nothing: "pass",
    function: ["def ", "def "],
    handed: [["(self", "):"], ["(self, ", "):"]],
    opens: "",
    uses: None,
    goes_round: true,
};

impl Dialect {
    /// What is remembered under `name`.
    pub(crate) fn memory(&self, name: &str) -> String {
        format!("{}{name}", self.memory)
    }

    /// Whether it turns to the left, as an expression.
    pub(crate) fn turns_left(&self, turn: Turn) -> String {
        let unless = |name| format!("{}{}", self.not, self.memory(name));
        match turn {
            Turn::Left => self.truth[1].into(),
            Turn::Right => self.truth[0].into(),
            Turn::Seen => self.memory("seen_left"),
            Turn::Unseen => unless("seen_left"),
            Turn::Chosen => self.memory("chosen_left"),
            Turn::Unchosen => unless("chosen_left"),
        }
    }
}
