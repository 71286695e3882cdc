package blend

import (
	"os"
	"testing"
)

// Whatever stands in the tables, they are read into a problem that can be searched, or
// refused.
func FuzzFromTables(f *testing.F) {
	for _, name := range []string{"ex1", "ex2"} {
		lots, err := os.ReadFile("testdata/" + name + ".lots.csv")
		if err != nil {
			f.Fatal(err)
		}
		orders, err := os.ReadFile("testdata/" + name + ".orders.csv")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(lots, orders)
	}
	f.Add([]byte("id;kind;unit;count;cost;moist\nL;tank;1;10;1,5;17,5\n"), []byte("id;qty;moist_max\nO;5;18\n"))
	f.Fuzz(func(t *testing.T, lots, orders []byte) {
		p, err := FromTables(lots, orders)
		if err != nil {
			return
		}
		tk, err := prepare(&p)
		if err != nil {
			t.Fatalf("read, but refused: %v", err)
		}
		if m := tk.build(ask{batches: tk.all()}).model; m.Check() != nil {
			t.Fatalf("no model: %v", m.Check())
		}
		if _, faults := tk.check(nil); len(faults) > 0 && p.Prices.ShortKg > 0 {
			for _, x := range faults { // nothing tipped breaks nothing but what must go in
				if x.Demand.Kind != AskUse {
					t.Fatalf("nothing at all breaks %v", x)
				}
			}
		}
	})
}
