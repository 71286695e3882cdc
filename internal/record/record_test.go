package record

import (
	"bufio"
	"encoding/hex"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"combline/internal/quantity"
)

var update = flag.Bool("update", false, "add bodies of new kinds to testdata/bodies.txt")

// draw fills v with any value that a fact may hold.
func draw(t *rapid.T, v reflect.Value) {
	switch p := v.Addr().Interface().(type) {
	case *Code:
		*p = Code(rapid.StringMatching(`([A-Z][A-Z0-9ż -]{0,8}[A-Z0-9])?`).Draw(t, "code"))
		return
	case *Weight:
		if rapid.Bool().Draw(t, "given") {
			unit := rapid.SampledFrom([]quantity.Unit{quantity.G, quantity.KgUnit, quantity.Lb, quantity.Oz, quantity.T, quantity.Mg}).Draw(t, "unit")
			*p = Weight{quantity.Figure{Mantissa: rapid.Int64Range(-1e12, 1e12).Draw(t, "m"), Decimals: uint8(rapid.IntRange(0, 9).Draw(t, "d")), Unit: unit}, quantity.How(rapid.IntRange(0, 4).Draw(t, "how"))}
		}
		return
	case *When:
		*p = When{}
		return
	case *Day:
		*p = Day(rapid.Int32Range(-40000, 80000).Draw(t, "day"))
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(rapid.StringN(0, 40, 200).Draw(t, "text"))
	case reflect.Int64:
		v.SetInt(rapid.Int64().Draw(t, "n"))
	case reflect.Uint8:
		v.SetUint(uint64(rapid.IntRange(0, 2).Draw(t, "choice")))
	case reflect.Slice:
		n := rapid.IntRange(0, 3).Draw(t, "len")
		if v.Type().Elem().Kind() == reflect.Uint8 {
			if b := rapid.StringN(0, 8, 32).Draw(t, "bytes"); b != "" { // no bytes are not given
				v.SetBytes([]byte(b))
			}
			return
		}
		if n == 0 {
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			if v.Index(i).Type() == reflect.TypeFor[Code]() { // a member of a list is given
				v.Index(i).SetString(rapid.StringMatching(`[A-Z][A-Z0-9]{0,5}`).Draw(t, "code"))
				continue
			}
			draw(t, v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			draw(t, v.Field(i))
		}
	default:
		t.Fatalf("no way to draw a %v", v.Type())
	}
}

// figures hold a unit that their field may not take; the fact itself says which.
func drawFact(t *rapid.T, k Kind) Fact {
	fact := New(k)
	draw(t, reflect.ValueOf(fact).Elem())
	Visit(fact, func(f Field) {
		if f.Type != TypeFigure {
			return
		}
		*f.Weight = quantity.Figure{}
		if rapid.Bool().Draw(t, "given") {
			u := f.Unit
			if u == quantity.NoUnit {
				u = quantity.Pct
			}
			*f.Weight = quantity.Figure{Mantissa: rapid.Int64().Draw(t, "m"), Decimals: uint8(rapid.IntRange(0, 9).Draw(t, "d")), Unit: u}
		}
	})
	return fact
}

func anyEntry(t *rapid.T) Entry {
	k := rapid.SampledFrom(Kinds()).Draw(t, "kind")
	return Entry{Part: 1, Parts: 3, WrittenMS: rapid.Int64Range(0, 1<<49).Draw(t, "written"),
		When:   When{rapid.Int64Range(-1<<30, 1<<30).Draw(t, "minute"), int16(rapid.IntRange(-840, 840).Draw(t, "offset")), ToDay},
		Person: "P1", Device: "office", Fact: drawFact(t, k)}
}

// Law: what is written can be read, and gives the same bytes again.
func TestEveryFactReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := anyEntry(t)
		b, err := Encode(e)
		if err != nil {
			t.Fatalf("%s: %v", e.Fact.Kind(), err)
		}
		got, err := Decode(string(b))
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(e, got); d != "" {
			t.Fatalf("%s (-written +read):\n%s", e.Fact.Kind(), d)
		}
		if !json.Valid(got.JSON()) {
			t.Fatalf("%s lists as bad JSON: %s", e.Fact.Kind(), got.JSON())
		}
		m, err := Marshal(e.Fact)
		if err != nil {
			t.Fatal(err)
		}
		if alone, err := Unmarshal(string(m)); err != nil || !cmp.Equal(alone, e.Fact) {
			t.Fatalf("%s alone: %v", e.Fact.Kind(), err)
		}
	})
}

// Law: a body cut short, or with a byte more, is refused.
func TestStrict(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, err := Encode(anyEntry(t))
		if err != nil {
			t.Fatal(err)
		}
		cut := rapid.IntRange(0, len(b)-1).Draw(t, "cut")
		if e, err := Decode(string(b[:cut])); err == nil {
			// a cut between two fields leaves a fact with fewer fields: other bytes, other hash
			again, _ := Encode(e)
			if string(again) != string(b[:cut]) {
				t.Fatalf("cut at %d of %d is read as something else", cut, len(b))
			}
		}
		if _, err := Decode(string(b) + "\x00"); err == nil {
			t.Fatal("a byte too many was read")
		}
	})
}

func FuzzDecode(f *testing.F) {
	for _, b := range sampleBodies(f) {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		e, err := Decode(string(b))
		if err != nil {
			return
		}
		again, err := Encode(e)
		if err != nil || string(again) != string(b) {
			t.Errorf("body %x reads as %s and is written %x (%v)", b, e.JSON(), again, err)
		}
	})
}

// testdata/bodies.txt holds one body of every kind as it was first written: every
// version decodes for ever. Lines are added by -update, never changed.
func TestOldBodiesDecode(t *testing.T) {
	const file = "testdata/bodies.txt"
	old := map[string]string{}
	if b, err := os.ReadFile(file); err == nil {
		for s := bufio.NewScanner(strings.NewReader(string(b))); s.Scan(); {
			kind, body, _ := strings.Cut(s.Text(), " ")
			old[kind] = body
		}
	}
	var added strings.Builder
	for _, k := range Kinds() {
		want, err := Encode(sample(k))
		if err != nil {
			t.Fatalf("%s: %v", k, err)
		}
		h, ok := old[k.String()]
		if !ok {
			fmt.Fprintf(&added, "%s %x\n", k, want)
			if !*update {
				t.Errorf("no body of %s in %s; run with -update", k, file)
			}
			continue
		}
		b, err := hex.DecodeString(h)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Decode(string(b))
		if err != nil {
			t.Errorf("%s, as it was first written: %v", k, err)
		} else if d := cmp.Diff(sample(k), got); d != "" {
			t.Errorf("%s, as it was first written (-then +now):\n%s", k, d)
		}
	}
	if *update {
		w, err := os.OpenFile(file, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
		if err != nil {
			t.Fatal(err)
		}
		defer w.Close()
		if _, err := w.WriteString(added.String()); err != nil {
			t.Fatal(err)
		}
	}
}

// sample is a fact of kind k with every field given.
func sample(k Kind) Entry {
	fact := New(k)
	fill(reflect.ValueOf(fact).Elem())
	Visit(fact, func(f Field) {
		if f.Type == TypeFigure {
			u := f.Unit
			if u == quantity.NoUnit {
				u = quantity.Pct
			}
			*f.Weight = quantity.Figure{Mantissa: 173, Decimals: 1, Unit: u}
		}
	})
	return Entry{Batch: Key{1, 2, 3}, Part: 0, Parts: 1, WrittenMS: 1_790_000_000_000,
		When: When{29_800_000, 120, ToMinute}, Person: "AB", Device: "tablet", Fact: fact}
}

func fill(v reflect.Value) {
	switch p := v.Addr().Interface().(type) {
	case *Code:
		*p = "D041"
		return
	case *Weight:
		*p = Weight{quantity.Figure{Mantissa: 2904, Decimals: 1, Unit: quantity.KgUnit}, quantity.Weighed}
		return
	case *When:
		*p = When{29_700_000, 60, ToDay}
		return
	case *[]byte:
		*p = []byte{1, 2, 3}
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString("text")
	case reflect.Int64, reflect.Int32:
		v.SetInt(12)
	case reflect.Uint8:
		v.SetUint(1)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(v.Index(0))
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i))
		}
	}
}

func sampleBodies(t testing.TB) (all [][]byte) {
	for _, k := range Kinds() {
		b, err := Encode(sample(k))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, b)
	}
	return all
}

// Kinds have words and sentences of their own, and every name in a fact is one
// column: a table can bring in any kind.
func TestKindsAreTold(t *testing.T) {
	words := map[string]bool{}
	for _, k := range Kinds() {
		if w := k.String(); words[w] || w != strings.ToLower(w) || strings.Contains(w, " ") {
			t.Errorf("kind %d has the word %q", k, w)
		}
		words[k.String()] = true
		if k.Says() == "" {
			t.Errorf("%s says nothing", k)
		}
		if back, ok := KindOf(k.String()); !ok || back != k {
			t.Errorf("%s is not found by its word", k)
		}
		names := map[string]bool{}
		for _, f := range Schema(k) {
			if names[f.Name] {
				t.Errorf("%s has two fields %s", k, f.Name)
			}
			names[f.Name] = true
		}
	}
}

func TestFromCells(t *testing.T) {
	fact, errs := FromCells(KindSupersReceived, map[string]string{"lot": "L05", "hot_room": "after", "stacks.1.boxes": "6",
		"stacks.1.gross": "126,2", "stacks.2.boxes": "5", "stacks.2.gross": "105.4 kg", "stacks.2.tray": "1500 g"}, quantity.EitherSign)
	if errs != nil {
		t.Fatal(errs)
	}
	kg := func(m int64, d uint8) Weight {
		return Weight{quantity.Figure{Mantissa: m, Decimals: d, Unit: quantity.KgUnit}, quantity.Typed}
	}
	want := &SupersReceived{Lot: "L05", Side: AfterHotRoom, Stacks: []Stack{{Boxes: 6, Gross: kg(1262, 1)},
		{Boxes: 5, Gross: kg(1054, 1), Tray: Weight{quantity.Figure{Mantissa: 1500, Unit: quantity.G}, quantity.Typed}}}}
	if d := cmp.Diff(Fact(want), fact); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
	fact, errs = FromCells(KindPlaced, map[string]string{"what": "D001..D003; B001", "place": "barn A"}, 0)
	if d := cmp.Diff(Fact(&Placed{What: []Code{"D001", "D002", "D003", "B001"}, Place: "barn A"}), fact); d != "" || errs != nil {
		t.Errorf("%v (-want +got):\n%s", errs, d)
	}
}

// Every wrong cell is named, and an empty one stays not given.
func TestFromCellsNamesWhatIsWrong(t *testing.T) {
	_, errs := FromCells(KindDrumFilled, map[string]string{"drum": "D001", "gross": "29O kg", "tare": "five", "colour": "red", "purpose": "jam"}, 0)
	var columns []string
	for _, err := range errs {
		columns = append(columns, err.(*CellError).Column)
	}
	if d := cmp.Diff([]string{"gross", "tare", "purpose", "colour"}, columns); d != "" {
		t.Errorf("(-want +got):\n%s\n%v", d, errs)
	}
	_, errs = FromCells(KindDrumFilled, map[string]string{"drum": "D001"}, 0)
	if len(errs) != 2 { // steel and from
		t.Errorf("missing fields: %v", errs)
	}
}

func TestCodeValid(t *testing.T) {
	for c, ok := range map[Code]bool{"D041": true, "D041/2": true, "Łąka nr 3": true, "Low Cutter": true, "": false, " D1": false,
		"D1 ": false, "a\nb": false, "a\x00": false, "\xff": false, Code(strings.Repeat("x", 65)): false, "/etc": false, "a\u202eb": false} {
		if err := c.Valid(); (err == nil) != ok {
			t.Errorf("code %q: %v", c, err)
		}
	}
	if Code("d041").Fold() != Code("D041").Fold() || Code("łąka").Fold() != Code("ŁĄKA").Fold() {
		t.Error("codes are not compared without their case")
	}
}
