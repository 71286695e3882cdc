package reckon

import (
	"fmt"

	"combline/internal/honey"
	"combline/internal/quantity"
)

// heatSubjects are what warmth does to honey.
func heatSubjects() []Subject {
	days := number("days", quantity.Day, "days at that temperature")
	rate := number("rate", quantity.Each, "the lot's own rate, times the published one; left out: 1").optional()
	spread := number("spread", quantity.Each, "×/÷ that 9 lots in 10 stay within; left out: 2").optional()
	half := []Answer{gives("half_life_days", "d", 3, "days until half of it is left")}
	const heated = "advice, not a lab sheet: test a sample before it decides a sale"
	return []Subject{
		{Name: "hmf", Help: "HMF that warmth adds", Model: "hmf", Caution: heated,
			Example: "--temp-c 45 --days 2",
			Inputs:  []Input{tempC(), days, rate, spread},
			Answers: []Answer{gives("hmf_added_mg_kg", "mg/kg", 3, "HMF added"),
				gives("hmf_low", "mg/kg", 2, "slow honeys"), gives("hmf_high", "mg/kg", 2, "fast honeys")}, answer: hmf},
		{Name: "hmf-days", Help: "days until HMF has risen by so much", Model: "hmf", Caution: heated,
			Example: "--temp-c 20 --rise-mg-kg 30",
			Inputs:  []Input{tempC(), number("rise_mg_kg", quantity.MgPerKg, "rise of HMF, mg/kg"), rate, spread},
			Answers: []Answer{gives("days", "d", 3, "days that it takes"), gives("days_low", "d", 2, "fast honeys"),
				gives("days_high", "d", 2, "slow honeys")}, answer: hmfDays},
		{Name: "diastase", Help: "half-life of diastase", Model: "diastase", Caution: heated,
			Example: "--temp-c 45", Inputs: []Input{tempC()}, Answers: half, answer: halfLife(honey.DiastaseHalfLife)},
		{Name: "invertase", Help: "half-life of invertase, the finer mark of gentle heating", Model: "invertase", Caution: heated,
			Example: "--temp-c 45", Inputs: []Input{tempC()}, Answers: half, answer: halfLife(honey.InvertaseHalfLife)},
		{Name: "diastase-left", Help: "diastase that is left after some days", Model: "diastase", Caution: heated,
			Example: "--temp-c 45 --days 2 --before 18",
			Inputs:  []Input{tempC(), days, before()}, Answers: left(), answer: enzymeLeft(honey.DiastaseLaw())},
		{Name: "invertase-left", Help: "invertase that is left after some days", Model: "invertase", Caution: heated,
			Example: "--temp-c 45 --days 2",
			Inputs:  []Input{tempC(), days, before()}, Answers: left(), answer: enzymeLeft(honey.InvertaseLaw())},
		{Name: "yeast", Help: "minutes of hold that kill yeast", Model: "yeast",
			Caution: "the bare hold: warming up is not counted, and plants hold four to ten times as long for safety; then cool fast, for this heat makes HMF",
			Example: "--temp-c 63", Inputs: []Input{tempC()},
			Answers: []Answer{gives("kill_min", "min", 3, "minutes at that temperature")}, answer: yeast},
		{Name: "yeast-hold", Help: "whether a hold kills yeast", Model: "yeast",
			Caution: "holds at several temperatures add up; plants want four to ten times a kill for safety",
			Example: "--temp-c 63 --minutes 30",
			Inputs:  []Input{tempC(), number("minutes", quantity.Minute, "minutes at that temperature")},
			Answers: []Answer{gives("kills", "×", 3, "how many times a kill; under 1 yeast lives"),
				whether("killed", "1 or more")}, answer: yeastHold},
	}
}

func before() Input {
	return number("before", quantity.Each, "number before, in any unit, such as diastase 18; left out: 100, so that the answer is in %").optional()
}

func left() []Answer {
	return []Answer{gives("left", "", 3, "what is left, in the unit of before, or %"),
		gives("left_low", "", 3, "honeys that lose it fast"), gives("left_high", "", 3, "honeys that lose it slowly")}
}

// ownSpread is the published spread of HMF rates, or what is known of the lot.
func (q *Query) ownSpread() honey.Spread {
	s := honey.PublishedHMF()
	return honey.Spread{Likely: q.numOr("rate", s.Likely), Over: q.numOr("spread", s.Over)}
}

func hmf(q *Query) error {
	b, err := honey.HMFAdded(q.temp(), quantity.Days(q.num("days")), q.ownSpread())
	if err != nil {
		return err
	}
	q.put("hmf_added_mg_kg", float64(b.Likely))
	q.put("hmf_low", float64(b.Low))
	q.put("hmf_high", float64(b.High))
	return nil
}

func hmfDays(q *Query) error {
	b, err := honey.HMFDays(q.temp(), quantity.MgKg(q.num("rise_mg_kg")), q.ownSpread())
	if err != nil {
		return err
	}
	q.put("days", float64(b.Likely))
	q.put("days_low", float64(b.Low))
	q.put("days_high", float64(b.High))
	return nil
}

func halfLife(model func(quantity.Celsius) (quantity.Days, error)) func(*Query) error {
	return func(q *Query) error {
		d, err := model(q.temp())
		if err != nil {
			return err
		}
		q.put("half_life_days", float64(d))
		q.between("half_life_days", float64(d)/honey.EnzymeSpread, float64(d)*honey.EnzymeSpread)
		return nil
	}
}

func enzymeLeft(law honey.Arrhenius) func(*Query) error {
	return func(q *Query) error {
		start := q.numOr("before", 100)
		if !(start >= 0 && start <= 1e6) {
			return fmt.Errorf("before %g, want 0 to 1000000", start)
		}
		b, err := honey.EnzymeKept(law, q.temp(), quantity.Days(q.num("days")))
		if err != nil {
			return err
		}
		q.put("left", start*b.Likely)
		q.put("left_low", start*b.Low)
		q.put("left_high", start*b.High)
		return nil
	}
}

func yeast(q *Query) error {
	m, err := honey.YeastKill(q.temp())
	if err != nil {
		return err
	}
	q.put("kill_min", float64(m))
	return nil
}

func yeastHold(q *Query) error {
	minutes := q.num("minutes")
	if !(minutes >= 0 && minutes <= 1e5) {
		return fmt.Errorf("minutes %g, want 0 to 100000", minutes)
	}
	if t := q.num("temp_c"); !(t >= -50 && t <= 100) {
		return fmt.Errorf("temperature %g °C, want -50 to 100", t)
	}
	kills := honey.YeastLethality(q.temp()) * minutes
	q.put("kills", kills)
	q.tell("killed", kills >= 1)
	return nil
}
