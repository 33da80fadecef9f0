-- What the server knows about itself. `generation` names the history that the documents belong to: a
-- restore gives a new one, and a page that has seen another knows that it must ask before it merges.
CREATE TABLE server_state (
  name TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;
INSERT INTO server_state (name, value) VALUES ('generation', lower(hex(randomblob(9))));

-- Points that a review can be brought back to: its three documents as they were, compressed. `bytes`
-- is what the point takes; the oldest go when a review has more than its share.
CREATE TABLE points (
  id TEXT PRIMARY KEY,
  review TEXT NOT NULL REFERENCES reviews (id),
  at TEXT NOT NULL,
  why TEXT NOT NULL CHECK (why IN ('hour', 'signed-off', 'asked')),
  -- The shot that was signed off, or null.
  shot TEXT,
  scenes BLOB NOT NULL,
  notes BLOB NOT NULL,
  record BLOB NOT NULL,
  bytes INTEGER NOT NULL,
  -- SHA-256 of the scenes as they were, to tell that nothing changed since.
  digest BLOB NOT NULL
) STRICT;
CREATE INDEX points_by_review ON points (review, at);
