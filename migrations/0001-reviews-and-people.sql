-- Reviews and the people in them. Names, inks and roles are also written to the review's `record`
-- document, which is what pages read; this table is what rights are decided by.
CREATE TABLE reviews (
  id TEXT PRIMARY KEY,
  title TEXT NOT NULL,
  created_at TEXT NOT NULL
) STRICT;

-- One person of one review. `session` is the browser that they are; null for people without one
-- (the invented members of the demo review). `name` and `ink` are null until they open the page: a
-- link that a chat program merely looks at makes nobody a guest.
CREATE TABLE people (
  id TEXT PRIMARY KEY,
  review TEXT NOT NULL REFERENCES reviews (id),
  session TEXT,
  name TEXT,
  ink INTEGER,
  role TEXT NOT NULL CHECK (role IN ('guest', 'reviewer', 'animator', 'lead')),
  joined_at TEXT NOT NULL,
  removed_at TEXT
) STRICT;
CREATE UNIQUE INDEX people_by_session ON people (session, review) WHERE removed_at IS NULL;
CREATE INDEX people_by_review ON people (review);

-- An invite link carries a random capability; only its SHA-256 is kept, so that nobody who reads the
-- database can join with it.
CREATE TABLE invites (
  id TEXT PRIMARY KEY,
  review TEXT NOT NULL REFERENCES reviews (id),
  role TEXT NOT NULL CHECK (role IN ('guest', 'reviewer', 'animator', 'lead')),
  capability_hash BLOB NOT NULL UNIQUE,
  created_at TEXT NOT NULL
) STRICT;
CREATE INDEX invites_by_review ON invites (review);
