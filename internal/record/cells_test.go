package record

import (
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"combline/internal/quantity"
)

// Law: what a fact says can be typed again, and makes the same fact. Bytes and the
// time of a correction are not typed; a text loses the spaces around it, a count is
// one that a person can mean, and a member of a list says something.
func TestCellsMakeTheFactAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(Kinds()).Draw(t, "kind")
		fact := drawFact(t, k)
		typable(reflect.ValueOf(fact).Elem())
		back, errs := FromCells(k, Cells(fact), quantity.DecimalPoint)
		for _, err := range errs {
			if c := err.(*CellError); c.Key != "cell.missing" {
				t.Fatalf("%s: %v\n%v", k, err, Cells(fact))
			}
		}
		if d := cmp.Diff(fact, back); d != "" {
			t.Fatalf("%s, typed as %q (-was +is):\n%s", k, Cells(fact), d)
		}
	})
}

// typable leaves in v only what can be typed.
func typable(v reflect.Value) {
	switch p := v.Addr().Interface().(type) {
	case *[]byte:
		*p = nil
		return
	case *When:
		*p = When{}
		return
	case *Result: // its figures are in the unit of what was read
		for _, f := range []*quantity.Figure{&p.Value, &p.PlusMinus} {
			if u := PropertyUnits[p.Property]; f.Given() && u != quantity.NoUnit {
				f.Unit = u
			}
		}
	case *quantity.Figure:
		if p.Mantissa == -1<<63 { // its digits without the sign are too many
			p.Mantissa++
		}
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(strings.TrimSpace(v.String()))
	case reflect.Int64:
		v.SetInt(v.Int() % (1 << 40))
	case reflect.Struct:
		for i := range v.NumField() {
			typable(v.Field(i))
		}
	case reflect.Slice:
		some := reflect.MakeSlice(v.Type(), 0, v.Len())
		for i := range v.Len() {
			if typable(v.Index(i)); !v.Index(i).IsZero() {
				some = reflect.Append(some, v.Index(i))
			}
		}
		if v.Set(reflect.Zero(v.Type())); some.Len() > 0 {
			v.Set(some)
		}
	}
}

// Every choice of every kind can be typed.
func TestChoicesCanBeTyped(t *testing.T) {
	for _, k := range Kinds() {
		for _, f := range Schema(k) {
			for _, word := range f.Choices {
				_, errs := FromCells(k, map[string]string{f.Name: word}, quantity.DecimalPoint)
				for _, err := range errs {
					if c := err.(*CellError); c.Column == f.Name {
						t.Errorf("%s: %v", k, err)
					}
				}
			}
		}
	}
}
