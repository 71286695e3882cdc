package epcis

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
)

// A Context names the prefixes of the fields that the standard does not have.
type Context map[string]string

// MasterData is the standard's own prefix for what is told of a lot when it begins.
const MasterData = "cbvmda"

const standardContext = "https://ref.gs1.org/standards/epcis/2.0.0/epcis-context.jsonld"

// standing are the prefixes that the standard's context has already.
var standing = Context{MasterData: "urn:epcglobal:cbv:mda:", "gs1": "https://gs1.org/voc/"}

func (c Context) of(prefix string) string {
	if ns, ok := c[prefix]; ok {
		return ns
	}
	return standing[prefix]
}

// list is the @context of a document.
func (c Context) list() []any {
	out := []any{standardContext}
	for _, prefix := range slices.Sorted(maps.Keys(c)) {
		out = append(out, map[string]string{prefix: c[prefix]})
	}
	return append(out, map[string]string{MasterData: standing[MasterData]})
}

// Document writes the events as one file of JSON-LD, each named by its hash, once
// each: an event that says the same as another before it is the same event.
func Document(events []Event, c Context, made time.Time) ([]byte, error) {
	seen := make(map[string]bool, len(events))
	var list []Event
	for i, e := range events {
		if err := e.Check(); err != nil {
			return nil, fmt.Errorf("event %d of %d: %w", i+1, len(events), err)
		}
		e, err := e.Signed(c)
		if err != nil {
			return nil, err
		}
		if !seen[e.ID] {
			seen[e.ID] = true
			list = append(list, e)
		}
	}
	type body struct {
		Events []Event `json:"eventList"`
	}
	if list == nil {
		list = []Event{}
	}
	var out strings.Builder
	enc := json.NewEncoder(&out)
	enc.SetIndent("", " ")
	enc.SetEscapeHTML(false)
	err := enc.Encode(struct {
		Context any    `json:"@context"`
		Type    string `json:"type"`
		Version string `json:"schemaVersion"`
		Made    string `json:"creationDate"`
		Body    body   `json:"epcisBody"`
	}{c.list(), "EPCISDocument", "2.0", made.Format("2006-01-02T15:04:05.000Z07:00"), body{list}})
	return []byte(out.String()), err
}
