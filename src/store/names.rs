//! What the people of a site were ever called: old charts speak of them by names that the document no
//! longer has. Kept until the person is erased or the site is removed.

use super::{Kept, Writing, text};
use std::collections::BTreeSet;

/// Whether a child or an adult is meant.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Kind {
    /// A child.
    Child,
    /// An adult.
    Adult,
}

impl Kind {
    fn word(self) -> &'static str {
        match self {
            Kind::Child => "child",
            Kind::Adult => "adult",
        }
    }
}

/// One name of a person.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Called {
    /// What the person is.
    pub kind: Kind,
    /// The newest id.
    pub id: String,
    /// The id at the time of this label.
    pub was: String,
    /// The label.
    pub label: String,
}

impl Writing {
    /// Everything that the people of a site were ever called.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn names(&mut self, site: &str) -> Kept<BTreeSet<Called>> {
        let sql = "SELECT kind, id, was, label FROM names WHERE site = $1";
        let rows = sqlx::query(sql).bind(site).fetch_all(&mut *self.tx).await?;
        let read = |row: &sqlx::any::AnyRow| {
            let kind = if text(row, "kind")? == "child" { Kind::Child } else { Kind::Adult };
            let (id, was) = (text(row, "id")?, text(row, "was")?);
            Ok(Called { kind, id, was, label: text(row, "label")? })
        };
        rows.iter().map(read).collect()
    }

    /// Keeps a name.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn keep_name(&mut self, site: &str, name: &Called) -> Kept<()> {
        let sql = "INSERT INTO names (site, kind, id, was, label) VALUES ($1, $2, $3, $4, $5) \
            ON CONFLICT DO NOTHING";
        self.of_name(sql, site, name).await
    }

    /// Forgets a name.
    ///
    /// # Errors
    /// When the store does not answer.
    pub async fn drop_name(&mut self, site: &str, name: &Called) -> Kept<()> {
        let sql = "DELETE FROM names \
            WHERE site = $1 AND kind = $2 AND id = $3 AND was = $4 AND label = $5";
        self.of_name(sql, site, name).await
    }

    async fn of_name(&mut self, sql: &'static str, site: &str, name: &Called) -> Kept<()> {
        let query = sqlx::query(sql).bind(site).bind(name.kind.word()).bind(&name.id);
        query.bind(&name.was).bind(&name.label).execute(&mut *self.tx).await?;
        Ok(())
    }
}
