package office

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/blend"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A BlendUse is one content of a blend.
type BlendUse struct {
	Candidate
	Draw  blend.Draw
	Share quantity.Percent
	Left  quantity.Gram
}

// A BlendLimit is one limit of a blend as it came out.
type BlendLimit struct {
	Index  int    // in the batch
	From   string // law, promise, asked, house
	Name   answer.Line
	Term   blend.Term
	Found  *blend.Found
	Room   float64 // until the chance of a breach is what is allowed; below 0: over
	Broken bool
	Rule   bool // one way of the ferment rule or the like, of several
}

// Uses lists what goes into the batch, most first.
func (k *BlendCase) Uses(draws []blend.Draw) (all []BlendUse) {
	var whole quantity.Gram
	for _, d := range draws {
		whole += d.Grams
	}
	for _, d := range draws {
		x := BlendUse{Candidate: k.There[d.Content], Draw: d, Share: quantity.Percent(100 * float64(d.Grams) / float64(whole))}
		x.Left = x.Content.Grams - d.Grams
		all = append(all, x)
	}
	slices.SortStableFunc(all, func(a, b BlendUse) int {
		return cmp.Or(cmp.Compare(lotOfUse(a), lotOfUse(b)), cmp.Compare(natural(a.Content.Code), natural(b.Content.Code)))
	})
	return all
}

// lotOfUse keeps drums of the same honey together.
func lotOfUse(u BlendUse) string {
	if len(u.Site) == 1 && len(u.Country) == 1 {
		return u.Country[0].Name + "\x00" + u.Site[0].Name
	}
	return "\xff"
}

// Mixed is a property of the mix, limited or not.
func (k *BlendCase) Mixed(draws []blend.Draw, p record.Property) Doubted {
	var parts []Doubted
	var grams []float64
	x := Doubted{Value: quantity.Unknown(), Mixed: true}
	for _, d := range draws {
		part := k.There[d.Content].Known[p]
		if part.Bound == record.Below && p == record.Yeast {
			part.Value = quantity.Exactly(0)
		}
		x.Lacks = appendNew(x.Lacks, part.Lacks...)
		x.Assumed = x.Assumed || part.Assumed
		x.Reads = appendNew(x.Reads, part.Reads...)
		parts, grams = append(parts, part), append(grams, float64(d.Grams))
	}
	if len(parts) > 0 && len(x.Lacks) == 0 {
		x.Value = meanOf(p, parts, grams)
	}
	return x
}

// Limits lists the limits of the batch with what the blend comes to.
func (k *BlendCase) Limits(b blend.Blend, faults []blend.Fault) (all []BlendLimit) {
	z := k.z()
	for i, l := range k.Problem.Batches[0].Limits {
		broken := slices.ContainsFunc(faults, func(f blend.Fault) bool {
			return f.Content < 0 && f.Demand.Kind == blend.AskLimit && f.Demand.Index == i
		})
		for j := range b.Figures {
			f := &b.Figures[j]
			if f.Limit != i || broken && len(l.Ways) > 1 { // which way is not kept says nothing: no way is
				continue
			}
			x := BlendLimit{Index: i, From: k.Origin[i], Term: f.Term, Found: f, Broken: broken && (f.Chance > k.Problem.Risk || len(l.Ways) > 1), Rule: len(l.Ways) > 1, Name: answer.Line{Key: MeasureKey(f.Term.Measure)}}
			x.Room = room(f, z)
			all = append(all, x)
		}
	}
	return all
}

// z is how many standard deviations are kept from a limit.
func (k *BlendCase) z() float64 {
	risk := k.Problem.Risk
	if risk == 0 {
		risk = quantity.UsualRisk
	}
	return max(0, math.Sqrt2*math.Erfinv(1-2*risk))
}

func room(f *blend.Found, z float64) float64 {
	off := f.Term.Bound - f.Value.Value
	if f.Term.Least {
		off = -off
	}
	sd := f.Value.StdDev()
	if f.Value.Log {
		sd *= f.Value.Value
	}
	return off - z*sd
}

// MeasureKey is the word for a measure.
func MeasureKey(m blend.Measure) string {
	return "measure." + strings.NewReplacer("_", "-").Replace(m.String())
}

// DecimalsOf are those that a figure of a measure is worth.
func DecimalsOf(m blend.Measure) uint8 {
	if p, ok := PropertyOf(m); ok {
		if d, known := decimalsOfProperty[p]; known {
			return d
		}
	}
	return 2
}

// measured is a figure of a measure in its unit.
func measured(m blend.Measure, x float64) any {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	d := DecimalsOf(m)
	return quantity.Figure{Mantissa: int64(math.Round(x * math.Pow10(int(d)))), Decimals: d, Unit: m.Unit()}
}

// bound is a limit's figure with as many digits as it has.
func bound(m blend.Measure, x float64) quantity.Figure {
	d := uint8(0)
	for ; d < 6; d++ {
		if p := math.Pow10(int(d)); math.Abs(math.Round(x*p)-x*p) < 1e-6 {
			break
		}
	}
	if m == blend.Measure(blend.Water) {
		d = max(d, 1) // 18.0 %, as buyers write it
	}
	return quantity.Figure{Mantissa: int64(math.Round(x * math.Pow10(int(d)))), Decimals: d, Unit: m.Unit()}
}

// A BlendOut is honey that is not proposed, and every rule that says so.
type BlendOut struct {
	Candidate
	Rules []answer.Line
}

// Outs lists what was not proposed: by the rules of every blend, then by those of this
// one.
func (k *BlendCase) Outs(outs []blend.Out) (all []BlendOut) {
	for _, x := range k.Out {
		o := BlendOut{Candidate: x}
		for _, e := range x.Out {
			o.Rules = append(o.Rules, answer.Line{Key: e.Key, Args: e.Args})
		}
		all = append(all, o)
	}
	for _, x := range outs {
		all = append(all, BlendOut{k.There[x.Content], []answer.Line{stopLine(x)}})
	}
	slices.SortStableFunc(all, func(a, b BlendOut) int { return cmp.Compare(natural(a.Content.Code), natural(b.Content.Code)) })
	return all
}

// OutGroups puts honey together that the same rules keep out.
func (k *BlendCase) OutGroups(outs []blend.Out) (groups [][]BlendOut) {
	at := map[string]int{}
	for _, o := range k.Outs(outs) {
		key := fmt.Sprint(o.Rules)
		i, ok := at[key]
		if !ok {
			i = len(groups)
			at[key] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], o)
	}
	return groups
}

func stopLine(x blend.Out) answer.Line {
	key := "blend.stop." + strings.ReplaceAll(x.Rule.String(), "_", "-")
	switch x.Rule {
	case blend.NoReading, blend.FarOff, blend.DarkerThanScale:
		return answer.Line{Key: key, Args: answer.Args{"what": answer.Key(MeasureKey(blend.Measure(x.Figure)))}}
	case blend.OriginNotOnLabel, blend.NotMarked, blend.OriginUnknown:
		return answer.Line{Key: key, Args: answer.Args{"name": x.Name}}
	}
	return answer.Line{Key: key}
}
