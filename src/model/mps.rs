//! The model of one level, with the earlier levels held, as free MPS.

use super::{Model, Var};
use std::fmt::Write as _;

/// Free MPS text that minimises level `aim`, with each earlier level at most its `held` value.
///
/// Unknowns are called `x0`, `x1`, ...; a comment line gives each its readable name.
#[must_use]
pub fn write(model: &Model, aim: usize, held: &[i64]) -> String {
    let mut rows: Vec<(String, char, i64)> = vec![("cost".into(), 'N', 0)];
    let mut columns: Vec<Vec<(usize, i64)>> = vec![Vec::new(); model.names.len()];
    let put = |columns: &mut Vec<Vec<(usize, i64)>>, row: usize, terms: &[(Var, i64)]| {
        for &(var, times) in terms {
            let column = &mut columns[var.0 as usize];
            match column.iter_mut().find(|c| c.0 == row) {
                Some(entry) => entry.1 += times,
                None => column.push((row, times)),
            }
        }
    };
    put(&mut columns, 0, &model.levels[aim].terms);
    for (i, choice) in model.choices.iter().enumerate() {
        rows.push((format!("choice{i}"), 'E', 1));
        put(&mut columns, rows.len() - 1, &choice.iter().map(|&v| (v, 1)).collect::<Vec<_>>());
    }
    for forced in &model.forced {
        for (i, line) in forced.lines.iter().enumerate() {
            rows.push((format!("f{}_{i}", forced.var.0), 'G', line.constant));
            let mut terms: Vec<(Var, i64)> = line.terms.iter().map(|t| (t.0, -t.1)).collect();
            terms.push((forced.var, 1));
            put(&mut columns, rows.len() - 1, &terms);
        }
    }
    for (level, &value) in model.levels[..aim].iter().zip(held) {
        rows.push((format!("held_{}", level.slug), 'L', value));
        put(&mut columns, rows.len() - 1, &level.terms);
    }
    let option: Vec<bool> = {
        let mut is = vec![false; model.names.len()];
        model.choices.iter().flatten().for_each(|v| is[v.0 as usize] = true);
        is
    };
    let mut text = String::new();
    for (i, name) in model.names.iter().enumerate() {
        let _ = writeln!(text, "* x{i} {name}");
    }
    let _ = writeln!(text, "NAME {}\nROWS", model.levels[aim].slug);
    for (name, kind, _) in &rows {
        let _ = writeln!(text, " {kind} {name}");
    }
    text.push_str("COLUMNS\n");
    for (pass, marker) in [(true, "'INTORG'"), (false, "'INTEND'")] {
        let _ = writeln!(text, " M{} 'MARKER' {marker}", u8::from(!pass));
        for (i, column) in columns.iter().enumerate().filter(|(i, _)| option[*i] == pass) {
            for (row, times) in column {
                let _ = writeln!(text, " x{i} {} {times}", rows[*row].0);
            }
        }
    }
    text.push_str("RHS\n");
    for (name, _, rhs) in rows.iter().filter(|r| r.2 != 0) {
        let _ = writeln!(text, " rhs {name} {rhs}");
    }
    text.push_str("BOUNDS\n");
    for i in (0..columns.len()).filter(|&i| option[i]) {
        let _ = writeln!(text, " UP bound x{i} 1");
    }
    text.push_str("ENDATA\n");
    text
}
