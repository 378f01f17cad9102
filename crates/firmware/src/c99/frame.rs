//! The header, and what stands around the states and reflexes.

use tactic::program::{MOST, Program};
use tactic::{GADGETS, OFF};

use crate::dialect::C;
use crate::page::Page;
use crate::words::Words;
use crate::writer::Writer;

/// Functions of the frame, each with what a program that uses it has in it.
const HELPERS: &[(&str, &str)] = &[
    (
        "since(",
        "static uint16_t since(uint16_t then)\n{\n    return (uint16_t)(now - then);\n}\n",
    ),
    (
        "lasted(",
        "static bool lasted(uint16_t time)\n{\n    return since(m.step_since) >= time;\n}\n",
    ),
    (
        "shown(",
        "/* What a timer shows. */\nstatic int16_t shown(uint8_t timer)\n{\n    const uint16_t time = \
         since(m.timer_since[timer]);\n    return time > INT16_MAX ? INT16_MAX : (int16_t)time;\n}\n",
    ),
    (
        "held(",
        "static bool held(uint8_t k)\n{\n    return ((unsigned int)m.held >> k & 1u) != 0;\n}\n",
    ),
    (
        "keep(",
        "/* A condition that must hold for a while: once it has, it counts until it fails. */\n\
         static void keep(uint8_t k, bool holds, uint16_t time)\n{\n    if (!holds) {\n        \
         m.hold_since[k] = now;\n        m.held &= (uint16_t)~(1u << k);\n    } else if \
         (since(m.hold_since[k]) >= time) {\n        m.held |= (uint16_t)(1u << k);\n    }\n}\n",
    ),
    (
        "chance(",
        "/* A die of 0 to 999: xorshift of 16 bits by 7, 9 and 8 (Marsaglia 2003). */\n\
         static bool chance(int16_t per_mille)\n{\n    uint16_t x = m.noise;\n    x ^= (uint16_t)(x << 7);\n    \
         x ^= (uint16_t)(x >> 9);\n    x ^= (uint16_t)(x << 8);\n    m.noise = x;\n    return (int16_t)(x % \
         1000u) < per_mille;\n}\n",
    ),
    (
        "masked(",
        "/* A reading, or what a sensor reads that is ignored. */\nstatic int16_t masked(uint8_t k, int16_t \
         reading, int16_t blank)\n{\n    return ((unsigned int)m.ignored >> k & 1u) != 0 ? blank : reading;\n}\n",
    ),
    (
        "ignore(",
        "static void ignore(uint8_t k, uint16_t time)\n{\n    m.ignored_since[k] = now;\n    m.ignored_for[k] = \
         time;\n    if (time == 0) {\n        m.ignored &= (uint16_t)~(1u << k);\n    } else {\n        \
         m.ignored |= (uint16_t)(1u << k);\n    }\n}\n",
    ),
    (
        "unmask(",
        "/* Looks again at a sensor that has been ignored for long enough. */\nstatic void unmask(uint8_t k)\n{\n    \
         if (since(m.ignored_since[k]) >= m.ignored_for[k]) {\n        m.ignored &= (uint16_t)~(1u << k);\n    \
         }\n}\n",
    ),
    (
        "begin_step(",
        "static void begin_step(uint8_t step)\n{\n    m.step = step;\n    m.step_since = now;\n}\n",
    ),
    (
        "enter(",
        "static void enter(uint8_t state)\n{\n    m.state = state;\n    m.state_since = now;\n    \
         begin_step(0);\n}\n",
    ),
    (
        "drive(",
        "static void drive(int16_t left, int16_t right)\n{\n    order.left = left;\n    order.right = right;\n}\n",
    ),
    (
        "pivot(",
        "static void pivot(int16_t x, bool to_left)\n{\n    drive((int16_t)(to_left ? -x : x), \
         (int16_t)(to_left ? x : -x));\n}\n",
    ),
    (
        "arc(",
        "static void arc(int16_t inner, int16_t outer, bool to_left)\n{\n    drive(to_left ? inner : outer, \
         to_left ? outer : inner);\n}\n",
    ),
    (
        "on_its_way(",
        "static int16_t on_its_way(int16_t x)\n{\n    if (x > 1000) {\n        return 1000;\n    }\n    \
         return x < 0 ? 0 : x;\n}\n",
    ),
];

/// One after the other, with commas.
fn listed(page: &mut Page, head: &str, names: &[String], last: Option<&str>) {
    page.block(head, "};", |page| {
        for name in names {
            page.line(format!("{name},"));
        }
        if let Some(last) = last {
            page.line(last);
        }
    });
    page.line("");
}

/// `tactic.h`.
pub(super) fn header(program: &Program, words: &Words) -> String {
    let mut page = Page::default();
    page.lines([
        "/* What the robot does about what it sees. Written from the tactic: change that, not this. */",
        "#ifndef TACTIC_H",
        "#define TACTIC_H",
        "",
        "#include <stdbool.h>",
        "#include <stdint.h>",
        "",
        "/* Readings, in this order. */",
    ]);
    listed(&mut page, "enum {", &words.inputs, Some("TACTIC_INPUTS"));
    page.line("/* Gadgets, in this order. */");
    listed(&mut page, "enum {", &words.gadgets, Some("TACTIC_GADGETS"));
    page.line("/* States, reflexes and openings, for whoever keeps a log. */");
    listed(&mut page, "enum {", &words.states, Some("TACTIC_STATES"));
    listed(
        &mut page,
        "enum {",
        &words.reflexes,
        Some("TACTIC_REFLEXES, TACTIC_NONE = 255"),
    );
    listed(
        &mut page,
        "enum {",
        &words.openings,
        Some("TACTIC_OPENINGS"),
    );
    page.line("/* A gadget without power. */");
    page.line(format!("#define TACTIC_OFF ({OFF})"));
    page.line("");
    page.line("/* What is driven: each side in per mille of full effort, -1000 to 1000; each gadget so far on");
    page.line(" * its way from its first end to its second, 0 to 1000, or TACTIC_OFF. */");
    page.block("struct tactic_order {", "};", |page| {
        page.line("int16_t left;");
        page.line("int16_t right;");
        page.line(format!(
            "int16_t gadget[{}];",
            program_gadgets(words.gadgets.len())
        ));
    });
    page.lines([
        "",
        "/* The opening that a position of the switch selects; the first if there is none. */",
        "uint8_t tactic_opening(uint8_t position);",
        "",
        "/* At the start signal. `noise` makes the rolls of the die; any number does. */",
        "void tactic_start(uint8_t opening, uint16_t noise);",
        "",
        "/* One look at the sensors. `now` is a clock in ms that wraps. It always ends, and soon. */",
        "const struct tactic_order *tactic_tick(const int16_t in[TACTIC_INPUTS], uint16_t now);",
        "",
        "/* Where it stands: a state, a step, a reflex or TACTIC_NONE. */",
        "uint8_t tactic_state(void);",
        "uint8_t tactic_step(void);",
        "uint8_t tactic_reflex(void);",
        "",
        "#endif",
    ]);
    debug_assert!(!program.openings.is_empty(), "a program has an opening");
    page.finish()
}

/// Room for gadgets: C has no arrays of nothing.
fn program_gadgets(n: usize) -> usize {
    n.clamp(1, GADGETS)
}

/// `tactic.c`.
pub(super) fn source(program: &Program, words: &Words) -> String {
    let mut writer = Writer::new(program, words, &C);
    if program.remember.iter().any(Option::is_some) {
        writer.remember();
    }
    if !program.holds.is_empty() {
        writer.holds();
    }
    writer.reflexes();
    if program.reflexes.iter().any(|r| r.until.is_some()) {
        writer.released();
    }
    writer.blocks();
    dispatch(&mut writer);
    start_and_tick(&mut writer);
    let body = writer.page.finish();

    let mut page = Page::default();
    page.lines([
        "/* What the robot does about what it sees. Written from the tactic: change that, not this. */",
        "#include \"tactic.h\"",
        "#include \"whole.h\"",
        "",
        "#define TO_THE_END 255",
        "",
    ]);
    memory(&mut page, program);
    for helper in helpers(&body) {
        page.lines(helper.lines());
        page.line("");
    }
    page.finish() + &body
}

/// The helpers that `body` needs, and those they need themselves.
fn helpers(body: &str) -> Vec<&'static str> {
    let mut needed = vec![false; HELPERS.len()];
    loop {
        let grown: Vec<bool> = (HELPERS.iter().enumerate())
            .map(|(k, (call, _))| {
                let others = HELPERS.iter().zip(&needed).enumerate();
                calls(body, call)
                    || others
                        .filter(|(j, (_, n))| *j != k && **n)
                        .any(|(_, ((_, text), _))| calls(text, call))
            })
            .collect();
        if grown == needed {
            break;
        }
        needed = grown;
    }
    (HELPERS.iter().zip(needed))
        .filter(|(_, needed)| *needed)
        .map(|((_, text), _)| *text)
        .collect()
}

/// Whether `text` has the call as a word of its own.
fn calls(text: &str, call: &str) -> bool {
    text.match_indices(call).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        !before.is_some_and(|c| c.is_alphanumeric() || c == '_')
    })
}

fn memory(page: &mut Page, program: &Program) {
    let timers = program.timer_count();
    page.line("/* All it remembers between looks. */");
    page.block("static struct {", "} m;", |page| {
        page.lines([
            "uint8_t state, step, reflex;",
            "bool fresh, seen_left, chosen_left;",
            "uint16_t state_since, step_since, noise;",
        ]);
        if !program.holds.is_empty() {
            page.line("uint16_t held;");
            page.line(format!("uint16_t hold_since[{}];", program.holds.len()));
        }
        if !program.masks.is_empty() {
            let n = program.masks.len();
            page.line("uint16_t ignored;");
            page.line(format!("uint16_t ignored_since[{n}], ignored_for[{n}];"));
        }
        if timers > 0 {
            page.line(format!("uint16_t timer_since[{timers}];"));
        }
        if !program.counters.is_empty() {
            page.line(format!("int16_t counter[{}];", program.counters.len()));
        }
    });
    debug_assert!(timers <= MOST, "as many as the compiler lets pass");
    page.line("");
    page.lines([
        "static struct tactic_order order;",
        "static const int16_t *in;",
        "static uint16_t now;",
        "",
    ]);
}

/// A function with this head, and an empty line behind it.
fn function(w: &mut Writer<'_>, head: &str, inner: impl FnOnce(&mut Writer<'_>)) {
    w.page.line(head);
    w.block("{", inner);
    w.page.line("");
}

/// From the number of a state or reflex to its functions.
fn dispatch(w: &mut Writer<'_>) {
    let (program, words) = (w.program, w.words);
    let last = words.states.len() - 1;
    let cases = |w: &mut Writer<'_>, said: &dyn Fn(usize) -> String| {
        w.block("switch (m.state) {", |w| {
            for (k, name) in words.states.iter().enumerate() {
                w.page.line(if k == last {
                    "default:".to_owned()
                } else {
                    format!("case {name}:")
                });
                w.page.line(format!("    return {};", said(k)));
            }
        });
    };
    function(w, "static bool leave(void)", |w| {
        cases(w, &|k| format!("{}_leave()", words.states[k]));
    });
    function(w, "static bool steps(uint8_t end)", |w| {
        w.page.line("(void)end;");
        cases(w, &|k| {
            let again = program.states[k].then.is_none();
            let handed = if again { "end" } else { "" };
            format!("{}_steps({handed})", words.states[k])
        });
    });
    w.page
        .line("/* The state that comes when all steps are done; TACTIC_NONE: they begin again. */");
    function(w, "static uint8_t then(void)", |w| {
        cases(w, &|k| {
            let to = program.states[k].then.map(usize::from);
            to.map_or("TACTIC_NONE".into(), |to| words.states[to].clone())
        });
    });
    w.page.line(
        "/* How far to go when the steps begin again, so that none is done twice in a tick. */",
    );
    function(w, "static uint8_t once_round(uint8_t began)", |w| {
        w.page.line("(void)began;");
        cases(w, &|k| {
            let steps = &program.states[k].steps;
            let instant: Vec<String> = (steps.iter().enumerate())
                .filter(|(_, s)| s.act.is_instant())
                .map(|(k, _)| format!("began == {k}"))
                .collect();
            let all = steps.len();
            let timed = match all {
                0 => "0".to_owned(),
                _ => format!("began < {all} ? (uint8_t)(began + 1) : {all}"),
            };
            if instant.is_empty() {
                timed
            } else {
                format!("{} ? began : ({timed})", instant.join(" || "))
            }
        });
    });
    if !words.reflexes.is_empty() {
        function(w, "static bool reflex_steps(void)", |w| {
            w.block("switch (m.reflex) {", |w| {
                let last = words.reflexes.len() - 1;
                for (k, name) in words.reflexes.iter().enumerate() {
                    w.page.line(if k == last {
                        "default:".to_owned()
                    } else {
                        format!("case {name}:")
                    });
                    w.page.line(format!("    return {name}_steps();"));
                }
            });
        });
        w.page.line(
            "/* The state that comes when a reflex is done; TACTIC_NONE: the one broken into. */",
        );
        function(w, "static uint8_t reflex_then(uint8_t reflex)", |w| {
            for (reflex, name) in program.reflexes.iter().zip(&words.reflexes) {
                if let Some(to) = reflex.then {
                    w.block(format!("if (reflex == {name}) {{"), |w| {
                        w.page
                            .line(format!("return {};", words.states[usize::from(to)]));
                    });
                }
            }
            w.page.line("(void)reflex;");
            w.page.line("return TACTIC_NONE;");
        });
    }
}

fn start_and_tick(w: &mut Writer<'_>) {
    let (program, words) = (w.program, w.words);
    function(w, "uint8_t tactic_opening(uint8_t position)", |w| {
        // The first of those that claim a position has it.
        let mut claimed = Vec::new();
        for (o, name) in program.openings.iter().zip(&words.openings) {
            if !claimed.contains(&o.switch) {
                claimed.push(o.switch);
                w.block(format!("if (position == {}) {{", o.switch), |w| {
                    w.page.line(format!("return {name};"));
                });
            }
        }
        w.page.line(format!("return {};", words.openings[0]));
    });
    function(
        w,
        "void tactic_start(uint8_t opening, uint16_t noise)",
        |w| {
            w.page.line(format!(
                "static const struct {{ uint8_t begin; bool left_first; }} openings[{}] = {{",
                program.openings.len()
            ));
            for o in &program.openings {
                let begin = &words.states[usize::from(o.begin)];
                w.page.line(format!("    {{ {begin}, {} }},", o.left_first));
            }
            w.page.lines([
                "};",
                "if (opening >= TACTIC_OPENINGS) {",
                "    opening = 0;",
                "}",
                "m.state = openings[opening].begin;",
                "m.step = 0;",
                "m.reflex = TACTIC_NONE;",
                "m.fresh = true;",
                "m.seen_left = m.chosen_left = openings[opening].left_first;",
                "/* Nothing comes of 0 in the die. */",
                "m.noise = noise == 0 ? 0x5EED : noise;",
            ]);
            if !program.holds.is_empty() {
                w.page.line("m.held = 0;");
            }
            if !program.masks.is_empty() {
                w.page.line("m.ignored = 0;");
            }
            for (k, v) in program.counters.iter().enumerate() {
                let v = crate::expression::number(*v, &C);
                w.page.line(format!("m.counter[{k}] = {v};"));
            }
            w.page.line("order.left = order.right = 0;");
            for name in &words.gadgets {
                w.page.line(format!("order.gadget[{name}] = 0;"));
            }
        },
    );
    function(
        w,
        "const struct tactic_order *tactic_tick(const int16_t readings[TACTIC_INPUTS], uint16_t ms_now)",
        |w| {
            w.page.lines(["in = readings;", "now = ms_now;"]);
            w.block("if (m.fresh) {", |w| {
                w.page.line("m.fresh = false;");
                w.page.line("m.state_since = m.step_since = now;");
                for k in 0..program.holds.len() {
                    w.page.line(format!("m.hold_since[{k}] = now;"));
                }
                for k in 0..program.timer_count() {
                    w.page.line(format!("m.timer_since[{k}] = now;"));
                }
            });
            for k in 0..program.masks.len() {
                w.page.line(format!("unmask({k});"));
            }
            if program.remember.iter().any(Option::is_some) {
                w.page.line("remember();");
            }
            if !program.holds.is_empty() {
                w.page.line("keep_all();");
            }
            if program.reflexes.iter().any(|r| r.until.is_some()) {
                w.page.line("const bool begins = look_at_reflexes();");
            } else {
                w.page.line("look_at_reflexes();");
            }
            w.page.line("bool changed = false;");
            if !words.reflexes.is_empty() {
                let goes_on = if program.reflexes.iter().any(|r| r.until.is_some()) {
                    "    if ((begins || !released()) && reflex_steps()) {"
                } else {
                    "    if (reflex_steps()) {"
                };
                w.page.lines([
                    "if (m.reflex != TACTIC_NONE) {",
                    goes_on,
                    "        return &order;",
                    "    }",
                    "    const uint8_t to = reflex_then(m.reflex);",
                    "    m.reflex = TACTIC_NONE;",
                    "    begin_step(0);",
                    "    if (to != TACTIC_NONE) {",
                    "        enter(to);",
                    "        changed = true;",
                    "    }",
                    "}",
                ]);
            }
            w.page.lines([
                "if (!changed) {",
                "    changed = leave();",
                "}",
                "const uint8_t began = m.step;",
                "if (steps(TO_THE_END)) {",
                "    return &order;",
                "}",
                "if (then() == TACTIC_NONE) {",
                "    begin_step(0);",
                "    steps(once_round(began));",
                "} else if (!changed) {",
                "    enter(then());",
                "    steps(TO_THE_END);",
                "}",
                "return &order;",
            ]);
        },
    );
    for what in ["state", "step", "reflex"] {
        w.page.line(format!("uint8_t tactic_{what}(void)"));
        w.page
            .block("{", "}", |page| page.line(format!("return m.{what};")));
        if what != "reflex" {
            w.page.line("");
        }
    }
}
