package label

import (
	"fmt"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/standard"
)

// net says the net quantity, and how high its figures must be.
func (l *Label) net(w Wish) error {
	if w.Rules == standard.US {
		return l.panel(w)
	}
	mm, cite, err := standard.FigureHeightMM(w.Rules, w.Pack.Net)
	if err != nil {
		return fmt.Errorf("net quantity: %w", err)
	}
	item := l.say(NetPart, cite, line("label.net", answer.Args{"mass": netFigure(w.Pack.Net)}))
	item.LeastMM, item.Front = float64(mm), true
	if _, emark, err := standard.EMarkHeightMM(w.Pack.Net); err != nil {
		l.find(NetPart, answer.Care, emark, "label.no-e-mark", answer.Args{"mass": w.Pack.Net})
	}
	return nil
}

// netFigure is a net quantity as labels have it: whole kilograms from 1 kg on where it
// is whole, else grams, with decimals only where there are any.
func netFigure(m quantity.Milligram) quantity.Figure {
	f := quantity.Figure{Mantissa: int64(m), Decimals: 3, Unit: quantity.G}
	if m >= 1_000_000 && m%1000 == 0 {
		f = quantity.Figure{Mantissa: int64(m) / 1000, Decimals: 3, Unit: quantity.KgUnit}
	}
	for f.Decimals > 0 && f.Mantissa%10 == 0 {
		f.Mantissa, f.Decimals = f.Mantissa/10, f.Decimals-1
	}
	return f
}

// panel is the net contents by the area of the display panel, for the United States.
func (l *Label) panel(w Wish) error {
	if w.Pack.High == 0 || w.Pack.Wide == 0 {
		cite := standard.Cite{Set: standard.USLabels, Place: "21 CFR 101.1, 101.7(i)", Got: standard.Memory}
		l.find(NetPart, answer.Bad, cite, "label.panel-unknown", nil)
		return nil
	}
	area, _, err := standard.PanelArea(w.Pack.Shape, w.Pack.High, w.Pack.Wide)
	if err != nil {
		return fmt.Errorf("display panel: %w", err)
	}
	least, cite, err := standard.TypeHeight(area)
	if err != nil {
		return fmt.Errorf("net contents: %w", err)
	}
	item := l.say(NetPart, cite, line("label.net-us", answer.Args{"mass": netFigure(w.Pack.Net)}))
	item.LeastMM, item.Front = least.Inches()*25.4, true
	return nil
}

// letters sets the height of every other part's letters by the pack's largest surface.
func (l *Label) letters(w Wish) {
	if w.Rules == standard.US {
		return
	}
	cite := standard.Cite{Set: standard.EULabels, Place: "art. 13(2), (3)", Got: standard.Read}
	mm := 1.2 // of a pack whose size is not known: the larger
	if w.Pack.LargestCM2 > 0 {
		var err error
		if mm, cite, err = standard.XHeightMM(w.Pack.LargestCM2); err != nil {
			l.find(TextPart, answer.Bad, cite, "label.surface-wrong", answer.Args{"why": err.Error()})
			return
		}
	} else {
		l.find(TextPart, answer.Care, cite, "label.surface-unknown", nil)
	}
	for i := range l.Items {
		if l.Items[i].LeastMM == 0 {
			l.Items[i].LeastMM = mm
		}
	}
}
