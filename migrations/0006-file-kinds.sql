-- What a file was found to be when it came in; null for files that came before this was looked at.
ALTER TABLE files ADD COLUMN kind TEXT;
