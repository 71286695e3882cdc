package web

import (
	"regexp"
	"testing"
)

var assetLinks = regexp.MustCompile(`(?:href|src)="(/asset/[^"]+)"`)

// The first page with stylesheet, script and sign is at most 100 kB over the wire, the
// typeface aside (bound of the pages): in the demo house and in one of 600 drums.
func TestFirstPageIsLight(t *testing.T) {
	const most = 100_000
	for name, x := range map[string]*site{"demo": demoHouse(t).as("owner"), "600 drums": largeHouse(t, 1, 0)} {
		r := x.request("GET", "/", nil)
		r.Header.Set("Accept-Encoding", "gzip")
		page := x.do(r)
		sum := page.Body.Len()
		found := assetLinks.FindAllStringSubmatch(x.get("/"), -1)
		if len(found) < 2 {
			t.Fatalf("%s: only %d assets are linked", name, len(found))
		}
		for _, m := range found {
			r := x.request("GET", m[1], nil)
			r.Header.Set("Accept-Encoding", "gzip")
			sum += x.do(r).Body.Len()
		}
		t.Logf("%s: %d bytes", name, sum)
		if sum > most {
			t.Errorf("%s: the first page is %d bytes, at most %d", name, sum, most)
		}
	}
}
