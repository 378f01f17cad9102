//! What can be asked, and how.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

/// Bouts of a record unless the call says otherwise.
pub(crate) const BOUTS: u32 = 360;
/// Seed unless the call says otherwise.
pub(crate) const SEED: u64 = 1;

/// A workbench for people who build small autonomous robots that push each other out of a ring:
/// is it legal, is it sound, how often does it win, why does it lose, what to change first.
#[derive(Debug, Parser)]
#[command(name = "ringwright", version, about, arg_required_else_help = true)]
pub(crate) struct Call {
    #[command(subcommand)]
    pub(crate) command: Command,
    /// Print JSON instead of text
    #[arg(long, global = true)]
    pub(crate) json: bool,
    /// No progress on stderr
    #[arg(long, global = true)]
    pub(crate) quiet: bool,
    /// A folder of your own with parts/, boards/, classes/ and robots/ besides the built-in ones
    #[arg(long, global = true, value_name = "FOLDER")]
    pub(crate) home: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// The main job: legal? sound? how often does it win? why does it lose? what to change first?
    Report {
        #[command(flatten)]
        robot: RobotArgs,
        #[command(flatten)]
        study: StudyArgs,
    },
    /// Legal and sound only: no bouts are fought
    Check {
        #[command(flatten)]
        robot: RobotArgs,
        /// Every rule, every finding with its reasons, every section
        #[arg(long)]
        all: bool,
        /// Write the pictures into this folder; a picture that is there already stays as it is
        #[arg(long, value_name = "FOLDER")]
        svg: Option<PathBuf>,
    },
    /// The record against the class's field, with the causes of the losses
    Spar {
        #[command(flatten)]
        robot: RobotArgs,
        #[command(flatten)]
        study: StudyArgs,
    },
    /// Single changes tried on the same bouts, ranked
    Whatif {
        #[command(flatten)]
        robot: RobotArgs,
        #[command(flatten)]
        study: StudyArgs,
    },
    /// One bout told as a timeline
    Bout {
        /// A robot file, or the name of a built-in robot
        ours: String,
        /// Its opponent
        theirs: String,
        /// The class; without it the one the first robot's file names
        #[arg(long)]
        class: Option<String>,
        /// Seed of all draws
        #[arg(long, default_value_t = SEED)]
        seed: u64,
        /// Number of the bout, as reports name it
        #[arg(long, default_value_t = 0, value_name = "NUMBER")]
        bout: u32,
        /// Write a picture of paths, loads and slips to this file
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
        /// Write a table of poses, loads and slips to this file
        #[arg(long, value_name = "FILE")]
        csv: Option<PathBuf>,
        #[command(flatten)]
        drive: DriveArgs,
    },
    /// The rule classes; one of them in full, or two side by side
    Classes {
        #[command(subcommand)]
        what: Option<ClassesCommand>,
    },
    /// The parts box
    Parts {
        /// Only parts of this kind, such as wheel or motor
        kind: Option<String>,
    },
    /// The controller boards, or what the pins of one can do
    Boards {
        /// The board, such as rp2040
        name: Option<String>,
    },
    /// The wiring to build from: pins, wires, fuse, supply; what the file leaves out is proposed
    Wiring {
        #[command(flatten)]
        robot: RobotArgs,
        /// Write the wiring as a picture to this file
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
    },
    /// A robot's whole project for a controller board, which builds without being edited
    Firmware {
        /// The board, such as atmega328p
        #[arg(required_unless_present = "list")]
        board: Option<String>,
        #[command(flatten)]
        robot: RobotArgs,
        /// Folder for the files, which must not be there yet
        #[arg(long, value_name = "FOLDER", required_unless_present = "list")]
        out: Option<PathBuf>,
        /// The boards a project is written for
        #[arg(long, conflicts_with_all = ["board", "out"])]
        list: bool,
    },
    /// A robot's program by itself
    Tactic {
        #[command(subcommand)]
        what: TacticCommand,
    },
    /// The opponents of a class
    Field {
        /// The class
        #[arg(long, default_value = "mini")]
        class: String,
    },
    /// The idea behind a finding, a cause or a number; without a name the list of pages
    Explain {
        /// Name of a page, such as edge-too-fast
        name: Option<String>,
        /// A robot file, or the name of a built-in robot, whose numbers go into the formulas
        #[arg(long, requires = "name")]
        robot: Option<String>,
        /// The class, by name or file; without it the one the robot's file names
        #[arg(long, requires = "robot")]
        class: Option<String>,
    },
    /// Before there is a robot: which style fits, what it costs and how it fares; and a file to
    /// start from. On a terminal it asks what the options leave open
    Start {
        #[command(flatten)]
        wishes: WishArgs,
        /// Write this style instead of the one that stands first
        #[arg(long)]
        style: Option<String>,
        /// Name of the robot; without it the file's
        #[arg(long)]
        name: Option<String>,
        /// Write the robot file; the program is written beside it
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
        #[command(flatten)]
        study: StudyArgs,
    },
    /// Write a commented robot file and its program to start from
    New {
        /// Name of the robot
        name: String,
        /// pusher, dodger, trickster or all-rounder
        #[arg(long, default_value = "pusher")]
        style: String,
        /// The class
        #[arg(long, default_value = "mini")]
        class: String,
        /// The robot file to write; the program is written beside it
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
    },
}

/// What to tell of the rule classes.
#[derive(Debug, Subcommand)]
pub(crate) enum ClassesCommand {
    /// Every figure of a class with its wording and its source
    Show {
        /// The class, by name or file
        class: String,
    },
    /// In what two classes differ, and what a robot would have to change
    Compare {
        /// The class it is built for, by name or file
        from: String,
        /// The class it would enter, by name or file
        to: String,
        /// A robot file, or the name of a built-in robot
        robot: Option<String>,
    },
}

/// What to do with a program.
#[derive(Debug, Subcommand)]
pub(crate) enum TacticCommand {
    /// Print it evenly spaced; the file itself stays as it is
    Format {
        /// The program, such as charge.tactic
        file: String,
        /// Write it to this new file instead
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
    /// A program at a glance: how it begins, reflexes, states, and what leads where
    Picture {
        /// A robot file, the name of a built-in robot, or a program such as charge.tactic
        #[arg(default_value = "demo")]
        program: String,
        /// Draw it into this new file
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
    },
    /// Write it as source files for a controller, with the same decisions bit for bit
    Source {
        #[command(flatten)]
        robot: RobotArgs,
        /// c99 or micropython
        #[arg(long, default_value = "c99")]
        language: String,
        /// Folder for the files, which must not be there yet
        #[arg(long, value_name = "FOLDER")]
        out: PathBuf,
    },
    /// Run it on a table of readings and tell, look by look, what it decides and why
    Trace {
        #[command(flatten)]
        robot: RobotArgs,
        /// The table, as docs/tactic-language.md describes it
        #[arg(long, value_name = "FILE")]
        readings: String,
        /// The opening; without it the one the table names, else the first
        #[arg(long, value_name = "NAME")]
        opening: Option<String>,
        /// Where the program's die starts; without it where the table says, else at 1
        #[arg(long, value_name = "NUMBER")]
        seed: Option<u16>,
        /// Every look, not only those at which something changed
        #[arg(long)]
        all: bool,
    },
}

/// The answers to the six questions of `start`.
#[derive(Debug, Args)]
pub(crate) struct WishArgs {
    /// The class, by name or file
    #[arg(long)]
    pub(crate) class: Option<String>,
    /// starter (only the starter kit) or free (anything in the parts box)
    #[arg(long)]
    pub(crate) parts: Option<String>,
    /// What it may cost, in the money of the parts box, or any
    #[arg(long)]
    pub(crate) money: Option<String>,
    /// Evenings until the event
    #[arg(long)]
    pub(crate) evenings: Option<String>,
    /// Robots built before: none, some or many
    #[arg(long)]
    pub(crate) experience: Option<String>,
    /// Diameter of the ring, such as "77 cm", or class
    #[arg(long)]
    pub(crate) ring: Option<String>,
}

impl WishArgs {
    /// The answers in the order of the questions.
    pub(crate) fn answers(&self) -> [Option<String>; 6] {
        [
            &self.class,
            &self.parts,
            &self.money,
            &self.evenings,
            &self.experience,
            &self.ring,
        ]
        .map(Clone::clone)
    }
}

#[derive(Debug, Args)]
pub(crate) struct RobotArgs {
    /// A robot file, or the name of a built-in robot
    #[arg(default_value = "demo")]
    pub(crate) robot: String,
    /// The class, by name or file; without it the one the robot's file names
    #[arg(long)]
    pub(crate) class: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct DriveArgs {
    /// A program of your own that decides for the first robot, a line of JSON for each look: see
    /// docs/own-program.md. This runs the command, with your rights: name none that you do not trust
    #[arg(long, value_name = "COMMAND")]
    pub(crate) drive: Option<String>,
    /// Time it has for each answer
    #[arg(
        long,
        value_name = "TIME",
        default_value = "200 ms",
        requires = "drive"
    )]
    pub(crate) drive_limit: String,
}

#[derive(Debug, Args)]
pub(crate) struct StudyArgs {
    /// Seed of all draws
    #[arg(long, default_value_t = SEED)]
    pub(crate) seed: u64,
    /// Bouts of the record in total
    #[arg(long, default_value_t = BOUTS, value_parser = clap::value_parser!(u32).range(1..=10_000_000))]
    pub(crate) bouts: u32,
    /// Threads; the answer does not depend on it
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub(crate) threads: Option<u16>,
    /// Add the time used
    #[arg(long)]
    pub(crate) timing: bool,
}
