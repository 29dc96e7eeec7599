-- A siltline job. Two tables are the record: event and photo. All else can be made again.
-- DEVELOPERS.md, "The job file", tells how to read it with sqlite3 alone.

CREATE TABLE event (
  seq      INTEGER PRIMARY KEY,     -- the order in which this file received it; not evidence
  id       TEXT NOT NULL UNIQUE,    -- sha256 of envelope
  envelope TEXT NOT NULL            -- canonical JSON: v, kind, at, device, by, parents, body
) STRICT;

CREATE TABLE photo (
  seq    INTEGER PRIMARY KEY,
  sha256 TEXT NOT NULL UNIQUE,
  bytes  INTEGER NOT NULL,
  data   BLOB NOT NULL              -- the file as the camera wrote it
) STRICT;

-- These stop accidents; that nothing was changed is shown by the hashes.
CREATE TRIGGER event_stays BEFORE UPDATE ON event
BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;
CREATE TRIGGER event_kept BEFORE DELETE ON event
BEGIN SELECT RAISE(ABORT, 'events are never removed'); END;
CREATE TRIGGER event_once BEFORE INSERT ON event
WHEN EXISTS (SELECT 1 FROM event WHERE id = NEW.id OR seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'events are never replaced'); END;
CREATE TRIGGER photo_stays BEFORE UPDATE ON photo
BEGIN SELECT RAISE(ABORT, 'photos are never changed'); END;
CREATE TRIGGER photo_once BEFORE INSERT ON photo
WHEN EXISTS (SELECT 1 FROM photo WHERE sha256 = NEW.sha256 OR seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'photos are never replaced'); END;

-- For people.
CREATE VIEW acts AS
SELECT seq, json_extract(envelope, '$.at') AS at, json_extract(envelope, '$.kind') AS kind,
       json_extract(envelope, '$.by') AS by, json_extract(envelope, '$.body.step') AS step,
       json_extract(envelope, '$.body') AS body, id
FROM event ORDER BY seq;

CREATE VIEW steps AS
SELECT number, step, phase, place, act, state FROM derived_step ORDER BY number;

CREATE VIEW photos AS
SELECT e.seq, json_extract(e.envelope, '$.body.name') AS name,
       json_extract(e.envelope, '$.body.sha256') AS sha256,
       json_extract(e.envelope, '$.body.bytes') AS bytes,
       json_extract(e.envelope, '$.at') AS added, d.facts
FROM event e LEFT JOIN derived_photo d ON d.sha256 = json_extract(e.envelope, '$.body.sha256')
WHERE json_extract(e.envelope, '$.kind') = 'photo' ORDER BY e.seq;
