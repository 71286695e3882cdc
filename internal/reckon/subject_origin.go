package reckon

import (
	"fmt"
	"math"
	"strings"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// originSubjects are the countries that a label names.
func originSubjects() []Subject {
	return []Subject{
		{Name: "origin-statement", Help: "what a European label says of the countries that the honey comes from",
			Range:   "two-letter codes and their parts, all in kg or all in %; labelled on any day",
			Doubt:   "percentages add up to 100 by largest remainder; the shares are as good as the records behind them",
			Caution: "keep the unrounded shares with the batch. Names of countries in full unless codes_may_do; whether the four largest may stand alone is each member state's choice",
			Example: "--shares \"VM 58.3, OS 41.7\" --net-g 340 --date 2026-11-03",
			Inputs: []Input{text("shares", "each country's two-letter code and its part, in kg or in %, as in VM 58.3, OS 41.7"),
				number("net_g", quantity.G, "net mass of the pack, g"), text("date", "day of labelling, as 2026-11-03"),
				truth("four_largest", "does the member state allow percentages for the four largest alone; left out: no").optional(),
				count("decimals", "decimals of the percentages, 0 to 2; left out: 0").optional(),
				text("declared", "what the label says, in %, to be held against the shares, as in VM 60, OS 40").optional()},
			Answers: []Answer{says("statement", "countries in falling share, with what percentage each must carry"),
				says("earlier", "what may stand in its place, for honey of several countries labelled before 14 June 2026"),
				whether("codes_may_do", "may two-letter codes stand for names (packs under 30 g)"),
				whether("four_alone", "do only the four largest carry percentages"),
				whether("declared_pass", "does every declared share hold, by both readings of the 5 %, with no country left out")}, answer: originStatement},
		{Name: "origin-share", Help: "does a declared share of a country hold, by both readings of the law", Range: "a part of a total", Doubt: "the law allows 5 % without saying whether of the share or in points; both are worked out",
			Example: "--declared-pct 40 --part-kg 1450 --total-kg 3480",
			Inputs: []Input{number("declared_pct", quantity.Pct, "share on the label, %"),
				number("part_kg", quantity.KgUnit, "honey of that country, kg"), number("total_kg", quantity.KgUnit, "all honey in the lot, kg")},
			Answers: []Answer{whether("pass", "by both readings"), gives("actual_pct", "%", 4, "share by the records"),
				gives("points_spare", "", 3, "points left inside 5 points"), gives("relative_spare", "", 3, "points left inside 5 % of the share")}, answer: originShare},
	}
}

func originStatement(q *Query) error {
	shares, err := q.shares("shares")
	if err != nil {
		return err
	}
	day, err := standard.ParseDate(q.word("date"))
	if err != nil {
		return err
	}
	net, err := standard.LabelMass(q.num("net_g"))
	if err != nil {
		return err
	}
	decimals := q.numOr("decimals", 0)
	if !(decimals >= 0 && decimals <= 2) {
		return outOf("decimals", decimals, "0 to 2")
	}
	o, err := standard.StateOrigin(shares, standard.OriginOption{Labelled: day, FourLargest: q.yes("four_largest"), Net: net, Decimals: uint8(decimals)})
	if err != nil {
		return err
	}
	q.cite(o.Cite)
	q.say("statement", statement(o))
	q.say("earlier", earlierWording(o.Blend))
	q.tell("codes_may_do", o.CodesMayDo)
	q.tell("four_alone", o.FourLargest)
	if !q.has("declared") {
		q.without("declared", "nothing to hold against the shares")
		return nil
	}
	return q.holdDeclared(shares, o.FourLargest)
}

func statement(o standard.Origin) string {
	lines := make([]string, len(o.Lines))
	for i, l := range o.Lines {
		lines[i] = l.Country
		if l.HasPercent {
			lines[i] += fmt.Sprintf(" %.*f %%", o.Decimals, float64(l.Mantissa)/math.Pow10(int(o.Decimals)))
		}
	}
	return strings.Join(lines, ", ")
}

// earlierWording is Directive 2001/110/EC art. 2(4)(a) before its amendment.
func earlierWording(b standard.BlendWording) string {
	return [...]string{standard.NoBlend: "none", standard.BlendEU: "blend of EU honeys", standard.BlendNonEU: "blend of non-EU honeys",
		standard.BlendBoth: "blend of EU and non-EU honeys"}[b]
}

// holdDeclared sets what the label says against the records. Percentages of all
// countries make 100; those of the four largest alone make less.
func (q *Query) holdDeclared(shares []standard.Share, fourAlone bool) error {
	parts, err := q.parts("declared")
	if err != nil {
		return err
	}
	label, sum := make([]standard.Claim, len(parts)), 0.0
	for i, p := range parts {
		sum += p.amount
		if p.kg {
			return fmt.Errorf("declared: %s is in kg, want %%", p.code)
		}
		label[i] = standard.Claim{Country: p.code, Percent: quantity.Percent(p.amount)}
	}
	checks, pass, err := standard.CheckOrigin(label, shares)
	if err != nil {
		return err
	}
	if adds := sum <= 100+shareSlack && (fourAlone || sum >= 100-shareSlack); !adds {
		q.note(fmt.Sprintf("the label's shares add up to %g %%, want 100", math.Round(sum*100)/100))
		pass = false
	}
	q.tell("declared_pass", pass)
	for _, c := range checks {
		q.cite(c.Cite)
		if !c.Pass() {
			q.note(fmt.Sprintf("%s: %g %% on the label, %.2f %% by the shares", c.Country, float64(c.Declared), float64(c.Actual)))
		}
	}
	return nil
}

// shares reads what each country gave. Only the proportion counts.
func (q *Query) shares(name string) ([]standard.Share, error) {
	parts, err := q.parts(name)
	if err != nil {
		return nil, err
	}
	shares, sum := make([]standard.Share, len(parts)), 0.0
	for i, p := range parts {
		if !(p.amount >= 0 && p.amount <= 1e8) {
			return nil, fmt.Errorf("%s: %s %g, want 0 to 100000000", name, p.code, p.amount)
		}
		if p.kg != parts[0].kg || p.pct != parts[0].pct {
			return nil, fmt.Errorf("%s: kg and %% are mixed; give all in one of them", name)
		}
		sum += p.amount
		shares[i] = standard.Share{Country: p.code, Mass: wholeGrams(p.amount)}
	}
	switch off := math.Abs(sum - 100); {
	case parts[0].pct && off > shareSlack:
		return nil, fmt.Errorf("%s: they add up to %g %%, want 100", name, math.Round(sum*100)/100)
	case !parts[0].pct && !parts[0].kg && off > shareSlack && off < 10:
		q.note(fmt.Sprintf("the shares add up to %g: taken as kg, for %% they would make 100", math.Round(sum*100)/100))
	}
	return shares, nil
}

// shareSlack is how far percentages as printed, with a decimal or none, may miss 100.
const shareSlack = 0.5

func originShare(q *Query) error {
	part, total := q.num("part_kg"), q.num("total_kg")
	if !(part >= 0 && total > 0 && total <= 1e8) {
		return outOf("total_kg", total, "above 0 to 100 000 000 and a part of 0 or more")
	}
	s, err := standard.CheckShare(quantity.Percent(q.num("declared_pct")), wholeGrams(part), wholeGrams(total))
	if err != nil {
		return err
	}
	q.cite(s.Cite)
	q.tell("pass", s.Pass())
	q.put("actual_pct", float64(s.Actual))
	q.put("points_spare", float64(s.PointsSpare))
	q.put("relative_spare", float64(s.RelativeSpare))
	return nil
}

func wholeGrams(kg float64) quantity.Gram { return quantity.Gram(kg*1000 + 0.5) }
