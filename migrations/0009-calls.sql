-- What people say by eye about a shot whose readings are hidden. It stays here, and in no document,
-- until the lead shows it; then all of it goes into the record of the review and its rows go. `kept` holds
-- the readings that were taken out of the record meanwhile, as JSON by root and key.
CREATE TABLE calls (
  id TEXT PRIMARY KEY,
  review TEXT NOT NULL,
  kept TEXT NOT NULL
) STRICT;

CREATE TABLE call_answers (
  call TEXT NOT NULL REFERENCES calls (id) ON DELETE CASCADE,
  person TEXT NOT NULL,
  answer TEXT NOT NULL,
  at TEXT NOT NULL,
  PRIMARY KEY (call, person)
) STRICT, WITHOUT ROWID;
