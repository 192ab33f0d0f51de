//! The trail: who changed what, and when. Nobody who is planned for stands in it.

use super::{Kept, Store, Writing, ids, maybe, text, whole};

/// One change.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct TrailLine {
    /// Its id; later ones sort after earlier ones.
    pub id: String,
    /// When, in seconds since 1970.
    pub at: i64,
    /// Id of the token.
    pub token: String,
    /// Id of the request.
    pub request: String,
    /// The site that it was done to.
    pub site: Option<String>,
    /// What was done.
    pub did: String,
    /// To what: an id of the store, a date.
    pub about: String,
}

impl Store {
    /// The trail of a site, or of everything, before `before`, newest first.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn trail(&self, site: Option<&str>, before: &str, most: i64) -> Kept<Vec<TrailLine>> {
        let sql = "SELECT id, at, token, request, site, did, about FROM trail \
            WHERE (site = $1 OR $2 = 1) AND ($3 = '' OR id < $3) ORDER BY id DESC LIMIT $4";
        let all = i64::from(site.is_none());
        let rows = sqlx::query(sql).bind(site.unwrap_or("")).bind(all).bind(before).bind(most);
        let read = |row: &sqlx::any::AnyRow| {
            Ok(TrailLine {
                id: text(row, "id")?,
                at: whole(row, "at")?,
                token: text(row, "token")?,
                request: text(row, "request")?,
                site: maybe(row, "site")?,
                did: text(row, "did")?,
                about: text(row, "about")?,
            })
        };
        rows.fetch_all(&self.reader).await?.iter().map(read).collect()
    }
}

impl Writing {
    /// Writes a change down.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn note(&mut self, site: Option<&str>, did: &str, about: &str) -> Kept<()> {
        let sql = "INSERT INTO trail (id, at, token, request, site, did, about) \
            VALUES ($1, $2, $3, $4, $5, $6, $7)";
        sqlx::query(sql)
            .bind(ids::new_id())
            .bind(self.now)
            .bind(&self.hand.token)
            .bind(&self.hand.request)
            .bind(site.map(str::to_owned))
            .bind(did)
            .bind(about)
            .execute(&mut *self.tx)
            .await?;
        Ok(())
    }
}
