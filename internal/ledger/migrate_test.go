package ledger

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"combline/internal/chain"
)

// A migration that was released is never edited: houses out there have run it.
// A new one gets a new line here.
func TestMigrationsAreNotEdited(t *testing.T) {
	released := map[string]string{
		"migration/0001_link.sql":   "6dcf85c484453c8f25241c426bff470e897e15a98b19fd58be4f12d1f35ec7b1",
		"migration/0002_beside.sql": "25576354e5c6834e75a23d3270b504ce4300bc9a6171c1ce84d10118a2113bdf",
	}
	names := migrationNames()
	if len(names) != len(released) {
		t.Errorf("%d migrations, %d on the list", len(names), len(released))
	}
	for i, name := range names {
		if !strings.HasPrefix(name, fmt.Sprintf("migration/%04d_", i+1)) {
			t.Errorf("%s is number %d", name, i+1)
		}
		if sum := fmt.Sprintf("%x", sha256.Sum256([]byte(migrationText(name)))); sum != released[name] {
			t.Errorf("%s has the sum %s, want %s: make a new file instead", name, sum, released[name])
		}
	}
}

// oldHouse is a house of form 1 with two facts.
func oldHouse(t *testing.T) (dir string, end chain.Head) {
	t.Helper()
	dir = t.TempDir()
	c, err := dial(filepath.Join(dir, dbFile), readNew)
	if err != nil {
		t.Fatal(err)
	}
	name := migrationNames()[0]
	if err := apply(c, 1, name, migrationText(name)); err != nil {
		t.Fatal(err)
	}
	end, err = insert(c, chain.Head{}, [][]byte{[]byte("one"), []byte("two")})
	if err := errors.Join(err, c.close()); err != nil {
		t.Fatal(err)
	}
	return dir, end
}

func TestOldHouseIsBroughtUpToDate(t *testing.T) {
	dir, end := oldHouse(t)
	if _, err := OpenReadOnly(ctx, dir); !errors.Is(err, ErrOlder) {
		t.Errorf("reading an old house gave %v", err)
	}
	l := open(t, dir)
	if l.Head() != end || len(collect(t, l, 0)) != 2 {
		t.Errorf("it ends at %d, want %d", l.Head().Seq, end.Seq)
	}
	forms, err := l.w.int("SELECT count(*) FROM migration")
	version, err2 := l.w.int("PRAGMA user_version")
	if want := int64(len(migrationNames())); err != nil || err2 != nil || forms != want || version != want {
		t.Errorf("%d migrations on record, form %d, want %d; %v %v", forms, version, want, err, err2)
	}
	mustAppend(t, l, "three")
}

// A migration that fails half-way leaves the house as it was.
func TestFailedMigrationLeavesNothing(t *testing.T) {
	dir, _ := oldHouse(t)
	c := raw(t, dir)
	before, err := schema(c)
	if err != nil {
		t.Fatal(err)
	}
	if err := apply(c, 2, "migration/0002_bad.sql", "CREATE TABLE half (a) STRICT; CREATE TABLE link (a);"); err == nil {
		t.Fatal("a bad migration went well")
	}
	after, err := schema(c)
	version, err2 := c.int("PRAGMA user_version")
	if err != nil || err2 != nil || fmt.Sprint(after) != fmt.Sprint(before) || version != 1 {
		t.Errorf("form %d with %v, was form 1 with %v; %v %v", version, after, before, err, err2)
	}
	if err := c.close(); err != nil {
		t.Fatal(err)
	}
	mustAppend(t, open(t, dir), "and on")
}
