//! What became of a room, and what of it is worse, better or unsafe the second time.

use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// The slugs of rules and aims, in their order.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Table {
    pub rules: Vec<String>,
    pub aims: Vec<String>,
}

/// What became of one room.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Outcome {
    /// The room's number.
    pub room: String,
    /// Safe to run.
    pub safe: bool,
    /// Person-minutes of shortfall by rule; a rule that is not broken is left out.
    pub minutes: BTreeMap<String, u64>,
    /// Every problem in short, in the order of the audit.
    pub problems: Vec<String>,
    /// The aims' values.
    pub aims: BTreeMap<String, i64>,
}

/// What became of many rooms, by one table.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Results {
    pub table: Table,
    pub outcomes: Vec<Outcome>,
}

/// Where two outcomes of a room first differ.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Difference<'t> {
    /// A rule; else an aim.
    pub by_rule: bool,
    pub slug: &'t str,
    pub before: i64,
    pub now: i64,
}

impl Difference<'_> {
    pub fn is_worse(&self) -> bool {
        self.now > self.before
    }
}

impl Outcome {
    /// A rule's person-minutes.
    pub fn of_rule(&self, slug: &str) -> i64 {
        let minutes = self.minutes.get(slug).copied().unwrap_or(0);
        i64::try_from(minutes).unwrap_or(i64::MAX)
    }

    /// An aim's value.
    pub fn of_aim(&self, slug: &str) -> i64 {
        self.aims.get(slug).copied().unwrap_or(0)
    }

    /// Its problems that another outcome does not have; one that stands there twice and here thrice is
    /// told once.
    pub fn problems_not_in(&self, other: &Outcome) -> Vec<&str> {
        let mut left: Vec<&String> = other.problems.iter().collect();
        let of_this_alone = |problem: &&String| match left.iter().position(|p| p == problem) {
            Some(at) => {
                left.swap_remove(at);
                false
            }
            None => true,
        };
        self.problems.iter().filter(of_this_alone).map(String::as_str).collect()
    }
}

impl Table {
    /// What both know, in the order of this one.
    pub fn known_to(&self, other: &Table) -> Table {
        let both = |own: &[String], of: &[String]| {
            own.iter().filter(|slug| of.contains(slug)).cloned().collect()
        };
        Table { rules: both(&self.rules, &other.rules), aims: both(&self.aims, &other.aims) }
    }

    /// What this one alone knows, rules and aims.
    pub fn unknown_to(&self, other: &Table) -> Vec<&str> {
        let rules = self.rules.iter().filter(|slug| !other.rules.contains(slug));
        let aims = self.aims.iter().filter(|slug| !other.aims.contains(slug));
        rules.chain(aims).map(String::as_str).collect()
    }

    /// Every rule's values, then every aim's, before and now.
    pub fn differences<'t>(
        &'t self,
        before: &Outcome,
        now: &Outcome,
    ) -> impl Iterator<Item = Difference<'t>> {
        let rules: Vec<Difference> = (self.rules.iter())
            .map(|slug| Difference {
                by_rule: true,
                slug,
                before: before.of_rule(slug),
                now: now.of_rule(slug),
            })
            .collect();
        let aims = self.aims.iter().map(|slug| Difference {
            by_rule: false,
            slug,
            before: before.of_aim(slug),
            now: now.of_aim(slug),
        });
        let all: Vec<Difference> = rules.into_iter().chain(aims).collect();
        all.into_iter().filter(|d| d.before != d.now)
    }
}

/// Two outcomes of one room.
#[derive(Clone, Copy)]
pub struct Pair<'r> {
    pub before: &'r Outcome,
    pub now: &'r Outcome,
}

/// Everything that two results say of the rooms that the later one has.
pub struct Comparison<'r> {
    /// What both tables know: only that is worse or better.
    pub table: Table,
    /// Rules and aims of the present table that the earlier results know nothing of.
    pub new: Vec<&'r str>,
    /// The other way round.
    pub gone: Vec<&'r str>,
    pub pairs: Vec<Pair<'r>>,
}

impl<'r> Comparison<'r> {
    /// # Errors
    /// The rooms that the earlier results lack.
    pub fn of(before: &'r Results, now: &'r Results) -> Result<Comparison<'r>, Vec<&'r str>> {
        let earlier = |room: &str| before.outcomes.iter().find(|o| o.room == room);
        let lacking: Vec<&str> = (now.outcomes.iter())
            .filter(|now| earlier(&now.room).is_none())
            .map(|now| now.room.as_str())
            .collect();
        if !lacking.is_empty() {
            return Err(lacking);
        }
        let pair = |now: &'r Outcome| Some(Pair { before: earlier(&now.room)?, now });
        Ok(Comparison {
            table: now.table.known_to(&before.table),
            new: now.table.unknown_to(&before.table),
            gone: before.table.unknown_to(&now.table),
            pairs: now.outcomes.iter().filter_map(pair).collect(),
        })
    }

    /// Where a room's outcomes first differ: a rule before every aim.
    pub fn first(&self, pair: Pair<'_>) -> Option<Difference<'_>> {
        self.table.differences(pair.before, pair.now).next()
    }

    /// Rooms that are safe now and were not (`true`), or were and are not (`false`).
    pub fn turned(&self, safe: bool) -> Vec<Pair<'r>> {
        let turned = |pair: &&Pair| pair.now.safe == safe && pair.before.safe != safe;
        self.pairs.iter().filter(turned).copied().collect()
    }

    /// Whether nothing differs, problems included.
    pub fn is_same(&self) -> bool {
        self.new.is_empty() && self.gone.is_empty() && self.pairs.iter().all(|p| p.before == p.now)
    }
}

/// Rooms that may have turned safe or unsafe, each with its reason.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Named {
    pub turned_safe: BTreeMap<String, String>,
    pub turned_unsafe: BTreeMap<String, String>,
}

impl Named {
    /// The reason for which a room may have turned so.
    pub fn reason(&self, safe: bool, room: &str) -> Option<&str> {
        let of = if safe { &self.turned_safe } else { &self.turned_unsafe };
        of.get(room).map(String::as_str)
    }

    /// Rooms that turned without a reason.
    pub fn unnamed<'r>(&self, comparison: &Comparison<'r>) -> Vec<&'r str> {
        let turned = |safe| comparison.turned(safe).into_iter().map(move |pair| (safe, pair.now));
        let all = turned(false).chain(turned(true));
        let silent = all.filter(|(safe, now)| self.reason(*safe, &now.room).is_none());
        silent.map(|(_, now)| now.room.as_str()).collect()
    }

    /// Names of rooms that were looked at and have not turned so.
    pub fn idle(&self, comparison: &Comparison<'_>) -> Vec<(bool, &str)> {
        let looked_at = |room: &str| comparison.pairs.iter().any(|pair| pair.now.room == room);
        let named = |safe: bool| {
            let of = if safe { &self.turned_safe } else { &self.turned_unsafe };
            of.keys().map(move |room| (safe, room.as_str()))
        };
        let turned = |safe, room| comparison.turned(safe).iter().any(|pair| pair.now.room == room);
        let all = named(false).chain(named(true));
        all.filter(|(safe, room)| looked_at(room) && !turned(*safe, *room)).collect()
    }
}

/// The committed form of results: the table, then a line a room.
pub fn write(results: &Results) -> String {
    let table = serde_json::json!({ "rules": results.table.rules, "aims": results.table.aims });
    let lines = results.outcomes.iter().map(|outcome| {
        let minutes: Map<String, Value> = in_order(&results.table.rules, &outcome.minutes);
        let aims: Map<String, Value> = in_order(&results.table.aims, &outcome.aims);
        serde_json::json!({ "room": outcome.room, "safe": outcome.safe, "minutes": minutes,
                            "problems": outcome.problems, "aims": aims })
    });
    let lines = std::iter::once(table).chain(lines);
    lines.map(|line| format!("{line}\n")).collect()
}

fn in_order<N: Copy + Into<Value>>(
    slugs: &[String],
    values: &BTreeMap<String, N>,
) -> Map<String, Value> {
    let value = |slug: &String| Some((slug.clone(), (*values.get(slug)?).into()));
    slugs.iter().filter_map(value).collect()
}

/// Results from their committed form; `None` where the text is not that.
pub fn read(text: &str) -> Option<Results> {
    let mut lines = text.lines().map(serde_json::from_str::<Value>);
    let table = lines.next()?.ok()?;
    let words = |value: &Value| -> Option<Vec<String>> {
        value.as_array()?.iter().map(|word| Some(word.as_str()?.to_owned())).collect()
    };
    let outcome = |line: Value| {
        let minutes = line["minutes"].as_object()?.iter();
        let aims = line["aims"].as_object()?.iter();
        Some(Outcome {
            room: line["room"].as_str()?.to_owned(),
            safe: line["safe"].as_bool()?,
            minutes: minutes.map(|(k, v)| Some((k.clone(), v.as_u64()?))).collect::<Option<_>>()?,
            problems: words(&line["problems"])?,
            aims: aims.map(|(k, v)| Some((k.clone(), v.as_i64()?))).collect::<Option<_>>()?,
        })
    };
    Some(Results {
        table: Table { rules: words(&table["rules"])?, aims: words(&table["aims"])? },
        outcomes: lines.map(|line| outcome(line.ok()?)).collect::<Option<_>>()?,
    })
}

/// Names from their file: `{ "safe": { room: reason }, "unsafe": { room: reason } }`.
pub fn read_named(text: &str) -> Option<Named> {
    let file: Value = serde_json::from_str(text).ok()?;
    let of = |field: &str| -> Option<BTreeMap<String, String>> {
        let reason = |(room, reason): (&String, &Value)| {
            let reason = reason.as_str().map(str::trim).filter(|reason| !reason.is_empty())?;
            Some((room.clone(), reason.to_owned()))
        };
        file[field].as_object()?.iter().map(reason).collect()
    };
    Some(Named { turned_safe: of("safe")?, turned_unsafe: of("unsafe")? })
}
