-- Every accepted update of a shared document, in the order in which it was applied. `crc` is the
-- CRC-32 of `bytes`: a row that fails it is moved to `quarantine` and the rest of the document loads.
CREATE TABLE update_log (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  review TEXT NOT NULL,
  document TEXT NOT NULL,
  bytes BLOB NOT NULL,
  crc INTEGER NOT NULL
) STRICT;
CREATE INDEX update_log_by_document ON update_log (review, document, seq);

-- The state of a document up to and including log row `seq`, which together with the rows behind it
-- is the whole document.
CREATE TABLE snapshots (
  review TEXT NOT NULL,
  document TEXT NOT NULL,
  seq INTEGER NOT NULL,
  bytes BLOB NOT NULL,
  crc INTEGER NOT NULL,
  PRIMARY KEY (review, document)
) STRICT;

CREATE TABLE quarantine (
  id INTEGER PRIMARY KEY,
  review TEXT NOT NULL,
  document TEXT NOT NULL,
  -- 'update' or 'snapshot', and the log position that it stood at.
  kind TEXT NOT NULL,
  seq INTEGER NOT NULL,
  bytes BLOB NOT NULL,
  reason TEXT NOT NULL,
  found_at TEXT NOT NULL
) STRICT;
