//! Which adult stands where: posts that tile every shift.
//!
//! [`post`] takes a chart whose children are placed and the staff breaks, tasks, care rounds and
//! door times as they are, and fills in the adults. Each slice has spots (a station, a zone, a
//! table, the way out, a child's side, ...), and a posting names one spot for each adult in each
//! slice. Its cost is exact: every slice is judged with the very adults who are there, so
//! whether the qualified one is in the yard or indoors, or two who may not be alone are alone
//! together, shows at once. Where adults are short, the least bad place stays open: ratio comes
//! first, then somebody who may be alone, one-to-one support, staffed stations, sight, and the
//! rest. After the rules: young children with their key adult, few changes of zone, fair shares of
//! wet posts, and whoever is left over stands where most children are.
//!
//! One adult's best way through the day is a dynamic programme, and so are two adults' best ways
//! together; pairs are improved until none gets better, slices that still break a rule are searched
//! with all adults at once, and at the end two adults swap whole runs, which is what sees the fair
//! shares. For two adults, and for three unless there are very many places, nothing but the fair
//! shares could then be better. No chance is used.
//!
//! Map: `slice` a slice and its spots, `filling` the spots that are called for,
//! `taking` who takes which, `cost` what a minute costs, `board` the
//! day and its steps, `paths` the dynamic programme, `improve` the search, `write` the posts,
//! `standing` a chart that is posted already and is followed as far as that can be.

mod board;
mod cost;
mod filling;
mod improve;
mod paths;
mod slice;
mod standing;
mod taking;
mod write;

pub use standing::Standing;

use super::demand::Duties;
use crate::chart::Chart;
use crate::day::Day;

/// Names the adults: fills `chart.adults` for everyone on shift, whatever stood there before.
///
/// Staff breaks, tasks, care rounds and the door stay where `duties` has them; the children's
/// stays are only read.
pub fn post(day: &Day, chart: &mut Chart, duties: &Duties) {
    let board = board::Board::new(day, chart, duties, None);
    let posting = improve::post_everyone(&board);
    chart.adults = write::write(&board, &posting);
}

/// As [`post`], from a moment on: before it the posts that stand already stay as they are, and from
/// it on each adult keeps to them as far as the rules allow, before anything is only wished for.
pub fn post_rest(day: &Day, chart: &mut Chart, duties: &Duties, standing: &Standing<'_>) {
    let board = board::Board::new(day, chart, duties, Some(standing));
    let posting = improve::post_everyone(&board);
    chart.adults = standing.and_then(write::write(&board, &posting));
}
