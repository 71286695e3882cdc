package standard

import (
	"fmt"

	"combline/internal/quantity"
)

// A Tolerance is what one jar of a labelled mass may fall short.
type Tolerance struct {
	Label quantity.Milligram
	T     quantity.Milligram // tolerable shortage (US: maximum allowable variation)
	T1    quantity.Milligram // label − T; below it a jar is defective
	T2    quantity.Milligram // below it a jar may not be sold as packed; only if HasT2
	HasT2 bool               // false in the United States, whose rules know no second bound
	Cite  Cite
	T2At  Cite // source of T2, where it is another place
}

// ToleranceOf gives the tolerable shortage of a labelled mass.
//
// eu, uk: Directive 76/211/EEC Annex I 2.4, 5 g to 10 kg; percentages rounded
// up to 0.1 g, fixed steps as printed; T2 = label − 2 T with the rounded T.
// de: the same T, and its own T2 table rounded up once (Fertigpackungsverordnung
// par. 9(4)). oiml: R 87, up to 50 kg, percentages rounded up to 0.1 g up to
// 1 kg and to whole grams above (memory). us: NIST Handbook 133 Table 2-5
// (memory but for 113 g). All in whole milligrams, exact.
func ToleranceOf(r Rules, label quantity.Milligram) (Tolerance, error) {
	switch r {
	case EU:
		return tolerance(label, 5*g, euShortage[:], nil, Cite{EUContents, "Annex I 2.4, 2.5", Read})
	case UK:
		return tolerance(label, 5*g, euShortage[:], nil, Cite{UKContents, "tolerable negative errors, as Directive 76/211/EEC Annex I 2.4", Read})
	case DE:
		return tolerance(label, 5*g, euShortage[:], deTwice[:], Cite{DEContents, "par. 9(3)", Read})
	case OIML:
		return tolerance(label, 1, oimlShortage[:], nil, Cite{OIMLContents, "table of tolerable deficiencies", Memory})
	case US:
		return allowableVariation(label)
	}
	return Tolerance{}, noRule(r, "tolerable shortage", "choose eu, uk, de, us or oiml")
}

const (
	g  quantity.Milligram = 1000
	kg                    = 1000 * g
)

// A band rules labelled masses up to and including upTo. Bands that share an
// end give the same figure there on both sides, but for the rounding of R 87
// at 1 kg, which keeps 1 kg in the lower one.
type band struct {
	upTo  quantity.Milligram
	share int64              // thousandths of the label; 0: fixed
	fixed quantity.Milligram // a figure that is never rounded
	step  quantity.Milligram // a share is rounded up to a whole one of these
}

var euShortage = [...]band{
	{50 * g, 90, 0, g / 10},
	{100 * g, 0, 4500, 0},
	{200 * g, 45, 0, g / 10},
	{300 * g, 0, 9 * g, 0},
	{500 * g, 30, 0, g / 10},
	{1 * kg, 0, 15 * g, 0},
	{10 * kg, 15, 0, g / 10},
}

var deTwice = [...]band{
	{50 * g, 180, 0, g / 10},
	{100 * g, 0, 9 * g, 0},
	{200 * g, 90, 0, g / 10},
	{300 * g, 0, 18 * g, 0},
	{500 * g, 60, 0, g / 10},
	{1 * kg, 0, 30 * g, 0},
	{10 * kg, 30, 0, g / 10},
}

var oimlShortage = [...]band{
	{50 * g, 90, 0, g / 10},
	{100 * g, 0, 4500, 0},
	{200 * g, 45, 0, g / 10},
	{300 * g, 0, 9 * g, 0},
	{500 * g, 30, 0, g / 10},
	{1 * kg, 0, 15 * g, 0},
	{10 * kg, 15, 0, g},
	{15 * kg, 0, 150 * g, 0},
	{50 * kg, 10, 0, g},
}

// of applies the band to a labelled mass, in integers: a share is rounded up
// and a whole step stays as it is.
func (b *band) of(label quantity.Milligram) quantity.Milligram {
	if b.share == 0 {
		return b.fixed
	}
	per := 1000 * int64(b.step)
	return quantity.Milligram((int64(label)*b.share+per-1)/per) * b.step
}

func lookUp(bands []band, label quantity.Milligram) quantity.Milligram {
	for i := range bands {
		if label <= bands[i].upTo {
			return bands[i].of(label)
		}
	}
	return 0 // not reached: the caller has checked the range
}

func tolerance(label, least quantity.Milligram, t, twice []band, c Cite) (Tolerance, error) {
	if most := t[len(t)-1].upTo; label < least || label > most {
		return Tolerance{}, fmt.Errorf("label %g g, the %s table runs from %g g to %g g: %w",
			grams(label), c.Set.Set().Rules, grams(least), grams(most), ErrOutOfRange)
	}
	a := Tolerance{Label: label, T: lookUp(t, label), HasT2: true, Cite: c, T2At: c}
	a.T1, a.T2 = label-a.T, label-2*a.T
	if twice != nil {
		a.T2, a.T2At.Place = label-lookUp(twice, label), "par. 9(4)"
	}
	return a, nil
}

// Shortage is where one jar stands.
type Shortage uint8

const (
	Sound     Shortage = iota // at T1 or above: exactly at T1 is not defective
	Defective                 // below T1; exactly at T2 is no worse
	Barred                    // below T2: may carry no e mark
)

// Of places a jar's net mass.
func (t Tolerance) Of(net quantity.Milligram) Shortage {
	switch {
	case t.HasT2 && net < t.T2:
		return Barred
	case net < t.T1:
		return Defective
	}
	return Sound
}
