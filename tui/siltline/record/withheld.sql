-- Photos whose bytes a person withheld: an event says who and why, hash and name stay.
CREATE TABLE withheld (
  sha256 TEXT PRIMARY KEY
) STRICT, WITHOUT ROWID;

CREATE TRIGGER photo_kept BEFORE DELETE ON photo
WHEN OLD.sha256 NOT IN (SELECT sha256 FROM withheld)
BEGIN SELECT RAISE(ABORT, 'photos are never removed, unless a person withholds them'); END;
CREATE TRIGGER withheld_stays BEFORE UPDATE ON withheld
BEGIN SELECT RAISE(ABORT, 'what is withheld stays so'); END;
CREATE TRIGGER withheld_kept BEFORE DELETE ON withheld
BEGIN SELECT RAISE(ABORT, 'what is withheld stays so'); END;
