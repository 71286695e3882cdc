//go:build !race

package office_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/milp"
	"combline/internal/office"
	"combline/internal/record"
)

// The same with blends looked for, as the house does: which drums go into the warm when,
// what can't be met. Not with the race detector, under which the solver takes too long.
func TestSolvedSheetsOfTheSeason(t *testing.T) {
	s := sheets{t, demoOffice(t)}
	solver := milp.New(milp.CacheFolder())
	t.Cleanup(func() { _ = solver.Close() })
	s.o.SetSolver(solver.Solve)

	x := s.of("2026-09-15")
	warm := slices.IndexFunc(x.Jobs, func(j office.Job) bool { return j.Key == "warm O-02 soft-set 454" })
	if warm < 0 || slices.ContainsFunc(x.Jobs[max(0, warm)].Of, func(c record.Code) bool { return c >= "D015" }) {
		t.Errorf("15 Sep: %+v, want sound spring drums into the warm for O-02", x.Jobs)
	}

	x = s.of("2026-09-17")
	if run, _ := packingOf(x, "O-01").Step("run"); record.DayOf(run.From) != record.DayOf(time.Date(2026, 9, 21, 0, 0, 0, 0, time.UTC)) {
		t.Errorf("17 Sep: O-01 is filled at %v, want 21 Sep", run.From)
	}

	x = s.of("2026-09-28")
	if late := packingOf(x, "O-02"); late.Late < 1 {
		t.Errorf("28 Sep: O-02 is %d days late, want late: T4 holds the wet mix", late.Late)
	}
	supposedAndTicked(t, s)
}

// What is supposed is not recorded: with all bought honey sold the blend's label can't be
// kept; jobs ticked off keep their number.
func supposedAndTicked(t *testing.T, s sheets) {
	var before uint64
	s.o.Read(func(v *office.View) { before = v.Facts() })
	x := s.of("2026-10-30", "sold=D101-D110")
	if o := packingOf(x, "O-06"); len(o.Why) == 0 || len(o.Steps) > 0 && !slices.ContainsFunc(o.Why, func(l answer.Line) bool { return l.Key == "plan.honey-short" }) {
		t.Errorf("O-06 without bought honey: %+v", o.Why)
	}
	s.o.Read(func(v *office.View) {
		if v.Facts() != before {
			t.Error("a supposition was recorded")
		}
	})
	for _, bad := range []string{"", "sold=", "order=x summer 340 2026-11-01", "broken=jar filler", "off=2026-09-15T13:00..2026-09-14", "people=-1", "rain=yes", "late=JAR340 soon"} {
		if _, err := office.ParseIf(bad, s.o.Now()); err == nil {
			t.Errorf("%q was taken", bad)
		}
	}
	x = s.of("2026-10-30")
	if len(x.Jobs) == 0 {
		t.Fatal("no job on 30 Oct")
	}
	not := x.Ticked(x.Jobs[0], false, "")
	d := house.Draft{Key: record.Key{3}, Person: "owner", When: record.At(s.o.Now()), Facts: []record.Fact{not}}
	if _, err := s.o.Submit(context.Background(), d); err == nil {
		t.Error("a job was left undone without a reason")
	}
	d.Facts = []record.Fact{x.Ticked(x.Jobs[0], true, ""), x.Plan.Agree()}
	if _, err := s.o.Submit(context.Background(), d); err != nil {
		t.Fatal(err)
	}
	s.o.Read(func(v *office.View) {
		ticks := v.State.Ticks(x.Day)
		p, ok := v.State.DayPlanned()
		if len(ticks) != 1 || ticks[0].Job != x.Jobs[0].Key || ticks[0].Number != int64(x.Jobs[0].Number) || !ok || len(p.Steps) == 0 {
			t.Errorf("%+v, %+v", ticks, p)
		}
	})
}
