package ledger

import (
	"bytes"
	"database/sql/driver"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"combline/internal/chain"
)

// kept is a closed house with three facts, a block and a loss on record.
func kept(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	l, err := Open(ctx, dir, Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	mustAppend(t, l, "one", "two", "three")
	if err := l.PutBlock(ctx, chain.NewBlock("T1/1", "T1", 1, []byte("20.5"))); err != nil {
		t.Fatal(err)
	}
	loss := chain.Loss{After: chain.Head{Seq: 1}, To: chain.Head{Seq: 2}}
	if err := l.commit(func() error { return insertLoss(l.w, loss) }); err != nil {
		t.Fatal(err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	return dir
}

// contents is all that must not change.
func contents(t *testing.T, c *conn) string {
	t.Helper()
	var b strings.Builder
	for _, q := range []string{"SELECT seq, hex(prev), hex(hash), hex(body) FROM link ORDER BY seq",
		"SELECT n, id, hex(digest), hex(bytes) FROM block ORDER BY n", "SELECT n, after_seq, to_seq, hex(to_hash) FROM loss ORDER BY n"} {
		if err := c.query(func(row []driver.Value) error { fmt.Fprintln(&b, row); return nil }, q); err != nil {
			t.Fatal(err)
		}
	}
	return b.String()
}

// What a statement through the driver could try against the facts, with the
// last fact's hash as {h} and an arbitrary digest as {x}.
var byPasses = []string{
	"INSERT OR REPLACE INTO link VALUES (2, {x}, {x}, x'00')",
	"INSERT OR REPLACE INTO link VALUES (3, (SELECT prev FROM link WHERE seq = 3), {x}, x'00')",
	"REPLACE INTO link SELECT seq, prev, hash, x'00' FROM link",
	"INSERT OR REPLACE INTO link SELECT seq, prev, hash, body FROM link WHERE seq = 3",
	"INSERT INTO link VALUES (3, {x}, {x}, x'00') ON CONFLICT (seq) DO UPDATE SET body = excluded.body",
	"INSERT INTO link SELECT seq, prev, hash, x'00' FROM link WHERE true ON CONFLICT DO UPDATE SET body = excluded.body",
	"UPDATE link SET body = x'00'",
	"UPDATE OR REPLACE link SET seq = 2 WHERE seq = 3",
	"UPDATE OR IGNORE link SET body = x'00' WHERE seq = 1",
	"UPDATE link SET rowid = 9 WHERE seq = 3",
	"UPDATE link SET seq = seq + 1",
	"UPDATE link SET body = x'00' FROM (SELECT 1) RETURNING seq",
	"DELETE FROM link",
	"DELETE FROM link WHERE seq = 3",
	"DELETE FROM link WHERE rowid = 3 RETURNING body",
	"PRAGMA recursive_triggers = OFF; REPLACE INTO link VALUES (3, (SELECT prev FROM link WHERE seq = 3), {x}, x'00')",
	"PRAGMA ignore_check_constraints = ON; INSERT INTO link VALUES (4, {h}, x'0102', x'00')",
	"PRAGMA ignore_check_constraints = ON; INSERT INTO link VALUES (4, x'', {x}, x'00')",
	"PRAGMA defer_foreign_keys = ON; DELETE FROM link",
	"WITH t AS (SELECT 3 AS n) DELETE FROM link WHERE seq IN (SELECT n FROM t)",
	"CREATE TEMP TRIGGER sly BEFORE INSERT ON main.link BEGIN DELETE FROM link WHERE seq = 1; END; INSERT INTO link VALUES (4, {h}, {x}, x'00')",
	"CREATE TEMP VIEW v AS SELECT * FROM link; DELETE FROM v",

	"INSERT INTO link VALUES (-1, {h}, {x}, x'00')",
	"INSERT INTO link VALUES (0, {h}, {x}, x'00')",
	"INSERT INTO link VALUES (5, {h}, {x}, x'00')",
	"INSERT INTO link VALUES (9223372036854775807, {h}, {x}, x'00')",
	"INSERT INTO link (prev, hash, body) VALUES ({h}, {x}, x'00')",
	"INSERT INTO link (rowid, prev, hash, body) VALUES (7, {h}, {x}, x'00')",
	"INSERT INTO link VALUES (4, {x}, {x}, x'00')",
	"INSERT INTO link VALUES (4, (SELECT prev FROM link WHERE seq = 3), {x}, x'00')",
	"INSERT INTO link VALUES (4, zeroblob(32), {x}, x'00')",
	"INSERT INTO link VALUES (4, NULL, {x}, x'00')",
	"INSERT INTO link VALUES (4, {h}, zeroblob(31), x'00')",
	"INSERT INTO link VALUES (4, {h}, zeroblob(33), x'00')",
	"INSERT INTO link VALUES (4, {h}, {h}, x'00')",
	"INSERT INTO link VALUES (4, {h}, 'text of thirty-two characters ..', x'00')",
	"INSERT INTO link VALUES (4, {h}, {x}, 'text')",
	"INSERT INTO link VALUES (4, {h}, {x}, 7)",
	"INSERT INTO link VALUES (4, {h}, {x}, NULL)",
	"INSERT INTO link VALUES ('four', {h}, {x}, x'00')",
	"INSERT INTO link VALUES (4.5, {h}, {x}, x'00')",
	"INSERT INTO link VALUES (4, {h}, {x}, x'00'), (4, {h}, {x}, x'01')",
	"INSERT INTO link VALUES (4, {h}, {x}, x'00'), (5, {h}, {x}, x'01')",

	"UPDATE block SET bytes = x'00'", "DELETE FROM block", "DELETE FROM block WHERE n = 1",
	"REPLACE INTO block VALUES (1, 'T1/1', 'T1', 1, {x}, {x}, x'00')",
	"REPLACE INTO block VALUES (2, 'T1/1', 'T1', 1, {x}, {x}, x'00')",
	"REPLACE INTO block VALUES (1, 'T1/2', 'T1', 1, {x}, {x}, x'00')",
	"INSERT INTO block VALUES (2, 'T1/1', 'T1', 1, {x}, {x}, x'00') ON CONFLICT (id) DO UPDATE SET bytes = excluded.bytes",
	"INSERT INTO block VALUES (2, 'T1/2', 'T1', 1, x'00', {x}, x'00')",
	"INSERT INTO block VALUES (2, 'T1/2', 'T1', 1, {x}, x'00', x'00')",
	"INSERT INTO block VALUES (2, '', 'T1', 1, {x}, {x}, x'00')",
	"INSERT INTO block VALUES (9, 'T1/2', 'T1', 1, {x}, {x}, x'00')",
	"UPDATE OR REPLACE block SET n = 2",
	"UPDATE loss SET to_seq = 1", "DELETE FROM loss", "REPLACE INTO loss VALUES (1, 1, {x}, 9, {x})",
	"INSERT INTO loss VALUES (2, -1, {x}, 9, {x})", "INSERT INTO loss VALUES (2, 1, x'00', 9, {x})",
}

func filled(sql string, last chain.Hash) string {
	other := bytes.Repeat([]byte{0xab}, 32)
	return strings.NewReplacer("{h}", fmt.Sprintf("x'%x'", last), "{x}", fmt.Sprintf("x'%x'", other)).Replace(sql)
}

// raw opens a house's file as any program could, with nothing of the ledger's
// own care.
func raw(t *testing.T, dir string) *conn {
	t.Helper()
	c, err := dial(filepath.Join(dir, dbFile), readOld)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.close() })
	return c
}

// refused reports whether a rule of the schema spoke, and not a slip in the test's SQL.
func refused(err error) bool {
	const codeMismatch = 20
	return code(err) == codeConstraint || code(err) == codeMismatch || err != nil && strings.Contains(err.Error(), "because it is a view")
}

// The schema alone keeps what is there, whoever connects.
func TestSchemaRefusesByPasses(t *testing.T) {
	dir := kept(t)
	c := raw(t, dir)
	before := contents(t, c)
	h, err := tail(c)
	if err != nil {
		t.Fatal(err)
	}
	for _, sql := range byPasses {
		if err := c.script("BEGIN; " + filled(sql, h.Hash) + "; COMMIT"); !refused(err) {
			t.Errorf("%s gave %v, want it refused by a rule", sql, err)
		}
		_ = c.script("ROLLBACK")
		_ = c.script("DROP TRIGGER IF EXISTS temp.sly; DROP VIEW IF EXISTS temp.v; PRAGMA ignore_check_constraints = OFF")
		if after := contents(t, c); after != before {
			t.Fatalf("%s changed the record:\n%s\nwas\n%s", sql, after, before)
		}
	}
	// Another file attached around it changes nothing: triggers live with their table.
	if err := c.script(fmt.Sprintf("ATTACH '%s' AS again; DELETE FROM again.link", filepath.Join(dir, dbFile))); err == nil {
		t.Error("taken: a delete through ATTACH")
	}
	// And what is right is taken.
	if err := c.script(filled("INSERT INTO link VALUES (4, {h}, {x}, x'00')", h.Hash)); err != nil {
		t.Errorf("the next fact is refused: %v", err)
	}
}

// The ledger's own connection refuses even what SQLite has no trigger for.
func TestOwnConnectionRefuses(t *testing.T) {
	l := open(t, kept(t))
	before, h := contents(t, l.w), l.Head()
	for _, sql := range slices.Concat(byPasses, alterations, []string{
		"ATTACH ':memory:' AS other", "PRAGMA writable_schema = ON", "PRAGMA synchronous = OFF", "PRAGMA journal_mode = OFF",
		"PRAGMA journal_mode = DELETE", "PRAGMA ignore_check_constraints = ON", "PRAGMA user_version = 9", "PRAGMA trusted_schema = ON",
		"VACUUM", "REINDEX", "ANALYZE", "CREATE TEMP TABLE link (seq)", "INSERT INTO migration VALUES (9, 'x')",
		"INSERT INTO sqlite_schema VALUES ('table', 'a', 'a', 0, '')", "INSERT INTO back_up VALUES (0, zeroblob(32))",
	}) {
		if err := l.w.script(filled(sql, h.Hash)); err == nil {
			t.Errorf("taken: %s", sql)
		}
		if after := contents(t, l.w); after != before {
			t.Fatalf("%s changed the record", sql)
		}
	}
	mustAppend(t, l, "four")
}

// alterations take the schema's defences away. No trigger can refuse them on
// another program's connection, so the next opening finds them.
var alterations = []string{
	"DROP TRIGGER link_freeze", "DROP TRIGGER link_add", "DROP TRIGGER link_keep", "DROP TRIGGER block_keep", "DROP TRIGGER loss_freeze",
	"DROP TABLE block", "DROP TABLE loss",
	"ALTER TABLE link RENAME TO links", "ALTER TABLE link RENAME COLUMN body TO text", "ALTER TABLE link ADD COLUMN more BLOB",
	"ALTER TABLE link DROP COLUMN body",
	"CREATE TRIGGER more BEFORE INSERT ON link BEGIN SELECT RAISE(IGNORE); END",
	"CREATE TABLE other (a)", "CREATE INDEX more ON link (hash)", "CREATE VIEW more AS SELECT 1",
	"PRAGMA application_id = 1", "PRAGMA user_version = 0",
}

func TestAlteredSchemaIsFound(t *testing.T) {
	t.Parallel()
	for _, sql := range alterations {
		if sql == "ALTER TABLE link DROP COLUMN body" {
			continue // a trigger names the column: SQLite refuses by itself
		}
		dir := kept(t)
		c := raw(t, dir)
		if err := c.script(sql); err != nil {
			t.Fatalf("%s: %v", sql, err)
		}
		if err := c.close(); err != nil {
			t.Fatal(err)
		}
		for name, open := range map[string]func() (*Ledger, error){
			"open": func() (*Ledger, error) { return Open(ctx, dir, Options{}) },
			"read": func() (*Ledger, error) { return OpenReadOnly(ctx, dir) },
		} {
			if l, err := open(); !errors.Is(err, ErrAltered) && !errors.Is(err, ErrNotLedger) {
				t.Errorf("after %s, %s gave %v", sql, name, err)
				_ = l.Close()
			}
		}
	}
}

// A schema written past SQLite's own checks is found as well.
func TestWritableSchemaIsFound(t *testing.T) {
	dir := kept(t)
	flip(t, filepath.Join(dir, dbFile), []byte("BEFORE DELETE ON link"), 0, 'b')
	if _, err := Open(ctx, dir, Options{}); !errors.Is(err, ErrAltered) {
		t.Errorf("a trigger's text was changed in the file, and open gave %v", err)
	}
}

// A writer that goes past the lock and the ledger is not overlooked: what it
// wrote stands in the way of the next append, and is found as no fact of ours.
func TestForeignWriter(t *testing.T) {
	dir := t.TempDir()
	l := open(t, dir)
	h := mustAppend(t, l, "one")
	c := raw(t, dir)
	if err := c.script(filled("INSERT INTO link VALUES (2, {h}, {x}, x'00')", h.Hash)); err != nil {
		t.Fatal(err)
	}
	var broken *chain.BrokenError
	if _, err := l.Append(ctx, h, []byte("two")); !errors.As(err, &broken) || broken.Seq != 2 {
		t.Errorf("append gave %v, want fact 2 named", err)
	}
}

func TestForeignWriterOfGoodFact(t *testing.T) {
	dir := t.TempDir()
	l := open(t, dir)
	h := mustAppend(t, l, "one")
	link := h.Next([]byte("two"))
	if err := insertLink(raw(t, dir), chain.Stored{Link: link, Hash: link.Hash()}); err != nil {
		t.Fatal(err)
	}
	if _, err := l.Append(ctx, h, []byte("other two")); !errors.Is(err, chain.ErrHeadMoved) {
		t.Errorf("append gave %v, want ErrHeadMoved", err)
	}
	if l.Head().Hash != link.Hash() {
		t.Error("the head is not where the file ends")
	}
	mustAppend(t, l, "three")
	if got := collect(t, l, 0); len(got) != 3 {
		t.Errorf("%d facts, want 3", len(got))
	}
}
