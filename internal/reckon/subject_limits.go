package reckon

import (
	"fmt"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// limitSubjects are what rule sets ask of honey.
func limitSubjects() []Subject {
	return []Subject{
		{Name: "limit", Help: "a rule set's limit on a property of honey, and how a reading stands to it",
			Range: "the properties that the rule set limits", Doubt: "the limit is exact; a reading within its doubt of it is too close to call",
			Caution: "limits hold when the honey is sold; a breach of one is for you and the authority to judge, never to be mixed away unasked",
			Example: "--property hmf --rules eu --value 38 --doubt 4",
			Inputs: []Input{word("property", "what the limit is on", propertyWords()...), rulesOf("eu", "uk", "de", "us", "codex"),
				number("value", quantity.Each, "the reading, in the property's unit").optional(),
				number("doubt", quantity.Each, "its ± (two standard uncertainties); left out: none").optional(),
				word("kind", "what bees made it of, where the limit depends on it", kindWords()...).optional(),
				word("plant", "its plant, where the limit depends on it", plantWords()...).optional(),
				truth("cooking", "sold as cooking honey").optional(), truth("pressed", "pressed honey").optional(),
				truth("tropical", "declared of tropical origin").optional(), truth("low_enzyme", "low in natural enzymes").optional(),
				word("grade", "US grade that it is to reach", gradeWords()...).optional(),
				number("hmf_mg_kg", quantity.MgPerKg, "HMF reading, for diastase of honey low in enzymes").optional()},
			Answers: []Answer{gives("limit", "", 4, "in the property's unit"), says("bound", "at most, at least, or none"),
				says("verdict", "pass, at the limit, too close to call, breach, no limit; empty without a reading"),
				gives("breach_chance", "", 2, "chance that the true value breaks the limit")}, answer: limit},
		{Name: "grade", Help: "US grade that water and score allow", Range: "score 0 to 100", Doubt: "exact by the rule",
			Example: "--water-pct 18.4 --score 88",
			Inputs:  []Input{waterPct(), number("score", quantity.Each, "total score, points")},
			Answers: []Answer{says("grade", "A, B, C or substandard")}, answer: grade},
		{Name: "rule-sets", Help: "which rule sets answer for a market on a day", Range: "the rule sets of this program", Doubt: "the list is no legal advice",
			Example: "--rules eu --matter origin --on 2026-07-01",
			Inputs: []Input{rulesOf("eu", "uk", "de", "us", "oiml", "codex"), word("matter", "what is asked about", matterWords()...),
				text("on", "day, as 2026-07-01; left out: the sets without an end").optional(),
				word("product", "what is sold; left out: table", "table", "cooking", "goods").optional()},
			Answers: []Answer{says("sets", "rule sets, by their keys")}, answer: ruleSets},
	}
}

func propertyWords() []string {
	return []string{"moisture", "sugars", "sucrose", "insolubles", "conductivity", "free-acid", "diastase", "hmf", "soluble-solids", "score"}
}

func plantWords() []string {
	return []string{"other", "false-acacia", "alfalfa", "menzies-banksia", "french-honeysuckle", "red-gum", "leatherwood", "citrus", "lavender",
		"borage", "chestnut", "strawberry-tree", "bell-heather", "eucalyptus", "lime", "ling-heather", "manuka", "tea-tree"}
}

func matterWords() []string {
	return []string{"honey", "contents", "target", "scales", "test-weights", "fillers", "jar-weighing", "label-sizes", "lot-date", "nutrition", "origin", "codes"}
}

// place is a word's place in its list; the lists stand in the order of package
// standard's constants, which a test holds to.
func place(word string, list []string) int {
	for i, w := range list {
		if w == word {
			return i
		}
	}
	return 0
}

// kindWords and gradeWords stand in the order of package standard's constants, from
// the second on: the first is "not said".
func kindWords() []string  { return []string{"blossom", "honeydew", "honeydew-blend"} }
func gradeWords() []string { return []string{"a", "b", "c"} }

func (q *Query) honey() standard.Honey {
	h := standard.Honey{
		Plant:   standard.Plant(place(q.word("plant"), plantWords())),
		Cooking: q.yes("cooking"), Pressed: q.yes("pressed"), Tropical: q.yes("tropical"), LowEnzyme: q.yes("low_enzyme"),
	}
	if q.has("kind") {
		h.Kind = standard.Blossom + standard.Kind(place(q.word("kind"), kindWords()))
	}
	if q.has("grade") {
		h.Grade = standard.GradeA + standard.Grade(place(q.word("grade"), gradeWords()))
	}
	return h
}

func limit(q *Query) error {
	p := standard.Property(place(q.word("property"), propertyWords()))
	l, err := standard.LimitOf(q.rules(), p, q.honey())
	if err != nil {
		return err
	}
	q.cite(l.Cite)
	q.say("bound", [...]string{standard.Unbounded: "none", standard.Max: "at most", standard.Min: "at least"}[l.Bound])
	if l.Bound != standard.Unbounded {
		q.put("limit", l.Value)
	}
	if !q.has("value") {
		q.without("value", "no verdict")
		return nil
	}
	q.without("doubt", "the bare figure was judged")
	r := standard.ReadingOf(q.num("value"), q.num("doubt")/2)
	v, chance, err := l.Judge(r)
	if err == nil && p == standard.Diastase && q.yes("low_enzyme") {
		v, err = standard.JudgeDiastase(q.rules(), q.honey(), r, standard.Reading{Value: q.num("hmf_mg_kg"), Known: q.has("hmf_mg_kg")})
	}
	if err != nil {
		return err
	}
	q.say("verdict", v.String())
	if l.Bound != standard.Unbounded {
		q.put("breach_chance", chance)
	}
	if l.HMFMax > 0 {
		q.note(fmt.Sprintf("this limit holds only with HMF of at most %g mg/kg", l.HMFMax))
	}
	return nil
}

func grade(q *Query) error {
	g, c, err := standard.GradeOf(q.water(), q.num("score"))
	if err != nil {
		return err
	}
	q.cite(c)
	q.say("grade", g.String())
	return nil
}

func ruleSets(q *Query) error {
	on := standard.Date(0)
	if q.has("on") {
		d, err := standard.ParseDate(q.word("on"))
		if err != nil {
			return err
		}
		on = d
	}
	product := map[string]standard.Product{"": standard.TableHoney, "table": standard.TableHoney,
		"cooking": standard.CookingHoney, "goods": standard.HoneyGoods}[q.word("product")]
	sets, err := standard.Choose(q.rules(), product, standard.HoneyLimits+standard.Subject(place(q.word("matter"), matterWords())), on)
	if err != nil {
		return err
	}
	names := ""
	for i, id := range sets {
		if i > 0 {
			names += ", "
		}
		names += id.Set().ID
		q.cite(standard.Cite{Set: id, Place: "the whole set", Got: id.Set().Got})
	}
	q.say("sets", names)
	return nil
}
