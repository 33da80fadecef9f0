-- The log names its documents by number: an edit then touches a few pages fewer of the file, which is
-- half of what it costs to keep it. Numbers of rows need not be unlike those of rows that are gone: a
-- snapshot takes all rows of its document with it.
CREATE TABLE documents (
  id INTEGER PRIMARY KEY,
  review TEXT NOT NULL,
  document TEXT NOT NULL,
  UNIQUE (review, document)
) STRICT;

INSERT INTO documents (review, document) SELECT DISTINCT review, document FROM update_log;

ALTER TABLE update_log RENAME TO named_log;
DROP INDEX update_log_by_document;

CREATE TABLE update_log (
  seq INTEGER PRIMARY KEY,
  document INTEGER NOT NULL,
  bytes BLOB NOT NULL,
  crc INTEGER NOT NULL
) STRICT;

INSERT INTO update_log (seq, document, bytes, crc)
SELECT seq, documents.id, bytes, crc FROM named_log JOIN documents USING (review, document);

-- Within a document the index follows the number of the row.
CREATE INDEX update_log_by_document ON update_log (document);
DROP TABLE named_log;
