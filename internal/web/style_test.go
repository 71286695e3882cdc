package web

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// A colour of the stylesheet, each part from 0 to 1.
type colour struct{ r, g, b float64 }

func parseColour(hex string) colour {
	hex = strings.TrimPrefix(hex, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	n, err := strconv.ParseUint(hex, 16, 32)
	if err != nil {
		panic(err)
	}
	return colour{float64(n>>16) / 255, float64(n>>8&255) / 255, float64(n&255) / 255}
}

// luminance is the relative luminance of WCAG 2.2.
func (c colour) luminance() float64 {
	linear := func(v float64) float64 {
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.r) + 0.7152*linear(c.g) + 0.0722*linear(c.b)
}

// contrast is the contrast ratio of WCAG 2.2.
func contrast(a, b colour) float64 {
	x, y := a.luminance(), b.luminance()
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// hue is the angle on the colour circle in degrees and how far from grey it is, 0 to 1.
func (c colour) hue() (degrees, chroma float64) {
	hi, lo := max(c.r, c.g, c.b), min(c.r, c.g, c.b)
	chroma = hi - lo
	switch {
	case chroma == 0:
		return 0, 0
	case hi == c.r:
		degrees = math.Mod((c.g-c.b)/chroma+6, 6)
	case hi == c.g:
		degrees = (c.b-c.r)/chroma + 2
	default:
		degrees = (c.r-c.g)/chroma + 4
	}
	return degrees * 60, chroma
}

func stylesheet(t *testing.T) string {
	t.Helper()
	b, err := assetFiles.ReadFile("asset/combline.css")
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// tokens are the colours of one room.
func tokens(t *testing.T, selector string) map[string]colour {
	t.Helper()
	css := stylesheet(t)
	_, rest, ok := strings.Cut(css, "\n"+selector+"{")
	if !ok {
		t.Fatalf("the stylesheet has no %s", selector)
	}
	block, _, _ := strings.Cut(rest, "}")
	all := map[string]colour{}
	for _, m := range regexp.MustCompile(`--([a-z0-9-]+):(#[0-9a-f]{3,6})\b`).FindAllStringSubmatch(block, -1) {
		all[m[1]] = parseColour(m[2])
	}
	return all
}

// The published worked figures: WCAG 2.2 gives 21:1 for black on white; #767676 on
// white is the lightest grey that passes 4.5 (W3C, Understanding SC 1.4.3, as
// remembered: 4.54).
func TestContrastFormula(t *testing.T) {
	white := parseColour("#fff")
	if got := contrast(parseColour("#000"), white); math.Abs(got-21) > 1e-9 { // exact by definition
		t.Errorf("black on white is %v, want 21", got)
	}
	if got := contrast(parseColour("#767676"), white); math.Abs(got-4.54) > 0.005 { // half the last digit
		t.Errorf("#767676 on white is %.3f, want 4.54", got)
	}
}

// Text reads at 4.5 and edges are seen at 3.0 (WCAG 2.2, success criteria 1.4.3 and
// 1.4.11, level AA), in both rooms.
func TestContrastOfTokens(t *testing.T) {
	day := tokens(t, ":root")
	dark := tokens(t, `:root[data-room="dark"]`)
	for name, c := range day { // what the dark room does not change
		if _, ok := dark[name]; !ok {
			dark[name] = c
		}
	}
	const text, edge = 4.5, 3.0
	pairs := []struct {
		on   string
		what []string
		want float64
	}{
		{"sheet", []string{"ink", "ink-2", "act", "ok", "watch", "stop"}, text},
		{"paper", []string{"ink", "ink-2", "act", "ok", "watch", "stop"}, text},
		{"steel", []string{"ink", "ink-2"}, text},
		{"act-t", []string{"act", "ink", "ink-2"}, text},
		{"ok-t", []string{"ok", "ink", "act"}, text},
		{"watch-t", []string{"watch", "ink"}, text},
		{"stop-t", []string{"stop", "ink"}, text},
		{"act", []string{"on-act"}, text},
		{"stop", []string{"on-stop"}, text},
		{"cover", []string{"on-cover", "cover-2"}, text},
		{"ink", []string{"sheet"}, text},
		{"sheet", []string{"rule", "focus"}, edge},
		{"paper", []string{"rule", "focus"}, edge},
	}
	for room, colours := range map[string]map[string]colour{"day": day, "dark": dark} {
		for _, p := range pairs {
			for _, name := range p.what {
				a, ok1 := colours[name]
				b, ok2 := colours[p.on]
				if !ok1 || !ok2 {
					t.Errorf("%s: no token %s or %s", room, name, p.on)
				} else if got := contrast(a, b); got < p.want {
					t.Errorf("%s: %s on %s is %.2f, want %.1f", room, name, p.on, got, p.want)
				}
			}
		}
	}
}

// Amber belongs to honey: no hue of it is written in the stylesheet.
func TestNoAmberInStylesheet(t *testing.T) {
	css := stylesheet(t)
	found := regexp.MustCompile(`#[0-9a-fA-F]{3,8}\b|rgba?\([^)]*\)|hsla?\([^)]*\)|\b(?:amber|yellow|orange|brown|gold|tan)\b`).FindAllString(css, -1)
	if len(found) < 40 {
		t.Fatalf("only %d colours found in the stylesheet", len(found))
	}
	for _, text := range found {
		c, ok := colourOf(text)
		if !ok {
			if !strings.Contains(css, "/* "+text) && !strings.HasPrefix(text, "A") {
				t.Errorf("colour %s can't be judged", text)
			}
			continue
		}
		const grey = 0.06 // below this no hue is seen
		if degrees, chroma := c.hue(); degrees >= 20 && degrees <= 55 && chroma > grey {
			t.Errorf("%s has hue %.0f°, which is honey's", text, degrees)
		}
	}
}

// colourOf reads a colour as it is written in the stylesheet.
func colourOf(text string) (colour, bool) {
	if strings.HasPrefix(text, "#") && (len(text) == 4 || len(text) == 7) {
		return parseColour(text), true
	}
	if m := regexp.MustCompile(`^rgba?\((\d+)[ ,]+(\d+)[ ,]+(\d+)`).FindStringSubmatch(text); m != nil {
		part := func(s string) float64 { n, _ := strconv.Atoi(s); return float64(n) / 255 }
		return colour{part(m[1]), part(m[2]), part(m[3])}, true
	}
	return colour{}, false
}

// What the stylesheet must keep for people who set their device so: no motion, colours
// of their own, more contrast.
func TestStylesheetHeedsTheDevice(t *testing.T) {
	css := stylesheet(t)
	for _, want := range []string{"@media (prefers-reduced-motion:reduce)", "@media (forced-colors:active)", "@media (prefers-contrast:more)", "@media print"} {
		if !strings.Contains(css, want) {
			t.Errorf("the stylesheet lacks %s", want)
		}
	}
}
