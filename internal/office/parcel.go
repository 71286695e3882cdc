package office

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/gs1"
	"combline/internal/house"
	"combline/internal/record"
	"combline/internal/words"
)

// A ParcelMade is what the label of one case or pallet bears.
type ParcelMade struct {
	From   string // the house's name and address
	Title  answer.Line
	Number record.Code // the house's own: R2-C45, PL-01
	Lines  []answer.Line
	Codes  []gs1.Elements // rows of bars; none where the house has no numbers
	Lacks  []answer.Line  // why a row of bars is missing
}

// mostLabels is how many case labels go in one file.
const mostLabels = 2000

// CasesOf makes the labels of cases: of one case by its number, or of all that were
// packed of a lot mark, a run or a prefix; of those that are many only from the first
// wanted, so many. It also names what they are about, for the record.
func (v *View) CasesOf(code record.Code, from, most int64) (all []ParcelMade, about record.Code) {
	if one, ok := v.State.Goods.Case(code); ok && len(one.Units) > 0 {
		return v.casesIn(one, 1, 1), one.Units[0].Batch
	}
	var ranges []goods.CaseRange
	mark := v.Packed(code)
	marks := []record.Code{mark}
	if run, ok := v.State.RunOf(mark); ok && run.Fold() == code.Fold() {
		marks, mark = v.marksOfRun(run), run
	}
	for _, m := range marks {
		for _, r := range v.State.Goods.CasesOf(m) {
			if !slices.ContainsFunc(ranges, func(x goods.CaseRange) bool { return x.Cases == r.Cases }) {
				ranges = append(ranges, r)
			}
		}
	}
	for _, r := range ranges {
		n := r.Cases.Count()
		if from > n {
			from -= n
			continue
		}
		some := v.casesIn(r, max(from, 1), min(most-int64(len(all)), mostLabels))
		all, from = append(all, some...), 1
		if int64(len(all)) >= min(most, mostLabels) {
			break
		}
	}
	return all, mark
}

// marksOfRun are the lot marks of a run.
func (v *View) marksOfRun(run record.Code) (all []record.Code) {
	for _, n := range v.State.RootsOf(run) {
		if v.State.NodeKind(n) == house.BatchNode {
			all = append(all, v.State.NodeCode(n))
		}
	}
	return all
}

// casesIn makes the labels of cases of one range, from the first wanted on.
func (v *View) casesIn(r goods.CaseRange, from, most int64) (all []ParcelMade) {
	for n := r.Cases.First + from - 1; n <= r.Cases.Last && int64(len(all)) < most; n++ {
		number := goods.CaseCode(r.Cases.Prefix, n)
		if one, ok := v.State.Goods.Case(number); ok {
			all = append(all, v.caseMade(number, one))
		}
	}
	return all
}

func (v *View) caseMade(number record.Code, one goods.CaseRange) ParcelMade {
	p := ParcelMade{From: v.sender(), Number: number}
	var marks []string
	for i, u := range one.Units {
		what, _ := v.unitsOf(u)
		if i == 0 {
			p.Title = answer.Line{Key: "tag.title", Args: answer.Args{"what": what}}
		}
		p.Lines = append(p.Lines, v.caseLine(u))
		marks = append(marks, string(u.Batch))
	}
	if len(one.Units) == 0 {
		return p
	}
	b, _ := v.State.Goods.Batch(one.Units[0].Batch)
	es, lack := v.caseElements(b.Product, one.Units)
	if lack != nil {
		p.Lacks = append(p.Lacks, *lack)
		return p
	}
	if len(marks) == 1 {
		es = append(es, gs1.Element{Code: "10", Value: marks[0]})
	} else {
		p.Lacks = append(p.Lacks, answer.Line{Key: "tag.two-marks", Args: answer.Args{"n": int64(len(marks))}})
	}
	if err := es.Check(); err != nil {
		p.Lacks = append(p.Lacks, answer.Line{Key: "tag.code-wrong", Args: answer.Args{"why": err.Error()}})
		return p
	}
	p.Codes = []gs1.Elements{es}
	return p
}

// sender is the house as it stands on what it sends.
func (v *View) sender() string {
	return strings.Trim(v.State.House().Name+", "+v.labelText(house.SettingAddress), ", ")
}

// caseLine says what is in a case: so many of a lot mark, with the date on them.
func (v *View) caseLine(u goods.BatchUnits) answer.Line {
	what, _ := v.unitsOf(u)
	args := answer.Args{"what": what, "mark": u.Batch, "units": u.Units}
	if best, ok := v.bestBefore(u.Batch); ok {
		args["date"] = best
		return answer.Line{Key: "tag.cases-until", Args: args}
	}
	return answer.Line{Key: "tag.cases", Args: args}
}

// bestBefore is the date on the jars of a lot mark: as it was proved last, else the run's.
func (v *View) bestBefore(mark record.Code) (record.Day, bool) {
	if proofs := v.State.Proofs(mark); len(proofs) > 0 && proofs[len(proofs)-1].Fact.Best != 0 {
		return proofs[len(proofs)-1].Fact.Best, true
	}
	run, _ := v.State.RunOf(mark)
	r, ok := v.runStart(run)
	if !ok || r.BestBefore == 0 {
		return 0, false
	}
	return r.BestBefore, true
}

// caseElements are a case's number and the earliest best-before date in it.
func (v *View) caseElements(product record.Code, units []goods.BatchUnits) (gs1.Elements, *answer.Line) {
	number := v.labelText(house.SettingItem + string(product))
	if number == "" {
		return nil, &answer.Line{Key: "tag.no-number", Args: answer.Args{"product": product}}
	}
	item, err := gs1.Item(number)
	if err == nil && item.Value[0] == '0' { // a jar's number: the case of them has its own
		item, err = gs1.Case(number, 1)
	}
	if err != nil {
		return nil, &answer.Line{Key: "tag.code-wrong", Args: answer.Args{"why": err.Error()}}
	}
	es := gs1.Elements{item}
	first := record.Day(0)
	for _, u := range units {
		if d, ok := v.bestBefore(u.Batch); ok && (first == 0 || d < first) {
			first = d
		}
	}
	if first != 0 {
		es = append(es, gs1.Element{Code: "15", Value: first.Time().Format("060102")})
	}
	return es, nil
}

// PalletLabel is what the label of a pallet bears, with the shipping code that it has or
// is to get. fresh is true where the code is given now and must be written down.
func (v *View) PalletLabel(code record.Code) (p ParcelMade, sscc record.Code, fresh, ok bool) {
	made, ok := v.PalletOf(code)
	if !ok {
		return p, "", false, false
	}
	p = ParcelMade{From: v.sender(), Title: answer.Line{Key: "tag.pallet", Args: answer.Args{"cases": made.Cases, "units": made.Units}}, Number: made.Number, Lines: made.Lines}
	sscc, fresh, lack := v.shippingCode(made.Number)
	if lack != nil {
		p.Lacks = append(p.Lacks, *lack)
		return p, "", false, true
	}
	if row, ok := v.palletRow(made.Number, made.Cases); ok {
		p.Codes = append(p.Codes, row)
	}
	p.Codes = append(p.Codes, gs1.Elements{{Code: "00", Value: string(sscc)}})
	return p, sscc, fresh, true
}

// palletRow is what cases of one product and one lot mark stand on a pallet, for its
// upper row of bars; a mixed pallet has none.
func (v *View) palletRow(pallet record.Code, cases int64) (gs1.Elements, bool) {
	var marks []goods.BatchUnits
	for _, r := range v.State.Goods.CasesOn(pallet) {
		for _, u := range r.Units {
			if !slices.ContainsFunc(marks, func(m goods.BatchUnits) bool { return m.Batch == u.Batch }) {
				marks = append(marks, u)
			}
		}
	}
	var product record.Code
	for _, m := range marks {
		b, _ := v.State.Goods.Batch(m.Batch)
		if product != "" && b.Product != product {
			return nil, false
		}
		product = b.Product
	}
	es, lack := v.caseElements(product, marks)
	if lack != nil || cases < 1 {
		return nil, false
	}
	es[0].Code = "02"
	es = append(es, gs1.Element{Code: "37", Value: strconv.FormatInt(cases, 10)})
	if len(marks) == 1 {
		es = append(es, gs1.Element{Code: "10", Value: string(marks[0].Batch)})
	}
	return es, append(gs1.Elements{{Code: "00", Value: "000000000000000000"}}, es...).Check() == nil
}

// shippingCode is the SSCC of a pallet: the one that it was given, or the next of the
// house's series. A number that was ever given counts, also to what was struck out, and so
// do those that a restore lost.
func (v *View) shippingCode(pallet record.Code) (code record.Code, fresh bool, lack *answer.Line) {
	for _, p := range v.State.Papers(pallet) {
		if p.Fact.What == record.PalletLabel && len(p.Fact.Paper) == 18 && strings.Trim(string(p.Fact.Paper), "0123456789") == "" {
			return p.Fact.Paper, false, nil
		}
	}
	company := v.labelText(house.SettingCompany)
	if company == "" {
		return "", false, &answer.Line{Key: "tag.no-company"}
	}
	for extension := range 10 {
		head := strconv.Itoa(extension) + company
		next, given := int64(0), uint64(0)
		if last, fact, ok := v.State.LastNumber(head); ok && len(last) == 18 {
			n, err := strconv.ParseInt(string(last[len(head):17]), 10, 64)
			if err != nil {
				continue
			}
			next, given = n+1, fact
		}
		for _, l := range v.State.LostRanges() {
			if uint64(l.First) > given {
				next += l.Last - l.First + 1
			}
		}
		if e, err := gs1.Pallet(company, extension, next); err == nil {
			return record.Code(e.Value), true, nil
		}
	}
	return "", false, &answer.Line{Key: "tag.series-full", Args: answer.Args{"company": company}}
}

// ParcelFact writes down that labels of cases or of a pallet were printed.
func (v *View) ParcelFact(what record.PaperKind, about, number record.Code, file []byte) (*record.Printed, error) {
	sum := sha256.Sum256(file)
	if number == "" {
		number = v.nextNumber(map[record.PaperKind]string{record.CaseLabel: "CL-", record.PalletLabel: "PA-"}[what])
	}
	if about == "" {
		return nil, fmt.Errorf("labels of nothing can't be written down")
	}
	return &record.Printed{Paper: number, What: what, About: about, Edition: labelEdition, Digest: sum[:]}, nil
}

// ParcelAnswer tells what labels of cases or of a pallet bear.
func ParcelAnswer(c *words.Catalogue, of record.Code, all []ParcelMade) answer.Answer {
	a := answer.Answer{Question: "label", Of: of}
	t := a.Table("parcels", "code", "what")
	for _, p := range all {
		for _, l := range p.Lines {
			t.Row(answer.Plain, p.Number, l)
		}
		for _, es := range p.Codes {
			t.Row(answer.Plain, p.Number, answer.Line{Key: "tag.bars", Args: answer.Args{"bars": es.Print()}})
		}
	}
	seen := map[string]bool{}
	for _, p := range all {
		for _, l := range p.Lacks {
			if text := answer.Sentence(c, l); !seen[text] {
				seen[text] = true
				a.Warn(l.Key, l.Args)
			}
		}
	}
	return a
}
