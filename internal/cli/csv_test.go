package cli

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"combline/internal/office"
)

// Tables come as programs of all kinds write them.
func TestTable(t *testing.T) {
	want := []office.TableRow{{Line: 2, Cells: map[string]string{"drum": "D001", "net": "290,5 kg"}},
		{Line: 4, Cells: map[string]string{"drum": "D;2", "net": ""}}}
	for _, text := range []string{
		"drum,net\nD001,\"290,5 kg\"\n\nD;2\n",
		"Drum;NET\nD001;290,5 kg\n;\n\"D;2\";\n",
		"\ufeffdrum\tnet\r\nD001\t290,5 kg\r\n\t\r\nD;2\t\r\n",
		"drum;net;\nD001;290,5 kg;\n;;\n\"D;2\";;",
		"drum;net\rD001;290,5 kg\r\r\"D;2\";\r",
	} {
		header, rows, bad := table([]byte(text))
		for i := range rows { // a row that ends early has no cell there
			if _, ok := rows[i].Cells["net"]; !ok {
				rows[i].Cells["net"] = ""
			}
		}
		if d := cmp.Diff(want, rows); d != "" || len(bad) > 0 || header[0] != "drum" {
			t.Errorf("%q: header %q, bad %v, rows (-want +got):\n%s", text, header, bad, d)
		}
	}
}

// What is wrong with a table is named with its line.
func TestTableNamesWhatIsWrong(t *testing.T) {
	for text, want := range map[string]badCell{
		"drum,net\nD001,\xff\n":         {line: 2, key: "cli.csv.utf8"},
		"d\x00,\x00n\x00\n\x00D\x00":    {line: 1, key: "cli.csv.utf8"},
		"\xfe\xff\x00d\x00,\x00n\x00\n": {line: 1, key: "cli.csv.utf8"},
		"drum,net\nD001,\"29\"0\n":      {line: 2, key: "cli.csv.quote"},
		"drum,net,Drum\nD001,1,D002\n":  {line: 1, column: "drum", key: "cli.csv.twice"},
		"drum,net\nD001,1,2\n":          {line: 2, key: "cli.csv.no-name"},
	} {
		_, _, bad := table([]byte(text))
		if len(bad) != 1 || bad[0].line != want.line || bad[0].column != want.column || bad[0].key != want.key {
			t.Errorf("%q: %+v, want %+v", text, bad, want)
		}
	}
}

// Law: whatever the bytes, either something is wrong, or every row has a line of the
// text and cells under names of the header.
func FuzzTable(f *testing.F) {
	f.Add([]byte("drum;net\nD001;290,5\n"))
	f.Add([]byte("\ufeff\"a\"\"b\",c\r\n1,2\r\n"))
	f.Fuzz(func(t *testing.T, content []byte) {
		header, rows, bad := table(content)
		if !utf8.Valid(content) && len(bad) == 0 {
			t.Error("bytes that are no text were taken")
		}
		if len(bad) > 0 {
			return
		}
		names, last := map[string]bool{}, 0
		for _, name := range header {
			names[name] = true
		}
		for _, r := range rows {
			if r.Line <= last || r.Line > strings.Count(strings.ReplaceAll(string(content), "\r", "\n"), "\n")+1 {
				t.Errorf("line %d after line %d of %q", r.Line, last, content)
			}
			last = r.Line
			for name := range r.Cells {
				if !names[name] {
					t.Errorf("cell %q, header %q", name, header)
				}
			}
		}
	})
}
