//! One pass of a proof: what is left of a model once the levels up to one are capped.
//!
//! A pass holds *rows* over choices and quantities. A row with an owner is a line of that quantity
//! (the owner is at least the row); a row without one is a cap, with a limit of its own: a level that
//! is not to rise, or a [`Cut`]. Options that are gone, quantities that nothing capped reads and lines
//! that cannot matter any more are not in it.

use super::together::Together;
use crate::model::{Line, Model};
use crate::steps::{self, Stage};

/// What stays of each choice: positions of the options that are still open, in order.
pub(super) type Open = Vec<Vec<usize>>;

/// A sum over options alone that every assignment inside the caps keeps to.
#[derive(Clone, Debug)]
pub(super) struct Cut {
    /// By choice and option, as many as the model has.
    pub costs: Vec<Vec<i64>>,
    /// The most that the sum over the options taken may be.
    pub limit: i64,
}

/// Which row a row is, over all passes of a model.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Origin {
    /// A line, counted over all quantities of the model.
    Line(usize),
    /// The cap of a level.
    Level(usize),
    /// A cut.
    Cut,
    /// Options that cannot be taken together.
    Together,
}

/// A row.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub origin: Origin,
    /// The quantity that is at least this row; `None` for a cap.
    pub owner: Option<usize>,
    pub constant: i64,
    /// The most it may be, for a cap.
    pub limit: i64,
    /// Positions in [`Pass::pairs`].
    pub pairs: std::ops::Range<usize>,
    /// Whole multiples of quantities.
    pub quantities: Vec<(usize, i64)>,
}

/// What one choice adds to one row.
#[derive(Clone, Debug)]
pub(super) struct Pair {
    pub row: usize,
    pub choice: usize,
    /// Different amounts in rising order, each with the options that add it as bits.
    pub amounts: Vec<(i64, Vec<u64>)>,
}

/// A quantity.
#[derive(Clone, Debug)]
pub(super) struct Quantity {
    /// Least and most it can be, whatever is taken.
    pub least: i64,
    pub most: i64,
    /// Its rows.
    pub lines: Vec<usize>,
    /// Rows that follow from them: it is at least each of these too, and never above its lines.
    pub sums: Vec<usize>,
    /// Rows that read it, and how many times.
    pub uses: Vec<(usize, i64)>,
}

/// See the top of the file.
#[derive(Clone, Debug)]
pub(super) struct Pass {
    pub open: Open,
    pub rows: Vec<Row>,
    pub pairs: Vec<Pair>,
    pub quantities: Vec<Quantity>,
    /// Positions of the pairs of each choice.
    pub of_choice: Vec<Vec<usize>>,
}

/// Where an unknown of the model stands in a pass.
#[derive(Clone, Copy)]
enum Place {
    Option(usize, usize),
    Gone,
    Quantity(usize),
    Settled(i64),
}

struct Building<'m> {
    model: &'m Model,
    places: Vec<Place>,
    pass: Pass,
}

impl Pass {
    /// The pass of a model in which level `l` is at most `caps[l]`; levels beyond have no say.
    pub fn new(
        model: &Model,
        open: Open,
        caps: &[i64],
        (cuts, together): (&[Cut], &[Together]),
    ) -> Pass {
        let mut places = vec![Place::Gone; model.names.len()];
        for (c, options) in open.iter().enumerate() {
            for (local, &option) in options.iter().enumerate() {
                places[model.choices[c][option].0 as usize] = Place::Option(c, local);
            }
        }
        let of_choice = vec![Vec::new(); open.len()];
        let pass =
            Pass { open, rows: Vec::new(), pairs: Vec::new(), quantities: Vec::new(), of_choice };
        let mut building = Building { model, places, pass };
        let wanted = building.wanted(caps.len());
        let mut first_line = 0;
        for (f, forced) in model.forced.iter().enumerate() {
            let place =
                if wanted[f] { building.quantity(&forced.lines, first_line) } else { Place::Gone };
            building.places[forced.var.0 as usize] = place;
            first_line += forced.lines.len();
        }
        for row in together {
            building.together(row);
        }
        for (level, &limit) in caps.iter().enumerate() {
            let line = Line { terms: model.levels[level].terms.clone(), constant: 0 };
            if !line.terms.is_empty() {
                let row = building.row(Origin::Level(level), None, &line);
                building.add(row, limit);
            }
        }
        for cut in cuts {
            building.cut(cut);
        }
        let Building { mut pass, .. } = building;
        for (r, row) in pass.rows.iter().enumerate() {
            for &(q, times) in &row.quantities {
                pass.quantities[q].uses.push((r, times));
            }
        }
        pass
    }

    /// How many words the open options of a choice take as bits.
    pub fn words(&self, choice: usize) -> usize {
        self.open[choice].len().div_ceil(64)
    }
}

/// A row being made, with its pairs and what it can be at least and at most.
struct Draft {
    row: Row,
    pairs: Vec<Pair>,
    least: i64,
    most: i64,
}

impl Building<'_> {
    /// Which quantities the first `levels` levels read, directly or not.
    fn wanted(&self, levels: usize) -> Vec<bool> {
        let mut read = vec![false; self.model.names.len()];
        for level in &self.model.levels[..levels] {
            level.terms.iter().for_each(|t| read[t.0.0 as usize] = true);
        }
        let mut wanted = vec![false; self.model.forced.len()];
        for (f, forced) in self.model.forced.iter().enumerate().rev() {
            if read[forced.var.0 as usize] {
                wanted[f] = true;
                let terms = forced.lines.iter().flat_map(|l| &l.terms);
                terms.for_each(|t| read[t.0.0 as usize] = true);
            }
        }
        wanted
    }

    fn quantity(&mut self, lines: &[Line], first_line: usize) -> Place {
        let mut drafts: Vec<Draft> = lines
            .iter()
            .enumerate()
            .map(|(l, line)| self.row(Origin::Line(first_line + l), None, line))
            .collect();
        let least = drafts.iter().map(|d| d.least).max().unwrap_or(0).max(0);
        let most = drafts.iter().map(|d| d.most).max().unwrap_or(0).max(0);
        if least == most {
            return Place::Settled(least);
        }
        // A line that never rises above the least says nothing.
        drafts.retain(|d| d.most > least);
        let quantity = self.pass.quantities.len();
        self.pass.quantities.push(Quantity {
            least,
            most,
            lines: Vec::new(),
            sums: Vec::new(),
            uses: Vec::new(),
        });
        for mut draft in drafts {
            draft.row.owner = Some(quantity);
            let row = self.add(draft, i64::MAX);
            self.pass.quantities[quantity].lines.push(row);
        }
        Place::Quantity(quantity)
    }

    fn add(&mut self, draft: Draft, limit: i64) -> usize {
        let (r, first) = (self.pass.rows.len(), self.pass.pairs.len());
        let Draft { mut row, pairs, .. } = draft;
        for (p, mut pair) in pairs.into_iter().enumerate() {
            pair.row = r;
            self.pass.of_choice[pair.choice].push(first + p);
            self.pass.pairs.push(pair);
        }
        row.pairs = first..self.pass.pairs.len();
        row.limit = limit;
        self.pass.rows.push(row);
        r
    }

    fn row(&self, origin: Origin, owner: Option<usize>, line: &Line) -> Draft {
        steps::count(Stage::Proof, 1 + line.terms.len() as u64 / 16);
        let mut row = Row {
            origin,
            owner,
            constant: line.constant,
            limit: i64::MAX,
            pairs: 0..0,
            quantities: Vec::new(),
        };
        let mut amounts: Vec<(usize, usize, i64)> = Vec::new();
        for &(var, times) in &line.terms {
            match self.places[var.0 as usize] {
                Place::Option(choice, option) => amounts.push((choice, option, times)),
                Place::Gone => {}
                Place::Quantity(q) => row.quantities.push((q, times)),
                Place::Settled(value) => row.constant += times * value,
            }
        }
        row.quantities.sort_unstable();
        row.quantities.dedup_by(|b, a| {
            let same = a.0 == b.0;
            if same {
                a.1 += b.1;
            }
            same
        });
        row.quantities.retain(|q| q.1 != 0);
        amounts.sort_unstable();
        let mut pairs = Vec::new();
        for of_choice in amounts.chunk_by(|a, b| a.0 == b.0) {
            let choice = of_choice[0].0;
            let mut by_option = vec![0; self.pass.open[choice].len()];
            of_choice.iter().for_each(|&(_, option, times)| by_option[option] += times);
            match pair(choice, &by_option) {
                Ok(pair) => pairs.push(pair),
                Err(same) => row.constant += same,
            }
        }
        let (mut least, mut most) = (row.constant, row.constant);
        for pair in &pairs {
            least += pair.amounts[0].0;
            most += pair.amounts[pair.amounts.len() - 1].0;
        }
        for &(q, times) in &row.quantities {
            let q = &self.pass.quantities[q];
            least += times * if times > 0 { q.least } else { q.most };
            most += times * if times > 0 { q.most } else { q.least };
        }
        Draft { row, pairs, least, most }
    }

    /// A quantity that is settled, or that nothing reads, asks for no sum.
    fn together(&mut self, together: &Together) {
        let mut draft = self.row(Origin::Together, None, &together.line);
        let Some(owner) = together.owner else {
            if draft.most > 0 {
                self.add(draft, 0);
            }
            return;
        };
        let place = self.places[self.model.forced[owner].var.0 as usize];
        if let Place::Quantity(quantity) = place
            && draft.most > self.pass.quantities[quantity].least
        {
            draft.row.owner = Some(quantity);
            let row = self.add(draft, i64::MAX);
            self.pass.quantities[quantity].sums.push(row);
        }
    }

    fn cut(&mut self, cut: &Cut) {
        let mut row = Row {
            origin: Origin::Cut,
            owner: None,
            constant: 0,
            limit: cut.limit,
            pairs: 0..0,
            quantities: Vec::new(),
        };
        let mut pairs = Vec::new();
        for (choice, options) in self.pass.open.iter().enumerate() {
            let costs: Vec<i64> = options.iter().map(|&o| cut.costs[choice][o]).collect();
            match pair(choice, &costs) {
                Ok(pair) => pairs.push(pair),
                Err(same) => row.constant += same,
            }
        }
        self.add(Draft { row, pairs, least: 0, most: 0 }, cut.limit);
    }
}

/// What a choice adds by option; the amount itself where all options add the same.
fn pair(choice: usize, by_option: &[i64]) -> Result<Pair, i64> {
    steps::count(Stage::Proof, 1 + by_option.len() as u64 / 8);
    let mut order: Vec<usize> = (0..by_option.len()).collect();
    order.sort_by_key(|&o| by_option[o]);
    let mut amounts: Vec<(i64, Vec<u64>)> = Vec::new();
    for option in order {
        let amount = by_option[option];
        if amounts.last().is_none_or(|a| a.0 != amount) {
            amounts.push((amount, vec![0; by_option.len().div_ceil(64)]));
        }
        if let Some((_, bits)) = amounts.last_mut() {
            bits[option / 64] |= 1 << (option % 64);
        }
    }
    match amounts[..] {
        [(same, _)] => Err(same),
        _ => Ok(Pair { row: 0, choice, amounts }),
    }
}
