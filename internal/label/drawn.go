package label

import (
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/standard"

	"golang.org/x/text/unicode/norm"
)

// drawn finds what was typed for the label and the printer can't draw: an empty box or a
// mark in its place would be printed on every jar.
func (l *Label) drawn(w Wish) {
	if w.Draws == nil {
		return
	}
	cite := standard.Cite{Set: standard.EULabels, Place: "art. 13(1), legible", Got: standard.Memory}
	look := func(p Part, text string) {
		if signs := undrawable(text, w.Draws); signs != "" {
			l.find(p, answer.Bad, cite, "label.cannot-draw", answer.Args{"text": strings.TrimSpace(text), "signs": signs})
		}
	}
	look(NamePart, w.Name)
	look(PackerPart, w.Packer)
	look(LotPart, w.Lot)
	for _, text := range w.Texts {
		look(TextPart, text)
	}
	var codes []string
	for code := range w.Country {
		codes = append(codes, code)
	}
	slices.Sort(codes)
	for _, code := range codes {
		look(OriginPart, w.Country[code])
	}
	if w.Recipe != nil {
		for _, p := range w.Recipe.Parts {
			look(IngredientsPart, p.Name)
		}
	}
}

// undrawable lists the signs of a text that can't be drawn, each once, at most eight.
func undrawable(text string, draws func(rune) bool) string {
	var signs []string
	for _, r := range norm.NFC.String(strings.ToValidUTF8(text, "\ufffd")) {
		if s := string(r); !draws(r) && !slices.Contains(signs, s) && len(signs) < 8 {
			signs = append(signs, s)
		}
	}
	return strings.Join(signs, " ")
}
