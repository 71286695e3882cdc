package web

import (
	"strings"

	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A task is one thing that somebody writes down: which facts it makes, which cells
// they fill in, what is given already.
type task struct {
	Name  string // texts are page.task.NAME
	Title string
	About string // a line below the title
	Of    record.Code
	Back  string // page to see when it is recorded
	Parts []part
	Shown []record.Code // what the page shows and must not have changed meanwhile
	Go    string        // text of the button that saves; empty: Save
	Alarm bool
	Note  string
	Keys  bool // the big keypad stands beside it
	// Photo is the label of a field for a photo, PhotoHint what to know of it, PhotoNote
	// the label of a line about it; Kept is the digest of one that came before.
	Photo, PhotoHint, PhotoNote, Kept string
	// Make adds facts that no part describes, or changes the draft, before it is
	// recorded. Its error is worded like one of the house.
	Make func(*house.Draft) error
	// Sure says which question needs no asking.
	Sure func(house.Ask) bool
}

// A part is one fact of a task.
type part struct {
	Kind  record.Kind
	Fixed map[string]string // cells that are given
	Cells []cell
	Maybe bool // no fact when none of its cells is filled in
	Head  string
}

// A cell is one field of a fact as a form asks for it.
type cell struct {
	Name    string        // the fact's field: "to", "pours.mass"
	Label   string        // when the field's own word does not fit
	Hint    string        // what to think of
	Unit    string        // shown behind the field
	In      quantity.Unit // of a bare figure, where the field itself has none
	Start   string        // what stands there at first
	Likely  []option      // codes that are probably meant, as buttons
	Need    bool          // must be filled in here even where the fact allows none
	Free    bool          // may be left out with the whole of the list member that it stands in
	Small   bool          // typed by keyboard rather than by the big keypad
	Choices []string      // of the field's choices, those that fit here
	Pick    []option      // of a text, what it usually says, to choose from
	Unset   string        // of a yes or no: what leaving it out means, when not "not known"
	Guess   bool          // a weight that may be estimated
}

// schema is the fields that a kind of fact has, by name without member numbers.
func schema(k record.Kind) map[string]record.Field {
	all := map[string]record.Field{}
	for _, f := range record.Schema(k) {
		all[bare(f.Name)] = f
	}
	return all
}

// bare is a field's name without the numbers of list members: results.2.value is
// results.value.
func bare(name string) string {
	parts := strings.Split(name, ".")
	kept := parts[:0]
	for _, p := range parts {
		if strings.Trim(p, "0123456789") != "" {
			kept = append(kept, p)
		}
	}
	return strings.Join(kept, ".")
}

// shownOf is the contents that a page shows, as the form sends them back.
func shownOf(h *office.View, codes []record.Code) (all []string) {
	for _, c := range codes {
		all = append(all, string(c)+"\t"+string(h.ContentShown(c)))
	}
	return all
}
