//! One level of a model, with the earlier levels held, as free MPS: what other solvers read.
//!
//! An option is a column between 0 and 1 that is whole. A forced quantity is a continuous column of
//! at least 0 with one row a line: it never needs to be declared whole, because its lines are.
//! Names say what they stand for and begin with a letter and a number that is theirs alone, so that
//! a solution file can be read by a person, and anything in the facts may be called anything.

use super::{Model, Var};
use std::fmt::Write as _;

/// Free MPS text that minimises a level, with each earlier level at most its `held` value.
///
/// Columns are `x` and the number of the unknown; rows are `choice` and the number of the choice,
/// `line` with the numbers of the forced quantity's unknown and of the line, and `held` with the slug
/// of an earlier level that costs anything. A choice or forced quantity also has its readable name
/// behind a colon, as far as its characters are legal.
///
/// # Panics
/// When the model has no such level, or fewer than `level` values are held.
#[must_use]
pub fn write(model: &Model, level: usize, held: &[i64]) -> String {
    assert!(held.len() >= level, "every earlier level is held");
    let mut table = Table::new(model);
    for &(var, times) in &model.levels[level].terms {
        table.put(0, var, times);
    }
    for (at, choice) in model.choices.iter().enumerate() {
        let row = table.row(format!("choice{at}{}", readable(&model.choice_names[at])), "E", 1);
        choice.iter().for_each(|&v| table.put(row, v, 1));
    }
    for forced in &model.forced {
        for (at, line) in forced.lines.iter().enumerate() {
            let row = table.row(format!("line{}.{at}", forced.var.0), "G", line.constant);
            table.put(row, forced.var, 1);
            line.terms.iter().for_each(|&(var, times)| table.put(row, var, -times));
        }
    }
    for (earlier, &most) in model.levels[..level].iter().zip(held) {
        if !earlier.terms.is_empty() {
            let row = table.row(format!("held:{}", earlier.slug), "L", most);
            earlier.terms.iter().for_each(|&(var, times)| table.put(row, var, times));
        }
    }
    table.text(model.levels[level].slug)
}

/// Rows, and the entries of each column.
struct Table {
    /// Name, kind and right-hand side; the first is the objective.
    rows: Vec<(String, &'static str, i64)>,
    columns: Vec<Column>,
}

struct Column {
    name: String,
    option: bool,
    entries: Vec<(usize, i64)>,
}

impl Table {
    fn new(model: &Model) -> Table {
        let named = model.names.iter().enumerate();
        let column = |(at, name): (usize, &String)| Column {
            name: format!("x{at}{}", readable(name)),
            option: false,
            entries: Vec::new(),
        };
        let mut columns: Vec<Column> = named.map(column).collect();
        model.choices.iter().flatten().for_each(|v| columns[v.0 as usize].option = true);
        Table { rows: vec![("cost".into(), "N", 0)], columns }
    }

    fn row(&mut self, name: String, kind: &'static str, rhs: i64) -> usize {
        self.rows.push((name, kind, rhs));
        self.rows.len() - 1
    }

    /// A column has at most one entry in a row, however often it is put there.
    fn put(&mut self, row: usize, var: Var, times: i64) {
        let entries = &mut self.columns[var.0 as usize].entries;
        match entries.last_mut().filter(|e| e.0 == row) {
            Some(entry) => entry.1 += times,
            None => entries.push((row, times)),
        }
    }

    fn text(&self, name: &str) -> String {
        // Writing to a string never fails.
        let mut text = format!("NAME {name}\nROWS\n");
        for (name, kind, _) in &self.rows {
            let _ = writeln!(text, " {kind} {name}");
        }
        text.push_str("COLUMNS\n");
        for (option, marker) in [(true, "'INTORG'"), (false, "'INTEND'")] {
            let _ = writeln!(text, " marker{} 'MARKER' {marker}", u8::from(!option));
            for column in self.columns.iter().filter(|c| c.option == option) {
                // A column is there because of its entries; one without any is still an unknown.
                if column.entries.is_empty() {
                    let _ = writeln!(text, " {} cost 0", column.name);
                }
                for (row, times) in &column.entries {
                    let _ = writeln!(text, " {} {} {times}", column.name, self.rows[*row].0);
                }
            }
        }
        text.push_str("RHS\n");
        for (name, _, rhs) in self.rows.iter().filter(|r| r.2 != 0) {
            let _ = writeln!(text, " rhs {name} {rhs}");
        }
        text.push_str("BOUNDS\n");
        for column in self.columns.iter().filter(|c| c.option) {
            let _ = writeln!(text, " UP bound {} 1", column.name);
        }
        text.push_str("ENDATA\n");
        text
    }
}

/// Longest readable part of a name.
const LONGEST: usize = 60;

/// A readable name behind a colon, without what would end or change a name in free MPS.
fn readable(name: &str) -> String {
    let legal = |c: char| c.is_ascii_alphanumeric() || "-_.:@+".contains(c);
    let kept = name.chars().map(|c| if legal(c) { c } else { '_' }).take(LONGEST);
    std::iter::once(':').chain(kept).collect()
}
