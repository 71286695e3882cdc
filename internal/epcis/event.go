package epcis

import (
	"encoding/json"
	"fmt"
	"strconv"
	"time"
)

// The types of event that a honey house has.
const (
	Object         = "ObjectEvent"         // seen, begun or ended
	Aggregation    = "AggregationEvent"    // packed into, or out of
	Transformation = "TransformationEvent" // used up to make another
)

// The actions of events other than transformations.
const (
	Add     = "ADD"
	Observe = "OBSERVE"
	Delete  = "DELETE"
)

// A Quantity is so much of a class of things: kilograms of a lot, or a count of jars
// where Unit is empty. An amount of 0 is one that is not known, and is left out.
type Quantity struct {
	Class  string // its canonical address
	Amount Decimal
	Unit   string // UN/ECE Recommendation 20: KGM, GRM; "" is a count
}

// A Decimal is an amount in thousandths: grams of a figure in kilograms.
type Decimal int64

// MarshalJSON writes the figure without trailing zeros.
func (d Decimal) MarshalJSON() ([]byte, error) { return []byte(d.String()), nil }

func (d Decimal) String() string {
	return strconv.FormatFloat(float64(d)/1000, 'f', -1, 64) // exact to 2^53 thousandths
}

// MarshalJSON leaves out what is not known.
func (q Quantity) MarshalJSON() ([]byte, error) {
	if q.Amount == 0 {
		return json.Marshal(map[string]string{"epcClass": q.Class})
	}
	return json.Marshal(struct {
		Class  string  `json:"epcClass"`
		Amount Decimal `json:"quantity"`
		Unit   string  `json:"uom,omitempty"`
	}{q.Class, q.Amount, q.Unit})
}

// A Place is where something was read, or is then.
type Place struct {
	ID string `json:"id"`
}

// A Paper is an order, a delivery note or an invoice.
type Paper struct {
	Type string `json:"type,omitempty"` // po, desadv, inv ...
	ID   string `json:"bizTransaction"`
}

// A Party is who gave.
type Party struct {
	Type string `json:"type"` // possessing_party, owning_party, location
	ID   string `json:"source"`
}

// A Receiver is who got.
type Receiver struct {
	Type string `json:"type"`
	ID   string `json:"destination"`
}

// An Event is one thing that happened. Lists that its type does not have stay empty.
type Event struct {
	Type             string            `json:"type"`
	ID               string            `json:"eventID,omitempty"`
	Time             string            `json:"eventTime"`
	Offset           string            `json:"eventTimeZoneOffset"`
	Action           string            `json:"action,omitempty"`
	EPCs             []string          `json:"epcList,omitempty"`
	Quantities       []Quantity        `json:"quantityList,omitempty"`
	Parent           string            `json:"parentID,omitempty"`
	Children         []string          `json:"childEPCs,omitempty"`
	ChildQuantities  []Quantity        `json:"childQuantityList,omitempty"`
	InputEPCs        []string          `json:"inputEPCList,omitempty"`
	Inputs           []Quantity        `json:"inputQuantityList,omitempty"`
	OutputEPCs       []string          `json:"outputEPCList,omitempty"`
	Outputs          []Quantity        `json:"outputQuantityList,omitempty"`
	TransformationID string            `json:"transformationID,omitempty"`
	Step             string            `json:"bizStep,omitempty"`
	Disposition      string            `json:"disposition,omitempty"`
	ReadPoint        *Place            `json:"readPoint,omitempty"`
	Location         *Place            `json:"bizLocation,omitempty"`
	Papers           []Paper           `json:"bizTransactionList,omitempty"`
	From             []Party           `json:"sourceList,omitempty"`
	To               []Receiver        `json:"destinationList,omitempty"`
	Master           map[string]string `json:"ilmd,omitempty"` // of what began: prefix:name
}

// At sets when it happened, with the offset of the wall clock there.
func (e Event) At(t time.Time) Event {
	e.Time, e.Offset = t.Format("2006-01-02T15:04:05.000Z07:00"), t.Format("-07:00")
	return e
}

// Signed gives the event its hash as its name.
func (e Event) Signed(c Context) (Event, error) {
	e.ID = ""
	raw, err := json.Marshal(e)
	if err != nil {
		return e, fmt.Errorf("an event can't be written: %w", err)
	}
	e.ID, err = HashID(raw, c)
	return e, err
}
