package epcis

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// GS1's reference vectors of the event hash, CBV 2.0 section 8.9: pre-hash text and
// name of each.
func TestReferenceVectors(t *testing.T) {
	raw, err := os.ReadFile("testdata/examples_epcis_hash.json")
	if err != nil {
		t.Fatal(err)
	}
	var vectors []struct {
		ID, Prehash string
		HashID      string `json:"hash_id"`
		Context     []any
		Event       json.RawMessage
	}
	if err := json.Unmarshal(raw, &vectors); err != nil {
		t.Fatal(err)
	}
	if len(vectors) < 9 {
		t.Fatalf("%d vectors", len(vectors))
	}
	for _, v := range vectors {
		c := Context{}
		for _, part := range v.Context {
			if o, ok := part.(map[string]any); ok {
				for prefix, ns := range o {
					c[prefix] = ns.(string)
				}
			}
		}
		text, err := Prehash(v.Event, c)
		if err != nil || text != v.Prehash {
			t.Errorf("%s: %v\n got %s\nwant %s", v.ID, err, text, v.Prehash)
		}
		if id, err := HashID(v.Event, c); err != nil || id != v.HashID {
			t.Errorf("%s: %s, %v; want %s", v.ID, id, err, v.HashID)
		}
	}
}

func standards(t *testing.T) *jsonschema.Schema {
	t.Helper()
	s, err := schema()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func valid(t *testing.T, s *jsonschema.Schema, doc []byte) error {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(doc))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(v)
}

// The rows of examples_epcis_validity.csv: the standard's schema and Check say the same.
func TestValidity(t *testing.T) {
	f, err := os.Open("testdata/examples_epcis_validity.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	s := standards(t)
	for _, r := range rows[1:] {
		id, event, want := r[0], r[1], r[2] == "valid"
		doc := `{"@context": ["` + standardContext + `"], "type": "EPCISDocument", "schemaVersion": "2.0", "creationDate": "2026-07-01T08:00:00.000Z",
			"epcisBody": {"eventList": [` + event + `]}}`
		if err := valid(t, s, []byte(doc)); (err == nil) != want {
			t.Errorf("%s: the schema says %v, want %s (%s)", id, err, r[2], r[3])
		}
		err := Judge([]byte(event))
		var breach *Breach
		if (err == nil) != want || err != nil && !errors.As(err, &breach) {
			t.Errorf("%s: %v, want %s (%s)", id, err, r[2], r[3])
		}
		if err := Judge([]byte(doc)); (err == nil) != want {
			t.Errorf("%s in a document: %v, want %s (%s)", id, err, r[2], r[3])
		}
	}
}

// Other events than a house writes are judged by the schema alone.
func TestJudge(t *testing.T) {
	const event = `{"type":"ObjectEvent","action":"OBSERVE","eventTime":"2026-07-01T08:00:00Z","eventTimeZoneOffset":"+02:00",%s}`
	const what = `"epcList":["https://id.gs1.org/00/106141411234567897"]`
	for in, want := range map[string]string{
		what:                           "",
		what + `,"bizStep":"shipping"`: "",
		what + `,"bizStep":"jarring"`:  "refuses it",
		what + `,"bizStep":"https://house.example/jarring"`:                                                          "",
		`"quantityList":[{"epcClass":"https://id.gs1.org/01/09521234543213/10/L1","quantity":-5}]`:                   "not below 0",
		`"quantityList":[{"epcClass":"https://id.gs1.org/01/09521234543213/10/L1","quantity":"120"}]`:                "not of its kind",
		`"quantityList":[{"epcClass":"https://id.gs1.org/01/09521234543213/10/L1","quantity":120,"uom":"KILOGRAM"}]`: "refuses it",
		`"epcList":[]`: "names nothing",
	} {
		err := Judge(fmt.Appendf(nil, event, in))
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", in, err, want)
		}
	}
	for _, bad := range []string{"", "[]", "{", `{"epcisBody":{"eventList":[]}}`} {
		var breach *Breach
		if err := Judge([]byte(bad)); err == nil || errors.As(err, &breach) {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

// What the house writes is valid by the standard's schema, and each event's name is
// the hash of what stands in the file.
func TestDocument(t *testing.T) {
	const lot = "https://id.gs1.org/01/09521234543213/10/"
	at := time.Date(2026, 9, 21, 10, 40, 0, 0, time.FixedZone("", 2*3600))
	ours := Context{"house": "https://combline.example/terms/"}
	events := []Event{
		Event{Type: Object, Action: Add, Step: "commissioning", Quantities: []Quantity{{lot + "L04", 2_315_000, "KGM"}},
			Master: map[string]string{"cbvmda:bestBeforeDate": "2028-09-30", "house:site": `Brackenlow <&">`}}.At(at),
		Event{Type: Transformation, Step: "commissioning", Inputs: []Quantity{{lot + "L04", 1_450_000, "KGM"}, {lot + "L06", 870_125, "KGM"}, {lot + "L07", 0, "KGM"}},
			Outputs: []Quantity{{lot + "R2", 6_312_000, ""}}}.At(at),
		Event{Type: Aggregation, Action: Add, Step: "packing", Parent: "https://id.gs1.org/00/340123451111111111", ChildQuantities: []Quantity{{lot + "R2", 12_000, ""}}}.At(at),
		Event{Type: Object, Action: Observe, Step: "shipping", Disposition: "in_transit", EPCs: []string{"https://id.gs1.org/00/340123451111111111"},
			ReadPoint: &Place{"https://id.gs1.org/414/4012345000115"}, Papers: []Paper{{"desadv", "urn:epcglobal:cbv:bt:4012345000115:4711"}},
			From: []Party{{"possessing_party", "https://id.gs1.org/417/5200001000008"}}, To: []Receiver{{"possessing_party", "https://id.gs1.org/417/4000001987658"}}}.At(at),
	}
	events = append(events, events[2]) // told twice
	doc, err := Document(events, ours, at)
	if err != nil {
		t.Fatal(err)
	}
	if err := valid(t, standards(t), doc); err != nil {
		t.Errorf("%v\n%s", err, doc)
	}
	var back struct {
		EpcisBody struct{ EventList []json.RawMessage }
	}
	if err := json.Unmarshal(doc, &back); err != nil {
		t.Fatal(err)
	}
	if n := len(back.EpcisBody.EventList); n != 4 {
		t.Errorf("%d events, want 4: one was told twice", n)
	}
	for _, raw := range back.EpcisBody.EventList {
		var e struct{ EventID string }
		if err := json.Unmarshal(raw, &e); err != nil {
			t.Fatal(err)
		}
		if id, err := HashID(raw, ours); err != nil || id != e.EventID {
			t.Errorf("%s is named %s, %v", raw, e.EventID, err)
		}
	}
	if !bytes.Contains(doc, []byte(`"quantity": 870.125`)) {
		t.Error("kilograms are not written to the gram")
	}
	for _, bad := range []Event{{}, {Type: Object}, Event{Type: Object, Action: Add}.At(at),
		Event{Type: Transformation, Inputs: events[1].Inputs}.At(at), Event{Type: Aggregation, Action: Add}.At(at),
		Event{Type: Object, Action: Add, Quantities: []Quantity{{lot, -1, "KGM"}}}.At(at)} {
		if _, err := Document([]Event{bad}, nil, at); err == nil {
			t.Errorf("%+v is taken", bad)
		}
	}
}

// What the standard's text says of one form (CBV 2.0 section 8.9, as rules.md has it):
// times half up to three decimals, numbers without trailing zeros, lists sorted.
func TestOneForm(t *testing.T) {
	const form = `{"type":"ObjectEvent","eventTime":%q,"eventTimeZoneOffset":"+02:00","action":"OBSERVE","quantityList":[%s],"bizStep":%q}`
	a := fmt.Sprintf(form, "2026-07-01T10:00:00.0005+02:00", `{"epcClass":"urn:epc:class:lgtin:4012345.012345.L1","quantity":120.500,"uom":"KGM"},{"epcClass":"urn:epc:class:lgtin:4012345.012345.L0","quantity":1e2}`, "urn:epcglobal:cbv:bizstep:shipping")
	b := fmt.Sprintf(form, "2026-07-01T08:00:00.001Z", `{"quantity":100,"epcClass":"https://shop.example/01/04012345123456/10/L0?17=270101"},{"uom":"KGM","quantity":120.5,"epcClass":"https://id.gs1.org/01/04012345123456/10/L1"}`, "shipping")
	x, err := HashID([]byte(a), nil)
	if err != nil {
		t.Fatal(err)
	}
	y, err := HashID([]byte(b), nil)
	if err != nil {
		t.Fatal(err)
	}
	if x != y {
		p, _ := Prehash([]byte(a), nil)
		q, _ := Prehash([]byte(b), nil)
		t.Errorf("one event in two forms has two names\n%s\n%s", p, q)
	}
	for bad, says := range map[string]string{
		``:   "no JSON object",
		`[]`: "no JSON object",
		`{"type":"ObjectEvent","eventTime":"yesterday"}`:                                "no time",
		strings.Replace(b, `"bizStep"`, `"stranger:bizStep"`, 1):                        "not told in the context",
		strings.Replace(b, `"bizStep"`, `"step"`, 1):                                    "has no namespace",
		strings.Replace(b, `"bizStep"`, `"sensorElementList":[],"bizStep"`, 1):          "can't be hashed",
		strings.Replace(b, `"quantityList":[`, `"epcList":"x","quantityList":[`, 1):     "no list",
		strings.Replace(b, `"quantityList":[`, `"readPoint":"x","quantityList":[`, 1):   "no object",
		strings.Replace(b, `"quantity":100`, `"quantity":1`+strings.Repeat("0", 50), 1): "no figure",
	} {
		if _, err := HashID([]byte(bad), nil); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v; want %q", bad, err, says)
		}
	}
}
