package cli

import (
	"fmt"
	"strings"

	"combline/internal/quantity"
	"combline/internal/record"
)

// A kindList is a kind with its columns, as bring-in --list shows it.
type kindList struct {
	Kind    string       `json:"kind"`
	Says    string       `json:"says"`
	Columns []columnList `json:"columns"`
}

type columnList struct {
	Name   string   `json:"name"`
	Holds  string   `json:"holds"`
	Unit   string   `json:"unit,omitempty"`
	Words  []string `json:"words,omitempty"`
	Needed bool     `json:"needed,omitempty"`
}

// listKinds names every kind with its columns, or the columns of one in full.
func (a *app) listKinds(word string) error {
	kinds := record.Kinds()
	if word != "" {
		k, err := kindNamed(word)
		if err != nil {
			return err
		}
		kinds = []record.Kind{k}
	}
	var all []kindList
	for _, k := range kinds {
		all = append(all, columnsOf(k))
	}
	if a.json {
		return a.printJSON(all)
	}
	var b strings.Builder
	for _, k := range all {
		if word != "" {
			oneKind(&b, k)
		} else {
			fmt.Fprintf(&b, "%s: %s\n    %s\n", k.Kind, k.Says, strings.Join(k.names(), ", "))
		}
	}
	_, err := fmt.Fprint(a.Out, b.String())
	return err
}

func columnsOf(k record.Kind) kindList {
	l := kindList{Kind: k.String(), Says: k.Says()}
	for _, f := range record.Schema(k) {
		if f.Type == record.TypeBytes { // nobody types them
			continue
		}
		c := columnList{Name: f.Name, Holds: string(f.Type), Needed: f.Need, Words: f.Choices, Unit: f.Unit.String()}
		if f.Unit == quantity.Each {
			c.Unit = "" // a count of things
		}
		l.Columns = append(l.Columns, c)
		if f.Type == record.TypeWeight {
			l.Columns = append(l.Columns, columnList{Name: f.Name + "_known", Holds: "choice", Words: []string{"weighed", "typed", "estimated", "calculated"}})
		}
	}
	return l
}

// names are the column names, an asterisk after those that are needed.
func (k kindList) names() (all []string) {
	for _, c := range k.Columns {
		name := c.Name
		if c.Needed {
			name += "*"
		}
		all = append(all, name)
	}
	return all
}

func oneKind(b *strings.Builder, k kindList) {
	fmt.Fprintf(b, "%s: %s\n", k.Kind, k.Says)
	all := []column{{key: "name"}, {key: "holds"}}
	for i, name := range k.names() {
		c := k.Columns[i]
		holds := c.Holds
		if c.Unit != "" {
			holds += " in " + c.Unit
		}
		if len(c.Words) > 0 {
			holds += ": " + strings.Join(c.Words, ", ")
		}
		all[0].cells, all[1].cells = append(all[0].cells, name), append(all[1].cells, holds)
	}
	blocks(b, fit(all, nil))
	fmt.Fprintf(b, "* is needed. Members of a list are numbered: %q is also stacks.1.gross, stacks.2.gross.\nTwo more columns may stand in every table: happened and person.\n", "stacks.gross")
}
