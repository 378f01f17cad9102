//! The answers: the main job and its parts as text, JSON and pictures.
//!
//! Whatever shows an answer gets it from here, so every face says the same words.

mod answer;
mod boards;
mod bodies;
mod check;
mod classes;
mod driven;
mod explain;
mod formatted;
mod frames;
mod lists;
mod measure;
mod moments;
mod number;
mod picture;
mod pictures;
mod power;
mod program;
mod project;
mod setting;
mod source;
mod spar;
mod start;
mod strip;
mod styles;
mod tale;
mod text;
mod timing;
mod topic;
mod trace;
mod trouble;
mod whatif;
mod words;
mod work;
mod worked;

pub use rules::Classes;

pub use answer::{Amount, Answer, UnknownLine};
pub use boards::{BoardLine, BoardList, BoardPage, FeedEntry, PinEntry};
pub use check::{
    AnswerLine, AslantLine, Banded, BlockedLine, BorderSection, BorderWidth, CarriedLine, Check,
    DoubtLine, EchoLine, Examined, Eyesight, FindingLine, FoundLine, FrameSection, GroupLine,
    GuardLine, Guarding, HeatLine, InspectionRow, JackLine, LevelLine, LifterLine, LookLine,
    Makeup, MakeupLine, MeetingLine, NoseToNose, OnPaper, OverlapLine, PairLine, PushLine, Pushing,
    ReachLine, RingLine, Sections, SeenLine, ShoveLine, Stance, StiffenLine, SupportLine, SwayLine,
    ThresholdLine, TipLine, TradeLine, UnwatchedLine, WorthLine,
};
pub use classes::{
    ClassComparison, ClassFigure, ClassPage, Entering, FigureDifference, OtherFigure,
};
pub use driven::{Drive, DriveFailure, Driven};
pub use explain::{Page, contents, explain, names as explained_names};
pub use formatted::Formatted;
pub use lists::{ClassLine, ClassList, FieldLine, FieldList, PartEntry, PartList};
pub use number::{json, six_digits};
pub use pictures::Picture;
pub use power::{FuseLine, LithiumLine, PinLine, PowerPart, WireLine, WiringPlan};
pub use program::{OpeningNode, ProgramPicture, ReflexNode, StateNode, StepLine, WayLine};
pub use project::{ConnectionLine, ControllerProject, ProjectBoard, ProjectBoards, ProjectSize};
pub use setting::{Opponent, Setting, Trouble, class_for, library, must_have_field, quoted};
pub use source::{LANGUAGES, ProgramSource, SourceFile};
pub use spar::{
    CauseLine, Example, FaultRate, Interval, OpponentLine, RecordLine, Spar, WithFaults,
};
pub use start::{STYLES, starting_files};
pub use styles::{
    Experience, PartCount, QUESTIONS, Question, Source, StartNames, StyleFirst, StyleLine,
    StyleRecord, Wishes,
};
pub use tale::{Deciding, Ending, Moment, Tale};
pub use text::{DEFAULT_WIDTH, Layout, PROGRAM, plain};
pub use timing::Timing;
pub use trace::{DecidedLine, Difference, NamedValue, Trace, TraceOptions, TraceTick, Unequal};
pub use trouble::trouble;
pub use whatif::{Again, ChangeLine, Effort, WhatIf};
pub use words::{cause_name, cause_words};
pub use work::{Progress, Work};
pub use worked::{OnRobot, WorkedLine};
