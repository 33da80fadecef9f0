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
