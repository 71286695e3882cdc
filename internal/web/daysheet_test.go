package web

import (
	"net/url"
	"strings"
	"testing"
	"time"

	"combline/internal/office"
	"combline/internal/record"
)

// Today shows the jobs of the day's sheet once it is drawn up, and a tap ticks one off
// with who, on the sheet's day; a job that was not done wants its reason.
func TestJobsAreTickedOff(t *testing.T) {
	x := demoHouse(t)
	if s, _ := x.o.TodaySheet(20 * time.Second); s == nil {
		t.Fatal("no sheet was drawn up")
	}
	if page := x.get("/"); !strings.Contains(page, `id="jobs"`) {
		t.Error("Today has no jobs")
	}
	if page := x.get("/day"); !strings.Contains(page, `name="if"`) {
		t.Error("the day sheet can't be asked what if")
	}
	if page := x.get("/day?if=rain%3Dyes"); !strings.Contains(page, "rain=yes") {
		t.Error("what can't be supposed is not told")
	}
	tick := func(done string, form url.Values) int {
		form.Set("key", newKey())
		form.Set("person", "packing")
		return x.post("/do/tick?job=run+O-99&n=4&back=/&done="+done, form).Code
	}
	if code := tick("yes", url.Values{}); code != 303 {
		t.Errorf("done: %d", code)
	}
	if code := tick("no", url.Values{}); code == 303 {
		t.Error("a job was left undone without a reason")
	}
	if code := tick("no", url.Values{"0.reason": {"pump broken"}}); code != 303 {
		t.Errorf("not done: %d", code)
	}
	x.o.Read(func(h *office.View) {
		ticks := h.State.Ticks(record.DayOf(x.o.Now()))
		if len(ticks) != 2 || ticks[0].Job != "run O-99" || ticks[0].Number != 4 || ticks[1].Reason != "pump broken" || ticks[1].Person != "packing" {
			t.Errorf("%+v", ticks)
		}
	})
}
