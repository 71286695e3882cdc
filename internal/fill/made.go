package fill

import (
	"fmt"
	"math"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// A Made is jars that were not weighed but for a few: so many of one nozzle in one
// slot of time, taken to follow the normal law of the check that stands for them.
type Made struct {
	Jars    float64 // 550 jars of four nozzles are 137.5 of each
	MeanG   float64
	SDG     float64
	Checked int // jars behind MeanG
}

// An Estimate is what such jars come to. Counts are expected ones.
type Estimate struct {
	Jars, Short, Barred float64
	MeanG               float64
	OffG                float64 // standard uncertainty of MeanG: the checks' own
}

// MassG is the mass of all of them.
func (e Estimate) MassG() float64 { return e.Jars * e.MeanG }

// Estimated sums up jars of which all below cutG were taken out; 0 takes none out.
// Of a normal law of mean μ and spread s the part below c is n·Φ(z) jars of
// n·(μ·Φ(z) − s·φ(z)) grams with z = (c − μ)/s. The uncertainty of the mean is that
// of the means weighed, s/√checked, each slot by itself. Exact under the normal law.
func Estimated(t *standard.Tolerance, made []Made, cutG float64) (Estimate, error) {
	var e Estimate
	var mass, off float64
	for i, m := range made {
		if err := m.valid(); err != nil {
			return Estimate{}, fmt.Errorf("slot %d: %w", i+1, err)
		}
		out, outMass := m.below(cutG)
		jars := m.Jars - out
		e.Jars += jars
		mass += m.Jars*m.MeanG - outMass
		short, _ := m.below(Grams(t.T1))
		e.Short += max(0, short-out)
		if t.HasT2 {
			barred, _ := m.below(Grams(t.T2))
			e.Barred += max(0, barred-out)
		}
		off += jars * jars * m.SDG * m.SDG / float64(m.Checked)
	}
	if !(e.Jars > 0) {
		return Estimate{}, fmt.Errorf("no jar left below none: %w", ErrUnknown)
	}
	e.MeanG, e.OffG = mass/e.Jars, math.Sqrt(off)/e.Jars
	return e, nil
}

func (m *Made) valid() error {
	for _, c := range []struct {
		what      string
		x         float64
		low, high float64
		unit      string
	}{{"jars", m.Jars, 0, 1e12, ""}, {"mean", m.MeanG, 0, maxMassG, " g"}, {"spread", m.SDG, 0, 1e5, " g"}} {
		if err := checkRange(c.what, c.x, c.low, c.high, c.unit); err != nil {
			return err
		}
	}
	if m.Checked < 1 {
		return fmt.Errorf("%d jars behind a mean, want 1 or more: %w", m.Checked, ErrOutOfRange)
	}
	return nil
}

// below is how many of the jars are below a bound, and their mass.
func (m *Made) below(boundG float64) (jars, massG float64) {
	if m.SDG == 0 {
		if m.MeanG < boundG {
			return m.Jars, m.Jars * m.MeanG
		}
		return 0, 0
	}
	z := (boundG - m.MeanG) / m.SDG
	return m.Jars * phi(z), m.Jars * (m.MeanG*phi(z) - m.SDG*density(z))
}

// An Outlook is a verdict on jars that were not all weighed. MeanOK and the others
// are by the figures as they stand; Sure says whether the doubt of the mean leaves
// that open.
type Outlook struct {
	Estimate Estimate
	MeanOK   bool
	ShareOK  bool
	NoneOK   bool
	Share    float64
	Most     float64
	Sure     quantity.Verdict // pass, fail or too close to call, of all three together
}

// Pass reports whether every rule is kept by the figures as they stand.
func (o Outlook) Pass() bool { return o.MeanOK && o.ShareOK && o.NoneOK }

// fewBarred is the expected number of jars below T2 that counts as none.
const fewBarred = 0.5

// Expect judges an estimate by the packer's rules as [Judge] does. It is a pass
// for sure if the mean is above the label with a chance of at least 19 in 20 and
// the other rules are kept with room; a fail for sure likewise; else too close to
// call: weigh more jars. A share within a quarter of its bound is too close.
func Expect(r standard.Rules, label quantity.Milligram, e Estimate) (Outlook, error) {
	if _, err := standard.ToleranceOf(r, label); err != nil {
		return Outlook{}, err
	}
	if !(e.Jars > 0) {
		return Outlook{}, fmt.Errorf("no jar made, so no outlook: %w", ErrUnknown)
	}
	o := Outlook{Estimate: e, Share: e.Short / e.Jars, Most: float64(sharePer1000(r)) / 1000}
	o.MeanOK, o.ShareOK, o.NoneOK = e.MeanG >= Grams(label), o.Share <= o.Most, e.Barred < fewBarred
	if o.Most == 0 {
		o.ShareOK = e.Short < fewBarred
	}
	mean := quantity.Limit{Value: Grams(label), Least: true}.Judge(quantity.Uncertain{Value: e.MeanG, Own: e.OffG}, quantity.UsualRisk)
	o.Sure = mean
	switch clear := o.Most == 0 || math.Abs(o.Share-o.Most) > o.Most/4; {
	case !o.NoneOK, !o.ShareOK && clear:
		o.Sure = quantity.Fail
	case mean == quantity.Pass && !(clear && o.ShareOK):
		o.Sure = quantity.TooClose
	}
	return o, nil
}
