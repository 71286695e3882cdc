package label

import (
	"fmt"
	"math"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/standard"
)

// origin states the countries, as worked out from what was tipped or as typed, and
// holds what was typed against the record by both readings of the tolerance.
func (l *Label) origin(w Wish, t Tipped) error {
	switch w.Rules {
	case standard.EU, standard.DE:
	default:
		cite := standard.Cite{Set: standard.EUOrigin2024, Place: "not asked of this market", Got: standard.Read}
		l.find(OriginPart, answer.Care, cite, "label.origin-no-rule", answer.Args{"rules": w.Rules.String()})
		return nil
	}
	cite := standard.Cite{Set: standard.EUOrigin2024, Place: "art. 2(4)", Got: standard.Read}
	known, unknown := countries(t.Countries)
	if unknown > 0 || len(known) == 0 {
		l.find(OriginPart, answer.Bad, cite, "label.origin-unknown", answer.Args{"mass": unknown})
		if len(known) == 0 {
			return nil
		}
	}
	stated, err := standard.StateOrigin(known, standard.OriginOption{Labelled: w.Labelled, FourLargest: w.FourLargest, Net: w.Pack.Net})
	if err != nil {
		return fmt.Errorf("origin: %w", err)
	}
	var lines []answer.Line
	if len(w.Origin) == 0 {
		lines = l.countryLines(w, stated)
	} else if lines, err = l.typedOrigin(w, known, stated); err != nil {
		return err
	}
	l.say(OriginPart, stated.Cite, lines...).Front = true
	return nil
}

func countries(all []standard.Share) (known []standard.Share, unknown quantity.Gram) {
	for _, s := range all {
		if s.Country == "" {
			unknown += s.Mass
			continue
		}
		known = append(known, s)
	}
	return known, unknown
}

func (l *Label) countryLines(w Wish, o standard.Origin) (lines []answer.Line) {
	switch o.Blend {
	case standard.BlendEU:
		return []answer.Line{line("label.blend-eu", nil)}
	case standard.BlendNonEU:
		return []answer.Line{line("label.blend-non-eu", nil)}
	case standard.BlendBoth:
		return []answer.Line{line("label.blend-both", nil)}
	}
	for _, c := range o.Lines {
		args := answer.Args{"country": l.country(w, c.Country, o.CodesMayDo)}
		if !c.HasPercent {
			lines = append(lines, line("label.country", args))
			continue
		}
		args["percent"] = quantity.Figure{Mantissa: c.Mantissa, Decimals: o.Decimals, Unit: quantity.Pct}
		lines = append(lines, line("label.country-share", args))
	}
	return lines
}

// country is a country's name in the label's language, or its code where that will do.
func (l *Label) country(w Wish, code string, codeWillDo bool) string {
	if name := w.Country[code]; name != "" {
		return name
	}
	if !codeWillDo {
		cite := standard.Cite{Set: standard.EUOrigin2024, Place: "art. 2(4), names; codes under 30 g", Got: standard.Read}
		l.find(OriginPart, answer.Bad, cite, "label.country-no-name", answer.Args{"code": code})
	}
	return code
}

// typedOrigin keeps the shares that were typed, in falling order, and finds those that
// the record does not bear out.
func (l *Label) typedOrigin(w Wish, known []standard.Share, stated standard.Origin) ([]answer.Line, error) {
	cite := standard.Cite{Set: standard.EUOrigin2024, Place: "art. 2(4), tolerance", Got: standard.Read}
	var sum float64
	for i, c := range w.Origin {
		sum += float64(c.Percent)
		if i > 0 && c.Percent > w.Origin[i-1].Percent {
			l.find(OriginPart, answer.Bad, stated.Cite, "label.origin-order", answer.Args{"first": w.Origin[i-1].Country, "second": c.Country})
		}
	}
	if len(w.Origin) > 1 || w.Origin[0].Percent != 0 {
		if d := sum - 100; d > 1e-6 || d < -1e-6 {
			l.find(OriginPart, answer.Bad, cite, "label.origin-sum", answer.Args{"sum": quantity.Percent(sum)})
		}
	}
	checks, _, err := standard.CheckOrigin(w.Origin, known)
	if err != nil {
		l.find(OriginPart, answer.Bad, cite, "label.origin-unreadable", answer.Args{"why": err.Error()})
		return nil, nil
	}
	var lines []answer.Line
	for i, c := range checks {
		args := answer.Args{"country": c.Country, "stated": c.Declared, "record": c.Actual, "points": c.PointsSpare, "relative": c.RelativeSpare}
		switch {
		case i >= len(w.Origin):
			l.find(OriginPart, answer.Bad, cite, "label.origin-left-out", args)
			continue
		case !c.Pass():
			l.find(OriginPart, answer.Bad, cite, "label.origin-outside", args)
		case min(c.PointsSpare, c.RelativeSpare) < 1:
			l.find(OriginPart, answer.Care, cite, "label.origin-close", args)
		default:
			l.find(OriginPart, answer.Good, cite, "label.origin-inside", args)
		}
		lines = append(lines, line("label.country-share", answer.Args{"country": l.country(w, c.Country, stated.CodesMayDo), "percent": percentFigure(c.Declared)}))
	}
	return lines, nil
}

// percentFigure is a share as it was typed, to the tenth of a per cent.
func percentFigure(p quantity.Percent) quantity.Figure {
	tenths := int64(math.Round(float64(p) * 10))
	if tenths%10 == 0 {
		return quantity.Figure{Mantissa: tenths / 10, Unit: quantity.Pct}
	}
	return quantity.Figure{Mantissa: tenths, Decimals: 1, Unit: quantity.Pct}
}
