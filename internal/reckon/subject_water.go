package reckon

import (
	"errors"
	"fmt"
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

func index() Input {
	return number("index", quantity.RefIndex, "refractive index read at temp_c")
}

func brix() Input {
	return number("brix", quantity.Brix, "reading of a sucrose scale at 20 °C, °Bx")
}

func waterSubjects() []Subject {
	return []Subject{
		{Name: "water", Help: "water from a refractometer's index or Brix", Model: "water",
			Caution: "crystals must be melted first, in a closed vessel",
			Example: "--index 1.4915 --temp-c 25",
			Inputs: []Input{index().either(),
				number("temp_c", quantity.DegC, "temperature of honey and prism when index was read; left out: 20 °C, or the instrument corrects itself").optional(),
				brix().either()},
			Answers: []Answer{gives("water_pct", "%", 4, "water, % of mass")}, answer: water},
		{Name: "reading", Help: "what a water reading on warm or cold honey really is", Model: "water",
			Range:   "13 to 25 %, as shown and at 20 °C; 5 to 60 °C",
			Caution: "ask whether the instrument corrects itself: a wrong guess on honey at 27 °C is 0.6 points. If it does, correct nothing, but let prism and honey share a temperature for some minutes first",
			Example: "--shown-pct 18.2 --temp-c 27 --corrects no",
			Inputs: []Input{number("shown_pct", quantity.Pct, "water that the instrument showed, %"),
				number("temp_c", quantity.DegC, "temperature of the honey, °C; needed unless the instrument corrects itself").optional(),
				word("corrects", "does the instrument correct for temperature itself; left out: unknown", "yes", "no", "unknown").optional(),
				number("doubt_pct", quantity.Pct, "the instrument's own doubt, ± points (two standard uncertainties); left out: 0.2, a handheld in good hands").optional()},
			Answers: []Answer{gives("water_pct", "%", 3, "water at 20 °C, % of mass"),
				gives("water_low", "%", 3, "9 in 10 lie between this"),
				gives("water_high", "%", 3, "and this")}, answer: reading},
		{Name: "index", Help: "the index that honey of a water content shows", Model: "water",
			Range: "13 to 25 %, 5 to 60 °C", Doubt: "0.0001 of the index, the table's last digit",
			Example: "--water-pct 18",
			Inputs:  []Input{waterPct(), tempC().optional()},
			Answers: []Answer{gives("index", "", 5, "refractive index at temp_c, or 20 °C")}, answer: indexOf},
		{Name: "brix", Help: "the Brix that honey of a water content or index shows", Model: "brix",
			Range:   "13 to 25 %, or an index of 1.4740 to 1.5044 at 20 °C",
			Example: "--water-pct 18",
			Inputs:  []Input{waterPct().either(), index().either()},
			Answers: []Answer{gives("brix", "°Bx", 4, "reading of a sucrose scale at 20 °C")}, answer: brixOf},
		{Name: "activity", Help: "water activity of liquid honey", Model: "activity",
			Caution: "honeydew is higher than blossom, crystallised higher than liquid",
			Example: "--water-pct 17.5",
			Inputs:  []Input{waterPct()},
			Answers: []Answer{gives("activity", "", 3, "water activity at 20 to 25 °C"),
				gives("activity_low", "", 3, "low end of the published lines"), gives("activity_high", "", 3, "high end")}, answer: activity},
		{Name: "activity-safe", Help: "water activity to reckon with where a high one does the harm", Model: "activity",
			Example: "--water-pct 17.5",
			Inputs:  []Input{waterPct()},
			Answers: []Answer{gives("activity_safe", "", 3, "water activity by the highest published line")}, answer: activitySafe},
		{Name: "humidity", Help: "the water that honey comes to in room air", Model: "humidity",
			Caution: "wetter honey than this dries, drier honey takes up water",
			Example: "--rh-pct 58",
			Inputs:  []Input{number("rh_pct", quantity.Pct, "relative humidity of the air, %")},
			Answers: []Answer{gives("water_pct", "%", 3, "water that the honey comes to, % of mass")}, answer: humidity},
		{Name: "air", Help: "the room air in which honey stays as it is", Model: "humidity",
			Range:   "water 15.9 to 33.1 %, which is 50 to 80 % relative humidity",
			Example: "--water-pct 17.7",
			Inputs:  []Input{waterPct()},
			Answers: []Answer{gives("rh_pct", "%", 3, "relative humidity of the air")}, answer: air},
	}
}

// differ is how far two readings of one thing may lie apart: two standard
// uncertainties of their difference.
func differ(sd float64) float64 { return 2 * math.Sqrt2 * sd }

// errNoTemp: a table that has temperatures leaves this row's out, and unknown is
// not 20 °C.
var errNoTemp = errors.New("temp_c is empty; leave the whole column out if all was read at 20 °C or by an instrument that corrects itself")

func water(q *Query) error {
	var w quantity.WaterPct
	var err error
	switch {
	case !q.has("index"):
		w, err = honey.WaterFromBrix(honey.Brix(q.num("brix")))
		if q.has("temp_c") {
			q.note("temp_c is not used: a Brix reading is taken as one at 20 °C")
		}
	case q.empty("temp_c"):
		return errNoTemp
	case q.has("temp_c"):
		w, err = honey.WaterFromIndexAt(q.num("index"), q.temp())
	default:
		w, err = honey.WaterFromIndex(q.num("index"))
		if q.full {
			q.note("without a temperature the index is taken as one at 20 °C")
		}
	}
	if err != nil {
		return err
	}
	if q.has("index") && q.has("brix") {
		q.compareBrix(w)
	}
	q.put("water_pct", float64(w))
	half := honey.NineInTen * honey.WaterGoodHandsSD
	q.between("water_pct", float64(w)-half, float64(w)+half)
	return nil
}

func (q *Query) compareBrix(w quantity.WaterPct) {
	b, err := honey.WaterFromBrix(honey.Brix(q.num("brix")))
	switch {
	case err != nil:
		q.note("index and brix disagree, index was used: " + plain(err))
	case math.Abs(float64(b-w)) > differ(honey.WaterGoodHandsSD):
		q.note(fmt.Sprintf("index and brix disagree, index was used: %.2f and %.2f %%", w, b))
	}
}

func reading(q *Query) error {
	c := map[string]honey.Correction{"yes": honey.CorrectsItself, "no": honey.CorrectsNothing}[q.word("corrects")]
	if c != honey.CorrectsItself && !q.has("temp_c") {
		return fmt.Errorf("temp_c is not given: it is needed unless the instrument corrects itself")
	}
	r, err := honey.ReadWater(quantity.WaterPct(q.num("shown_pct")), q.temp(), c, q.numOr("doubt_pct", 2*honey.WaterGoodHandsSD)/2)
	if err != nil {
		return err
	}
	if c == honey.CorrectionNotKnown {
		q.note("nobody said whether the instrument corrects itself: the middle of both, with the doubt that this brings")
	}
	b := r.Band()
	q.put("water_pct", float64(b.Likely))
	q.put("water_low", float64(b.Low))
	q.put("water_high", float64(b.High))
	q.between("water_pct", float64(b.Low), float64(b.High))
	return nil
}

func indexOf(q *Query) error {
	if q.empty("temp_c") {
		return errNoTemp
	}
	n, err := honey.IndexFromWater(q.water())
	if err == nil && q.has("temp_c") {
		n -= honey.IndexPerC * (q.num("temp_c") - 20)
		_, err = honey.WaterFromIndexAt(n, q.temp()) // refuses a temperature out of range
	}
	if err != nil {
		return err
	}
	q.put("index", n)
	return nil
}

func brixOf(q *Query) error {
	b, err := honey.Brix(0), error(nil)
	if q.has("index") {
		b, err = honey.BrixFromIndex(q.num("index"))
	} else {
		b, err = honey.BrixFromWater(q.water())
	}
	if err != nil {
		return err
	}
	if q.has("index") && q.has("water_pct") {
		if w, err := honey.WaterFromIndex(q.num("index")); err != nil || math.Abs(float64(w-q.water())) > differ(honey.WaterGoodHandsSD) {
			q.note("index and water_pct disagree, index was used")
		}
	}
	q.put("brix", float64(b))
	return nil
}

func activity(q *Query) error {
	b, err := honey.WaterActivity(q.water())
	if err != nil {
		return err
	}
	q.put("activity", float64(b.Likely))
	q.put("activity_low", float64(b.Low))
	q.put("activity_high", float64(b.High))
	return nil
}

func activitySafe(q *Query) error {
	a, err := honey.WaterActivitySafe(q.water())
	if err != nil {
		return err
	}
	q.put("activity_safe", float64(a))
	return nil
}

func humidity(q *Query) error {
	w, err := honey.WaterFromHumidity(honey.Humidity(q.num("rh_pct")))
	if err != nil {
		return err
	}
	q.put("water_pct", float64(w))
	return nil
}

func air(q *Query) error {
	h, err := honey.HumidityFromWater(q.water())
	if err != nil {
		return err
	}
	q.put("rh_pct", float64(h))
	return nil
}
