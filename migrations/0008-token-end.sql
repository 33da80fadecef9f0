-- When a token that has a successor stops being good: a little after its successor was seen, because
-- requests that were sent at the same time still carry the old one.
ALTER TABLE sign_in_tokens ADD COLUMN ends_at TEXT;
