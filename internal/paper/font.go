package paper

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"
)

// What scripts/assets.mjs puts here at build time: IBM Plex Sans and its licence.
//
//go:embed all:asset
var assetFiles embed.FS

// ErrNotBuilt reports a program that was built without its fonts for paper.
var ErrNotBuilt = errors.New("the fonts for paper are not in this program: build it with make build, which fetches them")

// A face is one weight of the typeface with what must be known of it before drawing.
type face struct {
	ttf            []byte
	sfnt           *sfnt.Font
	xHeight, digit float64 // as parts of the font size; digit: of the lowest figure
}

func loadFace(name string) (*face, error) {
	ttf, err := assetFiles.ReadFile("asset/built/plex-" + name + ".ttf")
	if errors.Is(err, fs.ErrNotExist) {
		return nil, ErrNotBuilt
	}
	if err != nil {
		return nil, err
	}
	f, err := sfnt.Parse(ttf)
	if err != nil {
		return nil, fmt.Errorf("font %s: %w", name, err)
	}
	a := &face{ttf: ttf, sfnt: f}
	if a.xHeight, err = a.height('x'); err != nil {
		return nil, err
	}
	a.digit = 1
	for r := '0'; r <= '9'; r++ {
		h, err := a.height(r)
		if err != nil {
			return nil, err
		}
		a.digit = min(a.digit, h)
	}
	return a, nil
}

// height is how high a character stands over the line, as a part of the font size,
// measured at its outline.
func (a *face) height(r rune) (float64, error) {
	var b sfnt.Buffer
	i, err := a.sfnt.GlyphIndex(&b, r)
	if err != nil || i == 0 {
		return 0, fmt.Errorf("the font has no %q (%v)", r, err)
	}
	em := a.sfnt.UnitsPerEm()
	bounds, _, err := a.sfnt.GlyphBounds(&b, i, fixed.I(int(em)), font.HintingNone)
	if err != nil {
		return 0, err
	}
	return float64(-bounds.Min.Y) / 64 / float64(em), nil
}

// has reports whether the font can draw r.
func (a *face) has(r rune) bool {
	var b sfnt.Buffer
	i, err := a.sfnt.GlyphIndex(&b, r)
	return err == nil && i != 0
}

// drawable replaces what the font can't draw by a mark that shows that something
// stands there: never by nothing. Control characters become spaces.
func (a *face) drawable(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r < ' ' || r == 0x7f || r == '\u202f' || r == '\u2007':
			return '\u00a0'
		case r == '\u200b' || r == '\u00ad' || r == '\ufeff' || r >= '\u202a' && r <= '\u202e' || r >= '\u2066' && r <= '\u2069':
			return -1
		case a.has(r) && !unicode.Is(unicode.Mn, r):
			return r
		}
		return '¤'
	}, norm.NFC.String(strings.ToValidUTF8(s, "¤")))
}

// Draws reports whether the fonts can draw a sign, on its own place: a mark that would
// have to be set over another letter is not.
func Draws(r rune) bool {
	a, err := loadFace("regular")
	if err != nil {
		return true // nothing is printed then, and that is said
	}
	return a.draws(r)
}

func (a *face) draws(r rune) bool {
	return !unicode.Is(unicode.Mn, r) && a.drawable(string(r)) != "¤" || r == '¤'
}
