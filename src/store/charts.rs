//! Charts: revisions that are never changed, each with the one that it came from.

use super::{Kept, Store, Writing, ids, maybe, text, whole};
use sqlx::any::AnyRow;

/// What is known of a revision without its chart.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ChartLine {
    /// Its id; later ones sort after earlier ones.
    pub id: String,
    /// The room's id.
    pub room: String,
    /// `YYYY-MM-DD`.
    pub date: String,
    /// The revision that it came from.
    pub parent: Option<String>,
    /// How it came about: `made`, `repaired` or `brought`.
    pub verb: String,
    /// Whether no rule is broken.
    pub safe_to_run: bool,
    /// Id of the token that asked for it.
    pub made_by: String,
    /// When, in seconds since 1970.
    pub made: i64,
}

/// A revision with its chart.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StoredChart {
    /// What is known of it.
    pub line: ChartLine,
    /// The chart, as JSON text.
    pub chart: String,
}

/// A revision to be kept.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NewChart {
    /// The site.
    pub site: String,
    /// How often somebody of the site had been erased when it was read for this.
    pub erasures: i64,
    /// The room's id.
    pub room: String,
    /// `YYYY-MM-DD`.
    pub date: String,
    /// The revision that it came from.
    pub parent: Option<String>,
    /// How it came about.
    pub verb: &'static str,
    /// Whether no rule is broken.
    pub safe_to_run: bool,
    /// The chart, as JSON text.
    pub chart: String,
}

fn line(row: &AnyRow) -> Kept<ChartLine> {
    Ok(ChartLine {
        id: text(row, "id")?,
        room: text(row, "room")?,
        date: text(row, "date")?,
        parent: maybe(row, "parent")?,
        verb: text(row, "verb")?,
        safe_to_run: whole(row, "safe")? == 1,
        made_by: text(row, "made_by")?,
        made: whole(row, "made")?,
    })
}

impl Store {
    /// A revision of a site.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn chart(&self, site: &str, id: &str) -> Kept<Option<StoredChart>> {
        let sql = "SELECT id, room, date, parent, verb, safe, made_by, made, chart FROM charts \
            WHERE site = $1 AND id = $2";
        let row = sqlx::query(sql).bind(site).bind(id).fetch_optional(&self.reader).await?;
        row.map(|row| Ok(StoredChart { line: line(&row)?, chart: text(&row, "chart")? }))
            .transpose()
    }

    /// Revisions of a site before `before`, newest first; of one date where it is not empty.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn charts(
        &self,
        site: &str,
        date: &str,
        before: &str,
        most: i64,
    ) -> Kept<Vec<ChartLine>> {
        let sql = "SELECT id, room, date, parent, verb, safe, made_by, made FROM charts \
            WHERE site = $1 AND ($2 = '' OR date = $2) AND ($3 = '' OR id < $3) \
            ORDER BY id DESC LIMIT $4";
        let query = sqlx::query(sql).bind(site).bind(date).bind(before).bind(most);
        query.fetch_all(&self.reader).await?.iter().map(line).collect()
    }

    /// The newest revision of each room on a date, by room.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn newest(&self, site: &str, date: &str) -> Kept<Vec<StoredChart>> {
        let sql = "SELECT id, room, date, parent, verb, safe, made_by, made, chart FROM charts c \
            WHERE site = $1 AND date = $2 AND id = (SELECT MAX(id) FROM charts d \
            WHERE d.site = c.site AND d.date = c.date AND d.room = c.room) ORDER BY room";
        let rows = sqlx::query(sql).bind(site).bind(date).fetch_all(&self.reader).await?;
        let read = |row: &AnyRow| Ok(StoredChart { line: line(row)?, chart: text(row, "chart")? });
        rows.iter().map(read).collect()
    }
}

impl Writing {
    /// Keeps a revision under a new id, later than every one of that day, or `None` when its site is
    /// not there any more, or somebody was erased since: the chart would bring the person back.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn keep_chart(&mut self, new: &NewChart) -> Kept<Option<ChartLine>> {
        let there = self.site(&new.site).await?;
        if there.is_none_or(|site| site.erasures != new.erasures) {
            return Ok(None);
        }
        let sql = "SELECT MAX(id) AS id FROM charts WHERE site = $1 AND date = $2";
        let query = sqlx::query(sql).bind(&new.site).bind(&new.date);
        if let Some(newest) = maybe(&query.fetch_one(&mut *self.tx).await?, "id")? {
            ids::after(&newest);
        }
        let id = ids::new_id();
        let sql = "INSERT INTO charts (id, site, room, date, parent, verb, safe, made_by, made, chart) \
            VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)";
        sqlx::query(sql)
            .bind(&id)
            .bind(&new.site)
            .bind(&new.room)
            .bind(&new.date)
            .bind(new.parent.clone())
            .bind(new.verb)
            .bind(i64::from(new.safe_to_run))
            .bind(&self.hand.token)
            .bind(self.now)
            .bind(&new.chart)
            .execute(&mut *self.tx)
            .await?;
        Ok(Some(ChartLine {
            id,
            room: new.room.clone(),
            date: new.date.clone(),
            parent: new.parent.clone(),
            verb: new.verb.to_owned(),
            safe_to_run: new.safe_to_run,
            made_by: self.hand.token.clone(),
            made: self.now,
        }))
    }
}
