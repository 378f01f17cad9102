//! The whole check as text: every rule, every finding with its reasons, every section.

use super::{Check, TradeLine};
use crate::text::{Layout, Sheet, Table};

impl Check {
    /// As text, in full.
    #[must_use]
    pub fn whole(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!(
            "{} in the class {}",
            self.robot,
            self.class_title()
        ));
        s.small(&format!("{} · no bouts fought", self.file));
        s.heading("Legal?");
        self.legal_part(&mut s);
        s.heading("Sound?");
        self.all_findings(&mut s);
        s.heading("In numbers");
        self.numbers(&mut s);
        self.all_doubts(&mut s);
        self.sections.text(&mut s);
        trades(
            &mut s,
            "Other wheels of the same compound",
            &self.paper.wheels,
        );
        trades(
            &mut s,
            "Other motors of about the same mass",
            &self.paper.motors,
        );
        self.worth_part(&mut s);
        self.last_line(&mut s);
        s.finish()
    }
}

/// What other parts would give.
fn trades(s: &mut Sheet, title: &str, lines: &[TradeLine]) {
    if lines.len() < 2 {
        return;
    }
    s.heading(title);
    let mut table = Table::new(&["Part", "Push", "Charge", ""]).right(&[1, 2]);
    for l in lines {
        let mut remarks = Vec::new();
        if l.ours {
            remarks.push("yours");
        }
        if l.best_trade {
            remarks.push("none is better in both");
        }
        table.row([
            l.part.clone(),
            format!("{:.2} N", l.push_n),
            l.charge_s
                .map_or_else(|| "never".to_owned(), |t| format!("{t:.2} s")),
            remarks.join(", "),
        ]);
    }
    s.table(&table);
}
