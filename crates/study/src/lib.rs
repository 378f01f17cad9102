//! Many bouts: which to fight and what they mean.
