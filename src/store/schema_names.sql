-- What people were ever called, until they are erased, how often somebody of a site was erased, and
-- after which erasures the database has not been written anew yet.
CREATE TABLE names (
    site TEXT NOT NULL REFERENCES sites (id) ON DELETE CASCADE,
    kind TEXT NOT NULL,
    id TEXT NOT NULL,
    was TEXT NOT NULL,
    label TEXT NOT NULL,
    PRIMARY KEY (site, kind, id, was, label)
);
ALTER TABLE sites ADD COLUMN erasures BIGINT NOT NULL DEFAULT 0;
CREATE TABLE owed (
    id TEXT PRIMARY KEY
)
