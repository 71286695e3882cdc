package epcis

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// schemaText is the standard's own JSON schema of EPCIS 2.0 documents.
//
//go:embed EPCIS-JSON-Schema.json
var schemaText []byte

// A Breach is what the standard refuses in an event or a document that could be read.
type Breach struct{ Why string }

func (b *Breach) Error() string { return b.Why }

// Judge holds an event, or a whole document of events, against the standard's JSON
// schema and against [Event.Check]. A Breach is what is wrong with it; another error
// means that it could not be read. Source: EPCIS 2.0, its JSON schema.
func Judge(text []byte) error {
	events, whole, _, err := Events(text)
	if err != nil {
		return err
	}
	for i, raw := range events {
		if err := judged(raw); err != nil {
			return &Breach{fmt.Sprintf("event %d of %d: %v", i+1, len(events), err)}
		}
	}
	s, err := schema()
	if err != nil {
		return err
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(whole))
	if err != nil {
		return err
	}
	if err := s.Validate(v); err != nil {
		return &Breach{"the standard's schema refuses it: " + deepest(err)}
	}
	return nil
}

// Events are those of a document, or the one event that the text is, with the whole as
// a document and the prefixes that its context names.
func Events(text []byte) (events []json.RawMessage, whole []byte, c Context, err error) {
	var d struct {
		Context any `json:"@context"`
		Body    *struct {
			List []json.RawMessage `json:"eventList"`
		} `json:"epcisBody"`
	}
	if err := json.Unmarshal(text, &d); err != nil {
		return nil, nil, nil, fmt.Errorf("the text is no JSON object: %w", err)
	}
	c = Context{}
	list, _ := d.Context.([]any)
	if o, ok := d.Context.(map[string]any); ok {
		list = []any{o}
	}
	for _, part := range list {
		o, _ := part.(map[string]any)
		for prefix, ns := range o {
			if s, ok := ns.(string); ok {
				c[prefix] = s
			}
		}
	}
	if d.Body != nil {
		if len(d.Body.List) == 0 {
			return nil, nil, nil, fmt.Errorf("the document has no events")
		}
		return d.Body.List, text, c, nil
	}
	var event map[string]json.RawMessage
	if err := json.Unmarshal(text, &event); err != nil {
		return nil, nil, nil, fmt.Errorf("the text is no JSON object: %w", err)
	}
	delete(event, "@context")
	one, err := json.Marshal(event)
	if err != nil {
		return nil, nil, nil, fmt.Errorf("the event can't be written again: %w", err)
	}
	whole, err = json.Marshal(map[string]any{"@context": []any{standardContext}, "type": "EPCISDocument", "schemaVersion": "2.0",
		"creationDate": "2026-01-01T00:00:00.000Z", "epcisBody": map[string]any{"eventList": []json.RawMessage{one}}})
	return []json.RawMessage{one}, whole, c, err
}

// judged is Check on an event of a honey house. Types and fields that a house does not
// write are the schema's to judge.
func judged(raw json.RawMessage) error {
	var e struct {
		Event
		Quantities []amount        `json:"quantityList"`
		Children   []amount        `json:"childQuantityList"`
		Inputs     []amount        `json:"inputQuantityList"`
		Outputs    []amount        `json:"outputQuantityList"`
		Master     map[string]any  `json:"ilmd"`
		Sensors    json.RawMessage `json:"sensorElementList"`
	}
	if err := json.Unmarshal(raw, &e); err != nil {
		return fmt.Errorf("a field is not of its kind: %w", err)
	}
	switch e.Type {
	case Object, Aggregation, Transformation:
	default:
		return nil
	}
	if len(e.Sensors) > 0 {
		return nil
	}
	x := e.Event
	x.Quantities, x.ChildQuantities, x.Inputs, x.Outputs = list(e.Quantities), list(e.Children), list(e.Inputs), list(e.Outputs)
	for name := range e.Master {
		x.Master = map[string]string{name: ""}
	}
	return x.Check()
}

type amount struct {
	Class    string  `json:"epcClass"`
	Quantity float64 `json:"quantity"`
	Unit     string  `json:"uom"`
}

func list(in []amount) (out []Quantity) {
	for _, a := range in {
		out = append(out, Quantity{a.Class, Decimal(a.Quantity * 1000), a.Unit})
	}
	return out
}

func schema() (*jsonschema.Schema, error) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schemaText))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	c.UseRegexpEngine(pattern)
	if err := c.AddResource("epcis.json", doc); err != nil {
		return nil, err
	}
	return c.Compile("epcis.json")
}

// pattern compiles the schema's patterns. Two say only what a text must not begin
// with, in a form that Go's engine does not have: they are turned round.
func pattern(s string) (jsonschema.Regexp, error) {
	if not, ok := strings.CutPrefix(s, "^(?!"); ok {
		re, err := regexp.Compile("^" + strings.TrimSuffix(not, ")"))
		return begins{re}, err
	}
	return regexp.Compile(s)
}

type begins struct{ *regexp.Regexp }

func (b begins) MatchString(s string) bool { return !b.Regexp.MatchString(s) }

// deepest is the place farthest down in a document that the schema refuses.
func deepest(err error) string {
	var v *jsonschema.ValidationError
	if !errors.As(err, &v) {
		return err.Error()
	}
	best := v
	var walk func(*jsonschema.ValidationError)
	walk = func(e *jsonschema.ValidationError) {
		if len(e.Causes) == 0 && len(e.InstanceLocation) > len(best.InstanceLocation) {
			best = e
		}
		for _, c := range e.Causes {
			walk(c)
		}
	}
	walk(v)
	_, says, ok := strings.Cut(best.Error(), "\n- ")
	if !ok {
		says = best.Error()
	}
	says, _, _ = strings.Cut(says, "\n")
	return strings.TrimSpace(says)
}
