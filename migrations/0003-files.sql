-- Files that a review's drafts name by content hash (SHA-256, hex). The bytes are kept once; a review
-- can read a file only if somebody put it into that review.
CREATE TABLE files (
  hash TEXT PRIMARY KEY,
  bytes BLOB NOT NULL
) STRICT;

CREATE TABLE review_files (
  review TEXT NOT NULL REFERENCES reviews (id),
  hash TEXT NOT NULL REFERENCES files (hash),
  person TEXT NOT NULL,
  put_at TEXT NOT NULL,
  PRIMARY KEY (review, hash)
) STRICT;
