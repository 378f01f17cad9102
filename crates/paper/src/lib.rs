//! One robot on paper: footing, drive, edge, sight, budget.
