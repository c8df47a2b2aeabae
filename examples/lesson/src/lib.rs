//! Flies lessons through the takeover engine, simulated or recorded, and shows who flew when and why.
//!
//! The library takes bytes and gives text and pictures: it opens no file and asks no clock. The command line is one face
//! of it, a page in a browser another.
//!
//! | file | one idea |
//! |---|---|
//! | `command_line` | the face of the command line: words, files, ports |
//! | `cost` | delays and falls |
//! | `lane`, `plain` | one policy being flown; what it is compared with |
//! | `tune` | thresholds from a recording of sticks that nobody touches |
//! | `preflight` | people at a bench, its faults, and the sheet of a check |
//! | [`live`] | a lesson under a person's hands, frame by frame |
//! | `scenario` | a simulated lesson, row by row |
//! | `row` | what a step is given |
//! | `input`, `destination` | what is read, and where a table is written |
//! | `table` | what all tables that are read have in common |
//! | `number`, `count` | the form of a number that is read; of a count that is printed |
//! | `near`, `file_kind` | the word or the file that was meant |
//! | `trace`, `decisions`, `policy` | the formats of files |
//! | `tally`, `timeline` | what is counted while a lesson flies |
//! | `look`, `debrief` | a file looked at; a lesson to look back at |
//! | `replay` | a recorded lesson being flown again |
//! | `compared` | the decisions of a box against those of this computer |
//! | `report`, `picture` | what people see of it |
//! | `error` | failures with place and remedy |

// A face without the command line uses less of it.
#![cfg_attr(not(feature = "command-line"), allow(dead_code, unused_imports))]

mod axes;
mod caution;
#[cfg(feature = "command-line")]
pub mod command_line;
mod compared;
mod cost;
mod count;
pub mod debrief;
mod decisions;
mod destination;
mod error;
mod file_kind;
mod input;
mod lane;
pub mod live;
pub mod look;
mod names;
mod near;
mod number;
mod picture;
mod plain;
mod policy;
mod preflight;
mod replay;
mod report;
mod row;
mod scenario;
mod table;
mod tally;
mod timeline;
mod trace;
mod tune;

pub use error::Fault;
