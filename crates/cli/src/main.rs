//! The command line: reads the call, hands it to `report`, prints the answer.
//!
//! Exit status: 0 computed (and legal, where that was the question), 1 computed and the answer is
//! no, 2 the input or the call was wrong, 130 stopped by the user.

mod call;
mod commands;
mod screen;
mod start;
mod study;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let call = match call::Call::try_parse() {
        Ok(call) => call,
        Err(error) => {
            // Help and version are answers, everything else is a wrong call.
            let wrong = error.use_stderr();
            let printed = error.print();
            return ExitCode::from(if wrong || printed.is_err() { 2 } else { 0 });
        }
    };
    commands::run(&call)
}
