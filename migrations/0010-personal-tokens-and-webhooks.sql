-- A personal token lets a program of a person's own in, with that person's role or less. Only its
-- SHA-256 is kept.
CREATE TABLE personal_tokens (
  id TEXT PRIMARY KEY,
  hash BLOB NOT NULL UNIQUE,
  person TEXT NOT NULL REFERENCES people (id),
  role TEXT NOT NULL CHECK (role IN ('guest', 'reviewer', 'animator', 'lead')),
  label TEXT NOT NULL,
  created_at TEXT NOT NULL,
  expires_at TEXT,
  used_at TEXT
) STRICT;
CREATE INDEX personal_tokens_by_person ON personal_tokens (person);

-- Addresses that are told when a shot changes state. The secret signs what is sent, so it has to be
-- kept as it is.
CREATE TABLE webhooks (
  id TEXT PRIMARY KEY,
  review TEXT NOT NULL REFERENCES reviews (id),
  url TEXT NOT NULL,
  secret TEXT NOT NULL,
  created_by TEXT NOT NULL REFERENCES people (id),
  created_at TEXT NOT NULL
) STRICT;
CREATE INDEX webhooks_by_review ON webhooks (review);

-- What was sent to a webhook, or is still to be: `next_at` is null once it has arrived or was given up.
CREATE TABLE webhook_deliveries (
  id TEXT PRIMARY KEY,
  webhook TEXT NOT NULL REFERENCES webhooks (id) ON DELETE CASCADE,
  body TEXT NOT NULL,
  made_at TEXT NOT NULL,
  tries INTEGER NOT NULL DEFAULT 0,
  next_at TEXT,
  tried_at TEXT,
  status INTEGER,
  fault TEXT
) STRICT;
CREATE INDEX webhook_deliveries_by_webhook ON webhook_deliveries (webhook, made_at);
CREATE INDEX webhook_deliveries_pending ON webhook_deliveries (next_at) WHERE next_at IS NOT NULL;
