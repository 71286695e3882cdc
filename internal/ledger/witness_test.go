package ledger

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"pgregory.net/rapid"

	"combline/internal/chain"
)

func someHead(seq uint64) chain.Head { return chain.Head{Seq: seq, Hash: chain.Hash{byte(seq), 7}} }

// Whatever a torn write leaves of the slot that was being written, the witness
// is the new one or the one before.
func TestTornWitness(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		path := filepath.Join(os.TempDir(), "combline-witness-"+rapid.StringMatching(`[a-z]{12}`).Draw(t, "name"))
		defer os.Remove(path)
		w, err := openWitness(path)
		if err != nil {
			t.Fatal(err)
		}
		n := rapid.Uint64Range(2, 9).Draw(t, "notes")
		var before []byte
		for seq := uint64(1); seq <= n; seq++ {
			if before, err = os.ReadFile(path); err != nil {
				t.Fatal(err)
			}
			if err := w.note(someHead(seq)); err != nil {
				t.Fatal(err)
			}
		}
		if err := w.f.Close(); err != nil {
			t.Fatal(err)
		}
		after, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		torn := bytes.Clone(before) // of the bytes that changed, only some arrived
		at := int(n%2) * slotSize
		from, to := rapid.IntRange(0, slotLen).Draw(t, "from"), rapid.IntRange(0, slotLen).Draw(t, "to")
		if from < to {
			copy(torn[at+from:at+to], after[at+from:])
		}
		if rapid.Bool().Draw(t, "noise") {
			torn[at+rapid.IntRange(0, slotLen-1).Draw(t, "where")] ^= 0x10
		}
		if err := os.WriteFile(path, torn, 0o644); err != nil {
			t.Fatal(err)
		}
		got, found, err := readWitness(path)
		if err != nil || !found || got != someHead(n) && got != someHead(n-1) {
			t.Fatalf("after %d notes a torn write left %v, %v, %v", n, got.Seq, found, err)
		}
		again, err := openWitness(path)
		if err != nil || again.head != got {
			t.Fatalf("reopened at %v, %v", again.head.Seq, err)
		}
		again.f.Close()
	})
}

func TestSpoiltWitness(t *testing.T) {
	for name, b := range map[string][]byte{
		"empty": {}, "short": []byte("combline"), "zeros": make([]byte, 2*slotSize), "noise": bytes.Repeat([]byte{0xff, 0}, slotSize),
		"other sum": bytes.Replace(slot(3, someHead(3)), []byte("0003 "), []byte("0004 "), 1),
	} {
		path := filepath.Join(t.TempDir(), witnessFile)
		writeFile(t, path, b)
		if h, found, err := readWitness(path); found || err != nil || h != (chain.Head{}) {
			t.Errorf("%s: read as %v, %v, %v", name, h, found, err)
		}
		w, err := openWitness(path) // locks nobody out, and is made good
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if err := errors.Join(w.note(someHead(5)), w.f.Close()); err != nil {
			t.Fatal(err)
		}
		if h, found, err := readWitness(path); !found || err != nil || h != someHead(5) {
			t.Errorf("%s: after a note read as %v, %v, %v", name, h, found, err)
		}
	}
}

func FuzzParseSlot(f *testing.F) {
	f.Add(slot(0, chain.Head{}))
	f.Add(slot(1<<64-1, someHead(1<<64-1)))
	f.Add([]byte("combline witness 1 "))
	f.Fuzz(func(t *testing.T, b []byte) {
		if turn, h, ok := parseSlot(b); ok && !bytes.Equal(slot(turn, h), b[:slotLen]) {
			t.Errorf("%q reprinted as %q", b, slot(turn, h))
		}
	})
}

// crashed copies a house's files as a crash would leave them: the one that has
// it open does not get to close it.
func crashed(t *testing.T, dir string) (copied string) {
	t.Helper()
	copied = t.TempDir()
	for _, name := range []string{dbFile, dbFile + "-wal", witnessFile} {
		writeFile(t, filepath.Join(copied, name), readFile(t, filepath.Join(dir, name)))
	}
	return copied
}

// twoPart is an open house with some facts in the database and some in the log.
func twoPart(t *testing.T) (dir string, l *Ledger) {
	t.Helper()
	dir = kept(t)
	l = open(t, dir)
	for range 12 {
		mustAppend(t, l, "in the log", "too")
	}
	return dir, l
}

func TestCrashLosesNothing(t *testing.T) {
	dir, l := twoPart(t)
	after := open(t, crashed(t, dir))
	if after.Head() != l.Head() || after.Refusal() != nil || !after.Witnessed() {
		t.Errorf("after a crash the ledger ends at %d, want %d; %v", after.Head().Seq, l.Head().Seq, after.Refusal())
	}
}

// A log that is cut anywhere shortens the ledger without a trace in the file;
// the witness shows it.
func TestCutLogIsFound(t *testing.T) {
	t.Parallel()
	dir, l := twoPart(t)
	end := l.Head()
	log := readFile(t, filepath.Join(dir, dbFile+"-wal"))
	short := 0
	for _, size := range []int{-1, 0, 1, 32, 33, 4151, 4152, 9000, 20_000, 40_000, len(log) - 1, len(log)} {
		house := crashed(t, dir)
		path := filepath.Join(house, dbFile+"-wal")
		if size < 0 {
			if err := os.Remove(path); err != nil {
				t.Fatal(err)
			}
		} else {
			writeFile(t, path, log[:size])
		}
		after := open(t, house)
		if after.Head() == end && after.Refusal() == nil {
			continue // only unused room was cut off
		}
		short++
		checkBehind(t, after, end)
	}
	if short < 8 {
		t.Errorf("only %d cuts shortened the ledger", short)
	}
}

func checkBehind(t *testing.T, l *Ledger, witness chain.Head) {
	t.Helper()
	var b *BehindError
	if !errors.As(l.Refusal(), &b) || b.Tail != l.Head() || b.Witness != witness || b.Tail.Seq >= b.Witness.Seq {
		t.Fatalf("the ledger ends at %d of %d: %v", l.Head().Seq, witness.Seq, l.Refusal())
	}
	if _, err := l.Append(ctx, l.Head(), []byte("more")); !errors.As(err, &b) {
		t.Errorf("append gave %v", err)
	}
	if err := l.PutBlock(ctx, chain.NewBlock("b", "T1", 1, nil)); !errors.As(err, &b) {
		t.Errorf("block gave %v", err)
	}
	if n := len(collect(t, l, 0)); uint64(n) != b.Tail.Seq {
		t.Errorf("%d facts can be read, want %d", n, b.Tail.Seq)
	}
}

// A byte changed anywhere in the log is found, or has no effect.
func TestSpoiltLogIsFound(t *testing.T) {
	t.Parallel()
	dir, l := twoPart(t)
	facts := collect(t, l, 0)
	log := readFile(t, filepath.Join(dir, dbFile+"-wal"))
	used := len(bytes.TrimRight(log, "\x00"))
	r := rand.New(rand.NewPCG(1, 9))
	found := 0
	house := crashed(t, dir)
	sound := map[string][]byte{}
	for _, name := range []string{dbFile, witnessFile} {
		sound[name] = readFile(t, filepath.Join(house, name))
	}
	for range 60 {
		for name, b := range sound {
			writeFile(t, filepath.Join(house, name), b)
		}
		bad := bytes.Clone(log)
		at := r.IntN(used)
		bad[at] ^= byte(1 + r.IntN(255))
		writeFile(t, filepath.Join(house, dbFile+"-wal"), bad)
		if err := remove(filepath.Join(house, dbFile+"-shm")); err != nil {
			t.Fatal(err)
		}
		got, err := readAll(house)
		if err == nil && !same(got, facts) {
			t.Fatalf("byte %d of the log was changed and the ledger reads differently without an error", at)
		}
		if err != nil {
			found++
		}
	}
	if found < 30 {
		t.Errorf("only %d of 60 found", found)
	}
}

// The database file copied by itself lacks what is in the log.
func TestCopyWithoutLogIsFound(t *testing.T) {
	dir, l := twoPart(t)
	house := crashed(t, dir)
	if err := os.Remove(filepath.Join(house, dbFile+"-wal")); err != nil {
		t.Fatal(err)
	}
	checkBehind(t, open(t, house), l.Head())
	ro, err := OpenReadOnly(ctx, house)
	if err != nil {
		t.Fatal(err)
	}
	defer ro.Close()
	var b *BehindError
	if !errors.As(ro.Refusal(), &b) {
		t.Errorf("read gave %v", ro.Refusal())
	}
	// With the witness gone too nobody can know, and that much is said.
	blind := crashed(t, dir)
	if err := os.Remove(filepath.Join(blind, witnessFile)); err != nil {
		t.Fatal(err)
	}
	if got := open(t, blind); got.Refusal() != nil || got.Witnessed() {
		t.Errorf("without a witness: %v, witnessed %v", got.Refusal(), got.Witnessed())
	}
}

func TestLostDatabaseIsFound(t *testing.T) {
	dir := kept(t)
	if err := os.Remove(filepath.Join(dir, dbFile)); err != nil {
		t.Fatal(err)
	}
	var b *BehindError
	if _, err := Open(ctx, dir, Options{Create: true}); !errors.As(err, &b) || b.Witness.Seq != 3 {
		t.Errorf("open gave %v", err)
	}
}

// Another fact in the witness's place is another history.
func TestOtherHistoryIsFound(t *testing.T) {
	mine, other := kept(t), t.TempDir()
	l := open(t, other)
	mustAppend(t, l, "a", "b", "c", "d")
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	writeFile(t, filepath.Join(mine, dbFile), readFile(t, filepath.Join(other, dbFile)))
	got := open(t, mine)
	var b *BehindError
	if !errors.As(got.Refusal(), &b) || b.Witness.Seq != 3 || b.Tail.Seq != 4 {
		t.Errorf("open gave %v", got.Refusal())
	}
}

// Facts that were written and not acknowledged are normal after a crash.
func TestUnwitnessedFactsAreKept(t *testing.T) {
	dir := t.TempDir()
	l := open(t, dir)
	mustAppend(t, l, "one")
	old := readFile(t, filepath.Join(dir, witnessFile))
	h := mustAppend(t, l, "two")
	house := crashed(t, dir)
	writeFile(t, filepath.Join(house, witnessFile), old)
	after := open(t, house)
	if after.Head() != h || after.Refusal() != nil {
		t.Errorf("the ledger ends at %d, %v", after.Head().Seq, after.Refusal())
	}
	mustAppend(t, after, "three")
}

func TestAcceptLoss(t *testing.T) {
	dir, l := twoPart(t)
	if _, lost, err := l.AcceptLoss(ctx); lost || err != nil {
		t.Errorf("nothing is lost, and it gave %v, %v", lost, err)
	}
	end, house := l.Head(), crashed(t, dir)
	if err := os.Remove(filepath.Join(house, dbFile+"-wal")); err != nil {
		t.Fatal(err)
	}
	after, err := Open(ctx, house, Options{})
	if err != nil {
		t.Fatal(err)
	}
	loss, lost, err := after.AcceptLoss(ctx)
	if err != nil || !lost || loss.From() != 4 || loss.To != end {
		t.Fatalf("gave %+v, %v, %v; want facts 4 to %d", loss, lost, err, end.Seq)
	}
	h := mustAppend(t, after, "what was lost")
	if err := after.Close(); err != nil {
		t.Fatal(err)
	}
	again := open(t, house)
	if again.Head() != h || again.Refusal() != nil {
		t.Errorf("opened again it ends at %d, %v", again.Head().Seq, again.Refusal())
	}
	all, err := again.Losses(ctx)
	if err != nil || len(all) != 2 || all[1] != loss {
		t.Errorf("losses on record: %v, %v", all, err)
	}
}

// The witness is written at each acknowledgement and synced within a second or so.
func TestWitnessFollows(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	l := open(t, dir)
	for range 5 {
		h := mustAppend(t, l, "fact")
		if got, found, err := readWitness(filepath.Join(dir, witnessFile)); err != nil || !found || got != h {
			t.Fatalf("the witness is at %d, want %d; %v", got.Seq, h.Seq, err)
		}
	}
	for range 40 {
		l.mu.Lock()
		dirty := l.witness.dirty
		l.mu.Unlock()
		if !dirty {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Error("the witness was not synced in 4 s; it should be every second")
}

// A fact is durable though its witness can't be written; but nothing more is
// taken until the witness knows of it.
func TestWitnessThatCantBeWritten(t *testing.T) {
	dir := t.TempDir()
	l := open(t, dir)
	mustAppend(t, l, "one")
	good := l.witness.f
	bad, err := os.Open(filepath.Join(dir, witnessFile))
	if err != nil {
		t.Fatal(err)
	}
	defer bad.Close()
	swap := func(f *os.File) {
		l.mu.Lock()
		defer l.mu.Unlock()
		l.witness.f = f
	}
	swap(bad)
	h := mustAppend(t, l, "two")
	if _, err := l.Append(ctx, h, []byte("three")); err == nil {
		t.Error("a third fact was taken with the witness at the first")
	}
	swap(good)
	if got, _, err := readWitness(filepath.Join(dir, witnessFile)); err != nil || got.Seq != 1 {
		t.Fatalf("the witness is at %d, %v", got.Seq, err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	if got, _, err := readWitness(filepath.Join(dir, witnessFile)); err != nil || got != h {
		t.Errorf("after closing the witness is at %d, want 2; %v", got.Seq, err)
	}
	mustAppend(t, open(t, dir), "three")
}

// A folder may have any name.
func TestOddFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "miód & honey?mode=ro#1 %41 'x'")
	l := open(t, dir)
	h := mustAppend(t, l, "one")
	to := filepath.Join(dir, "back up?#%41.db")
	if _, err := l.Backup(ctx, to, nil); err != nil || !exists(to) || !exists(filepath.Join(dir, dbFile)) {
		t.Fatalf("%v", err)
	}
	if r, err := Restore(ctx, to, dir+"2", RestoreOptions{}); err != nil || r.Head != h {
		t.Errorf("%v", err)
	}
}
