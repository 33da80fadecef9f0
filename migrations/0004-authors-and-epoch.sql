-- Whose a Yjs client id is: the person whose socket first brought a struct under it. Ids are drawn anew
-- for every window and document; one that is bound to a person is never another's. Ids that stand in a
-- document without a row here are the server's own and nobody's to go on with.
CREATE TABLE authors (
  review TEXT NOT NULL,
  document TEXT NOT NULL,
  client INTEGER NOT NULL,
  person TEXT NOT NULL,
  PRIMARY KEY (review, document, client)
) STRICT, WITHOUT ROWID;

-- One row: the line of history that this database goes on with. Putting a kept copy back draws a new
-- value, so that a client with work from after that copy can be told.
CREATE TABLE epoch (
  only INTEGER PRIMARY KEY CHECK (only = 1),
  id TEXT NOT NULL
) STRICT;
INSERT INTO epoch VALUES (1, lower(hex(randomblob(8))));
