//! A plain reading of a table, written apart from the arithmetic that is tested: the rows are typed in by
//! hand, a child's row is found by adding months to its birth date, and adults are added one at a time until
//! they hold the children.

use super::*;

/// As [`Row`], for a table without a group size.
pub const ANY: u32 = 0;
/// As [`Row`], for the last row.
pub const ON: u32 = 0;

/// Months below which the row holds, children to one adult, most in a group.
pub type Row = (u32, u32, u32);

/// A table whose youngest child governs ratio and group size.
pub struct Plain {
    pub id: &'static str,
    pub rows: &'static [Row],
    /// The day on which the months are completed still belongs to the younger row.
    pub day_is_younger: bool,
    /// Rows (by position) of which two adults hold more than twice what one holds: so many.
    pub pairs: &'static [(usize, u32)],
    /// Whether children of these rows, in order and each once, may be in one group of so many.
    pub may_be_together: fn(&[usize], usize) -> bool,
}

/// What a standard asks for of so many children of so many months: adults, and the group size.
pub fn both(id: &str, ages: &[(u32, u32)]) -> (u32, Option<u32>) {
    let need = need(&built_in(id), ages);
    (need.adults, need.class_size)
}

/// All may be together.
pub fn all(_: &[usize], _: usize) -> bool {
    true
}

impl Plain {
    /// A table with whole months, no pairs and no ages kept apart.
    pub const fn of(id: &'static str, rows: &'static [Row]) -> Plain {
        Plain { id, rows, day_is_younger: false, pairs: &[], may_be_together: all }
    }

    /// The row of a child.
    pub fn row(&self, born: NaiveDate) -> usize {
        let before = |below: u32| {
            let done = born + Months::new(below);
            if self.day_is_younger { date() <= done } else { date() < done }
        };
        let found = self.rows.iter().position(|(below, ..)| *below == ON || before(*below));
        found.expect("the last row holds for all")
    }

    /// Most children whom so many adults hold by a row.
    fn hold(&self, row: usize, adults: u32) -> u32 {
        let pair = self.pairs.iter().find(|(of, _)| *of == row && adults == 2);
        pair.map_or(self.rows[row].1 * adults, |(_, children)| *children)
    }

    /// Adults and group size by the row of the youngest.
    pub fn need(&self, born: &[NaiveDate]) -> (u32, Option<u32>) {
        let row = born.iter().map(|b| self.row(*b)).min().expect("somebody");
        let mut adults = 1;
        while self.hold(row, adults) < born.len() as u32 {
            adults += 1;
        }
        let size = self.rows[row].2;
        (adults, (size != ANY).then_some(size))
    }

    /// The first and the last day on which a child is of each row, as birth dates, and the days beside them.
    pub fn birthdays(&self) -> Vec<NaiveDate> {
        let mut days = vec![date() - chrono::Days::new(70)];
        for (below, ..) in self.rows.iter().filter(|(below, ..)| *below != ON) {
            let edge = date() - Months::new(*below);
            days.extend([edge + chrono::Days::new(1), edge, edge - chrono::Days::new(1)]);
        }
        days
    }

    /// Compares the built-in standard with this reading, over many mixes of children at the edges of the
    /// rows.
    pub fn compare(&self) {
        let standard = built_in(self.id);
        let days = self.birthdays();
        let mut told = std::collections::BTreeSet::new();
        for mix in mixes(&days) {
            let heads: Vec<Head> = mix.iter().map(|born| head(*born, date())).collect();
            let need = standard.need(&heads, &plain());
            let mut rows: Vec<usize> = mix.iter().map(|born| self.row(*born)).collect();
            rows.sort_unstable();
            rows.dedup();
            let (adults, size) = self.need(&mix);
            let what = format!("{}: {mix:?}", self.id);
            assert_eq!(need.adults, adults, "{what}");
            if (self.may_be_together)(&rows, mix.len()) {
                assert_eq!(need.class_size, size, "{what}");
            } else {
                assert!(need.class_size.is_some_and(|most| most < mix.len() as u32), "{what}");
            }
            told.insert((rows, adults));
        }
        assert!(told.len() > 3 * self.rows.len(), "{}: only {} kinds", self.id, told.len());
    }
}

/// A child by its birth date on a date.
pub fn head(born: NaiveDate, on: NaiveDate) -> Head {
    let months = age_in_months(born, on).expect("born before");
    Head { months, born, asleep: false }
}

/// One kind of children in every number to 45, two kinds in many, three in few.
pub fn mixes(days: &[NaiveDate]) -> Vec<Vec<NaiveDate>> {
    let mut mixes: Vec<Vec<NaiveDate>> = Vec::new();
    let mut add = |parts: &[(NaiveDate, usize)]| {
        mixes.push(parts.iter().flat_map(|(day, n)| vec![*day; *n]).collect());
    };
    for (i, a) in days.iter().enumerate() {
        (1..=45).for_each(|n| add(&[(*a, n)]));
        for (j, b) in days.iter().enumerate().skip(i + 1) {
            for (n, m) in [(1, 1), (1, 4), (1, 11), (2, 9), (3, 3), (5, 14), (7, 1), (12, 12)] {
                add(&[(*a, n), (*b, m)]);
            }
            for c in &days[j + 1..] {
                add(&[(*a, 1), (*b, 2), (*c, 5)]);
                add(&[(*a, 2), (*b, 1), (*c, 1)]);
            }
        }
    }
    mixes
}
