package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
)

// Cells gives a fact's fields as somebody would type them: the way back from
// [FromCells], with a decimal point. Fields that are not given have no cell;
// neither have bytes and the time of a correction, which nobody types.
func Cells(fact Fact) map[string]string {
	o := &object{}
	fact.fields(&form{mode: listing, obj: o})
	d := json.NewDecoder(bytes.NewReader(o.bytes()))
	d.UseNumber() // as it was written
	var fields map[string]any
	if err := d.Decode(&fields); err != nil {
		return nil // a listing is valid JSON; a test holds every kind to it
	}
	cells := map[string]string{}
	addCells(cells, "", fields)
	Visit(fact, func(f Field) {
		if f.Type == TypeBytes {
			delete(cells, f.Name)
		}
	})
	if a, ok := fact.(*Amended); ok && a.When != (When{}) {
		delete(cells, "when")
	}
	return cells
}

// addCells names the members of a list by their numbers, "stacks.1.gross".
func addCells(cells map[string]string, path string, fields map[string]any) {
	for name, v := range fields {
		name = path + name
		switch v := v.(type) {
		case []any:
			addList(cells, name, v)
		case map[string]any:
			addCells(cells, name+".", v)
		default:
			cells[name] = fmt.Sprint(v)
		}
	}
}

func addList(cells map[string]string, name string, list []any) {
	var codes []string
	for i, v := range list {
		if member, ok := v.(map[string]any); ok {
			addCells(cells, fmt.Sprintf("%s.%d.", name, i+1), member)
			continue
		}
		codes = append(codes, fmt.Sprint(v))
	}
	if len(codes) > 0 {
		cells[name] = strings.Join(codes, "; ")
	}
}
