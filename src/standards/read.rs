//! Reads a standard's file and reports everything that is wrong with it.

use super::method::Mixed;
use super::rest::RestKind;
use super::{Band, Force, Ratio, SessionLength, Standard};

/// Ages above this many months are a slip of the keyboard.
const OLDEST_MONTHS: u32 = 12 * 20;

/// Numbers of people above this are a slip of the keyboard.
const MOST_PEOPLE: u32 = 10_000;

impl Standard {
    /// Reads a standard from its JSON; local limits use the same format.
    ///
    /// # Errors
    /// Every fault that was found, each with its place; a text that is no JSON of this shape has
    /// one.
    pub fn from_json(text: &str) -> Result<Standard, Vec<String>> {
        let standard: Standard = serde_json::from_str(text).map_err(|e| vec![e.to_string()])?;
        let faults = faults(&standard);
        if faults.is_empty() { Ok(standard) } else { Err(faults) }
    }
}

/// Everything that is wrong with a standard of the right shape.
fn faults(standard: &Standard) -> Vec<String> {
    let mut faults = Vec::new();
    let slug = |id: &str| {
        !id.is_empty()
            && id.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
    };
    if !slug(&standard.id) {
        faults.push("id: only small letters, digits and hyphens, at least one".to_owned());
    }
    band_faults(&standard.bands, &slug, &mut faults);
    method_faults(standard, &mut faults);
    young_faults(standard, &mut faults);
    let of_a_band = standard.not_judged.iter().filter_map(|n| n.band.as_ref());
    for band in of_a_band.filter(|band| standard.bands.iter().all(|b| b.id != **band)) {
        faults.push(format!("not_judged: there is no band `{band}`"));
    }
    if let Some(SessionLength::Below(minutes) | SessionLength::UpTo(minutes)) =
        standard.session.as_ref().map(|s| s.length)
        && !(1..=24 * 60).contains(&minutes)
    {
        faults.push("session.length: from 1 minute to a day".to_owned());
    }
    let known = |id: &str| standard.bands.iter().any(|b| b.id == id);
    for (i, switch) in standard.switches.iter().enumerate() {
        let at = format!("switches[{i}]");
        if !known(&switch.band) {
            faults.push(format!("{at}.band: there is no band `{}`", switch.band));
        }
        if switch.adults.is_empty() || switch.adults.iter().any(Vec::is_empty) {
            faults.push(format!("{at}.adults: name a qualification for each adult"));
        }
        ratio_faults(&switch.ratio, &format!("{at}.ratio"), &mut faults);
    }
    rest_faults(standard, &mut faults);
    for (i, least) in standard.least_adults.iter().enumerate() {
        if least.adults == 0 || least.adults > MOST_PEOPLE {
            faults.push(format!("least_adults[{i}].adults: from 1 to {MOST_PEOPLE}"));
        }
    }
    for (i, activity) in standard.activities.iter().enumerate() {
        let at = format!("activities[{i}].ratios");
        let edges: Vec<_> = activity.ratios.iter().map(|r| r.below_months).collect();
        if edges.is_empty() || edges.iter().rev().skip(1).any(Option::is_none) {
            faults.push(format!("{at}: every band but the last needs `below_months`"));
        }
        if edges.last().is_some_and(Option::is_some) || !edges.iter().flatten().is_sorted() {
            faults.push(format!("{at}: youngest first, and the last one open"));
        }
        if activity.ratios.iter().any(|r| r.children_per_adult == 0) {
            faults.push(format!("{at}: one adult has at least one child"));
        }
    }
    if standard.meals.as_ref().is_some_and(|m| m.least > m.most || m.most > 24 * 60) {
        faults.push("meals: `least` is at most `most`, and both lie within a day".to_owned());
    }
    if let Some(id) = standard.breaks.as_deref().filter(|id| super::breaks::find(id).is_none()) {
        faults.push(format!("breaks: there is no break rule `{id}`"));
    }
    source_faults(standard, &mut faults);
    faults
}

fn band_faults(bands: &[Band], slug: &dyn Fn(&str) -> bool, faults: &mut Vec<String>) {
    if bands.is_empty() {
        faults.push("bands: at least one".to_owned());
    }
    for (i, band) in bands.iter().enumerate() {
        let at = format!("bands[{i}]");
        if !slug(&band.id) {
            faults.push(format!("{at}.id: only small letters, digits and hyphens"));
        }
        if bands[..i].iter().any(|b| b.id == band.id) {
            faults.push(format!("{at}.id: `{}` is there twice", band.id));
        }
        let last = i + 1 == bands.len();
        match band.until {
            None if !last => {
                faults.push(format!("{at}.until: only the last band holds for all older children"));
            }
            Some(_) if last => {
                faults.push(format!("{at}.until: leave it out, the last band is for all older"));
            }
            Some(edge) => {
                let before = bands[..i].iter().filter_map(|b| b.until).next_back();
                // Whose birthday is on the last day of a year may be of an age for that day alone.
                let since = |b: super::Edge| (b.about_months(), b.is_a_date());
                if before.is_some_and(|b| since(b) >= since(edge)) {
                    faults.push(format!("{at}.until: ends no later than the band before it"));
                }
                if edge.about_months() == 0 || edge.about_months() > OLDEST_MONTHS {
                    faults.push(format!("{at}.until: from 1 to {OLDEST_MONTHS} months"));
                }
                if let super::Edge::CutDate { month, day, .. }
                | super::Edge::DayOfYear { month, day, .. } = edge
                    && (!(1..=12).contains(&month) || !(1..=28).contains(&day))
                {
                    faults.push(format!("{at}.until: a month, and a day from 1 to 28"));
                }
            }
            None => {}
        }
        if band.class_size == Some(0) {
            faults.push(format!("{at}.class_size: at least one child"));
        }
        ratio_faults(&band.ratio, &format!("{at}.ratio"), faults);
        if let Some(ratio) = &band.ratio_outdoors {
            ratio_faults(ratio, &format!("{at}.ratio_outdoors"), faults);
        }
    }
}

fn ratio_faults(ratio: &Ratio, at: &str, faults: &mut Vec<String>) {
    let sound = |n: u32| (1..=MOST_PEOPLE).contains(&n);
    match ratio {
        Ratio::PerAdult(each) if !sound(*each) => {
            faults.push(format!("{at}.per_adult: from 1 to {MOST_PEOPLE}"));
        }
        Ratio::Pair { adults, children } if !sound(*adults) || !sound(*children) => {
            faults.push(format!("{at}.pair: both from 1 to {MOST_PEOPLE}"));
        }
        Ratio::Steps { up_to, then_each } => {
            let rising = up_to.windows(2).all(|w| w[0].0 < w[1].0 && w[0].1 <= w[1].1);
            if up_to.is_empty() || !rising || up_to.iter().any(|(c, a)| !sound(*c) || !sound(*a)) {
                faults.push(format!("{at}.steps.up_to: children and adults, both rising"));
            }
            if !sound(*then_each) {
                faults.push(format!("{at}.steps.then_each: from 1 to {MOST_PEOPLE}"));
            }
        }
        _ => {}
    }
}

fn young_faults(standard: &Standard, faults: &mut Vec<String>) {
    let at = |id: &str| standard.bands.iter().position(|b| b.id == id);
    for (i, cap) in standard.young_together.iter().enumerate() {
        let field = format!("young_together[{i}]");
        match at(&cap.band) {
            None => faults.push(format!("{field}.band: there is no band `{}`", cap.band)),
            Some(last) if last + 1 == standard.bands.len() => {
                faults.push(format!("{field}.band: of all ages it is a `class_size`"));
            }
            Some(_) => {}
        }
        if cap.at_most == 0 || cap.at_most > MOST_PEOPLE {
            faults.push(format!("{field}.at_most: from 1 to {MOST_PEOPLE}"));
        }
    }
    for (i, apart) in standard.kept_apart.iter().enumerate() {
        if at(&apart.young).is_none() || at(&apart.young) >= at(&apart.from) {
            faults.push(format!("kept_apart[{i}]: a band and an older one"));
        }
    }
}

fn rest_faults(standard: &Standard, faults: &mut Vec<String>) {
    match standard.rest.as_ref().map(|r| &r.kind) {
        Some(RestKind::Sleepers(ratio)) => ratio_faults(ratio, "rest.kind.sleepers", faults),
        Some(RestKind::ByBand(ratios)) => {
            for (i, own) in ratios.iter().enumerate() {
                if !standard.bands.iter().any(|b| b.id == own.band) {
                    faults.push(format!("rest.kind.by_band[{i}]: there is no band `{}`", own.band));
                }
                ratio_faults(&own.ratio, &format!("rest.kind.by_band[{i}].ratio"), faults);
            }
        }
        Some(RestKind::PartOfAdults { over, under }) if *over == 0 || over > under => {
            faults
                .push("rest.kind.part_of_adults: more than nothing, at most the whole".to_owned());
        }
        _ => {}
    }
    for (i, reduced) in standard.reduced.iter().enumerate() {
        if reduced.part.0 == 0 || reduced.part.0 > reduced.part.1 {
            faults.push(format!("reduced[{i}].part: more than nothing, at most the whole"));
        }
        for (j, window) in reduced.windows.iter().enumerate() {
            if window.span().is_none() {
                faults.push(format!("reduced[{i}].windows[{j}]: `HH:MM` to a later `HH:MM`"));
            }
        }
    }
}

fn method_faults(standard: &Standard, faults: &mut Vec<String>) {
    let bands = &standard.bands;
    let at = |id: &str| bands.iter().position(|b| b.id == id);
    match &standard.mixed {
        Mixed::Cascade { .. } => {
            let alone: Vec<u32> = bands.iter().map(|b| b.ratio.with_one_adult()).collect();
            if !alone.is_sorted() {
                faults.push("mixed: a cascade needs ratios that grow with age".to_owned());
            }
        }
        Mixed::SpareCapacity { .. } if bands.len() != 2 => {
            faults.push("mixed: spare capacity is between exactly two bands".to_owned());
        }
        Mixed::CountThreshold { band, .. } if at(band).is_none() => {
            faults.push(format!("mixed.band: there is no band `{band}`"));
        }
        Mixed::PercentThreshold { shares, .. } => {
            for share in shares.iter().filter(|s| at(&s.band).is_none() || s.percent > 100) {
                faults.push(format!("mixed.shares: `{}` names a band, up to 100", share.band));
            }
        }
        Mixed::FractionSum { mixed_size: Some(size), .. } if size.adults == 0 => {
            faults.push("mixed.mixed_size.adults: at least one".to_owned());
        }
        Mixed::CountTable { band, children_per_adult, .. } => {
            if at(band).is_none() {
                faults.push(format!("mixed.band: there is no band `{band}`"));
            }
            if children_per_adult.is_empty() || children_per_adult.contains(&0) {
                faults.push("mixed.children_per_adult: one figure or more, none of 0".to_owned());
            }
        }
        Mixed::MajorityByCount { band, children_per_adult, .. } => {
            let older = at(band).map(|young| bands.len() - young - 1);
            let fits = |row: &Vec<u32>| Some(row.len()) == older && !row.contains(&0);
            if older.is_none_or(|older| older == 0) || !children_per_adult.iter().all(fits) {
                faults.push("mixed.children_per_adult: one figure for each older band".to_owned());
            }
        }
        Mixed::CountSteps { band, rows, .. } => {
            if at(band).is_none_or(|young| young + 1 >= bands.len()) {
                faults.push(format!("mixed.band: `{band}` is no band with an older one"));
            }
            if rows.is_empty() || rows.windows(2).any(|w| w[0].young_up_to >= w[1].young_up_to) {
                faults.push("mixed.rows: at least one, each with more of the young".to_owned());
            }
            let rising = |steps: &[(u32, u32)]| {
                steps.windows(2).all(|w| w[0].0 < w[1].0 && w[0].1 <= w[1].1)
                    && steps.first().is_some_and(|(children, adults)| *children > 0 && *adults > 0)
            };
            if !rows.iter().all(|row| rising(&row.steps)) {
                faults.push("mixed.rows.steps: children and adults, both rising".to_owned());
            }
        }
        Mixed::Subcaps { children_per_adult, caps, .. } => {
            if *children_per_adult == 0 || caps.iter().any(|c| c.at_most == 0) {
                faults.push("mixed: one adult has at least one child of each age".to_owned());
            }
            for cap in caps.iter().filter(|c| at(&c.band).is_none()) {
                faults.push(format!("mixed.caps: there is no band `{}`", cap.band));
            }
        }
        Mixed::SpanLookup { rows, gaps, .. } => {
            for (i, row) in rows.iter().enumerate() {
                if at(&row.from).is_none() || at(&row.to).is_none() || at(&row.from) > at(&row.to) {
                    faults
                        .push(format!("mixed.rows[{i}]: from a band to the same or an older one"));
                }
                let sound = |c: &super::method::SpanColumn| c.adults > 0 && c.children > 0;
                let rising = row.columns.windows(2).all(|w| w[0].adults <= w[1].adults);
                if row.columns.is_empty() || !rising || !row.columns.iter().all(sound) {
                    faults.push(format!("mixed.rows[{i}].columns: at least one, adults rising"));
                }
            }
            let whole = |row: &&super::method::SpanRow| {
                at(&row.from) == Some(0) && at(&row.to) == bands.len().checked_sub(1)
            };
            if !gaps && !rows.iter().any(|r| whole(&r)) {
                faults.push("mixed.rows: one row from the youngest to the oldest band".to_owned());
            }
        }
        _ => {}
    }
}

fn source_faults(standard: &Standard, faults: &mut Vec<String>) {
    let mut keys = vec![("mixed", standard.mixed.source())];
    keys.extend(standard.bands.iter().map(|b| ("bands", b.source.as_str())));
    let sizes = standard.bands.iter().filter_map(|b| b.class_size_source.as_deref());
    keys.extend(sizes.map(|key| ("bands", key)));
    keys.extend(standard.young_together.iter().map(|y| ("young_together", y.source.as_str())));
    keys.extend(standard.kept_apart.iter().map(|a| ("kept_apart", a.source.as_str())));
    keys.extend(standard.session.iter().map(|s| ("session", s.source.as_str())));
    keys.extend(standard.rest.iter().map(|r| ("rest", r.source.as_str())));
    keys.extend(standard.reduced.iter().map(|r| ("reduced", r.source.as_str())));
    keys.extend(standard.brief_absence.iter().map(|b| ("brief_absence", b.source.as_str())));
    keys.extend(standard.switches.iter().map(|s| ("switches", s.source.as_str())));
    keys.extend(standard.least_adults.iter().map(|l| ("least_adults", l.source.as_str())));
    keys.extend(standard.backup.iter().map(|b| ("backup", b.source.as_str())));
    keys.extend(standard.activities.iter().map(|a| ("activities", a.source.as_str())));
    keys.extend(standard.meals.iter().map(|m| ("meals", m.source.as_str())));
    keys.extend(standard.floor.iter().map(|f| ("floor", f.source.as_str())));
    keys.extend(standard.not_judged.iter().map(|n| ("not_judged", n.source.as_str())));
    keys.extend(standard.asks_for.iter().map(|a| ("asks_for", a.source.as_str())));
    for (field, key) in &keys {
        if !standard.sources.contains_key(*key) {
            faults.push(format!("{field}: there is no source `{key}`"));
        }
    }
    for key in standard.sources.keys().filter(|k| !keys.iter().any(|(_, used)| used == k)) {
        faults.push(format!("sources: nothing comes from `{key}`"));
    }
    let blank = |s: &super::Source| s.document.trim().is_empty();
    if standard.force != Force::Local && standard.sources.values().any(blank) {
        faults.push("sources: name document, section and edition".to_owned());
    }
}
