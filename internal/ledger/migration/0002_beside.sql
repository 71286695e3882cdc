-- Beside the chain: blocks of raw readings, and what was lost and accepted.
-- n counts them in the order in which they came; seal is a digest over all the
-- other fields of a block.
CREATE TABLE block (
    n          INTEGER PRIMARY KEY CHECK (n > 0),
    id         TEXT NOT NULL UNIQUE CHECK (length(id) > 0),
    instrument TEXT NOT NULL,
    hour       INTEGER NOT NULL,
    digest     BLOB NOT NULL CHECK (length(digest) = 32),
    seal       BLOB NOT NULL CHECK (length(seal) = 32),
    bytes      BLOB NOT NULL
) STRICT;
CREATE TRIGGER block_add BEFORE INSERT ON block
    WHEN NEW.n IS NOT coalesce((SELECT max(n) FROM block), 0) + 1
      OR EXISTS (SELECT 1 FROM block WHERE id = NEW.id)
      OR typeof(NEW.id) <> 'text' OR length(NEW.id) = 0
      OR length(NEW.digest) <> 32 OR length(NEW.seal) <> 32 OR typeof(NEW.bytes) <> 'blob'
    BEGIN SELECT RAISE(ABORT, 'a block of readings never changes'); END;
CREATE TRIGGER block_keep   BEFORE DELETE ON block BEGIN SELECT RAISE(ABORT, 'a block of readings never changes'); END;
CREATE TRIGGER block_freeze BEFORE UPDATE ON block BEGIN SELECT RAISE(ABORT, 'a block of readings never changes'); END;

-- The facts behind after_seq, up to to_seq, had been acknowledged and are gone.
CREATE TABLE loss (
    n          INTEGER PRIMARY KEY CHECK (n > 0),
    after_seq  INTEGER NOT NULL CHECK (after_seq >= 0),
    after_hash BLOB NOT NULL CHECK (length(after_hash) = 32),
    to_seq     INTEGER NOT NULL CHECK (to_seq > 0),
    to_hash    BLOB NOT NULL CHECK (length(to_hash) = 32)
) STRICT;
CREATE TRIGGER loss_add BEFORE INSERT ON loss
    WHEN NEW.n IS NOT coalesce((SELECT max(n) FROM loss), 0) + 1
      OR NOT (NEW.after_seq >= 0) OR NOT (NEW.to_seq > 0)
      OR length(NEW.after_hash) <> 32 OR length(NEW.to_hash) <> 32
    BEGIN SELECT RAISE(ABORT, 'a loss stays on record'); END;
CREATE TRIGGER loss_keep   BEFORE DELETE ON loss BEGIN SELECT RAISE(ABORT, 'a loss stays on record'); END;
CREATE TRIGGER loss_freeze BEFORE UPDATE ON loss BEGIN SELECT RAISE(ABORT, 'a loss stays on record'); END;

-- Empty in a house. A back-up holds one row: where it ends. A file that was cut
-- short afterwards shows it.
CREATE TABLE back_up (
    seq  INTEGER NOT NULL CHECK (seq >= 0),
    hash BLOB NOT NULL CHECK (length(hash) = 32)
) STRICT;
