//! One function for each command.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use report::{
    Amount, Answer, BoardList, BoardPage, Check, ClassComparison, ClassList, ClassPage,
    ControllerProject, Drive, Effort, Examined, FieldList, Formatted, Layout, Page, PartList,
    ProgramPicture, ProgramSource, ProjectBoards, Setting, SourceFile, Spar, Tale, Trace,
    TraceOptions, Trouble, WhatIf, WiringPlan, json,
};

use crate::call::{Call, ClassesCommand, Command, DriveArgs, RobotArgs, StudyArgs, TacticCommand};
use crate::{screen, start, study};

/// Changes tried besides doing nothing.
const CHANGES: usize = 8;
/// Pairs of bouts for each change.
const PAIRS: usize = 150;
/// Stopped by the user.
pub(crate) const STOPPED: u8 = 130;

/// Does what the call asks.
pub(crate) fn run(call: &Call) -> ExitCode {
    let done = match &call.command {
        Command::Report { robot, study } => main_job(call, robot, study),
        Command::Check { robot, all, svg } => check(call, robot, *all, svg.as_deref()),
        Command::Spar { robot, study } => spar(call, robot, study),
        Command::Whatif { robot, study } => whatif(call, robot, study),
        Command::Bout {
            ours,
            theirs,
            class,
            seed,
            bout,
            svg,
            csv,
            drive,
        } => {
            let class = class.as_deref();
            let files = [svg, csv].map(Option::as_deref);
            drive_of(drive).and_then(|drive| {
                let which = (*seed, *bout, drive.as_ref());
                one_bout(call, [ours, theirs], class, which, files)
            })
        }
        Command::Classes { what } => classes(call, what.as_ref()),
        Command::Parts { kind } => parts(call, kind.as_deref()),
        Command::Boards { name } => boards(call, name.as_deref()),
        Command::Wiring { robot, svg } => wiring(call, robot, svg.as_deref()),
        Command::Firmware {
            board: Some(board),
            robot,
            out: Some(out),
            ..
        } => firmware(call, board, robot, out),
        Command::Firmware { .. } => firmware_boards(call),
        Command::Tactic {
            what: TacticCommand::Format { file, out },
        } => format(call, file, out.as_deref()),
        Command::Tactic {
            what: TacticCommand::Picture { program, svg },
        } => picture(call, program, svg.as_deref()),
        Command::Tactic {
            what:
                TacticCommand::Source {
                    robot,
                    language,
                    out,
                },
        } => source(call, robot, language, out),
        Command::Tactic {
            what:
                TacticCommand::Trace {
                    robot,
                    readings,
                    opening,
                    seed,
                    all,
                },
        } => {
            let options = TraceOptions {
                opening: opening.as_deref(),
                noise: *seed,
                all: *all,
            };
            trace(call, robot, readings, options)
        }
        Command::Field { class } => field(call, class),
        Command::Explain { name, robot, class } => {
            let of = robot.as_deref().map(|r| (r, class.as_deref()));
            explain(call, name.as_deref(), of)
        }
        Command::Start {
            wishes,
            style,
            name,
            out,
            study,
        } => {
            let wanted = start::Wanted {
                style: style.as_deref(),
                name: name.as_deref(),
                out: out.as_deref(),
            };
            start::run(call, wishes, wanted, study)
        }
        Command::New {
            name,
            style,
            class,
            out,
        } => new(call, name, style, class, out),
    };
    done.unwrap_or_else(|trouble| screen::trouble(&trouble))
}

/// Prints an answer in the form the call asks for.
pub(crate) fn say(call: &Call, json: impl FnOnce() -> String, text: impl FnOnce(Layout) -> String) {
    screen::answer(&if call.json {
        json()
    } else {
        text(screen::layout())
    });
}

fn load(call: &Call, robot: &RobotArgs) -> Result<Setting, Trouble> {
    Setting::load(&robot.robot, robot.class.as_deref(), call.home.as_deref())
}

fn status(legal: bool, stopped: bool) -> ExitCode {
    ExitCode::from(if stopped { STOPPED } else { u8::from(!legal) })
}

fn main_job(call: &Call, robot: &RobotArgs, args: &StudyArgs) -> Result<ExitCode, Trouble> {
    let setting = load(call, robot)?;
    let amount = Amount {
        bouts: args.bouts,
        effort: Effort {
            changes: CHANGES,
            pairs: PAIRS,
        },
    };
    let mut done = study::run(args, call.quiet, |work| {
        Answer::to(&setting, args.seed, amount, work)
    })?;
    done.answer.timing = done.timing(args, done.answer.simulated_s());
    let a = &done.answer;
    say(call, || json(a), |l| a.text(l));
    Ok(status(a.check.legal, done.stopped))
}

fn check(
    call: &Call,
    robot: &RobotArgs,
    all: bool,
    svg: Option<&Path>,
) -> Result<ExitCode, Trouble> {
    let (class, home) = (robot.class.as_deref(), call.home.as_deref());
    let setting = Setting::alone(&robot.robot, class, home)?;
    let examined = Examined::of(&setting);
    let check = Check::from(&examined);
    // Pictures first: a folder that cannot be written is trouble, and trouble comes without an answer.
    let written = match svg {
        Some(folder) => store::write_folder(folder, &pictures(&examined))?,
        None => Vec::new(),
    };
    let text = |l| if all { check.whole(l) } else { check.text(l) };
    say(call, || json(&check), text);
    if !call.quiet {
        for file in written {
            screen::remark(&format!("Picture written to {}.", file.display()));
        }
    }
    Ok(status(check.legal, false))
}

/// File names and texts of the pictures.
fn pictures(examined: &Examined<'_>) -> Vec<(String, String)> {
    let pictures = examined.pictures().into_iter();
    pictures
        .map(|p| (format!("{}.svg", p.name), p.svg))
        .collect()
}

fn spar(call: &Call, robot: &RobotArgs, args: &StudyArgs) -> Result<ExitCode, Trouble> {
    let setting = load(call, robot)?;
    let mut done = study::run(args, call.quiet, |work| {
        Spar::fight(&setting, args.seed, args.bouts, work)
    })?;
    done.answer.timing = done.timing(args, done.answer.simulated_s());
    say(call, || json(&done.answer), |l| done.answer.text(l));
    Ok(status(true, done.stopped))
}

fn whatif(call: &Call, robot: &RobotArgs, args: &StudyArgs) -> Result<ExitCode, Trouble> {
    let setting = load(call, robot)?;
    let pairs = usize::try_from(args.bouts).unwrap_or(usize::MAX);
    let effort = Effort {
        changes: CHANGES,
        pairs,
    };
    let mut done = study::run(args, call.quiet, |work| {
        WhatIf::fight(&setting, args.seed, args.bouts, effort, work)
    })?;
    done.answer.timing = done.timing(args, done.answer.simulated_s());
    say(call, || json(&done.answer), |l| done.answer.text(l));
    Ok(status(true, done.stopped))
}

/// The program that is to drive, if there is one. Ctrl-C then breaks the bout off.
fn drive_of(args: &DriveArgs) -> Result<Option<Drive>, Trouble> {
    let asked = |command: &String| {
        let stop = study::asked_to_stop("break the bout off without telling it");
        Drive::asked(command, &args.drive_limit, stop)
    };
    args.drive.as_ref().map(asked).transpose()
}

fn one_bout(
    call: &Call,
    robots: [&str; 2],
    class: Option<&str>,
    (seed, bout, drive): (u64, u32, Option<&Drive>),
    [svg, csv]: [Option<&Path>; 2],
) -> Result<ExitCode, Trouble> {
    let (parts, classes) = report::library(call.home.as_deref())?;
    let [ours, theirs] = robots.map(|r| store::load_robot(r, &parts));
    let (ours, theirs) = (ours?, theirs?);
    let class = report::class_for(class, &ours, &classes)?;
    let home = call.home.as_deref();
    let tale = match drive {
        Some(drive) => Tale::driven(&ours, &theirs, &class, seed, bout, home, drive),
        None => Tale::tell(&ours, &theirs, &class, seed, bout, home),
    }?;
    if let Some(file) = svg {
        store::write_new(file, &tale.svg()).map_err(store::LoadError::from)?;
    }
    if let Some(file) = csv {
        store::write_new(file, &tale.csv()).map_err(store::LoadError::from)?;
    }
    say(call, || json(&tale), |l| tale.text(l));
    for (what, file) in [("Picture", svg), ("Table", csv)] {
        if let Some(file) = file
            && !call.quiet
        {
            screen::remark(&format!("{what} written to {}.", file.display()));
        }
    }
    Ok(status(!tale.failed(), tale.stopped()))
}

fn classes(call: &Call, what: Option<&ClassesCommand>) -> Result<ExitCode, Trouble> {
    let home = call.home.as_deref();
    match what {
        Some(ClassesCommand::Show { class }) => {
            let page = ClassPage::of(class, home)?;
            say(call, || json(&page), |l| page.text(l));
            return Ok(ExitCode::SUCCESS);
        }
        Some(ClassesCommand::Compare { from, to, robot }) => {
            let both = ClassComparison::of(from, to, robot.as_deref(), home)?;
            say(call, || json(&both), |l| both.text(l));
            return Ok(status(both.may_enter(), false));
        }
        None => {}
    }
    let (_, classes) = report::library(call.home.as_deref())?;
    let list = ClassList::of(&classes);
    say(call, || json(&list), |l| list.text(l, &classes));
    Ok(ExitCode::SUCCESS)
}

fn parts(call: &Call, kind: Option<&str>) -> Result<ExitCode, Trouble> {
    let (parts, _) = report::library(call.home.as_deref())?;
    let list = PartList::of(&parts, kind)?;
    say(call, || json(&list), |l| list.text(l));
    Ok(ExitCode::SUCCESS)
}

fn boards(call: &Call, name: Option<&str>) -> Result<ExitCode, Trouble> {
    let (parts, _) = report::library(call.home.as_deref())?;
    if let Some(name) = name {
        let page = BoardPage::of(parts.boards(), name)?;
        say(call, || json(&page), |l| page.text(l));
    } else {
        let list = BoardList::of(parts.boards());
        say(call, || json(&list), |l| list.text(l));
    }
    Ok(ExitCode::SUCCESS)
}

fn wiring(call: &Call, robot: &RobotArgs, svg: Option<&Path>) -> Result<ExitCode, Trouble> {
    let plan = WiringPlan::of(&load(call, robot)?);
    if let Some(file) = svg {
        store::write_new(file, &plan.svg()).map_err(store::LoadError::from)?;
    }
    say(call, || json(&plan), |l| plan.text(l));
    if let Some(file) = svg.filter(|_| !call.quiet) {
        screen::remark(&format!("Picture written to {}.", file.display()));
    }
    Ok(ExitCode::SUCCESS)
}

fn format(call: &Call, file: &str, out: Option<&Path>) -> Result<ExitCode, Trouble> {
    let formatted = Formatted::of(file)?;
    let Some(out) = out else {
        screen::answer(&if call.json {
            json(&formatted)
        } else {
            formatted.text
        });
        return Ok(ExitCode::SUCCESS);
    };
    store::write_new(out, &formatted.text).map_err(store::LoadError::from)?;
    if !call.quiet {
        screen::remark(&format!("Written to {}.", out.display()));
    }
    Ok(ExitCode::SUCCESS)
}

fn picture(call: &Call, program: &str, svg: Option<&Path>) -> Result<ExitCode, Trouble> {
    let program = ProgramPicture::of(program, call.home.as_deref())?;
    if let Some(file) = svg {
        store::write_new(file, &program.svg()).map_err(store::LoadError::from)?;
    }
    if svg.is_none() || call.json {
        say(call, || json(&program), |l| program.text(l));
    }
    if let Some(file) = svg.filter(|_| !call.quiet) {
        screen::remark(&format!("Picture written to {}.", file.display()));
    }
    Ok(ExitCode::SUCCESS)
}

fn source(call: &Call, robot: &RobotArgs, language: &str, out: &Path) -> Result<ExitCode, Trouble> {
    let (class, home) = (robot.class.as_deref(), call.home.as_deref());
    let source = ProgramSource::of(&Setting::alone(&robot.robot, class, home)?, language)?;
    let written = write(out, &source.files)?;
    if call.json {
        screen::answer(&json(&source));
    }
    if !call.quiet {
        for file in written {
            screen::remark(&format!("Written to {}.", file.display()));
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn trace(
    call: &Call,
    robot: &RobotArgs,
    readings: &str,
    options: TraceOptions<'_>,
) -> Result<ExitCode, Trouble> {
    let (class, home) = (robot.class.as_deref(), call.home.as_deref());
    let setting = Setting::alone(&robot.robot, class, home)?;
    let trace = Trace::of(&setting, readings, options)?;
    say(call, || json(&trace), |l| trace.text(l));
    Ok(status(trace.differs.is_none(), false))
}

/// Writes the files into a folder, all or none.
fn write(out: &Path, files: &[SourceFile]) -> Result<Vec<PathBuf>, store::LoadError> {
    let files: Vec<(String, String)> = (files.iter())
        .map(|f| (f.file.clone(), f.text.clone()))
        .collect();
    store::write_folder(out, &files)
}

fn firmware(call: &Call, board: &str, robot: &RobotArgs, out: &Path) -> Result<ExitCode, Trouble> {
    let (class, home) = (robot.class.as_deref(), call.home.as_deref());
    let setting = Setting::alone(&robot.robot, class, home)?;
    let project = ControllerProject::of(&setting, board)?;
    let written = write(out, &project.files)?;
    let folder = out.display().to_string();
    say(call, || json(&project), |l| project.text(l, &folder));
    if !call.quiet {
        let n = written.len();
        screen::remark(&format!("{n} files written to {folder}."));
    }
    Ok(ExitCode::SUCCESS)
}

fn firmware_boards(call: &Call) -> Result<ExitCode, Trouble> {
    let (parts, _) = report::library(call.home.as_deref())?;
    let list = ProjectBoards::of(parts.boards());
    say(call, || json(&list), |l| list.text(l));
    Ok(ExitCode::SUCCESS)
}

fn field(call: &Call, class: &str) -> Result<ExitCode, Trouble> {
    let home = call.home.as_deref();
    let (parts, classes) = report::library(home)?;
    let class = classes.find(class)?;
    report::must_have_field(class, home)?;
    let name = &class.field;
    let robots = store::field(name, &parts, home)?;
    let list = FieldList::of(name, robots, home)?;
    say(call, || json(&list), |l| list.text(l));
    Ok(ExitCode::SUCCESS)
}

fn explain(
    call: &Call,
    name: Option<&str>,
    robot: Option<(&str, Option<&str>)>,
) -> Result<ExitCode, Trouble> {
    let Some(name) = name else {
        say(call, || json(&Page::all()), report::contents);
        return Ok(ExitCode::SUCCESS);
    };
    let mut page = Page::named(name)?;
    if let Some((robot, class)) = robot {
        let setting = Setting::alone(robot, class, call.home.as_deref())?;
        page = page.on(&Examined::of(&setting));
    }
    // An array of one: whoever reads pages reads the same shape as of all.
    say(call, || json(&[&page]), |l| page.text(l));
    Ok(ExitCode::SUCCESS)
}

fn new(call: &Call, name: &str, style: &str, class: &str, out: &Path) -> Result<ExitCode, Trouble> {
    let (_, classes) = report::library(call.home.as_deref())?;
    let stem = start::stem(out)?;
    let files = report::starting_files(name, style, classes.find(class)?, stem)?;
    let [robot, program] = &files;
    screen::answer(&start::write(out, [&robot.1, &program.1])?);
    Ok(ExitCode::SUCCESS)
}
