package demo

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"combline/internal/record"
)

// each calls see for every fact of the season, with its step.
func each(see func(Step, record.Fact)) {
	for _, s := range Season() {
		for _, f := range s.Facts {
			see(s, f)
		}
	}
}

func day(s Step) string { return s.When.Time().Format("2006-01-02") }

// Every drum stood where the table of places says, on its day, and nowhere else.
func TestDrumsStoodWhereTheyStood(t *testing.T) {
	got := map[record.Code][]string{}
	each(func(s Step, f record.Fact) {
		switch f := f.(type) {
		case *record.Placed:
			for _, c := range f.What {
				switch {
				case f.Seen == record.Yes: // read there, not moved: D040 in barn A
					if last := got[c][len(got[c])-1]; last != string(f.Place) {
						t.Errorf("%s is seen in %s and stands in %s", c, f.Place, last)
					}
				case len(got[c]) == 0:
					got[c] = []string{string(f.Place)}
				case f.Place == barnA && c >= "D101" && c <= "D110": // off the dock into the store
					got[c] = []string{string(barnA)}
				default:
					got[c] = append(got[c], fmt.Sprintf("%s %s", f.Place, day(s)))
				}
			}
		case *record.HoneyMoved:
			for _, p := range f.Pours {
				if p.All == record.Yes {
					got[p.From] = append(got[p.From], fmt.Sprintf("tipped %s %s", f.To, day(s)))
				}
			}
		case *record.Sent:
			for _, l := range f.Lines {
				if _, drum := got[l.What]; drum {
					got[l.What] = append(got[l.What], "sold "+day(s))
				}
			}
		}
	})
	seen := 0
	for _, r := range readTable(t, "places.csv") {
		for _, c := range codesIn(r["drums"]) {
			seen++
			want := strings.Split(r["places"], "|")
			if len(got[c]) != len(want) {
				t.Errorf("%s: %v, want %v", c, got[c], want)
				continue
			}
			for i := range want {
				if !sameStand(got[c][i], want[i]) {
					t.Errorf("%s: %v, want %v", c, got[c], want)
				}
			}
		}
	}
	if seen != 72+10+1 {
		t.Errorf("%d drums, want 83", seen)
	}
}

// sameStand compares a stand with the table's, which names a mix of tanks together
// ("tipped T1 T2 2026-09-21") or no tank at all.
func sameStand(got, want string) bool {
	g, w := strings.Fields(got), strings.Fields(want)
	if g[0] != "tipped" || w[0] != "tipped" {
		return got == want
	}
	day := len(w) - 1
	return g[len(g)-1] == w[day] && (day == 1 || slices.Contains(w[1:day], g[1]))
}

func TestReadingsAreAsOnTheSheets(t *testing.T) {
	house, lab, back := map[record.Code]string{}, map[record.Code][]string{}, map[record.Code]string{}
	each(func(s Step, f record.Fact) {
		r, ok := f.(*record.ResultRead)
		switch {
		case !ok || r.Of == seed || r.Lab == "supplier's laboratory":
		case r.Lab == "":
			house[r.Of] = strings.Fields(r.Results[0].Value.String())[0]
		default:
			back[r.Of] = day(s)
			for _, x := range r.Results {
				mark := ""
				if x.Bound == record.Below {
					mark = "<"
				}
				lab[r.Of] = append(lab[r.Of], mark+strings.Split(strings.Fields(x.Value.String())[0], "/")[0])
			}
		}
	})
	for _, r := range readTable(t, "lab.csv") {
		of := record.Code(r["of"])
		want := []string{r["lab"], r["hmf"], r["diastase"], r["conductivity"], r["colour"], r["yeast"]}
		if r["yeast"] == "" {
			want = want[:5]
		}
		if house[of] != r["house"] || !slices.Equal(lab[of], want) || back[of] != r["back"] {
			t.Errorf("%s: house %s, lab %v of %s; want %s, %v of %s", of, house[of], lab[of], back[of], r["house"], want, r["back"])
		}
	}
}

func TestOrdersAreAsTaken(t *testing.T) {
	names, labels := map[record.Code]string{}, map[record.Code]int64{}
	units := map[record.Code]int64{} // sent by order
	taken := map[record.Code]*record.OrderTaken{}
	cases := map[string]int64{}
	pallet := map[record.Code]int64{}
	on := map[record.Code]string{}
	each(func(s Step, f record.Fact) {
		switch f := f.(type) {
		case *record.CustomerNamed:
			names[f.Customer] = f.Name
		case *record.ProductNamed:
			labels[f.Product] = int64(f.Label.Grams())
		case *record.OrderTaken:
			taken[f.Order], on[f.Order] = f, day(s)
		case *record.Cased:
			cases[f.Cases.Prefix] = f.PerCase
		case *record.Palletised:
			for _, c := range f.Cases {
				pallet[f.Pallet] += c.Count() * cases[c.Prefix]
			}
		case *record.Sent:
			for _, l := range f.Lines {
				switch {
				case l.Cases.Prefix != "":
					units[f.Order] += l.Cases.Count() * cases[l.Cases.Prefix]
				case l.Units > 0:
					units[f.Order] += l.Units
				case pallet[l.What] > 0:
					units[f.Order] += pallet[l.What]
				default:
					units[f.Order]++ // a drum
				}
			}
		}
	})
	for _, r := range readTable(t, "orders.csv") {
		o := taken[record.Code(r["order"])]
		if o == nil {
			t.Errorf("%s was not taken", r["order"])
			continue
		}
		var lines []string
		var all, grams int64
		for _, l := range o.Lines {
			lines = append(lines, fmt.Sprintf("%d x %d", l.Units, labels[l.Product]))
			all += l.Units
			grams += l.Units * labels[l.Product]
		}
		if got := strings.Join(lines, " + "); got != r["lines"] || names[o.Customer] != r["customer"] || o.Due.String() != r["due"] || on[o.Order] != r["taken"] {
			t.Errorf("%s: %s for %s, taken %s, due %s; want %v", o.Order, got, names[o.Customer], on[o.Order], o.Due, r)
		}
		if want := int64(gramsIn(t, r["kg"])); grams != want {
			t.Errorf("%s is %d g by its labels, want %d", o.Order, grams, want)
		}
		if units[o.Order] != all {
			t.Errorf("%s: %d units were sent, want %d", o.Order, units[o.Order], all)
		}
	}
}

// Packing material: counted on 1 September, ordered by the latest day, and used up
// as the runs filled.
func TestMaterialIsCounted(t *testing.T) {
	of, counted, ordered, used, left := map[record.Code]record.Code{}, map[record.Code]int64{}, map[record.Code]string{}, map[record.Code]int64{}, map[record.Code]int64{}
	wait := map[record.Code]int64{}
	each(func(s Step, f record.Fact) {
		switch f := f.(type) {
		case *record.MaterialNamed:
			wait[f.Material] = f.WaitDays
		case *record.MaterialReceived:
			of[f.Lot] = f.Material
			left[f.Lot] += f.Amount.Pieces.Mantissa
		case *record.MaterialCounted:
			if day(s) != "2026-09-01" {
				t.Errorf("%s was counted on %s", f.Lot, day(s))
			}
			counted[of[f.Lot]] += f.Amount.Pieces.Mantissa
		case *record.MaterialOrdered:
			ordered[f.Material] = day(s)
		case *record.MaterialUsed:
			used[of[f.Lot]] += f.Amount.Pieces.Mantissa
			if left[f.Lot] -= f.Amount.Pieces.Mantissa; left[f.Lot] < 0 {
				t.Errorf("%s is used %d pieces beyond what there is", f.Lot, -left[f.Lot])
			}
		}
	})
	for _, r := range readTable(t, "stuff.csv") {
		m := record.Code(r["what"])
		got := fmt.Sprint(counted[m], " ", wait[m], " ", used[m], " ", ordered[m])
		if want := fmt.Sprint(r["on hand"], " ", r["wait"], " ", r["used"], " ", r["order by"]); got != want {
			t.Errorf("%s: on hand, wait, used, ordered are %s; want %s", m, got, want)
		}
	}
}

// Units of every lot mark are in a case, sent loose, or left: never more than filled.
func TestUnitsAreThere(t *testing.T) {
	left := tallied(t).units
	batches := map[record.Code]int64{}
	each(func(s Step, f record.Fact) {
		switch f := f.(type) {
		case *record.Cased:
			var n int64
			for _, b := range f.Batches {
				left[b.Batch] -= b.Units
				n += b.Units
			}
			if n != f.Cases.Count()*f.PerCase {
				t.Errorf("%d units in %d cases of %d", n, f.Cases.Count(), f.PerCase)
			}
		case *record.Sent:
			for _, l := range f.Lines {
				if l.Units > 0 {
					left[l.What] -= l.Units
				}
			}
		}
	})
	for mark, n := range left {
		if n < 0 {
			t.Errorf("%s: %d units too many went out", mark, -n)
		}
		batches[mark[:2]] += n
	}
	// What is left for the own shop, with the soft-set jars on its shelf; R3 has the
	// 191 relabelled ones.
	for run, want := range map[record.Code]int64{"R1": 177, "R2": 290, "R3": 191, "R4": 418, "R5": 398, "R6": 498} {
		if batches[run] != want {
			t.Errorf("%s has %d units left, want %d", run, batches[run], want)
		}
	}
}

// The means of the four nozzles at each check, as the shift wrote them.
func TestNozzleChecksOfTheBlend(t *testing.T) {
	all := map[int64]string{}
	each(func(_ Step, f record.Fact) {
		if c, ok := f.(*record.NozzlesChecked); ok {
			var means []string
			for _, n := range c.Nozzles {
				means = append(means, strings.Fields(n.Mean.Figure.String())[0])
			}
			all[c.Check] = strings.Join(means, " ")
		}
	})
	third := map[int64]string{14: "339.5", 15: "337.0", 16: "334.4", 17: "331.8", 18: "329.1"}
	for k := int64(1); k <= 18; k++ {
		n3 := "341.3"
		if third[k] != "" {
			n3 = third[k]
		}
		if want := "341.4 341.1 " + n3 + " 341.6"; all[k] != want {
			t.Errorf("check %d is %q, want %q", k, all[k], want)
		}
	}
	if len(all) != 18 {
		t.Errorf("%d checks, want 18", len(all))
	}
}
