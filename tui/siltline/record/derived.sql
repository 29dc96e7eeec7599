-- Derived: may be dropped, and is made again from the record when the job is opened next.
CREATE TABLE IF NOT EXISTS derived_about (
  name  TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE IF NOT EXISTS derived_step (
  step   TEXT PRIMARY KEY,          -- rule-id/place-id
  number INTEGER NOT NULL,          -- its place in the plan
  phase  TEXT NOT NULL,
  place  TEXT NOT NULL,
  act    TEXT NOT NULL,             -- what is to be done, in words
  state  TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE IF NOT EXISTS derived_photo (
  sha256 TEXT PRIMARY KEY,
  reader TEXT NOT NULL,             -- which version read it
  facts  TEXT NOT NULL              -- JSON: what EXIF and the image header say
) STRICT, WITHOUT ROWID;

CREATE TABLE IF NOT EXISTS derived_picture (
  sha256 TEXT PRIMARY KEY,
  drawer TEXT NOT NULL,             -- which version drew it
  looks  TEXT NOT NULL,             -- JSON: what the pixels show; {} where it cannot be drawn
  small  BLOB NOT NULL              -- JPEG, upright
) STRICT, WITHOUT ROWID;
