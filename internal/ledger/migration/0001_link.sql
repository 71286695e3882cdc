-- A new ledger: the chain of facts.
--
-- The schema defends itself against slips and by-passes; tampering with the
-- file is the chain's to show. Every rule stands in a trigger as well as in a
-- CHECK, because PRAGMA ignore_check_constraints turns a CHECK off; and REPLACE
-- deletes without firing a delete trigger, so that inserts are guarded too.
CREATE TABLE link (
    seq  INTEGER PRIMARY KEY CHECK (seq > 0),
    prev BLOB NOT NULL CHECK (length(prev) = 32),
    hash BLOB NOT NULL CHECK (length(hash) = 32),
    body BLOB NOT NULL
) STRICT;

-- One fact after the last one, and linked to it: no gap, no fork, no second.
-- So prev is unique without an index. UNIQUE (prev) would sort random digests
-- into pages all over the file: measured on 2 cores with 310,000 facts of 289
-- bytes, 64 writers together fell from 77,000 facts a second to 11,000.
CREATE TRIGGER link_add BEFORE INSERT ON link
    WHEN NEW.seq IS NOT coalesce((SELECT max(seq) FROM link), 0) + 1
      OR NEW.prev IS NOT coalesce((SELECT hash FROM link WHERE seq = NEW.seq - 1), zeroblob(32))
      OR typeof(NEW.hash) <> 'blob' OR length(NEW.hash) <> 32 OR NEW.hash = NEW.prev
      OR typeof(NEW.body) <> 'blob'
    BEGIN SELECT RAISE(ABORT, 'ledger is append-only'); END;
CREATE TRIGGER link_keep   BEFORE DELETE ON link BEGIN SELECT RAISE(ABORT, 'ledger is append-only'); END;
CREATE TRIGGER link_freeze BEFORE UPDATE ON link BEGIN SELECT RAISE(ABORT, 'ledger is append-only'); END;
