//! Seven standards worked out by hand, from what is published and not from their data files.
//!
//! Every function takes whole children and gives whole adults, in the plainest loops.

use chrono::{Datelike, NaiveDate};
use fairturn::standards::{Head, Situation};

/// Adults needed and the most children together, if the standard is one of the seven.
pub fn by_hand(id: &str, heads: &[Head], at: &Situation) -> Option<(u32, Option<u32>)> {
    if heads.is_empty() {
        return Some((0, None));
    }
    match id {
        "cfoc-centre" => Some(cfoc(heads)),
        "ireland-full-day" => Some((ireland(heads), None)),
        "australia" => Some((australia(heads, at.date), None)),
        "ontario" => Some(ontario(heads, at)),
        "england-eyfs" => Some((england(heads, at), None)),
        "netherlands" => Some(netherlands(heads)),
        "british-columbia" => Some(british_columbia(heads)),
        _ => None,
    }
}

fn up(children: u32, to_one_adult: u32) -> u32 {
    let mut adults = 0;
    while adults * to_one_adult < children {
        adults += 1;
    }
    adults
}

fn count(heads: &[Head], wanted: impl Fn(&Head) -> bool) -> u32 {
    let mut found = 0;
    for head in heads {
        if wanted(head) {
            found += 1;
        }
    }
    found
}

/// Caring for Our Children, standard 1.1.1.2, online edition (verified; mixed ages from memory):
/// whose age governs, the children to one adult and the class size.
fn cfoc(heads: &[Head]) -> (u32, Option<u32>) {
    let row = |months: u32| match months {
        0..=12 => (3, 6),
        13..=35 => (4, 8),
        36..=47 => (7, 14),
        48..=59 => (8, 16),
        60..=71 => (8, 16),
        72..=107 => (10, 20),
        _ => (12, 24),
    };
    let year = |months: u32| match months {
        0..=12 => 0,
        13..=35 => 1,
        36..=47 => 3,
        48..=59 => 4,
        60..=71 => 5,
        72..=107 => 6,
        _ => 9,
    };
    let everyone = heads.len() as u32;
    let mut youngest = heads[0].months;
    for head in heads {
        youngest = youngest.min(head.months);
    }
    let mut governs = youngest;
    if youngest >= 36 {
        for head in heads {
            if count(heads, |h| year(h.months) == year(head.months)) * 2 > everyone {
                governs = head.months;
            }
        }
    }
    let (ratio, class) = row(governs);
    let whole = up(everyone, ratio);
    // Nap: full ratio to 30 months however many sleep, and so for all beside such a child; from 31
    // months one adult in the room.
    let sleepers = count(heads, |h| h.asleep);
    let adults = if sleepers == 0 || youngest <= 30 {
        whole
    } else {
        whole.min(up(everyone - sleepers, ratio) + 1)
    };
    (adults, Some(class))
}

/// Child Care Licensing Regulation, multi-age care (secondary): one adult to eight, of whom three may be
/// under 36 months, of whom one may be under 12; and no more than these in the group of eight.
fn british_columbia(heads: &[Head]) -> (u32, Option<u32>) {
    let (mut babies, mut toddlers, mut others) = (0, 0, 0);
    for head in heads {
        match head.months {
            0..=11 => babies += 1,
            12..=35 => toddlers += 1,
            _ => others += 1,
        }
    }
    let mut adults = 0;
    while adults * 8 < babies + toddlers + others
        || adults * 3 < babies + toddlers
        || adults < babies
    {
        adults += 1;
    }
    // Who may stay, the oldest first.
    let mut young = 0;
    for _ in 0..toddlers {
        young += u32::from(young < 3);
    }
    young += u32::from(babies > 0 && young < 3);
    let all_may = babies <= 1 && babies + toddlers <= 3;
    (adults, Some(if all_may { 8 } else { (others + young).min(8) }))
}

/// SI 221/2016, schedule 6 (verified): 1:3, 1:5, 1:6, 1:8, the fractions summed and rounded up
/// once; in hundred-and-twentieths of an adult.
fn ireland(heads: &[Head]) -> u32 {
    let mut parts = 0;
    for head in heads {
        parts += match head.months {
            0..=11 => 40,
            12..=23 => 24,
            24..=35 => 20,
            _ => 15,
        };
    }
    up(parts, 120)
}

/// National Regulations, regulation 123 (verified): 1:4, 1:5, 1:11, 1:15; an adult opened for the
/// youngest child who has none takes older ones along up to that child's figure.
fn australia(heads: &[Head], date: NaiveDate) -> u32 {
    let mut caps: Vec<usize> = Vec::new();
    for head in heads {
        // "Birth to 24 months" holds on the very day on which the 24th month is completed.
        let that_day = head.months == 24 && head.born.day() == date.day();
        caps.push(match head.months {
            0..=23 => 4,
            24 if that_day => 4,
            24..=35 => 5,
            36..=71 => 11,
            _ => 15,
        });
    }
    caps.sort_unstable();
    let mut adults = 0;
    while !caps.is_empty() {
        let takes = caps[0].min(caps.len());
        caps.drain(..takes);
        adults += 1;
    }
    adults
}

/// O. Reg. 137/15, schedule 1 (from memory) with the manual on mixed groups and reduced ratios
/// (verified): the category of the room holds while its share of children of the next younger one
/// is within the limit, else the youngest child's does.
fn ontario(heads: &[Head], at: &Situation) -> (u32, Option<u32>) {
    let category = |months: u32| match months {
        0..=17 => 0,
        18..=29 => 1,
        30..=71 => 2,
        _ => 3,
    };
    let everyone = heads.len() as u32;
    let within = |c: usize| {
        let younger = count(heads, |h| category(h.months) < c);
        let much_younger = count(heads, |h| category(h.months) + 1 < c);
        much_younger == 0 && younger * 100 <= everyone * [0, 20, 20, 25][c]
    };
    let mut youngest = 3;
    for head in heads {
        youngest = youngest.min(category(head.months));
    }
    let governs = match at.governing_age {
        Some(months) if within(category(months)) => category(months),
        Some(_) => youngest,
        None => {
            let mut oldest = youngest;
            for c in 0..4 {
                let has_children = count(heads, |h| category(h.months) == c) > 0;
                if has_children && within(c) {
                    oldest = oldest.max(c);
                }
            }
            oldest
        }
    };
    let adults_for = |children: u32| match governs {
        0 => up(children * 3, 10),
        1 => up(children, 5),
        2 => up(children, 8),
        _ => up(children, 13),
    };
    let full = adults_for(everyone);
    let infants = count(heads, |h| h.months < 18);
    let asleep = count(heads, |h| h.asleep);
    let adults = if asleep == 0 || infants > 0 || at.outdoors {
        full
    } else {
        // Two thirds, rounded up, and never fewer than the awake ones need.
        up(full * 2, 3).max(adults_for(everyone - asleep))
    };
    (adults, Some([10, 15, 24, 26][governs]))
}

/// Early years framework, section 3 (secondary): 1:3 under 2, 1:5 at 2, then 1:8, or 1:13 while one
/// of level 6 and another of level 3 are there; each age rounded up by itself.
fn england(heads: &[Head], at: &Situation) -> u32 {
    let level = |adult: &[String]| {
        let mut highest = 0;
        for known in 1..8 {
            if adult.iter().any(|q| *q == format!("level-{known}")) {
                highest = known;
            }
        }
        highest
    };
    let (mut six, mut three) = (0, 0);
    for adult in at.adults {
        six += u32::from(level(adult) >= 6);
        three += u32::from(level(adult) >= 3);
    }
    let of_three = if six >= 1 && three >= 2 { 13 } else { 8 };
    let at_school = |h: &Head| {
        let fifth = (h.born.year() + 5, h.born.month(), h.born.day());
        let september = fifth.0 + i32::from((fifth.1, fifth.2) >= (9, 1));
        let from = NaiveDate::from_ymd_opt(september, 9, 1).expect("a first of September");
        at.date >= from
    };
    up(count(heads, |h| h.months < 24), 3)
        + up(count(heads, |h| (24..36).contains(&h.months)), 5)
        + up(count(heads, |h| h.months >= 36 && !at_school(h)), of_three)
        + up(count(heads, |h| h.months >= 36 && at_school(h)), 8)
}

/// Annex of 2019, table 1 (verified), by span of ages. One child more never lowers the adults (the
/// published repair): the most that any part of the children would need.
fn netherlands(heads: &[Head]) -> (u32, Option<u32>) {
    let mut ages = [0u32; 4];
    for head in heads {
        ages[(head.months / 12).min(3) as usize] += 1;
    }
    let mut adults = 0;
    for babies in 0..=ages[0] {
        for ones in 0..=ages[1] {
            for twos in 0..=ages[2] {
                for threes in 0..=ages[3] {
                    adults = adults.max(netherlands_table([babies, ones, twos, threes]).0);
                }
            }
        }
    }
    (adults, Some(netherlands_table(ages).1))
}

/// Adults and class size of the table. Columns are (adults, most children, most under 1 year).
fn netherlands_table(ages: [u32; 4]) -> (u32, u32) {
    let all: u32 = ages.iter().sum();
    if all == 0 {
        return (0, 16);
    }
    let youngest = ages.iter().position(|&n| n > 0).unwrap_or(0);
    let oldest = ages.iter().rposition(|&n| n > 0).unwrap_or(0);
    let columns: &[(u32, u32, u32)] = match (youngest, oldest) {
        (0, 0) => &[(1, 3, 99), (2, 6, 99), (3, 9, 99), (4, 12, 99)],
        (1, 1) => &[(1, 5, 99), (2, 10, 99), (3, 15, 99), (4, 16, 99)],
        (0, 1) => &[(1, 4, 99), (2, 8, 99), (3, 14, 8), (4, 16, 8)],
        (0, 2) => &[(1, 5, 99), (2, 10, 99), (3, 13, 8), (3, 14, 4), (3, 15, 3), (4, 16, 8)],
        (0, 3) => &[(1, 5, 99), (2, 12, 99), (3, 14, 8), (3, 15, 5), (3, 16, 3), (4, 16, 8)],
        (1, 2) => &[(1, 6, 99), (2, 11, 99), (3, 16, 99)],
        (1, 3) => &[(1, 7, 99), (2, 13, 99), (3, 16, 99)],
        _ => &[(1, 8, 99), (2, 16, 99)],
    };
    let mut adults = None;
    let mut class = 0;
    for &(with, most, of_babies) in columns {
        if ages[0] <= of_babies {
            class = class.max(most);
            if all <= most && adults.is_none() {
                adults = Some(with);
            }
        }
    }
    if class == 0 {
        // More babies than any column holds: too many children, whatever their number.
        class = all - 1;
    }
    // Past the table (a reading of ours): an adult more for every share of its last column.
    let (last, most, _) = columns[columns.len() - 1];
    let beyond = all.saturating_sub(most).max(1);
    (adults.unwrap_or(last + up(beyond, most / last)), class)
}
