//! The table of calls: what makes the routes, the description and the reference page.

use super::calls::{days, erasures, jobs, lists, running, sites, stateless, stored, visits};
use super::media::Media::{Calendar, Csv, Events, Html, Json, Text};
use super::operation::{
    AFTER, AFTER_NUMBER, BEFORE, DATE, LIMIT, Operation, PLACE, Takes, get, in_text, post,
};
use crate::store::Role;

macro_rules! run {
    ($call:path) => {
        |call| Box::pin($call(call))
    };
}

/// Every call, in the order in which the reference lists them.
pub static OPERATIONS: &[Operation] = &[
    Operation {
        media: &[Json, Text, Csv, Calendar],
        job: true,
        ..post(
            "makeChart",
            "/v1/charts",
            "Makes the chart of one room and date from a whole scenario. Nothing is kept.",
            &stateless::CHART,
            "Chart",
            run!(stateless::chart),
        )
    },
    Operation {
        media: &[Json, Text, Csv, Calendar],
        job: true,
        ..post(
            "auditChart",
            "/v1/audits",
            "Judges any chart, also one that was edited by hand. Nothing is kept.",
            &stateless::AUDIT,
            "Chart",
            run!(stateless::audit),
        )
    },
    Operation {
        media: &[Json, Text],
        job: true,
        ..post(
            "repairDay",
            "/v1/repairs",
            "Repairs the rest of a running day after something has happened. Nothing is kept.",
            &stateless::REPAIR,
            "Chart",
            run!(stateless::repair),
        )
    },
    Operation {
        media: &[Json, Text],
        job: true,
        ..post(
            "checkBlock",
            "/v1/checks",
            "Checks a block before it starts: go, go with changes, or no-go. Nothing is kept.",
            &stateless::CHECK,
            "BlockCheck",
            run!(stateless::check),
        )
    },
    Operation {
        media: &[Json, Text],
        job: true,
        ..post(
            "explainPlace",
            "/v1/whys",
            "Says why a small group is where it is, and what every other station would break or cost.",
            &stateless::WHY,
            "Any",
            run!(stateless::why),
        )
    },
    Operation {
        query: &[PLACE],
        ..in_text(get(
            "listStandards",
            "/v1/standards",
            "The published rule sets that are built in, all or those of a place.",
            "Standards",
            run!(lists::standards),
        ))
    },
    in_text(get(
        "readStandard",
        "/v1/standards/{standard}",
        "One rule set with its figures, their sources and how each was checked.",
        "Any",
        run!(lists::standard),
    )),
    in_text(get(
        "listRules",
        "/v1/rules",
        "Every rule, worst first, and every aim, most wanted first.",
        "Any",
        run!(lists::rules),
    )),
    Operation {
        query: &[AFTER, LIMIT],
        ..get(
            "listSites",
            "/v1/sites",
            "The sites, in order of id.",
            "SitesPage",
            run!(sites::list),
        )
    },
    get(
        "readSite",
        "/v1/sites/{site}",
        "A site's document: a scenario, as it was last put. This is also its export.",
        "Scenario",
        run!(sites::read),
    ),
    Operation {
        method: "PUT",
        role: Some(Role::Run),
        takes: Takes::Text("Scenario"),
        status: &[200, 201],
        versioned: true,
        ..get(
            "putSite",
            "/v1/sites/{site}",
            "Puts a site's document, new or in place of the version that `If-Match` names.",
            "SiteLine",
            run!(sites::put),
        )
    },
    Operation {
        method: "DELETE",
        role: Some(Role::Run),
        status: &[204],
        versioned: true,
        ..get(
            "removeSite",
            "/v1/sites/{site}",
            "Removes a site with its charts, and makes the database forget them.",
            "",
            run!(sites::remove),
        )
    },
    get(
        "readDay",
        "/v1/sites/{site}/days/{date}",
        "What is said about a date: an entry of the scenario's `days`.",
        "DayEntry",
        run!(days::read),
    ),
    Operation {
        method: "PUT",
        role: Some(Role::Plan),
        takes: Takes::Text("DayEntry"),
        status: &[200, 201],
        versioned: true,
        ..get(
            "putDay",
            "/v1/sites/{site}/days/{date}",
            "Says what a date brings: who is away, what is closed, indoors or out.",
            "DayEntry",
            run!(days::put),
        )
    },
    Operation {
        query: &[DATE, BEFORE, LIMIT],
        ..get(
            "listCharts",
            "/v1/sites/{site}/charts",
            "The charts that are kept, newest first, without the charts themselves.",
            "ChartsPage",
            run!(stored::list),
        )
    },
    Operation {
        status: &[201],
        keyed: true,
        job: true,
        ..post(
            "makeSiteChart",
            "/v1/sites/{site}/charts",
            "Makes the chart of a room and date and keeps it; or keeps a chart that is sent, judged.",
            &stored::CHART,
            "RevisionLine",
            run!(stored::make),
        )
    },
    Operation {
        media: &[Json, Text, Csv, Calendar],
        ..get(
            "readSiteChart",
            "/v1/sites/{site}/charts/{chart}",
            "A chart that is kept.",
            "RevisionLine",
            run!(stored::read),
        )
    },
    Operation {
        media: &[Calendar],
        ..get(
            "readCalendar",
            "/v1/sites/{site}/charts/{chart}/calendars/{adult}",
            "One adult's posts as iCalendar.",
            "",
            run!(stored::calendar),
        )
    },
    in_text(post(
        "auditSiteChart",
        "/v1/sites/{site}/charts/{chart}/audits",
        "Judges a chart that is kept by the facts of the site as they are now.",
        &stored::NOTHING,
        "Chart",
        run!(stored::audit),
    )),
    Operation {
        media: &[Json, Text],
        status: &[201],
        keyed: true,
        job: true,
        ..post(
            "repairSiteChart",
            "/v1/sites/{site}/charts/{chart}/repairs",
            "Repairs the rest of the day of a chart that is kept, and keeps the new chart.",
            &stored::REPAIR,
            "RevisionLine",
            run!(stored::repair),
        )
    },
    in_text(post(
        "checkSiteBlock",
        "/v1/sites/{site}/charts/{chart}/checks",
        "Checks a block over a chart that is kept.",
        &stored::CHECK,
        "BlockCheck",
        run!(stored::check),
    )),
    in_text(post(
        "checkSiteDay",
        "/v1/sites/{site}/checks",
        "Checks a block over the facts of a day, before there is a chart.",
        &stored::CHECK_DAY,
        "BlockCheck",
        run!(stored::check_day),
    )),
    in_text(post(
        "explainSitePlace",
        "/v1/sites/{site}/charts/{chart}/whys",
        "Says why a small group of a chart that is kept is where it is.",
        &stored::WHY,
        "Any",
        run!(stored::why),
    )),
    Operation {
        query: &[DATE, AFTER_NUMBER, LIMIT],
        ..get(
            "listVisits",
            "/v1/sites/{site}/visits",
            "Who did what: the site's visit record, in the order in which it was kept.",
            "VisitsAnswer",
            run!(visits::list),
        )
    },
    Operation {
        status: &[201],
        keyed: true,
        ..post(
            "addVisits",
            "/v1/sites/{site}/visits",
            "Adds to the visit record: who was at a station, or all visits of a chart that is kept.",
            &visits::VISITS,
            "VisitsAnswer",
            run!(visits::add),
        )
    },
    Operation {
        media: &[Json, Csv],
        ..get(
            "readRatioRecord",
            "/v1/sites/{site}/ratio-records/{date}",
            "Who was needed and who was there, all day, from each room's newest chart.",
            "RatioRecord",
            run!(visits::ratio_record),
        )
    },
    Operation {
        role: Some(Role::Run),
        query: &[BEFORE, LIMIT],
        ..get(
            "readTrail",
            "/v1/sites/{site}/trail",
            "Who changed what, newest first.",
            "TrailPage",
            run!(erasures::trail),
        )
    },
    Operation {
        role: Some(Role::Run),
        query: &[BEFORE, LIMIT],
        ..get(
            "readWholeTrail",
            "/v1/trail",
            "Who changed what of all sites and tokens, newest first; not for a token of one site.",
            "TrailPage",
            run!(erasures::trail),
        )
    },
    Operation {
        role: Some(Role::Run),
        ..post(
            "erasePerson",
            "/v1/sites/{site}/erasures",
            "Puts a blank token for a child or an adult wherever the service has kept the person.",
            &erasures::PERSON,
            "Erased",
            run!(erasures::erase),
        )
    },
    get(
        "readJob",
        "/v1/jobs/{job}",
        "A job: how it stands, and its result once it is done. Kept for a day after its end.",
        "Job",
        run!(jobs::read),
    ),
    Operation {
        media: &[Events],
        ..get(
            "followJob",
            "/v1/jobs/{job}/events",
            "What becomes of a job, as server-sent events, until it is over.",
            "",
            run!(jobs::follow),
        )
    },
    Operation {
        method: "DELETE",
        role: Some(Role::Plan),
        status: &[204],
        ..get("cancelJob", "/v1/jobs/{job}", "Calls a job off.", "", run!(jobs::cancel))
    },
    Operation {
        role: None,
        ..get("health", "/healthz", "Whether the program runs.", "Health", run!(running::health))
    },
    Operation {
        role: None,
        ..get("readiness", "/readyz", "Whether the store answers.", "Health", run!(running::ready))
    },
    Operation {
        media: &[Text],
        ..get("metrics", "/metrics", "Figures for Prometheus.", "", run!(running::metrics))
    },
    Operation {
        role: None,
        ..get(
            "description",
            "/openapi.json",
            "This description.",
            "Any",
            run!(running::description),
        )
    },
    Operation {
        role: None,
        media: &[Html],
        ..get(
            "reference",
            "/reference",
            "This description, for reading.",
            "",
            run!(running::reference),
        )
    },
];
