package cli

import (
	"context"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestScripts runs testdata/*.txtar, one script for each task of a worker. Beside the
// usual commands a script has:
//
//	house DIR               a demo house of its own
//	fact VAR CODE KIND      the number of the first entry of a kind that bears a code,
//	                        or of a correction of such an entry
//	cut FILE SIZE           cuts a file short
//	poke FILE AT HEX        writes bytes into a file
//	rows FILE N             a table of N sites
//	orders FILE N           a table of N lines of orders, of which three are bad
func TestScripts(t *testing.T) {
	made := filepath.Join(t.TempDir(), "house")
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	if code := Run(t.Context(), []string{"demo", "--no-pages", made}, Streams{nil, new(strings.Builder), os.Stderr}); code != 0 {
		t.Fatalf("the demo house can't be made: exit code %d", code)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Setup: func(e *testscript.Env) error {
			e.Setenv("HOME", filepath.Join(e.WorkDir, "home"))
			e.Setenv("XDG_CONFIG_HOME", filepath.Join(e.WorkDir, "config"))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"house": func(s *testscript.TestScript, _ bool, args []string) {
				s.Check(os.CopyFS(s.MkAbs(args[0]), os.DirFS(made)))
			},
			"fact": setFact,
			"cut": func(s *testscript.TestScript, _ bool, args []string) {
				size, err := strconv.ParseInt(args[1], 10, 64)
				s.Check(err)
				s.Check(os.Truncate(s.MkAbs(args[0]), size))
			},
			"poke": func(s *testscript.TestScript, _ bool, args []string) {
				at, err := strconv.ParseInt(args[1], 10, 64)
				s.Check(err)
				b, err := hex.DecodeString(args[2])
				s.Check(err)
				f, err := os.OpenFile(s.MkAbs(args[0]), os.O_RDWR, 0)
				s.Check(err)
				_, err = f.WriteAt(b, at)
				s.Check(err)
				s.Check(f.Close())
			},
			"orders": func(s *testscript.TestScript, _ bool, args []string) {
				n, err := strconv.Atoi(args[1])
				s.Check(err)
				var b strings.Builder
				b.WriteString("order,customer,product,units,due\n")
				for i := 2; i < n+2; i++ { // the line in the file
					cells := []string{"T-" + strconv.Itoa(i/4), "Larkspur", "summer 340", strconv.Itoa(i), "2026-12-18"}
					switch i {
					case 12:
						cells[0], cells[1] = "T-x", "Nobody"
					case 2502:
						cells[3] = "many"
					case 4999:
						cells[2] = "moon honey"
					}
					b.WriteString(strings.Join(cells, ",") + "\n")
				}
				s.Check(os.WriteFile(s.MkAbs(args[0]), []byte(b.String()), 0o644))
			},
			"rows": func(s *testscript.TestScript, _ bool, args []string) {
				n, err := strconv.Atoi(args[1])
				s.Check(err)
				var b strings.Builder
				b.WriteString("site,country\n")
				for i := range n {
					b.WriteString("Row site " + strconv.Itoa(i) + ",VM\n")
				}
				s.Check(os.WriteFile(s.MkAbs(args[0]), []byte(b.String()), 0o644))
			},
		},
	})
}

// setFact sets a variable of the script to the number of an entry.
func setFact(s *testscript.TestScript, _ bool, args []string) {
	var out strings.Builder
	code := Run(context.Background(), []string{"--json", "--house", s.MkAbs("house"), "facts", args[1]}, Streams{nil, &out, os.Stderr})
	var got struct {
		Tables struct {
			Facts []struct {
				Fact      int64
				Says      struct{ Kind string }
				Corrected int64 `json:"corrected_by"`
			}
		}
	}
	if err := json.Unmarshal([]byte(out.String()), &got); code != 0 || err != nil {
		s.Fatalf("facts of %s: exit code %d, %v", args[1], code, err)
	}
	for _, f := range got.Tables.Facts {
		if args[2] == "correction" && f.Corrected != 0 {
			s.Setenv(args[0], strconv.FormatInt(f.Corrected, 10))
			return
		}
		if f.Says.Kind == args[2] {
			s.Setenv(args[0], strconv.FormatInt(f.Fact, 10))
			return
		}
	}
	s.Fatalf("%s has no entry of kind %s", args[1], args[2])
}
