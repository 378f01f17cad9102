use super::*;
use crate::text::Layout;

/// A robot with edge sensors of its own names, two openings and four reflexes.
fn magpie() -> Setting {
    Setting::alone("mini/magpie", None, None).unwrap_or_else(|e| panic!("{e:#?}"))
}

/// The columns of the robot's sensors, and a row with nothing in sight.
fn head(more: &str) -> String {
    let names: Vec<String> = (Ports::of(&magpie().robot).inputs.into_iter())
        .map(|p| p.name)
        .collect();
    format!("ms,{}{more}\n", names.join(","))
}

/// A row with these readings and an empty one for all others; in the first row 0 or none.
fn row(ms: u32, first: bool, readings: &[(&str, &str)], more: &str) -> String {
    let cells: Vec<String> = (Ports::of(&magpie().robot).inputs.iter())
        .map(|p| {
            let given = readings.iter().find(|r| r.0 == p.name).map(|r| r.1);
            let rest = match (first, p.kind) {
                (false, _) => "",
                (true, tactic::PortKind::Range) => "none",
                (true, _) => "0",
            };
            given.unwrap_or(rest).to_owned()
        })
        .collect();
    format!("{ms},{}{more}\n", cells.join(","))
}

fn traced(text: &str, options: TraceOptions<'_>) -> Trace {
    let trace = Trace::from_text(&magpie(), "run.csv", text, options);
    trace.unwrap_or_else(|e| panic!("{e:#?}\n{text}"))
}

fn refused(text: &str) -> Vec<robot::Issue> {
    match Trace::from_text(&magpie(), "run.csv", text, TraceOptions::default()) {
        Err(Trouble::Files(error)) => error.issues,
        other => panic!("{other:#?}"),
    }
}

#[test]
fn a_reflex_is_told_with_reading_and_limit() {
    let text = [
        head(""),
        row(0, true, &[], ""),
        row(10, false, &[("edge-front-left", "812")], ""),
        row(20, false, &[], ""),
    ]
    .concat();
    let trace = traced(&text, TraceOptions::default());
    let at = trace.ticks.iter().find(|t| t.reflex.is_some());
    let at = at.expect("the border starts a reflex");
    assert_eq!((at.line, at.ms), (3, 10));
    let why = at.decided.iter().flat_map(|d| &d.why);
    let why: Vec<&String> = why.collect();
    assert_eq!(why, ["edge-front-left reads 812, above 500"]);
    // Nothing changes in the last row, for the reading stays.
    assert_eq!(trace.ticks.len(), 2);
    let all = TraceOptions {
        all: true,
        ..TraceOptions::default()
    };
    assert_eq!(traced(&text, all).ticks.len(), 3);
    let told = trace.text(Layout::default());
    let words: Vec<&str> = told.split_whitespace().collect();
    let told = words.join(" ");
    assert!(
        told.contains("edge-front-left reads 812, above 500"),
        "{told}"
    );
}

#[test]
fn the_first_row_that_differs_is_told() {
    let more = ",drive-left,drive-right,state,reflex";
    let plain = [
        head(""),
        row(0, true, &[], ""),
        row(10, false, &[("edge-front-left", "900")], ""),
    ]
    .concat();
    let all = TraceOptions {
        all: true,
        ..TraceOptions::default()
    };
    let decided = traced(&plain, all).ticks;
    let did = |k: usize| {
        let t = &decided[k];
        let reflex = t.reflex.clone().unwrap_or_default();
        format!(",{},{},{},{reflex}", t.left, t.right, t.state)
    };
    let text = |second: &str| {
        [
            head(more),
            row(0, true, &[], &did(0)),
            row(10, false, &[("edge-front-left", "900")], second),
        ]
        .concat()
    };
    let same = traced(&text(&did(1)), TraceOptions::default());
    assert_eq!((same.compared, same.differs), (2, None));
    let [state, wrong] = [&decided[1].state, "777"];
    let other = traced(
        &text(&format!(",{wrong},,{state},")),
        TraceOptions::default(),
    );
    let differs = other.differs.clone().expect("it differs");
    assert_eq!((differs.line, differs.ms, differs.rows), (3, 10, 1));
    let columns: Vec<&str> = differs.unequal.iter().map(|u| u.column.as_str()).collect();
    assert_eq!(columns, ["drive-left", "reflex"]);
    assert_eq!(differs.unequal[0].table, wrong);
    let told = other.text(Layout::default());
    assert!(
        told.contains("It differs first in line 3, at 10 ms."),
        "{told}"
    );
}

#[test]
fn remarks_name_opening_and_die_and_the_call_comes_first() {
    let table = [head(""), row(0, true, &[], "")].concat();
    let tactic = magpie().tactic;
    let names = tactic.opening_names();
    let [first, .., last] = names.as_slice() else {
        panic!("it has two openings")
    };
    let remarks = format!("# any words\r\n# opening {last}\r\n\r\n# noise 77\r\n{table}");
    let trace = traced(&remarks, TraceOptions::default());
    assert_eq!((trace.opening.as_str(), trace.noise), (last.as_str(), 77));
    assert_eq!(trace.ticks[0].line, 6);
    let options = TraceOptions {
        opening: Some(first),
        noise: Some(5),
        all: false,
    };
    let trace = traced(&remarks, options);
    assert_eq!((trace.opening.as_str(), trace.noise), (first.as_str(), 5));
}

#[test]
fn every_mistake_is_told_at_once_with_line_and_cell() {
    let text = [
        "# noise loud\n".to_owned(),
        head(",drive-left,state,edge-front-lefd")
            .replace(",edge-front-right,", ",edge-front-left,"),
        row(10, true, &[], ",5,nowhere,1"),
        row(5, false, &[("edge-front-left", "40000")], ",1001,,1"),
        "20,1,2\n".to_owned(),
        row(90_000, false, &[("edge-front-left", "none")], ",x,,1"),
    ]
    .concat();
    let issues = refused(&text);
    let has = |line: u32, words: &str| {
        let found = issues
            .iter()
            .any(|i| i.place.line == line && i.what.contains(words));
        assert!(found, "line {line}: {words}\n{issues:#?}");
    };
    has(1, "\"loud\" is no start of the die");
    has(2, "no sensor \"edge-front-lefd\"");
    has(2, "a second column \"edge-front-left\"");
    has(2, "no column for the sensor \"edge-front-right\"");
    has(3, "no state \"nowhere\"");
    has(4, "from 10 to 5 ms");
    has(4, "\"40000\" is no reading");
    has(4, "\"1001\" is no effort");
    has(5, "a row of 3 cells");
    has(6, "without a look");
    has(6, "\"none\" is no reading");
    has(6, "\"x\" is no effort");
    let near = |words: &str| {
        let issue = issues.iter().find(|i| i.what.contains(words));
        issue.and_then(|i| i.suggestion.clone())
    };
    assert_eq!(near("edge-front-lefd").as_deref(), Some("edge-front-left"));
    for issue in &issues {
        let shown = text
            .get(issue.place.span.clone())
            .expect("it lies in the text");
        if let Some(word) = issue.what.strip_prefix('"') {
            let word = word.split('"').next().unwrap_or_default();
            assert!(shown.contains(word), "{shown}: {issue:?}");
        }
    }
}

#[test]
fn a_column_that_is_wrong_throughout_is_summed_up() {
    let rows: String = (0..500)
        .map(|k| row(10 * k, k == 0, &[("edge-front-left", "white")], ""))
        .collect();
    let issues = refused(&(head("") + &rows));
    assert_eq!(issues.len(), 21);
    let last = issues.last().map(|i| i.what.clone()).unwrap_or_default();
    assert!(last.contains("480 more such cells"), "{last}");
}

#[test]
fn an_empty_table_is_refused() {
    for text in ["", "# nothing\n", &head("")] {
        assert_eq!(refused(text).len(), 1, "{text}");
    }
    let missing = head("") + &row(0, false, &[], "");
    let sensors = Ports::of(&magpie().robot).inputs.len();
    assert_eq!(refused(&missing).len(), sensors);
}

#[test]
fn cells_in_quotes_and_lines_of_windows_are_read() {
    let plain = [head(""), row(0, true, &[("edge-front-left", "812")], "")].concat();
    let quoted = plain.replace("812", "\"812\"").replace('\n', "\r\n");
    let ticks = |text: &str| traced(text, TraceOptions::default()).ticks;
    assert_eq!(ticks(&plain), ticks(&quoted));
}

#[test]
fn the_table_in_the_document_is_what_the_demo_does() {
    let document = include_str!("../../../../docs/tactic-language.md");
    let table = document
        .split("```csv\n")
        .nth(1)
        .and_then(|t| t.split("```").next());
    let demo = Setting::alone("demo", None, None).unwrap_or_else(|e| panic!("{e:#?}"));
    let table = table.expect("the document has one");
    let trace = Trace::from_text(&demo, "run.csv", table, TraceOptions::default());
    let trace = trace.unwrap_or_else(|e| panic!("{e:#?}"));
    assert_eq!((trace.compared, trace.noise, &trace.differs), (3, 7, &None));
}
