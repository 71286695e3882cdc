package office

import (
	"fmt"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/assay"
	"combline/internal/blend"
	"combline/internal/honey"
	"combline/internal/quantity"
	"combline/internal/record"
)

// forecasts are HMF and diastase of what is here at the best-before date, for a blend
// that is limited by them. Each is a band about a rate of the honey's kind: as the same
// rate law stands behind all, their errors are taken to be one, which is the careful
// side for a mix.
func (v *View) forecasts(k *BlendCase) {
	asked := func(f blend.Figure) bool {
		return slices.ContainsFunc(k.Ask.Demands, func(d Demand) bool { return !d.Share && d.Measure == blend.Measure(f) })
	}
	if !asked(blend.HMFThen) && !asked(blend.DiastaseThen) {
		return
	}
	at := k.Today.Time().Add(12 * time.Hour)
	until := at.AddDate(0, int(v.State.Setting("keep.months", keepMonths).Float()), 0)
	k.Notes = append(k.Notes, answer.Line{Key: "blend.note.forecast", Args: answer.Args{"until": record.DayOf(until)}})
	all := v.assayer()
	for i := range k.There {
		x, err := all.keep(k.There[i].Content.Node, KeepAsk{Of: k.There[i].Content.Code, At: at, Until: until})
		if err != nil {
			continue // not known: the content is kept out by name
		}
		for _, m := range x.Markers {
			figures := k.Problem.Contents[i].Figures
			switch {
			case !m.Known:
			case m.Marker == assay.HMF:
				figures[blend.HMFThen] = oneSided(m.Then.Likely, m.Then.High, "hmf")
			case m.Marker == assay.Diastase:
				figures[blend.DiastaseThen] = oneSided(m.Then.Likely, m.Then.Low, "diastase")
			}
		}
	}
}

// oneSided is a forecast with the doubt of the side that a limit is on.
func oneSided(likely, end float64, of string) quantity.Uncertain {
	return quantity.Uncertain{Value: likely}.WithShare(fmt.Sprintf("rate of %s", of), (end-likely)/honey.NineInTen)
}
