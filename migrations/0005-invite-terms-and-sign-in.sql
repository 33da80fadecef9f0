-- What an invite link is good for. Null: for ever, for everybody, without a passphrase. `uses` counts
-- the people who came by it. A passphrase is kept as its scrypt hash with a salt of its own.
ALTER TABLE invites ADD COLUMN expires_at TEXT;
ALTER TABLE invites ADD COLUMN max_uses INTEGER;
ALTER TABLE invites ADD COLUMN uses INTEGER NOT NULL DEFAULT 0;
ALTER TABLE invites ADD COLUMN passphrase_salt BLOB;
ALTER TABLE invites ADD COLUMN passphrase_hash BLOB;

-- The invite that a person came by, so that they can be sent out with it.
ALTER TABLE people ADD COLUMN invite TEXT;

-- A cookie names a token, not the session: the token is exchanged for a new one while the browser
-- stays the same person. It ends when its successor has been seen. Tokens are worthless without the
-- server's secret, which signs them and is not in the database.
CREATE TABLE sign_in_tokens (
  token TEXT PRIMARY KEY,
  session TEXT NOT NULL,
  issued_at TEXT NOT NULL,
  -- The token that this one was given in place of.
  replaces TEXT
) STRICT;
CREATE INDEX sign_in_tokens_by_session ON sign_in_tokens (session);

-- Cookies that were given before there were tokens named the session itself.
INSERT INTO sign_in_tokens (token, session, issued_at)
  SELECT session, session, max(joined_at) FROM people WHERE session IS NOT NULL GROUP BY session;

-- Who a session is to an OpenID Connect provider.
CREATE TABLE accounts (
  issuer TEXT NOT NULL,
  subject TEXT NOT NULL,
  session TEXT NOT NULL UNIQUE,
  name TEXT,
  created_at TEXT NOT NULL,
  PRIMARY KEY (issuer, subject)
) STRICT;
