//! The service and the commands that open its store.

use super::service_args::{
    BackupArgs, EraseArgs, ExportArgs, ImportArgs, ServeArgs, StoreArgs, TokenAdd, TokenCommand,
};
use super::{Answer, Wrong, input};
use crate::http::answers::{Erased, time};
use crate::http::calls::{erasures, names};
use crate::http::problem::Problem;
use crate::http::server;
use crate::http::settings::{DATABASE, Setting, Settings};
use crate::store::{Hand, Role, Store, StoreError};
use crate::wire::erase::Person;
use std::future::Future;

/// What a setting is: by flag, else by environment.
fn given(setting: &Setting, flag: Option<&String>) -> Option<String> {
    flag.cloned().or_else(|| std::env::var(setting.variable()).ok())
}

/// Runs something that waits for a store or the network.
fn run<T>(work: impl Future<Output = Result<T, Wrong>>) -> Result<T, Wrong> {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build();
    let runtime = runtime.map_err(|error| Wrong::one(format!("no threads to work on: {error}")))?;
    let done = runtime.block_on(work);
    // A solve that nobody waits for any more does not keep the program from ending.
    runtime.shutdown_background();
    done
}

/// Serves until it is asked to end.
pub(super) fn serve(args: &ServeArgs) -> Result<Answer, Wrong> {
    let settings = Settings::read(|setting| given(setting, args.0.get(setting.flag)));
    let settings = settings.map_err(Wrong)?;
    run(async { server::serve(settings).await.map_err(Wrong::one) })?;
    Ok(Answer::plain(String::new()))
}

async fn open(args: &StoreArgs) -> Result<Store, Wrong> {
    let url = given(&DATABASE, args.database.as_ref());
    let url = url.unwrap_or_else(|| DATABASE.default.to_owned());
    Store::open(&url)
        .await
        .map_err(|error| Wrong::one(format!("the store cannot be opened: {error}")))
}

fn told(error: StoreError) -> Wrong {
    Wrong::one(format!("the store does not answer: {error}"))
}

fn hand() -> Hand {
    Hand { token: "command".into(), request: String::new() }
}

/// Adds, lists and revokes tokens.
pub(super) fn token(command: &TokenCommand) -> Result<Answer, Wrong> {
    run(async {
        match command {
            TokenCommand::Add(add) => add_token(add).await,
            TokenCommand::List(store) => {
                let tokens = open(store).await?.tokens().await.map_err(told)?;
                let line = |token: crate::store::Token| {
                    let site = token.site.unwrap_or_else(|| "all sites".into());
                    let revoked = token.revoked.map(|at| format!(", revoked {}", time(at)));
                    let (id, role, label) = (token.id, token.role.word(), token.label);
                    let made = time(token.made);
                    format!(
                        "{id}  {role:4}  {site}  {label} ({made}{})\n",
                        revoked.unwrap_or_default()
                    )
                };
                Ok(Answer::plain(tokens.into_iter().map(line).collect()))
            }
            TokenCommand::Revoke(revoke) => {
                let store = open(&revoke.store).await?;
                let mut writing = store.write(&hand()).await.map_err(told)?;
                if !writing.revoke_token(&revoke.id).await.map_err(told)? {
                    return Err(Wrong::one(format!("there is no open token `{}`", revoke.id)));
                }
                writing.note(None, "token revoked", &revoke.id).await.map_err(told)?;
                writing.commit().await.map_err(told)?;
                Ok(Answer::plain(format!("Revoked {}.\n", revoke.id)))
            }
        }
    })
}

async fn add_token(add: &TokenAdd) -> Result<Answer, Wrong> {
    let role =
        Role::of(&add.role).ok_or_else(|| Wrong::one("--role: give one of look, plan, run"))?;
    let store = open(&add.store).await?;
    let mut writing = store.write(&hand()).await.map_err(told)?;
    let site = add.site.as_deref();
    let (token, whole) = writing.add_token(&add.label, role, site).await.map_err(told)?;
    writing.note(site, "token added", &token.id).await.map_err(told)?;
    writing.commit().await.map_err(told)?;
    Ok(Answer::plain(format!("{whole}\n")))
}

/// Writes a site's document out.
pub(super) fn export(args: &ExportArgs) -> Result<Answer, Wrong> {
    run(async {
        let site = open(&args.store).await?.site(&args.site).await.map_err(told)?;
        let site = site.ok_or_else(|| Wrong::one(format!("there is no site `{}`", args.site)))?;
        Ok(Answer { to: args.out.clone(), ..Answer::plain(site.document) })
    })
}

/// Puts a document into the store.
pub(super) fn import(args: &ImportArgs) -> Result<Answer, Wrong> {
    let file = input::read(&args.scenario)?;
    let scenario = crate::http::calls::sites::read_document(&file.bytes)
        .map_err(|faults| input::faults(&file, &faults))?;
    let document = String::from_utf8_lossy(&file.bytes).into_owned();
    run(async {
        let store = open(&args.store).await?;
        let id = &scenario.site.id;
        let mut writing = store.write(&hand()).await.map_err(told)?;
        let before = writing.site(id).await.map_err(told)?;
        if before.is_some() && !args.replace {
            let cause = format!("there is a site `{id}` already");
            return Err(Wrong::one(format!("{cause}; add --replace to put this in its place")));
        }
        let old = before.as_ref().map(|site| site.version.as_str());
        let kept = writing.keep_site(id, &document, old).await.map_err(told)?;
        let version = kept.ok_or_else(|| Wrong::one("another change came first; try again"))?;
        names::remember(&mut writing, before.as_ref(), &scenario).await.map_err(told)?;
        writing.note(Some(id), "site put", &version).await.map_err(told)?;
        writing.commit().await.map_err(told)?;
        Ok(Answer::plain(format!("{id}\n")))
    })
}

/// Erases a person.
pub(super) fn erase(args: &EraseArgs) -> Result<Answer, Wrong> {
    let person = match (&args.child, &args.adult) {
        (Some(id), None) => Person::Child(id.clone()),
        (None, Some(id)) => Person::Adult(id.clone()),
        _ => return Err(Wrong::one("give either --child or --adult")),
    };
    run(async {
        let store = open(&args.store).await?;
        let erased = erasures::from_store(&store, &hand(), &args.site, &person).await;
        let erased = erased.map_err(|problem| refused(&problem))?;
        Ok(Answer::plain(after_erasing(&erased, store.is_sqlite())))
    })
}

fn refused(problem: &Problem) -> Wrong {
    let mut lines = vec![format!("{}. {}", problem.kind.title, problem.detail)];
    lines.extend(problem.faults.iter().map(|f| format!("{}: {}; {}", f.pointer, f.cause, f.mend)));
    lines.extend(problem.log.clone());
    Wrong(lines)
}

/// What was done and what was not.
fn after_erasing(erased: &Erased, sqlite: bool) -> String {
    let mut text = format!("Erased; {} charts now have a blank token.\n", erased.charts);
    text.push_str(match (sqlite, erased.forgotten) {
        (true, true) => "The database's free pages and its log are clean.\n",
        (_, false) => {
            "Old pages are still held on to: the service writes them anew when it next starts.\n"
        }
        (false, true) => {
            "The tables were written anew. PostgreSQL's own log and its archives are not reached from here.\n"
        }
    });
    for backup in &erased.backups {
        text.push_str(&format!("Not touched: the backup of {}, {}\n", backup.at, backup.file));
    }
    text
}

/// Copies the store while it is in use.
pub(super) fn backup(args: &BackupArgs) -> Result<Answer, Wrong> {
    // An absolute name, so that the list of known copies says where they are.
    let file = std::path::absolute(&args.to);
    let file = file.map_err(|error| Wrong::one(format!("{}: {error}", args.to.display())))?;
    if file.exists() {
        return Err(Wrong::one(format!("{}: is there already; name a new file", file.display())));
    }
    let Some(name) = file.to_str() else {
        return Err(Wrong::one(format!("{}: name it in plain characters", file.display())));
    };
    run(async {
        let held = open(&args.store).await?.backup(name).await;
        let held = held.map_err(|error| Wrong::one(format!("{}: {error}", file.display())))?;
        let line = |(table, rows): &(&str, i64)| format!("  {table}: {rows}\n");
        let rows: String = held.rows.iter().map(line).collect();
        let about = "The copy passed the database's own check and holds so many rows:\n";
        Ok(Answer::plain(format!(
            "{about}{rows}It is not encrypted: birth dates and allergies are in it.\n"
        )))
    })
}
