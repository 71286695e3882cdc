package reckon

import (
	"fmt"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// scaleSubjects are scales, test weights and filling machines.
func scaleSubjects() []Subject {
	class := word("class", "accuracy class of the scale", "I", "II", "III", "IIII")
	interval := number("interval_g", quantity.G, "verification interval e, g")
	capacity := number("capacity_g", quantity.G, "greatest load, g")
	const exact = "exact by the rule"
	return []Subject{
		{Name: "scale", Help: "what a scale may err at a load", Range: "loads up to the most of the class (10 000 e in class III)", Doubt: exact,
			Example: "--class III --interval-g 1 --load-g 340", Inputs: []Input{class, interval, number("load_g", quantity.G, "load, g")},
			Answers: []Answer{gives("error_initial_g", "g", 0, "either way, when it is verified"),
				gives("error_in_service_g", "g", 0, "either way, in use")}, answer: scale},
		{Name: "scale-class", Help: "can a scale be of its class", Range: "classes II to IIII", Doubt: exact,
			Example: "--class III --interval-g 1 --capacity-g 6000", Inputs: []Input{class, interval, capacity},
			Answers: []Answer{counts("intervals", "capacity over interval"), whether("fits", "is that a number for the class"),
				gives("least_g", "g", 0, "least load that it may weigh")}, answer: scaleClass},
		{Name: "jar-scale", Help: "is a scale good enough to check jars of a label", Range: "as tolerance and scale", Doubt: exact,
			Example: "--label-g 340 --rules eu --class III --interval-g 1 --capacity-g 6000",
			Inputs:  []Input{labelG(), rulesOf("eu", "uk", "de", "us", "oiml"), class, interval, capacity},
			Answers: []Answer{whether("enough", "is it"), gives("allowed_g", "g", 0, "most that it may err (us: most that a division may be)"),
				gives("has_g", "g", 0, "what it may err in use at the label (us: its division)")}, answer: jarScale},
		{Name: "test-weight", Help: "what a class M1 test weight may be off", Range: "1, 2 or 5 times a power of ten, 1 mg to 50 kg", Doubt: exact,
			Example: "--nominal-g 500 --off-g 0.01",
			Inputs:  []Input{number("nominal_g", quantity.G, "its nominal mass, g"), number("off_g", quantity.G, "how far it was found off, g").optional()},
			Answers: []Answer{gives("error_g", "g", 0, "permissible error, either way"), whether("pass", "is off_g within it")}, answer: testWeight},
		{Name: "weights-suit", Help: "are test weights good enough to check a scale", Range: "0 g to 100 t", Doubt: exact,
			Example: "--weights-error-g 0.025 --scale-error-g 0.5",
			Inputs: []Input{number("weights_error_g", quantity.G, "sum of the weights' permissible errors, g"),
				number("scale_error_g", quantity.G, "permissible error of the scale at that load, g")},
			Answers: []Answer{whether("suit", "at most a third of the scale's")}, answer: weightsSuit},
		{Name: "filler", Help: "how far a gravimetric filling machine may err", Range: "class factor above 0 to 100", Doubt: exact,
			Example: "--fill-g 340 --x 1",
			Inputs:  []Input{number("fill_g", quantity.G, "mass of a fill, g"), number("x", quantity.Each, "factor x of its class X(x)")},
			Answers: []Answer{gives("error_initial_g", "g", 0, "one fill from the mean, when verified"),
				gives("error_in_service_g", "g", 0, "the same, in use"), gives("setting_g", "g", 0, "most that its setting may err")}, answer: filler},
	}
}

func (q *Query) micrograms(name string) (standard.Microgram, error) {
	m, err := standard.MicrogramsOf(q.num(name))
	if err != nil {
		return 0, fmt.Errorf("%s: %w", name, err)
	}
	return m, nil
}

func (q *Query) class() standard.ScaleClass {
	c, err := standard.ParseScaleClass(q.word("class"))
	if err != nil {
		return standard.NoClass // which every rule refuses
	}
	return c
}

func scale(q *Query) error {
	e, err := q.micrograms("interval_g")
	if err != nil {
		return err
	}
	load, err := q.micrograms("load_g")
	if err != nil {
		return err
	}
	s, err := standard.ScaleErrorOf(q.class(), e, load)
	if err != nil {
		return err
	}
	q.cite(s.Cite)
	q.put("error_initial_g", s.Initial.Grams())
	q.put("error_in_service_g", s.InService.Grams())
	return nil
}

func scaleClass(q *Query) error {
	e, err := q.micrograms("interval_g")
	if err != nil {
		return err
	}
	most, err := q.micrograms("capacity_g")
	if err != nil {
		return err
	}
	s, err := standard.CheckScale(q.class(), e, most)
	if err != nil {
		return err
	}
	q.cite(s.Cite)
	q.put("intervals", float64(s.Intervals))
	q.tell("fits", s.Fits)
	q.put("least_g", s.Least.Grams())
	if !s.Fits {
		q.note(fmt.Sprintf("the class takes %d to %d intervals", s.NMin, s.NMax))
	}
	return nil
}

func jarScale(q *Query) error {
	label, err := q.label()
	if err != nil {
		return err
	}
	e, err := q.micrograms("interval_g")
	if err != nil {
		return err
	}
	most, err := q.micrograms("capacity_g")
	if err != nil {
		return err
	}
	s, err := standard.CheckJarScale(q.rules(), label, q.class(), e, most)
	if err != nil {
		return err
	}
	q.cite(s.Cite)
	q.tell("enough", s.Enough)
	q.put("allowed_g", s.Allowed.Grams())
	q.put("has_g", s.Has.Grams())
	return nil
}

func testWeight(q *Query) error {
	nominal, err := q.micrograms("nominal_g")
	if err != nil {
		return err
	}
	mpe, c, err := standard.MassError(nominal)
	if err != nil {
		return err
	}
	q.cite(c)
	q.put("error_g", mpe.Grams())
	if !q.has("off_g") {
		q.without("off_g", "no verdict")
		return nil
	}
	off, err := q.micrograms("off_g")
	if err != nil {
		return err
	}
	pass, _, err := standard.MassPasses(nominal, off)
	if err != nil {
		return err
	}
	q.tell("pass", pass)
	return nil
}

func weightsSuit(q *Query) error {
	weights, err := q.micrograms("weights_error_g")
	if err != nil {
		return err
	}
	scale, err := q.micrograms("scale_error_g")
	if err != nil {
		return err
	}
	if weights < 0 || scale < 0 {
		return fmt.Errorf("errors of %g and %g g, want 0 or more", weights.Grams(), scale.Grams())
	}
	suit, c := standard.MassesSuit(weights, scale)
	q.cite(c)
	q.tell("suit", suit)
	return nil
}

func filler(q *Query) error {
	fill, err := standard.LabelMass(q.num("fill_g"))
	if err != nil {
		return err
	}
	f, err := standard.FillerErrorOf(fill, q.num("x"))
	if err != nil {
		return err
	}
	q.cite(f.Cite)
	q.put("error_initial_g", f.InitialG)
	q.put("error_in_service_g", f.InServiceG)
	q.put("setting_g", f.PresetG)
	return nil
}
