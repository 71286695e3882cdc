package ledger

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"combline/internal/chain"
)

func asText(body []byte) (json.RawMessage, error) { return json.Marshal(string(body)) }

func exported(t testing.TB, l *Ledger, readable func([]byte) (json.RawMessage, error)) []byte {
	t.Helper()
	var b bytes.Buffer
	if _, err := l.Export(ctx, &b, readable); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestExportFormat(t *testing.T) {
	got := exported(t, open(t, kept(t)), asText)
	// The hashes are SHA-256 by the formula in chain, worked out with sha256sum.
	want := `{"combline":"ledger","form":1}
{"seq":1,"prev":"0000000000000000000000000000000000000000000000000000000000000000","hash":"` + hashOne + `","body":"b25l","readable":"one"}
{"seq":2,"prev":"` + hashOne + `","hash":"` + hashTwo + `","body":"dHdv","readable":"two"}
`
	if !strings.HasPrefix(string(got), want) {
		t.Errorf("got\n%s\nwant it to begin with\n%s", got, want)
	}
	for _, part := range []string{`{"block":"T1/1","instrument":"T1","hour":1,"digest":"`, `","bytes":"MjAuNQ=="}`, `{"loss_after":{"seq":1,`, `"blocks":1,"losses":1,"sum":"`} {
		if !strings.Contains(string(got), part) {
			t.Errorf("%s is missing in\n%s", part, got)
		}
	}
}

// Worked out outside this program:
//
//	(printf 'combline ledger 1\n'; printf '%016x' 1 | xxd -r -p; head -c 32 /dev/zero; printf one) | sha256sum
//
// and for the second fact with 2, the first one's hash, and "two".
const (
	hashOne = "b09f22f8acef34b4fad4df876b195115809ab27fa19b6c31bc08a035ab980808"
	hashTwo = "117a181f1a2530e11a9ee795409ea2596740111fdef4e216c42581c6c2401732"
)

// An import is the same ledger to the byte, and exports to the same text.
func TestImportIsTheSame(t *testing.T) {
	t.Parallel()
	dir, facts := filledHouse(t, 2500)
	l := open(t, dir)
	for i := range 3 {
		if err := l.PutBlock(ctx, chain.NewBlock(fmt.Sprint("T1/", i), "T1", int64(i), bytes.Repeat([]byte{byte(i)}, 5000*i))); err != nil {
			t.Fatal(err)
		}
	}
	text := exported(t, l, nil)
	house := filepath.Join(t.TempDir(), "house")
	r, err := Import(ctx, bytes.NewReader(text), house)
	if err != nil || r.Head != l.Head() || r.Blocks != 3 {
		t.Fatalf("gave %+v, %v", r, err)
	}
	got := open(t, house)
	if !same(collect(t, got, 0), facts) {
		t.Error("the facts differ")
	}
	if again := exported(t, got, nil); !bytes.Equal(again, text) {
		t.Error("the export of the import differs")
	}
	mustAppend(t, got, "and on")
	if _, err := Import(ctx, bytes.NewReader(text), house); !errors.Is(err, ErrHouse) {
		t.Errorf("import onto a house gave %v", err)
	}
	used := t.TempDir()
	writeFile(t, filepath.Join(used, "a letter"), nil)
	if _, err := Import(ctx, bytes.NewReader(text), used); !errors.Is(err, fs.ErrExist) {
		t.Errorf("import into a used folder gave %v", err)
	}
}

// An empty ledger, and one with losses only, go there and back as well.
func TestImportOfLittle(t *testing.T) {
	for name, l := range map[string]*Ledger{"empty": open(t, t.TempDir()), "all kinds": open(t, kept(t))} {
		text := exported(t, l, asText)
		house := t.TempDir() // an empty folder will do
		if _, err := Import(ctx, bytes.NewReader(text), house); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if again := exported(t, open(t, house), asText); !bytes.Equal(again, text) {
			t.Errorf("%s: became\n%s\nwas\n%s", name, again, text)
		}
	}
}

// Whatever one changes in an export, the import is refused or is the same.
func TestSpoiltExport(t *testing.T) {
	t.Parallel()
	text := exported(t, open(t, kept(t)), nil)
	lines := bytes.SplitAfter(text, []byte("\n"))
	lines = lines[:len(lines)-1]
	rapid.Check(t, func(t *rapid.T) {
		bad := append([][]byte{}, lines...)
		i, j := rapid.IntRange(0, len(bad)-1).Draw(t, "i"), rapid.IntRange(0, len(bad)-1).Draw(t, "j")
		switch rapid.SampledFrom([]string{"swap", "drop", "double", "cut", "change", "add"}).Draw(t, "how") {
		case "swap":
			bad[i], bad[j] = bad[j], bad[i]
		case "drop":
			bad = append(bad[:i:i], bad[i+1:]...)
		case "double":
			bad = append(bad[:i:i], append([][]byte{bad[i]}, bad[i:]...)...)
		case "cut":
			bad = bad[:i]
		case "change":
			at := rapid.IntRange(0, len(bad[i])-1).Draw(t, "at")
			bad[i] = bytes.Clone(bad[i])
			bad[i][at] ^= 1 << rapid.IntRange(0, 7).Draw(t, "bit")
		case "add":
			bad = append(bad[:i:i], append([][]byte{[]byte(rapid.SampledFrom([]string{"\n", "{}\n", "null\n", `{"seq":4}` + "\n"}).Draw(t, "line"))}, bad[i:]...)...)
		}
		changed := bytes.Join(bad, nil)
		dir, err := newFolder()
		if err != nil {
			t.Fatal(err)
		}
		defer dropFolder(dir)
		_, err = Import(ctx, bytes.NewReader(changed), filepath.Join(dir, "house"))
		if left, _ := filepath.Glob(filepath.Join(dir, "*")); err != nil && len(left) > 0 {
			t.Fatalf("refused, and left behind %v", left)
		}
		if err == nil && !bytes.Equal(bytes.TrimSpace(changed), bytes.TrimSpace(text)) {
			t.Fatalf("taken:\n%s", changed)
		}
	})
}

func TestImportNamesTheLine(t *testing.T) {
	text := string(exported(t, open(t, kept(t)), nil))
	lines := strings.SplitAfter(text, "\n")
	var line *LineError
	_, err := Import(ctx, strings.NewReader(lines[0]+"{\"seq\":1}\n"), filepath.Join(t.TempDir(), "h"))
	if !errors.As(err, &line) || line.Line != 2 {
		t.Errorf("gave %v, want line 2 named", err)
	}
	_, err = Import(ctx, strings.NewReader(lines[0]+lines[1]), filepath.Join(t.TempDir(), "h"))
	if !errors.As(err, &line) || line.Line != 3 || !strings.Contains(err.Error(), "cut short") {
		t.Errorf("a cut export gave %v", err)
	}
	var broken *chain.BrokenError
	_, err = Import(ctx, strings.NewReader(lines[0]+lines[1]+strings.Replace(lines[2], "dHdv", "dHdw", 1)), filepath.Join(t.TempDir(), "h"))
	if !errors.As(err, &broken) || broken.Seq != 2 || !strings.Contains(err.Error(), "line 3") {
		t.Errorf("an altered fact gave %v, want fact 2 in line 3 named", err)
	}
}

func TestExportSaysWhatCantBeRead(t *testing.T) {
	odd := errors.New("no such kind")
	_, err := open(t, kept(t)).Export(ctx, &bytes.Buffer{}, func(b []byte) (json.RawMessage, error) {
		if string(b) == "two" {
			return nil, odd
		}
		return asText(b)
	})
	if !errors.Is(err, odd) || !strings.Contains(err.Error(), "fact 2") {
		t.Errorf("gave %v", err)
	}
}

// A line that is taken is printed the same: there is one way to write each.
func FuzzParseLine(f *testing.F) {
	l := open(f, f.TempDir())
	mustAppend(f, l, "one", "two <&> \u2028")
	if err := l.PutBlock(ctx, chain.NewBlock("T1/1", "T1", -1, nil)); err != nil {
		f.Fatal(err)
	}
	for _, line := range bytes.Split(exported(f, l, asText), []byte("\n")) {
		f.Add(line)
	}
	f.Add([]byte(`{"loss_after":{"seq":1,"hash":"` + hashOne + `"},"loss_to":{"seq":2,"hash":"` + hashTwo + `"}}`))
	f.Add([]byte(`{"seq":1,"seq":2}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		line, err := parseLine(b)
		if err != nil {
			return
		}
		if again, err := printLine(line); err != nil || !bytes.Equal(again, b) {
			t.Errorf("%q reprinted as %q, %v", b, again, err)
		}
	})
}
