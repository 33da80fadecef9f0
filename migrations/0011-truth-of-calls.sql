-- The truth that a call is held against, as JSON: weighed when the readings were hidden, because the cast or the
-- shot's frames may change while people call. NULL in a call that was opened before this was kept: it is weighed
-- when it is shown.
ALTER TABLE calls ADD COLUMN truth TEXT;
