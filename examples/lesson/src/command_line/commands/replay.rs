//! The command `replay`: a recorded lesson, with the same report and picture.
//!
//! Three threads hand batches of rows on in a ring: one reads, one flies the policy and the reference, one flies the
//! plain threshold and gives the emptied batch back. The memory does not grow with the trace.

use std::fs;
use std::sync::mpsc::{Receiver, Sender, SyncSender, channel, sync_channel};
use std::thread;

use crate::command_line::cli::Replay;
use crate::command_line::finish::{Verdict, finish};
use crate::command_line::open;
use crate::command_line::output::Outputs;
use crate::command_line::page::LessonPage;
use crate::command_line::progress::Progress;
use crate::decisions::DecisionsWriter;
use crate::error::Fault;
use crate::for_axes;
use crate::lane::Lane;
use crate::policy::PolicyFile;
use crate::trace::{Read, Steps, TraceReader};

/// Rows handed on at once: few enough to stay in the cache.
const BATCH: usize = 2048;
/// Batches that may wait for a slower neighbour.
const WAITING: usize = 4;
/// A trace of fewer bytes is over before a bar means anything.
const LONG: u64 = 1 << 25;

pub(crate) fn replay(words: &Replay) -> Result<Verdict, Fault> {
    let trace = open::trace(&words.trace)?;
    let file = words.policy.as_deref().map(open::policy).transpose()?;
    let names = trace.names_with(file.as_ref())?;
    for_axes!(names.len(), replay_axes(words, trace, file, &names))
}

/// Rows, and how much of the file was read for them.
struct Batch<const N: usize> {
    rows: Vec<Read<N>>,
    consumed: u64,
}

fn replay_axes<const N: usize>(
    words: &Replay,
    trace: TraceReader,
    file: Option<PolicyFile>,
    names: &[String],
) -> Result<Verdict, Fault> {
    let crate::replay::Replay { steps, mut shipped, mut threshold, mut check } =
        crate::replay::Replay::new(trace, file, names)?;

    let from = &words.page.from;
    let page = words.page.file.as_ref().map(|_| LessonPage::read(from, &words.trace, words.policy.as_deref()));
    let page = page.transpose()?;
    let inputs = [Some(words.trace.as_path()), words.policy.as_deref(), Some(from.as_path())];
    let mut outputs = Outputs::beside(&inputs.into_iter().flatten().collect::<Vec<_>>());
    let picture = outputs.create(&words.picture)?;
    let decisions = words.decisions.as_deref().map(|path| DecisionsWriter::new(outputs.create(path)?, names));
    let mut decisions = decisions.transpose()?;
    let page_out = words.page.file.as_deref().map(|path| outputs.create(path)).transpose()?;

    let progress = Progress::new(fs::metadata(&words.trace).map_or(0, |trace| trace.len()), LONG);
    thread::scope(|scope| {
        let (to_shipped, read) = sync_channel::<Batch<N>>(WAITING);
        let (to_plain, flown) = sync_channel::<Batch<N>>(WAITING);
        let (to_reader, spent) = channel::<Batch<N>>();
        let reader = scope.spawn(move || read_all(steps, &spent, &to_shipped));
        let threshold = &mut threshold;
        scope.spawn(move || fly_again(threshold, &flown, &to_reader));
        for batch in read {
            for read in &batch.rows {
                let (time_us, outcome) = (read.row.time_us, shipped.again(read));
                check.step(&read.said, time_us, &outcome);
                if let Some(decisions) = &mut decisions {
                    decisions.write(time_us, &outcome)?;
                }
            }
            progress.reached(batch.consumed);
            // The neighbour ends only after this thread; and were it gone, its tally would show it.
            let _ = to_plain.send(batch);
        }
        drop(to_plain);
        reader.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
    })?;
    drop(progress);

    let page = page_out.zip(page).map(|(out, page)| out.whole(&page)).transpose()?;
    let tables = decisions.map(DecisionsWriter::into_output).into_iter().chain(page);
    finish(&shipped.into_tally(), &threshold.into_tally(), picture, tables, &check.told())
}

/// Reads the trace to its end, or until nobody takes its rows any more.
fn read_all<const N: usize>(
    mut trace: Steps<N>,
    spent: &Receiver<Batch<N>>,
    to_shipped: &SyncSender<Batch<N>>,
) -> Result<(), Fault> {
    loop {
        let mut rows = spent.try_recv().map_or_else(|_| Vec::with_capacity(BATCH), |batch| batch.rows);
        rows.clear();
        while rows.len() < BATCH
            && let Some(row) = trace.next()?
        {
            rows.push(row);
        }
        let ended = rows.len() < BATCH;
        if to_shipped.send(Batch { rows, consumed: trace.consumed() }).is_err() || ended {
            return Ok(());
        }
    }
}

/// Flies the plain threshold through the rows that come, and gives the batches back.
fn fly_again<const N: usize>(lane: &mut Lane<N>, flown: &Receiver<Batch<N>>, to_reader: &Sender<Batch<N>>) {
    for batch in flown {
        for read in &batch.rows {
            lane.again(read);
        }
        // The reader is gone once it has read everything.
        let _ = to_reader.send(batch);
    }
}
