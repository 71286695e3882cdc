package answer

import (
	"slices"
	"strings"
)

// Nothing reports whether nothing stands in a cell because there is nothing to know:
// nobody is named, no figure applies. Where somebody could have measured or seen it, it
// is not known instead, which is another thing.
func Nothing(t Table, r Row, column int) bool {
	key := t.Columns[column].Key
	if r.Cells[column] != nil {
		return r.Cells[column] == ""
	}
	gone := key == "place" && slices.ContainsFunc(r.Cells, func(c any) bool { return c == Key("node.sent") })
	return gone || !measured(t.Key, key)
}

// measured reports whether a column holds what somebody measured or saw. Boxes that went
// to a site stand in no place of the house, and material is counted or weighed; what may
// be touched may be a site.
func measured(table, column string) bool {
	if strings.HasPrefix(table, "statement-") { // what is not written down there is not known
		return true
	}
	switch table {
	case "box-moves", "materials", "possible-from", "possible-into":
		return false
	}
	return column == "place" ||
		slices.ContainsFunc([]string{"_g", "_pct", "_c", "_per_g"}, func(unit string) bool { return strings.HasSuffix(column, unit) })
}
