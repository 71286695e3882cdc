package milp

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"combline/internal/linear"
	"combline/internal/split"
)

// The machine code is kept where the program keeps it: to compile it takes seconds, and
// ten times as long with the race detector. The Makefile makes it before.
func solver(t testing.TB) *Solver {
	t.Helper()
	s := New(CacheFolder())
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

func TestReady(t *testing.T) {
	if err := solver(t).Ready(context.Background()); err != nil {
		t.Fatal(err)
	}
}

func soon() time.Time { return time.Now().Add(2 * time.Minute) }

// The optima are those of two independent solvers, HiGHS 1.15.1 and CBC 2.10.8 (ex1
// and ex2 of GLPK 5.0 as well), each to a relative gap of 1e-7.
var references = []struct {
	name string
	want float64
}{{"ex1", 27338.99780}, {"ex2", 133626.42360}, {"ex3", 44507.90585}, {"ex4", 55100.22550}}

const referenceTolerance = 1e-6 // relative; the references are printed to 1e-5 EUR

func checkReference(t *testing.T, got linear.Solution, want float64) {
	t.Helper()
	if got.Status != linear.Proven || math.Abs(got.Objective/want-1) > referenceTolerance || got.Gap() > referenceTolerance {
		t.Errorf("%v %.5f, bound %.5f; want %.5f", got.Status, got.Objective, got.Bound, want)
	}
}

func TestReferenceOptima(t *testing.T) {
	s := solver(t)
	for _, r := range references {
		if r.name == "ex3" { // the slowest; the blends from tables have it
			continue
		}
		t.Run(r.name, func(t *testing.T) {
			m := readMPS(t, filepath.Join("testdata", r.name+".mps"))
			got, err := s.highs(context.Background(), &m, 0, soon())
			if err != nil {
				t.Fatal(err)
			}
			checkReference(t, got, r.want)
		})
	}
}

func TestSolversAgree(t *testing.T) {
	s := solver(t)
	var models []linear.Model
	for seed := range 3 {
		lots, orders := drawInstance(uint64(seed)+1000, 30+10*seed, 1)
		m, _ := build(lots, orders, []int{0}, stockOf(lots))
		models = append(models, m)
	}
	for _, r := range references[:2] {
		models = append(models, readMPS(t, filepath.Join("testdata", r.name+".mps")))
	}
	got, err := s.Solve(context.Background(), models, linear.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range models {
		want, err := s.highs(context.Background(), &models[i], 0, soon())
		if err != nil {
			t.Fatal(err)
		}
		checkReference(t, got[i], want.Objective)
		if err := models[i].Breaks(got[i].Values, 1e-6); err != nil { // the solver's own tolerance
			t.Error(err)
		}
	}
	checkReference(t, got[3], references[0].want)
	checkReference(t, got[4], references[1].want)
}

// Orders that draw on the same stock, proven whole by HiGHS: the parts' plan must be
// possible, and not beyond the gap of it if they say so; their bound must hold.
func TestPartsAgreeWithTheWhole(t *testing.T) {
	s := solver(t)
	const gap = 2e-3
	proven := 0
	for seed := range 2 {
		lots, orders := drawInstance(uint64(seed)+40, 20, 3)
		m, _ := build(lots, orders, []int{0, 1, 2}, stockOf(lots))
		whole, err := s.highs(context.Background(), &m, 1e-6, soon())
		if err != nil || whole.Status != linear.Proven {
			t.Fatal(whole.Status, err)
		}
		one := &task{s, gap, soon()}
		p, err := split.Solve(&m, split.Options{Gap: gap}, one.parts(context.Background()))
		if err != nil {
			t.Fatal(err)
		}
		const tolerance = 1e-6 // the gap of the whole
		if p.Bound > whole.Objective*(1+tolerance) || p.Objective < whole.Bound*(1-tolerance) || m.Breaks(p.Values, 1e-6) != nil {
			t.Errorf("seed %d: parts %v %.4f, bound %.4f; whole %.4f; %v", seed, p.Status, p.Objective, p.Bound, whole.Objective, m.Breaks(p.Values, 1e-6))
		}
		if p.Status == linear.Proven {
			proven++
		}
	}
	if proven == 0 {
		t.Errorf("no plan of parts was proven to %g", gap)
	}
}

func TestSameModelSameAnswer(t *testing.T) {
	s := solver(t)
	m := readMPS(t, "testdata/ex2.mps")
	first, err := s.highs(context.Background(), &m, 1e-3, soon())
	if err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			got, err := s.highs(context.Background(), &m, 1e-3, soon())
			if err != nil {
				t.Error(err)
				return
			}
			for j := range got.Values {
				if got.Values[j] != first.Values[j] {
					t.Errorf("column %d is %g, before %g", j, got.Values[j], first.Values[j])
				}
			}
		})
	}
	all.Wait()
}

// hard is a model that no solver here proves within the test: two hundred lots, twelve
// orders, whole.
func hard(t *testing.T) linear.Model {
	lots, orders := drawInstance(2, 200, 12)
	m, _ := build(lots, orders, []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}, stockOf(lots))
	if err := m.Breaks(m.Start, 1e-9); err != nil {
		t.Fatal(err)
	}
	return m
}

func TestCancelGivesTheBestSoFar(t *testing.T) {
	s := solver(t)
	m := hard(t)
	for what, solve := range map[string]func(context.Context) (linear.Solution, error){
		"HiGHS": func(ctx context.Context) (linear.Solution, error) { return s.highs(ctx, &m, 0, soon()) },
		"all": func(ctx context.Context) (linear.Solution, error) {
			got, err := s.Solve(ctx, []linear.Model{m}, linear.Options{Gap: 1e-6})
			return got[0], err
		},
	} {
		ctx, cancel := context.WithTimeout(context.Background(), time.Second)
		got, err := solve(ctx)
		cancel()
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		if got.Status == linear.Proven || !got.Found() || m.Breaks(got.Values, near) != nil || got.Bound > got.Objective {
			t.Errorf("%s: %v, objective %g, bound %g", what, got.Status, got.Objective, got.Bound)
		}
		if what == "all" && got.Status != linear.Cancelled {
			t.Errorf("status %v, want cancelled", got.Status)
		}
	}
}

func TestTimeUpGivesTheBestSoFar(t *testing.T) {
	m := hard(t)
	got, err := solver(t).Solve(context.Background(), []linear.Model{m}, linear.Options{Gap: 1e-7, Seconds: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	if g := got[0]; g.Status != linear.BestSoFar || m.Breaks(g.Values, near) != nil || g.Bound > g.Objective {
		t.Errorf("%v, objective %g, bound %g", g.Status, g.Objective, g.Bound)
	}
}

func TestOutOfMemory(t *testing.T) {
	s := solver(t)
	s.memory = 24 << 20
	m := hard(t)
	if _, err := s.highs(context.Background(), &m, 0, soon()); !errors.Is(err, ErrMemory) {
		t.Errorf("got %v, want out of memory", err)
	}
	small := readMPS(t, "testdata/ex1.mps") // the solver is still good
	got, err := s.highs(context.Background(), &small, 0, soon())
	if err != nil {
		t.Fatal(err)
	}
	checkReference(t, got, references[0].want)
}

func TestBadModels(t *testing.T) {
	s := solver(t)
	endless := linear.Model{Columns: []linear.Column{{Cost: -1, High: math.Inf(1), Whole: true}}}
	if _, err := s.Solve(context.Background(), []linear.Model{endless}, linear.Options{}); err == nil || !strings.Contains(err.Error(), "no least value") {
		t.Errorf("a column that earns without end: %v", err)
	}
	broken := readMPS(t, "testdata/ex1.mps")
	broken.Columns[3].Cost = math.NaN()
	if _, err := s.Solve(context.Background(), []linear.Model{broken}, linear.Options{}); err == nil || !strings.Contains(err.Error(), "model 1") {
		t.Errorf("a cost that is not a number: %v", err)
	}
	for _, o := range []linear.Options{{Gap: -1}, {Seconds: math.NaN()}} {
		if _, err := s.Solve(context.Background(), nil, o); err == nil {
			t.Errorf("%+v was taken", o)
		}
	}
	none, err := s.Solve(context.Background(), []linear.Model{{}}, linear.Options{})
	if err != nil || none[0].Status != linear.Proven || none[0].Objective != 0 {
		t.Errorf("an empty model: %+v, %v", none, err)
	}
}

func TestImpossible(t *testing.T) {
	var m linear.Model
	x := m.AddColumn(linear.Column{High: 5, Whole: true})
	m.AddRow(linear.Row{Low: 1, High: 2}, linear.Term{Column: x, Value: 3}) // no whole number of threes
	m.AddRow(linear.Row{Low: math.Inf(-1), High: 9}, linear.Term{Column: x, Value: 1})
	for what, solve := range map[string]func() (linear.Solution, error){
		"HiGHS": func() (linear.Solution, error) { return solver(t).highs(context.Background(), &m, 0, soon()) },
		"all": func() (linear.Solution, error) {
			got, err := solver(t).Solve(context.Background(), []linear.Model{m}, linear.Options{})
			return got[0], err
		},
	} {
		if got, err := solve(); err != nil || got.Status != linear.Impossible || got.Found() {
			t.Errorf("%s: %+v, %v", what, got, err)
		}
	}
}

// A row of nothing that must be something is impossible, though HiGHS calls the model
// empty.
func TestImpossibleWithoutColumns(t *testing.T) {
	var m linear.Model
	m.AddRow(linear.Row{Low: 1, High: math.Inf(1)})
	got, err := solver(t).Solve(context.Background(), []linear.Model{m}, linear.Options{})
	if err != nil || got[0].Status != linear.Impossible || got[0].Found() {
		t.Errorf("%+v, %v", got, err)
	}
}

// The optimum and duals of the worked example of Dantzig's textbook form: least of
// −3x − 5y with x ≤ 4, 2y ≤ 12, 3x + 2y ≤ 18 is −36 at (2, 6) with duals 0, −3/2, −1
// (Hillier and Lieberman's Wyndor problem, from memory; checked by hand: 12·3/2 + 18 = 36).
func TestDuals(t *testing.T) {
	inf := math.Inf(1)
	var m linear.Model
	x, y := m.AddColumn(linear.Column{Cost: -3, High: inf}), m.AddColumn(linear.Column{Cost: -5, High: inf})
	m.AddRow(linear.Row{Low: -inf, High: 4}, linear.Term{Column: x, Value: 1})
	m.AddRow(linear.Row{Low: -inf, High: 12}, linear.Term{Column: y, Value: 2})
	m.AddRow(linear.Row{Low: -inf, High: 18}, linear.Term{Column: x, Value: 3}, linear.Term{Column: y, Value: 2})
	got, err := solver(t).Solve(context.Background(), []linear.Model{m}, linear.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0, -1.5, -1} {
		if g := got[0]; len(g.RowDuals) != 3 || g.Status != linear.Proven || math.Abs(g.RowDuals[i]-want) > 1e-9 || math.Abs(g.Objective+36) > 1e-9 {
			t.Fatalf("%v %g, duals %v", g.Status, g.Objective, g.RowDuals)
		}
	}
}

func TestNoPlaceForTheMachineCode(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a-file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{"", filepath.Join(file, "below")} {
		if New(dir).open() != nil {
			t.Errorf("%q was taken for a folder to write to", dir)
		}
	}
	if New(filepath.Join(t.TempDir(), "new", "folder")).open() == nil {
		t.Error("a folder that can be made was not taken")
	}
}

func TestTheClockEndsWhatDoesNotStop(t *testing.T) {
	at := &sitting{began: time.Now().Add(-time.Hour), deadline: time.Now().Add(-time.Minute), guard: time.Now().Add(time.Minute)}
	first := at.seconds()
	if second := at.seconds(); first < farFuture || second-first < farFuture {
		t.Errorf("after the deadline the clock says %g s, then %g s; want %g s more each time", first, second, farFuture)
	}
	at.guard = time.Now().Add(-time.Second)
	defer func() {
		if recover() != errGuard {
			t.Error("the clock went on")
		}
	}()
	at.seconds()
}

// The names of the solver's functions are those of the version that package.json names,
// and each that is called is there.
func TestExports(t *testing.T) {
	d, err := loadDelivery()
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("../../package.json")
	if err != nil {
		t.Fatal(err)
	}
	var wanted struct{ DevDependencies map[string]string }
	if err := json.Unmarshal(text, &wanted); err != nil || wanted.DevDependencies["highs"] != d.version {
		t.Errorf("built in is %q, package.json wants %q (%v): run make assets", d.version, wanted.DevDependencies["highs"], err)
	}
	for _, name := range []string{"start", "memory", "malloc", "Highs_create", "Highs_run", "Highs_passMip", "Highs_setSolution",
		"Highs_getModelStatus", "Highs_getSolution", "Highs_getDoubleInfoValue", "Highs_getIntInfoValue",
		"Highs_setBoolOptionValue", "Highs_setIntOptionValue", "Highs_setDoubleOptionValue", "Highs_setStringOptionValue"} {
		if d.exports[name] == "" {
			t.Errorf("%s has no name", name)
		}
	}
	if n, err := Notices(); err != nil || !strings.Contains(n, "MIT License") || !strings.Contains(n, "Apache License") {
		t.Errorf("notices: %v", err)
	}
}
