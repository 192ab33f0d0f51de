//! A person out of everything that is kept, and the trail of who changed what.

use super::stored::{cut, limit};
use crate::http::answers::{Change, Erased, KnownBackup, TrailPage, time};
use crate::http::call::{Answer, Call, Reply};
use crate::http::form::{Form, Holds, maybe};
use crate::http::problem::{CONFLICT, FACTS, FORBIDDEN, FaultLine, LOST_RACE, MISSING, Problem};
use crate::store::{Hand, Store, Texts, ids};
use crate::wire::erase::{Person, without, without_in};

/// What `POST /v1/sites/{site}/erasures` takes.
pub const PERSON: Form = Form {
    name: "ErasureRequest",
    fields: &[
        maybe("child", Holds::Id, "The child to erase."),
        maybe("adult", Holds::Id, "Or the adult."),
    ],
};

/// Erases a person.
///
/// # Errors
/// When the person is not there, or the site's facts would not hold without the person.
pub async fn erase(call: Call) -> Answer {
    let given = call.given(&PERSON)?;
    let person = match (given.text("child"), given.text("adult")) {
        (Some(id), None) => Person::Child(id.to_owned()),
        (None, Some(id)) => Person::Adult(id.to_owned()),
        _ => {
            let line = FaultLine {
                pointer: String::new(),
                cause: "it is not said who is to be erased".into(),
                mend: "give either `child` or `adult`".into(),
            };
            return Err(Problem { faults: vec![line], ..Problem::plain(FACTS) });
        }
    };
    let (store, hand) = (&call.service.store, call.hand());
    let erased = from_store(store, &hand, call.step("site"), &person).await?;
    Ok(Reply::json(200, &erased))
}

/// Erases a person of a site from a store, and makes the database forget.
///
/// # Errors
/// When the person is not there, or the site's facts would not hold without the person.
pub async fn from_store(
    store: &Store,
    hand: &Hand,
    site: &str,
    person: &Person,
) -> Result<Erased, Problem> {
    let site = store.site(site).await?.ok_or_else(|| Problem::plain(MISSING))?;
    let scenario = super::sites::checked(&site.document)?;
    let label = person.label(&scenario).ok_or_else(|| Problem::plain(MISSING))?;
    let token = format!("erased-{}", ids::chance(4));
    let document = without(&site.document, person, &scenario, &token)
        .ok_or_else(|| Problem::plain(MISSING))?;
    if let Err(problem) = super::sites::checked(&document) {
        let detail = "The site's facts would not hold without this person: change them first.";
        return Err(Problem { kind: CONFLICT, detail: detail.into(), ..problem });
    }
    let other = |text: &str| without_in(text, person, &label, &token);
    let mut writing = store.write(hand).await?;
    let texts = Texts { document, other: &other };
    let charts = writing.erase(&site.id, &site.version, &texts).await?;
    let charts = charts.ok_or_else(|| Problem::plain(LOST_RACE))?;
    writing.note(Some(&site.id), "person erased", &token).await?;
    writing.commit().await?;
    let forgotten = store.forget().await?;
    let backups = store.known_backups().await?;
    let backup = |(at, file)| KnownBackup { at: time(at), file };
    Ok(Erased { charts, forgotten, backups: backups.into_iter().map(backup).collect() })
}

/// The trail of a site, or, where the path names none, of everything: tokens and sites too. A token
/// for one site does not see that.
///
/// # Errors
/// When the token is for one site, or the store does not answer.
pub async fn trail(call: Call) -> Answer {
    let most = limit(&call);
    let before = call.parameter("before").unwrap_or("");
    let site = call.path.get("site").map(String::as_str);
    if site.is_none() && call.who.site.is_some() {
        return Err(Problem::plain(FORBIDDEN));
    }
    let mut lines = call.service.store.trail(site, before, most + 1).await?;
    let more = cut(&mut lines, most);
    let next = more.then(|| lines.last().map(|line| line.id.clone())).flatten();
    Ok(Reply::json(200, &TrailPage { trail: lines.into_iter().map(Change::from).collect(), next }))
}
