-- One database holds one lab. The row exists from the start; its lab is known once the first desktop joined.
CREATE TABLE lab (
    only_row         INTEGER NOT NULL PRIMARY KEY CHECK (only_row = 1),
    lab_id           BLOB UNIQUE CHECK (lab_id IS NULL OR length(lab_id) = 16),
    log_epoch        BLOB NOT NULL CHECK (length(log_epoch) = 16),
    log_position     INTEGER NOT NULL,
    log_digest       BLOB NOT NULL CHECK (length(log_digest) = 32),
    entries_bytes    INTEGER NOT NULL DEFAULT 0,
    files_bytes      INTEGER NOT NULL DEFAULT 0,
    view_version     INTEGER NOT NULL DEFAULT 0,
    server_stream_id BLOB NOT NULL CHECK (length(server_stream_id) = 16),
    server_secret    BLOB NOT NULL CHECK (length(server_secret) = 32),
    hlc_ms           INTEGER NOT NULL DEFAULT 0,
    hlc_counter      INTEGER NOT NULL DEFAULT 0
) STRICT;

CREATE TABLE desktop (
    desktop_id  INTEGER NOT NULL PRIMARY KEY,
    lab_id      BLOB NOT NULL REFERENCES lab (lab_id),
    stream_id   BLOB NOT NULL,
    name        TEXT NOT NULL,
    secret_hash BLOB NOT NULL UNIQUE CHECK (length(secret_hash) = 32),
    is_revoked  INTEGER NOT NULL DEFAULT 0,
    joined_ms   INTEGER NOT NULL
) STRICT;

CREATE TABLE join_code (
    secret_hash BLOB NOT NULL PRIMARY KEY CHECK (length(secret_hash) = 32),
    expires_ms  INTEGER NOT NULL,
    used_ms     INTEGER,
    -- Who used it: the same desktop may use it again when the answer to its first try was lost.
    desktop_id  INTEGER REFERENCES desktop (desktop_id)
) STRICT;

CREATE TABLE stream (
    lab_id     BLOB NOT NULL REFERENCES lab (lab_id),
    stream_id  BLOB NOT NULL CHECK (length(stream_id) = 16),
    public_key BLOB NOT NULL CHECK (length(public_key) = 32),
    name       TEXT NOT NULL,
    head_seq   INTEGER NOT NULL,
    head_hash  BLOB NOT NULL CHECK (length(head_hash) = 32),
    PRIMARY KEY (lab_id, stream_id)
) STRICT, WITHOUT ROWID;

-- Facts. Nothing here is updated or deleted, save that a payload and its salt can be erased by an entry that says so.
CREATE TABLE entry (
    lab_id          BLOB NOT NULL,
    log_position    INTEGER NOT NULL,
    entry_id        BLOB NOT NULL,
    stream_id       BLOB NOT NULL,
    stream_seq      INTEGER NOT NULL,
    hlc_ms          INTEGER NOT NULL,
    hlc_counter     INTEGER NOT NULL,
    actor_id        BLOB NOT NULL,
    kind            TEXT NOT NULL,
    kind_version    INTEGER NOT NULL,
    min_reader      INTEGER NOT NULL,
    subject_tag     TEXT NOT NULL,
    subject_id      BLOB NOT NULL,
    based_on        BLOB NOT NULL,
    reissued_stream BLOB,
    reissued_seq    INTEGER,
    payload         BLOB,
    payload_salt    BLOB,
    payload_hash    BLOB NOT NULL,
    prev_hash       BLOB NOT NULL,
    hash            BLOB NOT NULL,
    signature       BLOB NOT NULL,
    content_hash    BLOB NOT NULL,
    log_digest      BLOB NOT NULL,
    received_ms     INTEGER NOT NULL,
    PRIMARY KEY (lab_id, log_position),
    UNIQUE (lab_id, stream_id, stream_seq),
    FOREIGN KEY (lab_id, stream_id) REFERENCES stream (lab_id, stream_id)
) STRICT;
CREATE INDEX entry_by_subject ON entry (lab_id, subject_tag, subject_id, log_position);
CREATE INDEX entry_by_id ON entry (lab_id, entry_id);

-- What a shop may see: projections of the log, rebuilt from it at any time.
CREATE TABLE shop_job (
    lab_id       BLOB NOT NULL,
    shop_id      BLOB NOT NULL,
    job_id       BLOB NOT NULL,
    needs_shop   INTEGER NOT NULL,
    is_over      INTEGER NOT NULL,
    changed_ms   INTEGER NOT NULL,
    body         BLOB NOT NULL,
    PRIMARY KEY (lab_id, shop_id, job_id)
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX shop_job_by_job ON shop_job (lab_id, job_id);

CREATE TABLE shop_parcel (
    lab_id     BLOB NOT NULL,
    shop_id    BLOB NOT NULL,
    parcel_id  BLOB NOT NULL,
    changed_ms INTEGER NOT NULL,
    body       BLOB NOT NULL,
    PRIMARY KEY (lab_id, shop_id, parcel_id)
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX shop_parcel_by_parcel ON shop_parcel (lab_id, parcel_id);

-- Photos and files that entries in a shop's scope name: knowing a hash grants nothing without a row here.
CREATE TABLE shop_file (
    lab_id       BLOB NOT NULL,
    shop_id      BLOB NOT NULL,
    content_hash BLOB NOT NULL,
    subject_id   BLOB NOT NULL,
    PRIMARY KEY (lab_id, shop_id, content_hash, subject_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX shop_file_by_subject ON shop_file (lab_id, subject_id);

CREATE TABLE issued_report (
    lab_id     BLOB NOT NULL,
    digest     TEXT NOT NULL,
    job_id     BLOB NOT NULL,
    shop_id    BLOB NOT NULL,
    issued_ms  INTEGER NOT NULL,
    PRIMARY KEY (lab_id, digest, job_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX issued_report_by_job ON issued_report (lab_id, job_id);

-- The lab's and the shops' own cards: names, addresses, the number to call.
CREATE TABLE card (
    lab_id      BLOB NOT NULL,
    subject_tag TEXT NOT NULL,
    subject_id  BLOB NOT NULL,
    body        BLOB NOT NULL,
    PRIMARY KEY (lab_id, subject_tag, subject_id)
) STRICT, WITHOUT ROWID;

-- Files that arrived whole and had the right hash. Half-uploaded ones are in the attachment folder only.
CREATE TABLE stored_file (
    lab_id       BLOB NOT NULL,
    content_hash BLOB NOT NULL,
    variant      TEXT NOT NULL CHECK (variant IN ('full', 'thumb')),
    bytes_hash   BLOB NOT NULL,
    size_bytes   INTEGER NOT NULL,
    stored_ms    INTEGER NOT NULL,
    PRIMARY KEY (lab_id, content_hash, variant)
) STRICT, WITHOUT ROWID;

CREATE TABLE shop_user (
    person_id    BLOB NOT NULL PRIMARY KEY CHECK (length(person_id) = 16),
    lab_id       BLOB NOT NULL REFERENCES lab (lab_id),
    shop_id      BLOB NOT NULL,
    email        TEXT NOT NULL UNIQUE,
    name         TEXT NOT NULL,
    password_phc TEXT NOT NULL,
    made_ms      INTEGER NOT NULL
) STRICT;
CREATE INDEX shop_user_by_shop ON shop_user (lab_id, shop_id);

CREATE TABLE invite (
    secret_hash BLOB NOT NULL PRIMARY KEY CHECK (length(secret_hash) = 32),
    lab_id      BLOB NOT NULL REFERENCES lab (lab_id),
    shop_id     BLOB NOT NULL,
    email       TEXT NOT NULL,
    expires_ms  INTEGER NOT NULL,
    used_ms     INTEGER
) STRICT;

CREATE TABLE session (
    secret_hash BLOB NOT NULL PRIMARY KEY CHECK (length(secret_hash) = 32),
    person_id   BLOB NOT NULL REFERENCES shop_user (person_id),
    opened_ms   INTEGER NOT NULL,
    used_ms     INTEGER NOT NULL
) STRICT;
CREATE INDEX session_by_person ON session (person_id);

CREATE TABLE advice_draft (
    person_id  BLOB NOT NULL PRIMARY KEY REFERENCES shop_user (person_id),
    body       BLOB NOT NULL,
    changed_ms INTEGER NOT NULL
) STRICT;
