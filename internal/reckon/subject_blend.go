package reckon

import (
	"fmt"
	"strings"

	"combline/internal/blend"
	"combline/internal/linear"
	"combline/internal/milp"
	"combline/internal/quantity"
)

const blendDoubt = "each limit is kept with the doubt that the lots' figures carry (columns such as moist_pm, ± two standard uncertainties), errors taken as " +
	"independent; figures without ± are taken as they stand. The plan is checked in whole grams, apart from the solver"

const blendSource = "mass balance; mixed integer linear model in docs/models.md (Blending), solved by HiGHS or by branch and bound to the gap told"

// blendSubjects find blends from tables, with no house.
func blendSubjects() []Subject {
	return []Subject{
		{Name: "blend", Help: "the cheapest blends of lots for orders, proven, from two tables",
			Range: "water 10 to 30 %, colour 0 to 140 mm, HMF 0 to 1000 mg/kg, diastase 0 to 200, conductivity 0 to 5 mS/cm; up to 100,000 lots",
			Doubt: blendDoubt, Source: blendSource,
			Caution: "stir, then sample top and bottom. Never blend away a residue, a contaminant, a ferment or an overheated lot: put the rule in the column hold",
			Example: "--lots 'id,kind,unit,count,cost,age,moist,hmf\nD1,drum,290,4,3.10,400,18.3,12\nD2,drum,290,6,3.60,60,16.9,4\nT1,tank,1,900,3.30,20,17.4,6'" +
				" --orders 'id,qty,moist_max,hmf_max,k\nO1,1500,17.8,10,3'",
			Inputs: []Input{file("lots", "the lots as CSV: a file's name, - for standard input, or the text itself; columns as below"),
				file("orders", "the orders as CSV, likewise"),
				text("aims", "what counts, the first most: cost, age, part_drums, contents, honey; left out: cost").optional(),
				number("chance_pct", quantity.Pct, "chance of a breach that is taken for each limit, %; left out: 5 where figures carry ±").optional(),
				number("gap_pct", quantity.Pct, "how near to the best is near enough, % of the cost; left out: 0.00005").optional(),
				number("seconds", quantity.Each, "how long to search at the most, s; left out: 60").optional(),
				number("age_credit", quantity.Each, "credit for a kg that is a day old; left out: 0.0004").optional(),
				number("handling", quantity.Each, "cost of each lot in an order; left out: 15").optional(),
				number("short_price", quantity.Each, "price of a kg too little; 0: every order must be met; left out: 20").optional(),
				number("over_price", quantity.Each, "price of a kg too much; left out: 1").optional(),
				truth("all_lots", "look at lots far off the limits too, which takes longer; left out: no").optional()},
			Answers: []Answer{rowsOfTable("rows", "one row for each lot in an order: drums or kg in units, then kg; SHORT and OVER are kg too little and too much"),
				gives("total", "", 9, "cost with credits and prices"), gives("bound", "", 9, "no plan costs less"),
				gives("gap_pct", "%", 3, "how far the plan may be from the best"), whether("proven", "is the gap reached"),
				gives("cost", "", 9, "cost of the honey alone"),
				gives("worst_chance_pct", "%", 2, "largest chance that the truth breaks a limit")}, answer: blendTables},
		twoDrumSubject(),
	}
}

// blendTables answers for the tables.
func blendTables(q *Query) error {
	p, err := q.blendProblem()
	if err != nil {
		return err
	}
	o := linear.Options{Gap: q.numOr("gap_pct", 0.00005) / 100, Seconds: q.numOr("seconds", 60)}
	if !(o.Gap >= 0 && o.Gap < 1) || !(o.Seconds > 0 && o.Seconds <= 86400) {
		return fmt.Errorf("gap %g %% and %g s, want 0 to 100 %% and above 0 to a day", 100*o.Gap, o.Seconds)
	}
	s := milp.New(milp.CacheFolder())
	defer s.Close()
	r, err := blend.Find(p, func(m []linear.Model, o linear.Options) ([]linear.Solution, error) { return s.Solve(q.context(), m, o) }, o)
	if err != nil {
		return err
	}
	if r.Plan == nil {
		return noBlend(&p, r)
	}
	q.putPlan(&p, r)
	return nil
}

func (q *Query) blendProblem() (blend.Problem, error) {
	p, err := blend.FromTables([]byte(q.word("lots")), []byte(q.word("orders")))
	if err != nil {
		return p, err
	}
	p.Prices = blend.Prices{AgeKgDay: q.numOr("age_credit", p.Prices.AgeKgDay), Handling: q.numOr("handling", p.Prices.Handling),
		ShortKg: q.numOr("short_price", p.Prices.ShortKg), OverKg: q.numOr("over_price", p.Prices.OverKg)}
	if q.has("chance_pct") {
		p.Risk = q.num("chance_pct") / 100
	}
	if q.yes("all_lots") {
		p.Far = blend.Far{}
	}
	if q.has("aims") {
		p.Aims, err = blend.ParseAims(q.word("aims"))
	}
	return p, err
}

func (q *Query) putPlan(p *blend.Problem, r *blend.Result) {
	t := &rowTable{columns: []rowColumn{{"order", aWord, true}, {"lot", aWord, true}, {"units", asShort, true}, {"kg", 3, true}}}
	unknown := quantity.Unknown().Value
	for _, b := range r.Plan.Blends {
		order := p.Batches[b.Batch].Name
		for _, x := range []struct {
			name  string
			grams quantity.Gram
		}{{"SHORT", b.Short}, {"OVER", b.Over}} {
			if x.grams > 0 {
				t.rows = append(t.rows, []float64{t.word(order), t.word(x.name), unknown, float64(x.grams) / 1000})
			}
		}
		for _, d := range r.Plan.Draws {
			if d.Batch != b.Batch {
				continue
			}
			c, kg := &p.Contents[d.Content], float64(d.Grams)/1000
			units := kg
			if c.Drum > 0 {
				units = float64(d.Drums)
			}
			t.rows = append(t.rows, []float64{t.word(order), t.word(c.Name), units, kg})
		}
	}
	q.out[q.answerAt("rows")] = value{given: true, rows: t}
	first, worst := r.Plan.Scores[0], 0.0
	for _, b := range r.Plan.Blends {
		for _, f := range b.Figures {
			worst = max(worst, f.Chance)
		}
	}
	if first.Aim == blend.Cheapest {
		q.put("total", first.Value)
		q.put("bound", first.Bound)
	}
	q.put("gap_pct", 100*first.Gap())
	q.tell("proven", r.Plan.Proven)
	q.put("cost", r.Plan.Cost)
	q.put("worst_chance_pct", 100*worst)
	if !r.Plan.Proven {
		q.note("not proven to the gap asked: there may be a better plan; give it more seconds")
	}
	q.noteOuts(p, r.Outs)
}

// noteOuts tells which lots were left out, by rule.
func (q *Query) noteOuts(p *blend.Problem, outs []blend.Out) {
	by := map[string][]string{}
	var rules []string
	for _, o := range outs {
		if o.Rule == blend.FarOff {
			continue
		}
		rule := p.Batches[o.Batch].Name + ": " + strings.ReplaceAll(o.Rule.String(), "_", " ")
		if o.Rule == blend.NoReading {
			rule += " of " + o.Figure.String()
		}
		if by[rule] == nil {
			rules = append(rules, rule)
		}
		by[rule] = append(by[rule], p.Contents[o.Content].Name)
	}
	for _, rule := range rules {
		q.note("left out of " + rule + ": " + strings.Join(by[rule], " "))
	}
}

// noBlend says why there is none, in a sentence for each thing to know.
func noBlend(p *blend.Problem, r *blend.Result) error {
	if r.Clash == nil {
		return fmt.Errorf("no blend was found (%s), and none is excluded; give it more seconds", r.Status)
	}
	if len(r.Clash.Set) == 0 {
		return fmt.Errorf("no lot may be proposed")
	}
	var demands, changes []string
	for _, d := range r.Clash.Set {
		demands = append(demands, p.Say(d))
	}
	for i := range r.Clash.Changes {
		changes = append(changes, p.SayChange(&r.Clash.Changes[i]))
	}
	text := "these can't be met together: " + strings.Join(demands, "; ")
	if r.Clash.Unsure {
		text += " (time ran out: fewer of them may clash too)"
	}
	if changes == nil {
		return fmt.Errorf("%s. No single change was found that does", text)
	}
	return fmt.Errorf("%s. Any one of these would do (tried): %s", text, strings.Join(changes, "; "))
}
