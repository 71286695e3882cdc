package web

import (
	"net/url"
	"strings"
	"testing"
)

// The cost table of the demo house's run on its page, in the reader's signs; what has no
// price says so; a price that is set holds from then on and an old run keeps its own.
func TestCostPages(t *testing.T) {
	x := demoHouse(t).as("owner").unlocked()
	page := func(path string, want ...string) {
		t.Helper()
		got := strings.NewReplacer("\u00a0", " ", "\u202f", " ", "&#43;", "+").Replace(x.get(path))
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s does not show %q:\n%.3000s", path, w, got)
			}
		}
	}
	page("/cost?of=R2", "2.433", "15 357.02", "2.442", "39.39", "1.650", "0.422")
	page("/cost", "R2", `href="/cost?of=R3"`, "Can&#39;t say the whole")
	page("/cost?show=margin&of=summer+340&drum=5.60&jar=3.60", "3.36", "0.80", "2.72")
	page("/cost?show=margin&drum=lots", "can&#39;t be read", "lots")
	page("/cost?show=gram&units=100000", "480.00")
	page("/cost?show=tests", "420.00")
	page("/cost?show=wax", "W04")
	page("/settle?of=L05", "2 189.0", "64.0")
	page("/settle?of=nobody", "brought honey")
	page("/prices", "4.80", "not set", "JAR340")
	x.save("/do/setting?of="+url.QueryEscape("cost.own"), "0.value", "5.20", "0.reason", "a bad summer")
	x.save("/do/setting?of="+url.QueryEscape("cost.material.JAR454"), "0.value", "0.50", "0.reason", "")
	page("/prices", "5.20", "0.50")
	page("/prices?who=&what=moisture.&step=45", "45", "10")
	page("/prices?who=&what=moisture.&step=18.5", "Supplier") // leads on to the rule's form
	x.save("/do/setting?of="+url.QueryEscape("settle.moisture.18.5"), "0.value", "-0.15", "0.reason", "")
	x.save("/do/setting?of="+url.QueryEscape("settle.price.summer"), "0.value", "4.20", "0.reason", "")
	page("/prices", "moisture.18.5", "0.15", "price.summer")
	page("/cost?of=R2", "15 357.02")
	page("/cost?of=D020", "4.80")
}
