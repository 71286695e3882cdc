package cli

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"combline/internal/instrument"
	"combline/internal/office"
	"combline/internal/record"
)

// asProgram is this test's own binary under the program's name: [TestMain] then runs a
// command line.
func asProgram(t *testing.T) string {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "combline")
	if err := os.Symlink(self, name); err != nil {
		t.Fatal(err)
	}
	return name
}

// safeJars are the jars that a journal on the disk holds.
func safeJars(t *testing.T, path string) (all []office.Jar) {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		return nil
	}
	copied := filepath.Join(t.TempDir(), "journal")
	if err := os.WriteFile(copied, b, 0o600); err != nil {
		t.Fatal(err)
	}
	j, records, err := instrument.OpenJournal(copied)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	for _, r := range records {
		some, err := office.DecodeJars(r)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, some...)
	}
	return all
}

// The program is killed in the middle of a run, with weights on the way, and started
// again: what was safe is in the record once, what is sent again is not doubled, what
// never came is told.
func TestKilledInARun(t *testing.T) {
	dir := t.TempDir()
	if err := fillHouse(t, dir).Close(); err != nil {
		t.Fatal(err)
	}
	program := asProgram(t)
	args := []string{"--house", dir, "--json", "fill", "R1", "--scale", "W1", "--pattern", "{seq};{nozzle};{weight} {unit}", "--from"}
	child := exec.Command(program, append(args, "listen://127.0.0.1:0")...)
	errs, err := child.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	defer child.Process.Kill()
	line, err := bufio.NewReader(errs).ReadString('\n')
	address := regexp.MustCompile(`127\.0\.0\.1:\d+`).FindString(line)
	if err != nil || address == "" {
		t.Fatalf("it said %q, %v", line, err)
	}
	conn, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if _, err := conn.Write(lines(1, 500)); err != nil {
		t.Fatal(err)
	}
	journal := filepath.Join(dir, "readings", "R1.W1.journal")
	for end := time.Now().Add(20 * time.Second); len(safeJars(t, journal)) < 500; time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("%d jars are safe after 20 s", len(safeJars(t, journal)))
		}
	}
	if _, err := conn.Write(lines(501, 5000)); err != nil {
		t.Fatal(err)
	}
	if err := child.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = child.Wait()
	safe := safeJars(t, journal)
	if len(safe) < 500 {
		t.Fatalf("%d jars are safe", len(safe))
	}
	last := int(safe[len(safe)-1].Seq)

	weights := filepath.Join(t.TempDir(), "weights")
	again := append(lines(max(1, last-20), last), lines(last+4, last+300)...) // three never came
	if err := os.WriteFile(weights, again, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, append(args, weights)...).Output()
	var code *exec.ExitError
	if err != nil && (!asExit(err, &code) || code.ExitCode() != 12) {
		t.Fatalf("%v: %s", err, out)
	}
	var said struct {
		Tables struct {
			Stream []struct {
				What   string
				Pieces int64
			}
			Cuts []struct{ Numbers int64 }
		}
	}
	if err := json.Unmarshal(out, &said); err != nil {
		t.Fatal(err)
	}
	told := map[string]int64{}
	for _, s := range said.Tables.Stream {
		told[s.What] = s.Pieces
	}
	if told["fill.fault.doubled"] != 21 || told["fill.still-lost"] != 3 || told["fill.kept"] != int64(last)+297 || len(said.Tables.Cuts) != 1 || said.Tables.Cuts[0].Numbers != 3 {
		t.Errorf("after the restart it told %v, cuts %v; %d were safe", told, said.Tables.Cuts, last)
	}
	recorded(t, dir, last)
}

func asExit(err error, code **exec.ExitError) bool {
	e, ok := err.(*exec.ExitError)
	*code = e
	return ok
}

// recorded finds each jar once in the blocks that the record names.
func recorded(t *testing.T, dir string, last int) {
	t.Helper()
	a := &app{Streams: Streams{nil, os.Stdout, os.Stderr}, house: dir}
	h, err := a.reading(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	defer h.Close()
	times := map[int64]int{}
	h.Read(func(v *office.View) {
		for _, e := range v.Mentions("R1") {
			if f, ok := e.Fact.(*record.StreamRead); ok {
				b, err := h.ledger.Block(context.Background(), f.Block)
				if err != nil {
					t.Error(err)
					continue
				}
				jars, err := office.DecodeJars(b.Bytes)
				if err != nil || string(f.Digest) != string(b.Digest[:]) {
					t.Errorf("block %s: %v", f.Block, err)
				}
				for _, j := range jars {
					times[j.Seq]++
				}
			}
		}
	})
	var wrong []string
	for n := 1; n <= last+300; n++ {
		want := 1
		if n > last && n <= last+3 {
			want = 0
		}
		if times[int64(n)] != want {
			wrong = append(wrong, fmt.Sprintf("%d: %d", n, times[int64(n)]))
		}
	}
	if len(wrong) > 0 {
		t.Errorf("jars in the record so many times: %v", wrong[:min(len(wrong), 10)])
	}
}

// Broken off at each step of putting a block away, it is done again with the same outcome.
func TestBrokenOffWhileABlockIsPutAway(t *testing.T) {
	dir := t.TempDir()
	h := fillHouse(t, dir)
	defer h.Close()
	x, j := takingOf(t, h)
	for _, l := range []string{"1;1;341.0 g", "2;2;341.2 g"} {
		if err := x.Line([]byte(l), time.Now()); err != nil {
			t.Fatal(err)
		}
	}
	if err := x.Settle(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "readings", "R1.W1.journal")
	before, err := os.ReadFile(path) // as it stands before block and fact
	if err != nil {
		t.Fatal(err)
	}
	if err := x.filling.Close(t.Context()); err != nil {
		t.Fatal(err)
	}
	j.Close()
	for range 2 { // the journal was not begun anew: its block is in the record already
		if err := os.WriteFile(path, before, 0o600); err != nil {
			t.Fatal(err)
		}
		x, j = takingOf(t, h)
		saved, pending := x.filling.Saved()
		if saved != 2 || pending != 0 || len(x.filling.Recent()) != 2 {
			t.Errorf("%d jars saved, %d pending; want 2 and 0", saved, pending)
		}
		x.filling.Close(t.Context())
		j.Close()
	}
}

// The cable is pulled in the middle of a run and put back: the run says so while it is out,
// and its record still does when the program has ended.
func TestCutIsInTheRecord(t *testing.T) {
	dir := t.TempDir()
	h := fillHouse(t, dir)
	defer h.Close()
	x, j := takingOf(t, h)
	defer j.Close()
	at := time.Now().Truncate(time.Millisecond)
	take := func(text string, s int) {
		t.Helper()
		if err := x.Line([]byte(text), at.Add(time.Duration(s)*time.Second)); err != nil {
			t.Fatal(err)
		}
	}
	take("1;1;341.0 g", 0)
	take("2;2;341.2 g", 3)
	x.Link(false, at.Add(10*time.Second))
	if s := x.state(); s.DownMS != at.Add(10*time.Second).UnixMilli() || len(s.Cuts) != 0 {
		t.Errorf("while the cable is out: down since %d, cuts %v", s.DownMS, s.Cuts)
	}
	x.Link(true, at.Add(70*time.Second))
	take("6;2;341.1 g", 72)
	want := office.FillCut{FromMS: at.Add(10 * time.Second).UnixMilli(), ToMS: at.Add(72 * time.Second).UnixMilli(), Missing: 3}
	if err := x.Settle(); err != nil {
		t.Fatal(err)
	}
	if s := x.state(); s.DownMS != 0 || len(s.Cuts) != 1 || s.Cuts[0] != want {
		t.Errorf("after it is back: down since %d, cuts %v, want %v", s.DownMS, s.Cuts, want)
	}
	if err := x.filling.Close(t.Context()); err != nil {
		t.Fatal(err)
	}
	if saved, pending := x.filling.Saved(); saved != 3 || pending != 0 {
		t.Errorf("%d jars saved, %d pending; want 3 and 0", saved, pending)
	}
	s, _, why := h.FillState(t.Context(), "R1")
	if why != nil || len(s.Cuts) != 1 || s.Cuts[0] != want || s.Weighed != 3 {
		t.Fatalf("the record has %d jars and the cuts %v, %v; want %v", s.Weighed, s.Cuts, why, want)
	}
	a := h.FillAnswer(t.Context(), "R1")
	told := false
	for _, l := range a.Lines {
		told = told || l.Key == "fill.cut-lost"
	}
	if !told {
		t.Errorf("the answer does not tell the cut: %v", a.Lines)
	}
}

// Who watches the house hears of weights that came in, though no fact was written.
func TestWeightsAreNews(t *testing.T) {
	h := fillHouse(t, t.TempDir())
	defer h.Close()
	x, j := takingOf(t, h)
	defer j.Close()
	news, stop := h.Watch()
	defer stop()
	if err := x.Line([]byte("1;1;341.0 g"), time.Now()); err != nil {
		t.Fatal(err)
	}
	x.shown = time.Time{}
	if err := x.Settle(); err != nil {
		t.Fatal(err)
	}
	select {
	case n := <-news:
		if n != office.LiveNews {
			t.Errorf("the news is %d", n)
		}
	case <-time.After(5 * time.Second):
		t.Error("no news came")
	}
	s, _, why := h.FillState(t.Context(), "R1")
	if why != nil || s.Weighed != 1 || s.Last.Net != 341_000 {
		t.Errorf("the run has %d weights, the last %d mg, %v", s.Weighed, s.Last.Net, why)
	}
}
