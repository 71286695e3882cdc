package epcis

import (
	"fmt"
	"regexp"
	"time"
)

var offset = regexp.MustCompile(`^[+-](0\d|1[0-3]):[0-5]\d$|^[+-]14:00$`)

// Check finds what the standard refuses in an event: a missing time or offset, an
// action that its type does not know, nothing that it happened to, or words about the
// lot where none began.
func (e Event) Check() error {
	if _, err := time.Parse(time.RFC3339Nano, e.Time); err != nil {
		return fmt.Errorf("%q is no time with its zone", e.Time)
	}
	if !offset.MatchString(e.Offset) {
		return fmt.Errorf("%q is no offset from -14:00 to +14:00", e.Offset)
	}
	for _, list := range [][]Quantity{e.Quantities, e.ChildQuantities, e.Inputs, e.Outputs} {
		for _, q := range list {
			if q.Class == "" || q.Amount < 0 {
				return fmt.Errorf("a quantity needs a class and an amount that is not below 0, not %q and %s", q.Class, q.Amount)
			}
		}
	}
	switch e.Type {
	case Object:
		return e.object()
	case Aggregation:
		return e.aggregation()
	case Transformation:
		return e.transformation()
	}
	return fmt.Errorf("%q is no event of a honey house", e.Type)
}

func (e Event) action() error {
	switch e.Action {
	case Add, Observe, Delete:
		return nil
	}
	return fmt.Errorf("%q is no action: ADD, OBSERVE or DELETE", e.Action)
}

func (e Event) object() error {
	if err := e.action(); err != nil {
		return err
	}
	if len(e.EPCs) == 0 && len(e.Quantities) == 0 {
		return fmt.Errorf("the event names nothing that it happened to")
	}
	if len(e.Master) > 0 && e.Action != Add {
		return fmt.Errorf("what a lot is can be told only where it begins (ADD), not with %s", e.Action)
	}
	return nil
}

func (e Event) aggregation() error {
	if err := e.action(); err != nil {
		return err
	}
	if e.Parent == "" && e.Action != Observe {
		return fmt.Errorf("the event does not say into what it was packed, or out of what")
	}
	if len(e.Children) == 0 && len(e.ChildQuantities) == 0 && e.Action != Delete {
		return fmt.Errorf("the event does not say what was packed")
	}
	if len(e.Master) > 0 {
		return fmt.Errorf("packing makes no new lot to tell of")
	}
	return nil
}

func (e Event) transformation() error {
	if e.Action != "" {
		return fmt.Errorf("a transformation has no action, here %q", e.Action)
	}
	in, out := len(e.InputEPCs)+len(e.Inputs), len(e.OutputEPCs)+len(e.Outputs)
	if in == 0 && out == 0 || (in == 0 || out == 0) && e.TransformationID == "" {
		return fmt.Errorf("the event does not say both what went in and what came out, and has no number that joins it with the rest")
	}
	return nil
}
