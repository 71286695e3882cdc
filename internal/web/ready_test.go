package web

import (
	"strings"
	"testing"

	"combline/internal/words"
)

// The pages of the extraction room in every language, whatever they are asked.
func TestReadyPages(t *testing.T) {
	x := demoHouse(t)
	paths := []string{"/ready", "/ready?of=L04", "/ready?of=L03&read=18.2%3B+17.9&temp=27&rh=48", "/ready?of=T1", "/ready?of=T1&depth=1.1&temp=35&water=16", "/ready?of=T4", "/ready?of=nothing",
		"/ready?of=D041", "/ready?of=L04&read=x&rh=900", "/line", "/line?supers=90&by=23%3A00", "/line?supers=-1&by=x", "/top", "/top?of=T1&top=L09", "/top?of=T1&top=D034", "/top?of=nothing&top=L01",
		"/seed", "/seed?of=T4&honey=1160&water=17.1", "/seed?of=T4&honey=1160&water=18.2&seed=S25", "/seed?of=nothing", "/seed?of=T4&honey=-4"}
	for person, lang := range map[string]words.Lang{"owner": words.English, "hand-2": words.Spanish, "hand-3": words.Polish} {
		x.as(person)
		for _, path := range paths {
			page := x.get(path)
			if i := strings.Index(page, words.Marker); i >= 0 {
				t.Errorf("%s in %s lacks a text: %s", path, lang, page[i:min(len(page), i+60)])
			}
			if !strings.Contains(page, `<html lang="`+string(lang)+`"`) || strings.Contains(page, ` style="`) {
				t.Errorf("%s: not in %s, or with a style attribute", path, lang)
			}
		}
	}
	x.as("owner")
	for path, want := range map[string]string{
		"/ready?of=L03": "L03 is spun",
		"/ready?of=T1&depth=1.1.1&temp=35&water=16": "“1.1.1” can",
		"/ready?of=L04&read=x&rh=900":               "be the humidity of the air; it is 0",
		"/line?supers=-1&by=x":                      "“x” can",
		// job sheet, worked answer 11: 1.1 m of 16 % honey at 35 °C, 36 h for 0.2 mm
		"/ready?of=T1&depth=1.1&temp=35&water=16": "35.4",
		"/seed?of=T4&honey=1160&water=17.1":       "58.0",
		"/top?of=D007&top=D014":                   "no single place may be named",
		"/line?supers=90&by=23%3A00":              "extractor A + extractor B",
	} {
		if page := x.get(path); !strings.Contains(page, want) {
			t.Errorf("%s does not show %q", path, want)
		}
	}
}
