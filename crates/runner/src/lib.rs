//! Who does the bouts: this machine's cores, progress, stop.
