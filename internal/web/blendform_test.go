package web

import (
	"net/url"
	"strings"
	"testing"
)

// What can't be read stands in its field again, as it was typed.
func TestUnreadBlendIsKept(t *testing.T) {
	x := demoHouse(t)
	q := url.Values{"mass": {"3 heaps"}, "most": {"many"}, "risk": {"lots"}, "only": {"D001:=x"}, "limit": {"water<=0.178", "oddity<=3", "hmf<=15"}, "colour.most": {"dark"}}
	page := x.get("/blend/for?" + q.Encode())
	for _, typed := range []string{`value="3 heaps"`, `value="many"`, `value="lots"`, `value="water&lt;=0.178"`, `value="oddity&lt;=3"`, `value="colour&lt;=dark"`} {
		if !strings.Contains(page, typed) {
			t.Errorf("%s is lost", typed)
		}
	}
	if strings.Contains(page, `value="hmf&lt;=15"`) || !strings.Contains(page, `value="15"`) {
		t.Error("a limit that was read stands in its own field, once")
	}
}
