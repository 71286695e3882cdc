package ledger

import (
	"database/sql/driver"
	"embed"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"
)

// The migrations run in the order of their names, each in a transaction of its
// own. One that was ever released is never edited: a change is a new file.
//
//go:embed migration/*.sql
var migrations embed.FS

// applicationID marks the file as ours: "Comb" in ASCII.
const applicationID = 0x436f6d62

// migrationNames are the files in order; the n-th makes form n.
func migrationNames() []string {
	names, err := fs.Glob(migrations, "migration/*.sql")
	if err != nil || len(names) == 0 {
		panic("ledger: no migrations embedded") // the pattern is a constant
	}
	return slices.Sorted(slices.Values(names))
}

// migrate brings the file to the newest form, or says why it is none of ours.
func migrate(c *conn) error {
	names := migrationNames()
	form, err := ours(c, len(names))
	if err != nil {
		return err
	}
	if err := keepLog(c); err != nil {
		return err
	}
	for n := form + 1; n <= len(names); n++ {
		if err := apply(c, n, names[n-1], migrationText(names[n-1])); err != nil {
			return fmt.Errorf("bring the house to form %d: %w", n, err)
		}
	}
	return unaltered(c, len(names))
}

// keepLog turns the write-ahead log on, after it is known whose file it is.
func keepLog(c *conn) (err error) {
	var mode string
	err = c.query(func(row []driver.Value) error { mode, _ = row[0].(string); return nil }, "PRAGMA journal_mode = WAL")
	if err == nil && mode != "wal" {
		err = ErrNoLog
	}
	return err
}

// ours returns the form of a ledger file; 0 for a new, empty one.
func ours(c *conn, know int) (form int, err error) {
	id, err := c.int("PRAGMA application_id")
	if err != nil {
		return 0, err
	}
	version, err := c.int("PRAGMA user_version")
	if err != nil {
		return 0, err
	}
	tables, err := c.int("SELECT count(*) FROM sqlite_schema")
	switch {
	case err != nil:
		return 0, err
	case id == 0 && version == 0 && tables == 0:
		return 0, nil
	case id != applicationID:
		return 0, ErrNotLedger
	case version > int64(know):
		return 0, &NewerError{Have: int(version), Know: know}
	case version < 1:
		return 0, ErrAltered
	}
	return int(version), nil
}

func migrationText(name string) string {
	text, err := migrations.ReadFile(name)
	if err != nil {
		panic("ledger: " + err.Error()) // the name came from the same files
	}
	return string(text)
}

// apply runs one migration, all of it or nothing.
func apply(c *conn, form int, name, text string) error {
	sql := fmt.Sprintf(`BEGIN IMMEDIATE;
		CREATE TABLE IF NOT EXISTS migration (form INTEGER PRIMARY KEY, name TEXT NOT NULL) STRICT;
		%s
		INSERT INTO migration (form, name) VALUES (%d, '%s');
		PRAGMA application_id = %d;
		PRAGMA user_version = %d;
		COMMIT`, text, form, strings.TrimPrefix(name, "migration/"), applicationID, form)
	if err := c.script(sql); err != nil {
		_ = c.script("ROLLBACK")
		return err
	}
	return nil
}

// unaltered compares the tables and triggers with those of a new file of the
// same form: a dropped trigger would let facts be changed.
func unaltered(c *conn, form int) error {
	want, err := freshSchemas()
	if err != nil {
		return err
	}
	got, err := schema(c)
	if err == nil && !slices.Equal(got, want[form]) {
		err = ErrAltered
	}
	return err
}

// freshSchemas are the schemas of new files, by form. They are the same for all
// houses, and worked out once.
var freshSchemas = sync.OnceValues(func() (byForm [][]string, err error) {
	c, err := dial("", inMemory)
	if err != nil {
		return nil, err
	}
	defer c.close()
	byForm = [][]string{nil}
	for i, name := range migrationNames() {
		if err := apply(c, i+1, name, migrationText(name)); err != nil {
			return nil, err
		}
		parts, err := schema(c)
		if err != nil {
			return nil, err
		}
		byForm = append(byForm, parts)
	}
	return byForm, nil
})

func schema(c *conn) (parts []string, err error) {
	err = c.query(func(row []driver.Value) error {
		parts = append(parts, fmt.Sprintf("%v %v %v %v", row[0], row[1], row[2], row[3]))
		return nil
	}, "SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_schema ORDER BY type, name")
	return parts, err
}
