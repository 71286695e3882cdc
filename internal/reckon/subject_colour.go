package reckon

import (
	"fmt"
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

func pfundMM() Input {
	return number("pfund_mm", quantity.MM, "reading on the Pfund scale, mm")
}

func colourSubjects() []Subject {
	return []Subject{
		{Name: "colour", Help: "colour on the Pfund scale, and its class", Model: "colour",
			Caution: "the two absorbances are different methods: never mix them. Some pages print the classes a millimetre off; the standard's wording rules",
			Example: "--od560 0.7",
			Inputs: []Input{pfundMM().either(),
				number("od560", quantity.Absorbance, "optical density at 560 nm, 3.15 cm, against caramel and glycerin").either(),
				number("absorbance635", quantity.Absorbance, "absorbance at 635 nm of honey diluted to 50 % by weight in volume, 1 cm").either()},
			Answers: []Answer{gives("pfund_mm", "mm", 3, "reading on the Pfund scale"), says("class", "class of the US standard")}, answer: colour},
		{Name: "od", Help: "the optical density of a Pfund reading", Model: "colour",
			Example: "--pfund-mm 60", Inputs: []Input{pfundMM()},
			Answers: []Answer{gives("od560", "", 3, "optical density at 560 nm, 3.15 cm")}, answer: opticalDensity},
		{Name: "swatch", Help: "a colour to paint honey with on a page", Model: "screen",
			Caution: "for display only: never grade by it",
			Example: "--pfund-mm 60", Inputs: []Input{pfundMM()},
			Answers: []Answer{says("rgb", "red, green and blue, sRGB, as #rrggbb")}, answer: swatch},
	}
}

// colour goes by the first of the three that is given, and tells if another
// disagrees.
func colour(q *Query) error {
	used, p, class, err := "", quantity.PfundMM(0), honey.ColourUnknown, error(nil)
	for _, method := range [...]struct {
		name string
		sd   float64
		read func(float64) (quantity.PfundMM, honey.ColourClass, error)
	}{{"pfund_mm", honey.ColourByEyeSD, pfund}, {"od560", honey.ColourMeterSD, byOD}, {"absorbance635", honey.ColourMeterSD, by635}} {
		switch {
		case !q.has(method.name):
		case used == "":
			used = method.name
			if p, class, err = method.read(q.num(method.name)); err != nil {
				return err
			}
			q.putColour(p, class, method.sd)
		default:
			other, otherClass, err := method.read(q.num(method.name))
			if err != nil {
				q.note(fmt.Sprintf("%s was used; %s: %s", used, method.name, plain(err)))
			} else if off := math.Abs(float64(other - p)); off > differ(honey.ColourByEyeSD) || math.IsNaN(off) && class != otherClass {
				q.note(fmt.Sprintf("%s was used; %s disagrees: %.1f mm, %s", used, method.name, other, otherClass))
			}
		}
	}
	return nil
}

func (q *Query) putColour(p quantity.PfundMM, class honey.ColourClass, sd float64) {
	q.say("class", class.String())
	if math.IsNaN(float64(p)) {
		q.note("darker than 114 mm, for which the standard has no density: the class alone")
		return
	}
	q.put("pfund_mm", float64(p))
	half := honey.NineInTen * sd
	q.between("pfund_mm", max(0, float64(p)-half), float64(p)+half)
}

func pfund(x float64) (quantity.PfundMM, honey.ColourClass, error) {
	c, err := honey.ClassOfPfund(quantity.PfundMM(x))
	return quantity.PfundMM(x), c, err
}

// byOD gives NaN mm beyond the scale's end, where there is a class alone.
func byOD(x float64) (quantity.PfundMM, honey.ColourClass, error) {
	c, err := honey.ClassOfOD(x)
	if err != nil {
		return 0, c, err
	}
	p, err := honey.PfundFromOD(x)
	if err != nil {
		return quantity.PfundMM(math.NaN()), c, nil
	}
	return p, c, nil
}

func by635(x float64) (quantity.PfundMM, honey.ColourClass, error) {
	p, err := honey.PfundFromA635(x)
	if err != nil {
		return 0, honey.ColourUnknown, err
	}
	c, err := honey.ClassOfPfund(p)
	return p, c, err
}

func opticalDensity(q *Query) error {
	od, err := honey.ODFromPfund(quantity.PfundMM(q.num("pfund_mm")))
	if err != nil {
		return err
	}
	q.put("od560", od)
	return nil
}

func swatch(q *Query) error {
	c, err := honey.ScreenColour(quantity.PfundMM(q.num("pfund_mm")))
	if err != nil {
		return err
	}
	q.say("rgb", fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B))
	return nil
}
