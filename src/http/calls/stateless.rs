//! Calls that bring a whole scenario and leave nothing behind.

use crate::http::call::{Answer, Call, Reply};
use crate::http::form::{Field, Form, Holds, maybe, needed};
use crate::http::jobs;
use crate::http::work::{Order, Verb, carry_out};
use crate::store::NewJob;
use crate::wire::limits;

/// What `POST /v1/charts` takes.
pub const CHART: Form = Form {
    name: "ChartRequest",
    fields: &[
        SCENARIO,
        maybe("date", Holds::Date, "The date; left out: the first of the scenario's `days`."),
        maybe("room", Holds::Id, "The room; left out: the only one."),
        SEED,
    ],
};

/// What `POST /v1/audits` takes.
pub const AUDIT: Form =
    Form { name: "AuditRequest", fields: &[SCENARIO, needed("chart", Holds::Chart, "The chart.")] };

/// What every call without a store brings.
const SCENARIO: Field = needed("scenario", Holds::Scenario, "The scenario.");
/// From when on a day is repaired.
pub const AT: Field = needed("at", Holds::Time, "From when on; what lies before stands.");
/// What has happened.
pub const HAPPENINGS: Field =
    needed("happenings", Holds::Objects("Happening", limits::HAPPENINGS), "What has happened.");
/// A fix to take.
pub const FIX: Field = maybe(
    "fix",
    Holds::Whole(1, crate::planner::MOST_FIXES as i64),
    "The fix to take, by its number in `fixes` of the same call without it.",
);
/// The seed of a search.
pub const SEED: Field =
    maybe("seed", Holds::Whole(0, i64::MAX), "The same seed gives the same chart; 1.");

/// When a block starts.
pub const FROM: Field = needed("from", Holds::Time, "When the block starts.");
/// When a block ends.
pub const TO: Field = needed("to", Holds::End, "When it ends.");
/// Which stations a block has.
pub const STATIONS: Field =
    needed("stations", Holds::Ids(limits::BLOCK_STATIONS), "The stations that run.");
/// Whose place is asked about.
pub const GROUP: Field = needed("group", Holds::Id, "The small group.");
/// When.
pub const WHEN: Field = needed("at", Holds::Time, "A minute of the turn.");
/// And where not.
pub const NOT: Field = maybe("not", Holds::Id, "One station alone: why not there.");

/// What `POST /v1/checks` takes.
pub const CHECK: Form = Form {
    name: "CheckRequest",
    fields: &[
        SCENARIO,
        maybe(
            "chart",
            Holds::Chart,
            "The chart on the wall; left out: the facts of the day alone.",
        ),
        maybe("date", Holds::Date, "Without a chart: the date; left out: the first of `days`."),
        maybe("room", Holds::Id, "Without a chart: the room; left out: the only one."),
        FROM,
        TO,
        STATIONS,
    ],
};

/// What `POST /v1/whys` takes.
pub const WHY: Form = Form {
    name: "WhyRequest",
    fields: &[SCENARIO, needed("chart", Holds::Chart, "The chart."), GROUP, WHEN, NOT, SEED],
};

/// What `POST /v1/repairs` takes.
pub const REPAIR: Form = Form {
    name: "RepairRequest",
    fields: &[
        SCENARIO,
        needed("chart", Holds::Chart, "The chart on the wall, also one that was repaired before."),
        AT,
        HAPPENINGS,
        FIX,
        SEED,
    ],
};

/// Makes a chart.
///
/// # Errors
/// As the reference says.
pub async fn chart(call: Call) -> Answer {
    solve(call, Verb::Chart).await
}

/// Judges a chart.
///
/// # Errors
/// As the reference says.
pub async fn audit(call: Call) -> Answer {
    solve(call, Verb::Audit).await
}

/// Repairs a running day.
///
/// # Errors
/// As the reference says.
pub async fn repair(call: Call) -> Answer {
    solve(call, Verb::Repair).await
}

/// Checks a block.
///
/// # Errors
/// As the reference says.
pub async fn check(call: Call) -> Answer {
    solve(call, Verb::Check).await
}

/// Says why a group is where it is.
///
/// # Errors
/// As the reference says.
pub async fn why(call: Call) -> Answer {
    solve(call, Verb::Why).await
}

/// The form of a verb's stateless call.
#[must_use]
pub fn form(verb: Verb) -> &'static Form {
    match verb {
        Verb::Chart => &CHART,
        Verb::Audit => &AUDIT,
        Verb::Repair => &REPAIR,
        Verb::Check => &CHECK,
        Verb::Why => &WHY,
    }
}

async fn solve(call: Call, verb: Verb) -> Answer {
    let given = call.given(form(verb))?;
    let order = Order {
        verb,
        scenario: given.json("scenario").unwrap_or_default(),
        scenario_at: Some("/scenario"),
        chart: given.json("chart"),
        chart_at: Some("/chart"),
        given,
        media: call.media,
        adult: None,
        search_percent: call.service.settings.search_percent,
    };
    if jobs::wanted(&call) {
        let request = String::from_utf8_lossy(&call.body).into_owned();
        let job = NewJob { site: None, verb: verb.word().into(), chart: None, request };
        return jobs::put(call, job, order).await;
    }
    told(call, order).await
}

/// Carries an order out and tells what came of it.
pub(super) async fn told(call: Call, order: Order) -> Answer {
    let done = call.service.solver.run(move |ticket| carry_out(&order, ticket)).await??;
    Ok(Reply::new(200, call.media, done.body))
}
