-- The first shape of the store. One text for SQLite and PostgreSQL: plain types, times in seconds since 1970.
CREATE TABLE sites (
    id TEXT PRIMARY KEY,
    document TEXT NOT NULL,
    version TEXT NOT NULL,
    changed BIGINT NOT NULL
);
CREATE TABLE charts (
    id TEXT PRIMARY KEY,
    site TEXT NOT NULL REFERENCES sites (id) ON DELETE CASCADE,
    room TEXT NOT NULL,
    date TEXT NOT NULL,
    parent TEXT REFERENCES charts (id) ON DELETE SET NULL,
    verb TEXT NOT NULL,
    safe BIGINT NOT NULL,
    made_by TEXT NOT NULL,
    made BIGINT NOT NULL,
    chart TEXT NOT NULL
);
CREATE INDEX charts_of_a_day ON charts (site, date, room, id);
CREATE INDEX charts_by_parent ON charts (parent);
CREATE TABLE tokens (
    id TEXT PRIMARY KEY,
    digest TEXT NOT NULL,
    label TEXT NOT NULL,
    role TEXT NOT NULL,
    site TEXT,
    made BIGINT NOT NULL,
    revoked BIGINT
);
CREATE TABLE replays (
    token TEXT NOT NULL,
    route TEXT NOT NULL,
    key_digest TEXT NOT NULL,
    body_digest TEXT NOT NULL,
    owner TEXT NOT NULL,
    site TEXT,
    status BIGINT,
    headers TEXT,
    body TEXT,
    made BIGINT NOT NULL,
    PRIMARY KEY (token, route, key_digest)
);
CREATE TABLE jobs (
    id TEXT PRIMARY KEY,
    token TEXT NOT NULL,
    site TEXT,
    verb TEXT NOT NULL,
    chart TEXT,
    request TEXT NOT NULL,
    state TEXT NOT NULL,
    fence BIGINT NOT NULL,
    lease BIGINT NOT NULL,
    attempts BIGINT NOT NULL,
    made BIGINT NOT NULL,
    ended BIGINT,
    progress TEXT NOT NULL,
    status BIGINT,
    result TEXT
);
CREATE INDEX jobs_waiting ON jobs (state, id);
CREATE TABLE trail (
    id TEXT PRIMARY KEY,
    at BIGINT NOT NULL,
    token TEXT NOT NULL,
    request TEXT NOT NULL,
    site TEXT,
    did TEXT NOT NULL,
    about TEXT NOT NULL
);
CREATE INDEX trail_of_a_site ON trail (site, id);
CREATE TABLE backups (
    id TEXT PRIMARY KEY,
    at BIGINT NOT NULL,
    file TEXT NOT NULL
);
