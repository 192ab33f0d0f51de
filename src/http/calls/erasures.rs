//! A person out of everything that is kept, and the trail of who changed what.

use super::stored::{cut, limit};
use crate::http::answers::{Change, Erased, KnownBackup, TrailPage, time};
use crate::http::call::{Answer, Call, Reply};
use crate::http::form::{Form, Holds, maybe};
use crate::http::problem::{CONFLICT, FACTS, FORBIDDEN, FaultLine, LOST_RACE, MISSING, Problem};
use crate::store::{Called, Hand, Kind, Store, Texts, ids};
use crate::wire::erase::{Leaver, Person};

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
    // Among the writes: nobody changes the site, or keeps a chart of it, until this is done.
    let mut writing = store.write(hand).await?;
    let site = writing.site(site).await?.ok_or_else(|| Problem::plain(MISSING))?;
    let scenario = super::sites::checked(&site.document)?;
    let token = format!("erased-{}", ids::chance(4));
    let mut leaver = Leaver::new(person.clone(), &scenario, &token);
    let (kind, id) = match person {
        Person::Child(id) => (Kind::Child, id),
        Person::Adult(id) => (Kind::Adult, id),
    };
    let names = writing.names(&site.id).await?;
    let own = |name: &&Called| name.kind == kind && (name.id == *id || name.was == *id);
    for name in names.iter().filter(|name| !own(name)) {
        leaver.other_is_called(&name.was, &name.label);
    }
    for name in names.iter().filter(own) {
        leaver.is_called(&name.was, &name.label);
        writing.drop_name(&site.id, name).await?;
    }
    writing.each_chart(&site.id, &mut |chart| leaver.seek(chart)).await?;
    if !leaver.is_known() {
        return Err(Problem::plain(MISSING));
    }
    let document = leaver.document(&site.document, &scenario);
    let document = document.ok_or_else(|| Problem::plain(MISSING))?;
    if let Err(problem) = super::sites::checked(&document) {
        let detail = "The site's facts would not hold without this person: change them first.";
        return Err(Problem { kind: CONFLICT, detail: detail.into(), ..problem });
    }
    let texts = Texts {
        document,
        other: &|text, beside| leaver.other(text, beside),
        words: &|text| leaver.words(text),
    };
    let charts = writing.erase(&site.id, &site.version, &texts).await?;
    let charts = charts.ok_or_else(|| Problem::plain(LOST_RACE))?;
    writing.note(Some(&site.id), "person erased", &token).await?;
    writing.commit().await?;
    // It is done, whether or not the pages can be written anew just now.
    let forgotten = store.forget().await.unwrap_or(false);
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
