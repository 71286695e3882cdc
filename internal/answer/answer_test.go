package answer

import "testing"

// A table given out for its rows stays the answer's, whatever is added after it.
func TestTablesStay(t *testing.T) {
	var a Answer
	var given []*Table
	for range mostTables {
		given = append(given, a.Table("t", "n"))
	}
	for i, g := range given {
		g.Row(Plain, int64(i))
	}
	for i := range a.Tables {
		if len(a.Tables[i].Rows) != 1 || a.Tables[i].Rows[0].Cells[0] != int64(i) {
			t.Fatalf("table %d has lost its row", i)
		}
	}
}
