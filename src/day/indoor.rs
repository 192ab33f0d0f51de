//! Indoor day or not, and why; what that does to the schedule.

use super::OutdoorsWord;
use crate::site::{Dressing, Part, PartKind, Schedule, Span, Stretch, StretchKind};
use crate::standards::weather::{self, Act, Basis, Reading, Temperature, Unit, Weather};

const NOTHING_SAID: &str = "Nothing was said about the weather: the children go out.";
/// Minutes of one outdoor part on a day on which it is shortened; a US school district's policy
/// gives 15 to 20 minutes (verified, local).
pub const SHORTENED_MINUTES: u16 = 20;

/// Most movement breaks that an indoor day asks for before they get longer instead; common
/// practice, no source (4 to 6 a day).
pub const MOST_BREAKS: u32 = 6;
/// Minutes up and about, between arrival and going home, for which a day holds one movement break at
/// the most, so that turns and choice are not cut to pieces (common practice).
pub const MINUTES_A_BREAK: u32 = 90;

/// Longest movement break, in minutes, that an indoor day asks for; common practice, no source.
pub const LONGEST_BREAK: u16 = 20;

/// Minutes before and after a lost outdoor part that dressing and washing would have taken, at most
/// (common practice).
const AROUND: u16 = 30;

/// Whether the children stay in today, and what that was decided from.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct IndoorDay {
    /// The children stay in.
    pub value: bool,
    /// They go out, but for a shorter time.
    pub shorten: bool,
    /// One sentence for a teacher.
    pub why: String,
    /// The figures that were compared, not rounded; none after a teacher's word.
    pub inputs: Vec<Input>,
    /// Name of the formula behind the figure that decided, if one did.
    pub formula: Option<String>,
    /// The limit that decided, with its source.
    pub threshold: Option<String>,
    /// Movement breaks wanted today; outdoor parts of a break's length count as one.
    pub movement_target: u32,
    /// What the weather asks the children to put on.
    pub clothing: Clothing,
}

/// How much there is to put on before going out.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Clothing {
    /// As on a mild, dry day; also where nothing was said of the weather.
    #[default]
    Usual,
    /// It is cold or wet.
    More,
    /// It is warm and dry.
    Less,
}

impl Clothing {
    fn for_weather(weather: &Weather, dressing: &Dressing) -> Clothing {
        let celsius = weather.temperature.map(|t| t.in_unit(Unit::Celsius));
        let cold = celsius.is_some_and(|c| c < f64::from(dressing.cold_below_celsius));
        let warm = celsius.is_some_and(|c| c >= f64::from(dressing.warm_from_celsius));
        match (cold || weather.wet, warm) {
            (true, _) => Clothing::More,
            (false, true) => Clothing::Less,
            (false, false) => Clothing::Usual,
        }
    }
}

/// One figure that was compared.
#[derive(Clone, PartialEq, Debug)]
pub struct Input {
    /// What it is (`wind chill`).
    pub name: String,
    /// Not rounded.
    pub value: f64,
    /// `F`, `C`, or nothing.
    pub unit: String,
}

/// Decides from the teacher's word or the weather, for the schedule of the date before any part
/// of it is taken away.
#[must_use]
pub fn decide(word: &OutdoorsWord, schedule: &Schedule) -> IndoorDay {
    let clothing = match word {
        OutdoorsWord::Nothing | OutdoorsWord::Teacher { .. } => Clothing::Usual,
        OutdoorsWord::Weather(weather) => Clothing::for_weather(weather, &schedule.dressing),
    };
    let mut day = match word {
        OutdoorsWord::Nothing => IndoorDay { why: NOTHING_SAID.to_owned(), ..IndoorDay::default() },
        OutdoorsWord::Teacher { indoor } => IndoorDay {
            value: *indoor,
            why: match indoor {
                true => "You said so: the children stay in today.".to_owned(),
                false => "You said so: the children go out today.".to_owned(),
            },
            ..IndoorDay::default()
        },
        OutdoorsWord::Weather(weather) => from_weather(weather),
    };
    day.clothing = clothing;
    let movement = day.lay_over(schedule).movement;
    day.movement_target = if day.value { movement.indoor_day } else { movement.outdoor_day };
    day
}

fn from_weather(weather: &Weather) -> IndoorDay {
    let named = weather.rule_set.as_deref().and_then(weather::find);
    let Some(rules) = named.or_else(|| weather::find(weather::DEFAULT)) else {
        return IndoorDay::default();
    };
    let verdict = weather::judge(weather, rules);
    let inputs = verdict.readings.iter().filter(|r| r.basis != Basis::Lightning).map(|r| Input {
        name: r.basis.to_string(),
        value: r.value,
        unit: r.unit.to_string().trim().to_owned(),
    });
    let inputs: Vec<Input> = inputs.collect();
    let act = match verdict.act {
        Act::GoOut => "the children go out",
        Act::Shorten => "the children go out, for a shorter time",
        Act::StayIn => "the children stay in",
    };
    let why = match (&verdict.threshold, &verdict.decided_by) {
        (Some(limit), Some(_)) if limit.basis == Basis::Lightning => {
            format!("There is lightning: {act} ({}).", limit.source)
        }
        (Some(limit), Some(reading)) => {
            let shown = shown(reading, weather);
            let (basis, operator) = (limit.basis.to_string(), limit.operator);
            let basis = basis[..1].to_uppercase() + &basis[1..];
            let value = limit.value;
            format!(
                "{basis} {shown} is {operator} {value}{}: {act} ({}).",
                limit.unit, limit.source
            )
        }
        _ if inputs.is_empty() && !weather.wet => NOTHING_SAID.into(),
        _ => format!("The weather is within the limits of {}: {act}.", rules.label),
    };
    IndoorDay {
        value: verdict.act == Act::StayIn,
        shorten: verdict.act == Act::Shorten,
        why,
        inputs,
        formula: verdict.decided_by.as_ref().and_then(|r| r.formula).map(str::to_owned),
        threshold: verdict.threshold.map(ToString::to_string),
        ..IndoorDay::default()
    }
}

/// A reading with two digits, and in Celsius as well for whoever measured so.
fn shown(reading: &Reading, weather: &Weather) -> String {
    let (value, unit) = (reading.value, reading.unit);
    if unit == Unit::Number {
        return format!("{value}");
    }
    let metric = matches!(weather.temperature, Some(Temperature::Celsius(_)));
    if metric && unit == Unit::Fahrenheit {
        return format!("{value:.2}{unit} ({:.1} C)", weather::formula::celsius(value));
    }
    format!("{value:.2}{unit}")
}

impl IndoorDay {
    /// The schedule that holds today.
    ///
    /// Dressing takes what today's weather makes of it.
    /// On an indoor day the outdoor parts are gone (those before the rest become time for turns), on
    /// a shortened one each keeps its first [`SHORTENED_MINUTES`]. The moving minutes of the day stay as they were ("bad weather":
    /// Caring for Our Children, standard 3.1.3.1, 2018, verified): what is lost out of doors comes
    /// back as movement breaks of the schedule's own length, up to [`MOST_BREAKS`] and
    /// one for every [`MINUTES_A_BREAK`] up and about (or the
    /// schedule's own number, if that is more); what is still missing makes each of them longer by
    /// steps of five minutes, up to [`LONGEST_BREAK`].
    #[must_use]
    pub fn lay_over(&self, schedule: &Schedule) -> Schedule {
        let mut today = schedule.clone();
        self.dress(&mut today.dressing);
        if !self.value && !self.shorten {
            return today;
        }
        let out = |part: &Part| part.kind == PartKind::Outdoors;
        let mut lost: u16 = 0;
        for part in today.parts.iter_mut().filter(|p| out(p)) {
            let kept = if self.value { 0 } else { SHORTENED_MINUTES.min(part.span.minutes()) };
            lost += part.span.minutes() - kept;
            if let Some(span) = Span::new(part.span.from, part.span.from.later(kept)) {
                part.span = span;
            }
        }
        if self.value {
            assign_lost_mornings(&mut today);
            today.parts.retain(|p| !out(p));
        }
        let movement = &mut today.movement;
        let outings = schedule.parts.iter().filter(|p| out(p)).count() as u32;
        // Outdoor parts count among the breaks of an outdoor day: only the others are on top.
        let (besides, own) = if self.value {
            (movement.outdoor_day.saturating_sub(outings), movement.indoor_day)
        } else {
            (0, 0)
        };
        let length = u32::from(movement.minutes.max(1));
        let minutes = u32::from(lost) + besides * length;
        let comes_and_goes = |p: &&Part| matches!(p.kind, PartKind::Arrival | PartKind::GoingHome);
        let away = schedule.parts.iter().filter(comes_and_goes).map(|p| p.span.minutes());
        let resting = schedule.rest.as_ref().map_or(0, |r| r.minutes);
        let busy = away.fold(resting, u16::saturating_add);
        let up = u32::from(schedule.open.minutes().saturating_sub(busy));
        let mut most = MOST_BREAKS.min(up / MINUTES_A_BREAK).max(own).max(1);
        let breaks = minutes.div_ceil(length).max(own);
        if self.value {
            movement.indoor_day = breaks.min(most);
        } else {
            // A day out of doors, however short, asks for no more of them than one indoors.
            let indoors = MOST_BREAKS.min(up / MINUTES_A_BREAK).max(movement.indoor_day);
            most = most.min(indoors.saturating_sub(movement.outdoor_day));
            movement.outdoor_day += breaks.min(most);
        }
        if breaks > most {
            let each = minutes.div_ceil(most.max(1)).div_ceil(5) * 5;
            let each = u16::try_from(each).unwrap_or(LONGEST_BREAK).min(LONGEST_BREAK);
            movement.minutes = movement.minutes.max(each);
        }
        today
    }

    /// Makes the minutes of a mild, dry day those of today.
    fn dress(&self, dressing: &mut Dressing) {
        let (more, less) = match self.clothing {
            Clothing::Usual => (0, 0),
            Clothing::More => (dressing.more_when_cold_or_wet, 0),
            Clothing::Less => (0, dressing.less_when_warm),
        };
        for band in &mut dressing.minutes {
            band.minutes = (band.minutes + more).saturating_sub(less);
        }
    }
}

/// The time of outdoor parts before the rest becomes an assigned stretch, where no other stretch is:
/// with the minutes around it, from the meal before to the meal after, in which the children would
/// have dressed and washed; what lies after the rest is left to choice (common practice).
fn assign_lost_mornings(today: &mut Schedule) {
    let rest = today.rest.as_ref().map_or(today.open.to, |r| r.window.from);
    let lost = today.parts.iter().filter(|p| p.kind == PartKind::Outdoors && p.span.from < rest);
    for span in lost.map(|p| p.span).collect::<Vec<Span>>() {
        if today.stretches.iter().any(|s| s.span.meets(span)) {
            continue;
        }
        let parts = today.parts.iter().map(|p| p.span).filter(|s| !s.meets(span));
        let stretches = today.stretches.iter().map(|s| s.span);
        let meals =
            today.meals.iter().map(|m| Span { to: m.window.from.later(m.minutes), ..m.window });
        let taken: Vec<Span> = parts.chain(stretches).chain(meals).collect();
        let before = taken.iter().map(|t| t.to).filter(|to| *to <= span.from).max();
        let after = taken.iter().map(|t| t.from).filter(|from| *from >= span.to).min();
        let span = Span {
            from: before.unwrap_or(span.from).max(span.from.earlier(AROUND)),
            to: after.unwrap_or(span.to).min(span.to.later(AROUND)),
        };
        today.stretches.push(Stretch { kind: StretchKind::Assigned, span });
    }
    today.stretches.sort_by_key(|s| s.span);
}
