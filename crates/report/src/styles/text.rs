//! Style first, as text.

use super::{StyleFirst, StyleLine};
use crate::number::{count, share_with_interval};
use crate::spar::PARTIAL;
use crate::text::{Ink, Layout, Sheet, Table};

/// Parts named in the text; the rest is in the robot file.
const NAMED: usize = 5;

impl StyleFirst {
    /// As text.
    #[must_use]
    pub fn text(&self, layout: Layout) -> String {
        let mut s = Sheet::new(layout);
        s.title(&format!(
            "Style first: robots for {}",
            self.words.class_title
        ));
        let ring = quantity::show_si::<quantity::Length>(self.ring_m);
        let whose = if self.words.own_ring {
            "your"
        } else {
            "the class's"
        };
        s.small(&format!(
            "class {} · {whose} ring of {ring} · field {} · seed {}",
            self.class, self.field, self.seed
        ));
        if self.partial {
            s.gap();
            s.verdict(Ink::Care, PARTIAL);
        }
        s.gap();
        let header = ["Style", "Fits", "Cost", "Evenings", "Wins (95 %)", "Bouts"];
        let mut table = Table::new(&header).right(&[2, 3, 5]);
        for line in &self.styles {
            let (wins, bouts) = line.record.as_ref().map_or_else(
                || (String::new(), String::new()),
                |r| {
                    (
                        share_with_interval(r.win_rate.estimate()),
                        r.bouts.to_string(),
                    )
                },
            );
            table.row([
                line.style.clone(),
                if line.fits { "yes" } else { "no" }.to_owned(),
                format!("{:.0}", line.price),
                line.evenings.to_string(),
                wins,
                bouts,
            ]);
        }
        s.table(&table);
        if !self.styles.iter().any(|l| l.fits) {
            s.gap();
            s.verdict(
                Ink::Care,
                "None of them fits all your answers. The first has the least against it: see below what \
                 would have to give.",
            );
        }
        let shared = self.shared();
        for line in &self.styles {
            one(&mut s, line, &shared);
        }
        if !shared.is_empty() {
            s.heading("Whatever the style");
            for words in &shared {
                s.point("–", words);
            }
        }
        s.heading("How sure is this?");
        if let Some(remark) = &self.words.field_remark {
            s.paragraph(remark);
        }
        s.paragraph(
            "Each robot fought the field just now, as its file stands. The ranges allow for the luck of so \
             few bouts: where two overlap, neither is better. The opponents are invented: trust the order \
             more than the number. Prices are those of the parts box, evenings rough guesses.",
        );
        s.heading("What to do next");
        s.paragraph("Write the first of them, have it looked at, and see whom it fights:");
        for command in &self.next {
            s.command(command);
        }
        if let Some(t) = &self.timing {
            s.gap();
            s.aside(&t.words());
        }
        s.finish()
    }
}

impl StyleFirst {
    /// What is hard about all of them alike, said once.
    fn shared(&self) -> Vec<&String> {
        let Some((first, rest)) = self.styles.split_first() else {
            return Vec::new();
        };
        let everywhere = |w: &&String| rest.iter().all(|l| l.hard.contains(w));
        first.hard.iter().filter(everywhere).collect()
    }
}

fn one(s: &mut Sheet, line: &StyleLine, shared: &[&String]) {
    let mut head = line.style.clone();
    if let Some(first) = head.get(..1).map(str::to_uppercase) {
        head.replace_range(..1, &first);
    }
    s.heading(&head);
    if line.fits {
        s.verdict(Ink::Good, "It fits your answers.");
    } else {
        s.verdict(
            Ink::Care,
            &format!("It does not fit your answers: {}", line.against.join(" ")),
        );
    }
    s.entry(
        "Built",
        &format!(
            "{}; {} g, charges from afar at {:.0} % so that it stops at the border.",
            line.build,
            (1e3 * line.mass_kg).round(),
            100.0 * line.charge_effort
        ),
    );
    let dear: Vec<String> = (line.parts.iter().take(NAMED))
        .map(|p| {
            let price = p.price.map_or(String::new(), |x| format!(" for {x:.0}"));
            format!("{} × {}{price}", p.count, p.part)
        })
        .collect();
    let parts: u32 = line.parts.iter().map(|p| p.count).sum();
    s.entry(
        "Costs",
        &format!(
            "{:.0} for {}, the dearest {}.",
            line.price,
            count(u64::from(parts), "part", "parts"),
            dear.join(", ")
        ),
    );
    let own: Vec<&str> = (line.hard.iter())
        .filter(|h| !shared.contains(h))
        .map(String::as_str)
        .collect();
    s.entry("Hard", &own.join(" "));
    if let Some(r) = &line.record {
        let cause = line.most_losses.as_ref().map_or(String::new(), |c| {
            format!(
                " {} of the losses: it {} (explain {}).",
                c.count, c.what, c.cause
            )
        });
        s.entry(
            "Record",
            &format!(
                "{}, {}, {}.{cause}",
                count(u64::from(r.wins), "win", "wins"),
                count(u64::from(r.losses), "loss", "losses"),
                count(u64::from(r.ties), "tie", "ties")
            ),
        );
    }
    if !line.faults.is_empty() {
        s.entry(
            "Mend",
            &format!("as it stands it still has: {}.", line.faults.join(", ")),
        );
    }
}
