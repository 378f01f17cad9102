//! Reading `[faults]`.

use quantity::{Mass, Ratio};

use crate::reader::Section;
use crate::{Fault, Faults};

/// Reads `[faults]`: none of it is needed, and without it nothing goes wrong.
pub(super) fn read(root: &Section<'_>) -> Faults {
    let Some(section) = root.table("faults") else {
        return Faults::default();
    };
    let mut faults = Faults::default();
    for (word, fault) in Fault::ALL {
        let Some(rate) = section.optional_figure::<Ratio>(word) else {
            continue;
        };
        if (0.0..=1.0).contains(&rate.si()) {
            faults.rates.push((fault, rate));
        } else {
            section.complain_of(
                word,
                format!("\"{word}\" is {:.3} of the bouts", rate.si()),
                "a share of the bouts from 0 to 100 %",
                None,
            );
        }
    }
    faults.screw_mass = section.optional_figure::<Mass>("screw-mass");
    section.finish();
    faults
}
