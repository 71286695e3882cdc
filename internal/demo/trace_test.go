package demo

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"combline/internal/answer"
	"combline/internal/office"
	q "combline/internal/quantity"
	"combline/internal/record"
)

// asked is the answers of the house on the last evening.
type asked struct {
	*testing.T
	v *office.View
}

func ask(t *testing.T, use func(asked)) {
	t.Helper()
	o, _ := written(t)
	o.Read(func(v *office.View) { use(asked{t, v}) })
}

// column lists a column of a table, as text.
func column(a answer.Answer, table, name string) (all []string) {
	for _, t := range a.Tables {
		if t.Key != table {
			continue
		}
		at := slices.IndexFunc(t.Columns, func(c answer.Column) bool { return c.Key == name })
		for _, r := range t.Rows {
			all = append(all, fmt.Sprint(r.Cells[at]))
		}
	}
	return all
}

func (k asked) want(what string, got []string, want ...string) {
	k.Helper()
	if d := cmp.Diff(want, got); d != "" {
		k.Errorf("%s (-want +got):\n%s", what, d)
	}
}

// lacks names what a list does not have: it may be too long, never too short.
func (k asked) lacks(what string, got []string, want ...string) {
	k.Helper()
	for _, w := range want {
		if !slices.Contains(got, w) {
			k.Errorf("%s lacks %s", what, w)
		}
	}
}

func says(a answer.Answer, key string) (answer.Args, bool) {
	for _, l := range a.Lines {
		if l.Key == key {
			return l.Args, true
		}
	}
	return nil, false
}

// The scenario's section 6: R1 = D001 D008 D015 D016 and S25; section 8 E: 90, 70 and
// 40 cases to three shops, 61 jars over the counter, 177 on the shelf, 2 retained.
func TestTraceOfR1(t *testing.T) {
	ask(t, func(k asked) {
		a := k.v.Trace("r1")
		k.want("made from", column(a, "from", "content"), "D001", "D008", "D015", "D016", "S25")
		k.want("sites", column(a, "sites", "site"), "Kestrel Bank", "Brackenlow", "Wythe Hollow", "S25")
		k.want("cases", column(a, "sent", "cases")[:3], "90", "70", "40")
		k.want("here", column(a, "here", "units"), "177")
		k.want("retained", column(a, "ends", "kind"), "node.retained")
		var units, jars int64
		for _, n := range column(a, "sent", "units") {
			fmt.Sscan(n, &jars)
			units += jars
		}
		if units != 2400+61 {
			k.Errorf("%d jars were sent, want 2400 and 61", units)
		}
	})
}

// Section 6: 3374.6 kg were filled in R3; what was regraded or pulled is not filled
// again.
func TestTraceOfR3CountsEachJarOnce(t *testing.T) {
	ask(t, func(k asked) {
		a := k.v.Trace("R3")
		args, _ := says(a, "trace.is")
		if m := args["mass"].(q.Gram); (m+50)/100 != 33746 {
			k.Errorf("R3 is %d g, want 3374.6 kg", m)
		}
		var sum q.Gram
		for _, t := range a.Tables {
			if t.Key == "from" {
				for _, r := range t.Rows {
					sum += r.Cells[3].(q.Gram)
				}
			}
		}
		if off := sum - args["mass"].(q.Gram); off < -12 || off > 12 { // a gram a drum is rounding
			k.Errorf("its drums gave %d g more than it is", off)
		}
		k.want("R3-B", column(k.v.Trace("R3-B"), "from", "content")[:1], "D028")
	})
}

func TestTraceOfWhateverIsAtHand(t *testing.T) {
	ask(t, func(k asked) {
		for _, c := range []struct {
			code record.Code
			key  string
			arg  string
			want string
		}{
			{"26-0407", "trace.sent", "dispatch", "DN-O-04"}, // a seal, section 5: D041
			{"S-041", "trace.sent", "customer", "Penny Lantern"},
			{"S-026", "trace.holds", "content", "D026"},
			{"D001", "trace.used-up", "", ""},
			{"r1-c091", "trace.case-sent-to", "to", "shop 2"},
			{"R1-C001", "trace.case", "marks", "[R1-01]"},
			{"PAL-R3-2", "trace.pallet", "cases", "100"}, // 800 cases on 8 pallets
			{"PAL-R3-2", "trace.case-sent", "customer", "Harrow & Vale"},
			{"JAR340-1", "trace.is-only", "kind", string(record.MaterialLot.Key())},
			{"T4", "trace.is", "kind", string(record.Tank.Key())},
			{"K-01", "trace.on-hold", "hold", "H-05"},
			{"Saltmarsh", "trace.on-hold", "hold", "H-05"},
			{"Penny Lantern", "trace.some-on-hold", "hold", "H-01"},
			{"Brindle", "trace.touched", "hold", "H-02"},
			{"barn A hold bay", "trace.some-on-hold", "hold", "H-01"},
			{"soft-set 454", "trace.on-hold", "hold", "H-05"},
			{"R4", "trace.touched", "hold", "H-02"},
		} {
			a := k.v.Trace(c.code)
			args, ok := says(a, c.key)
			if got := fmt.Sprint(args[c.arg]); !ok || c.arg != "" && got != c.want {
				k.Errorf("%s: no %s with %s %s; it says %v", c.code, c.key, c.arg, c.want, a.Lines)
			}
		}
		k.want("O-05", column(k.v.Trace("O-05"), "sent", "units"), "6")
		k.lacks("from the supplier", column(k.v.Trace("Tallow Reach"), "into", "content"), "D101", "D110", "R3-01")
		for code, near := range map[record.Code]string{"41": "[S-041 D041]", "": "<nil>", "nothing": "<nil>"} {
			a := k.v.Trace(code)
			if a.Cannot == nil || fmt.Sprint(a.Cannot.Args["near"]) != near {
				k.Errorf("%q: %+v, want near %s", code, a.Cannot, near)
			}
		}
	})
}

// Section 8 F: L08 went back to Low Cutter and Sallow Fen; L09 and L10 ran through the
// same extractors. Everything that spores may have come to is named, also what went on
// from L09 and L10: their combs, wax, drums, the drums of O-05 and the jars of R4.
func TestFoulbroodListIsNeverTooShort(t *testing.T) {
	ask(t, func(k asked) {
		a := k.v.Trace("low cutter")
		k.want("sites", column(a, "touched-sites", "site"), "Low Cutter", "Sallow Fen", "Tarn Edge", "Gannet Wood")
		k.want("certain", column(a, "touched-sites", "certain"), "true", "true", "false", "false")
		k.want("lots", column(a, "touched-lots", "lot"), "L08", "L09", "L10")
		k.lacks("possible", column(a, "possible-into", "what"), "Sallow Fen")
		for _, code := range []record.Code{"Low Cutter", "E-01", "H-02"} {
			a := k.v.Trace(code)
			k.lacks("sites", column(a, "touched-sites", "site"), "Low Cutter", "Sallow Fen", "Tarn Edge", "Gannet Wood")
			k.lacks("lots", column(a, "touched-lots", "lot"), "L08", "L09", "L10")
			k.lacks("certain", column(a, "into", "content"), "L08", "W08", "D055", "D061", "B001", "PAIL-C1/1", "S1/7", "S2/7")
			k.lacks("possible", column(a, "possible-into", "what"), "L09", "L10", "W09", "W10", "D062", "D063", "D064", "D065", "D066", "D067",
				"D068", "D069", "D070", "D071", "D072", "T1/8", "R4-01", "DN-O-05", "DN-O-07", "Tarn Edge", "Gannet Wood")
			k.lacks("who has it", column(a, "possible-into", "customer"), "Eastquay", "Brindle")
			k.lacks("machines", column(a, "machines", "machine"), "uncapper", "extractor A", "extractor B", "cappings spinner", "wax melter")
			moves := strings.Join(column(a, "box-moves", "lot"), " ")
			if !strings.Contains(moves, "L08 L08") || !strings.Contains(moves, "L09") || !strings.Contains(moves, "L10") {
				k.Errorf("moves of boxes are of %s", moves)
			}
		}
		day := k.v.Day(end)
		args, ok := says(day, "day.stopped")
		if got := fmt.Sprint(args["sites"]); !ok || got != "[Low Cutter Sallow Fen]" {
			k.Errorf("standing still: %s", got)
		}
	})
}

// A day knows what was known: on 23 July honey of L04 and L05 stands in tanks, unweighed,
// and is not missing.
func TestDayWithLotsInWork(t *testing.T) {
	o, _ := written(t)
	a, err := o.Day(t.Context(), at(timeMonth(7), 23, 6, 0))
	if err != nil {
		t.Fatal(err)
	}
	k := asked{T: t}
	k.want("in work", column(a, "in-work", "lot"), "L04", "L05")
	k.want("gaps", column(a, "gaps", "lot"))
	before, err := o.Day(t.Context(), at(timeMonth(1), 2, 6, 0).AddDate(-6, 0, 0))
	if err != nil || before.Cannot == nil || before.Cannot.Key != "day.nothing-yet" {
		t.Errorf("before the first fact: %+v, %v", before.Cannot, err)
	}
}
