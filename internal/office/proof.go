package office

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/label"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
)

// A LabelLook is a label as it is wished for, with the stock that it is drawn on.
type LabelLook struct {
	LabelAsk
	Size string // 90x60, or a4:2x4
}

// A LabelDraw makes the file of so many labels; a proof is marked across. The same label
// gives the same bytes.
type LabelDraw func(m LabelMade, look LabelLook, copies int, proof bool) ([]byte, error)

// A LabelStand is how a label stands before it is printed.
type LabelStand struct {
	Made   LabelMade
	Digest []byte       // of one such label as it would be printed now; nil: not drawn
	Proof  *house.Proof // by which it may be printed
	Before *house.Proof // the lot mark's last proof, of a label that says or looks otherwise
	Prints []LabelPaper
}

// A LabelPaper is labels that were printed.
type LabelPaper struct {
	Paper  house.Paper
	Proof  record.Code
	Copies int64
}

// LabelStand looks for the proof of just this label. ok is false where nothing is packed
// of the code.
func (v *View) LabelStand(look LabelLook, draw LabelDraw) (s LabelStand, ok bool, err error) {
	if s.Made, ok, err = v.LabelOf(look.LabelAsk); err != nil || !ok {
		return s, ok, err
	}
	s.Prints = v.labelPapers(s.Made.Mark)
	proofs := v.State.Proofs(s.Made.Mark)
	if len(proofs) > 0 {
		s.Before = &proofs[len(proofs)-1]
	}
	if !s.Made.Ready() || len(proofs) == 0 { // drawing is the dear part: only where there is something to hold it against
		return s, true, nil
	}
	if err := s.digest(look, draw); err != nil {
		return s, true, err
	}
	for i := range slices.Backward(proofs) {
		if bytes.Equal(proofs[i].Fact.Digest, s.Digest) {
			s.Proof, s.Before = &proofs[i], nil
			break
		}
	}
	return s, true, nil
}

// digest draws one label and takes its digest.
func (s *LabelStand) digest(look LabelLook, draw LabelDraw) error {
	file, err := draw(s.Made, look, 1, false)
	if err != nil {
		return err
	}
	sum := sha256.Sum256(file)
	s.Digest = sum[:]
	return nil
}

func (v *View) labelPapers(mark record.Code) (all []LabelPaper) {
	for _, p := range v.State.Papers(mark) {
		if p.Fact.What != record.LabelPaper {
			continue
		}
		x := LabelPaper{Paper: p}
		if how, ok := v.State.LabelPrint(p.Fact.Paper); ok {
			x.Proof, x.Copies = how.Fact.Proof, how.Fact.Copies
		}
		all = append(all, x)
	}
	return all
}

// ProofFact is what two persons sign.
func (v *View) ProofFact(s LabelStand, look LabelLook, draw LabelDraw, first, second record.Code) (*record.LabelProved, error) {
	if s.Digest == nil {
		if err := s.digest(look, draw); err != nil {
			return nil, err
		}
	}
	f := &record.LabelProved{Proof: v.nextNumber("LP-"), About: s.Made.Mark, Name: look.Name, Plant: look.Plant, Region: look.Region,
		Size: look.Size, Language: look.Language, First: first, Second: second, Digest: s.Digest}
	for _, t := range look.Texts {
		if t = strings.TrimSpace(t); t != "" {
			f.Texts = append(f.Texts, record.LabelText{Text: t})
		}
	}
	if look.FullDate {
		f.FullDate = record.Yes
	}
	if look.Nutrition {
		f.Nutrition = record.Yes
	}
	f.Best = look.Best
	return f, nil
}

// nextNumber is the next of a series of papers, "LP-01" first. A number that was ever
// given counts, and so do those that a restore lost.
func (v *View) nextNumber(head string) record.Code {
	code, given := record.Code(head+"01"), uint64(0)
	if last, fact, ok := v.State.LastNumber(head); ok {
		code, given = after(last), fact
	}
	return v.FreeCode(v.pastLost(code, given))
}

// PrintFacts are the facts of printing so many labels by a proof; file is what was made.
func (v *View) PrintFacts(s LabelStand, copies int64, file []byte) []record.Fact {
	sum := sha256.Sum256(file)
	number := v.nextNumber("LB-")
	return []record.Fact{
		&record.Printed{Paper: number, What: record.LabelPaper, About: s.Made.Mark, Figures: labelFigures(s.Made), Edition: labelEdition, Digest: sum[:]},
		&record.LabelPrinted{Paper: number, Proof: s.Proof.Fact.Proof, Copies: copies},
	}
}

// labelEdition is of the lay-out and the texts that a label is made with.
const labelEdition = "labels, 1"

// labelFigures are the shares of origin that a label states.
func labelFigures(m LabelMade) (all []record.PrintedFigure) {
	if len(m.Wish.Origin) > 0 {
		for _, o := range m.Wish.Origin {
			all = append(all, record.PrintedFigure{Of: o.Country, Value: quantity.Figure{Mantissa: int64(float64(o.Percent)*10 + 0.5), Decimals: 1, Unit: quantity.Pct}})
		}
		return all
	}
	if !slices.ContainsFunc(m.Items, func(i label.Item) bool { return i.Part == label.OriginPart }) {
		return nil
	}
	o, err := standard.StateOrigin(m.Tipped.Countries, standard.OriginOption{Labelled: m.Wish.Labelled, FourLargest: m.Wish.FourLargest, Net: m.Wish.Pack.Net})
	if err != nil {
		return nil
	}
	for _, l := range o.Lines {
		f := quantity.Figure{Mantissa: l.Mantissa, Decimals: o.Decimals, Unit: quantity.Pct}
		if !l.HasPercent {
			if len(o.Lines) > 1 {
				continue
			}
			f = quantity.Figure{Mantissa: 100, Unit: quantity.Pct}
		}
		all = append(all, record.PrintedFigure{Of: l.Country, Value: f})
	}
	return all
}

// LookOf is the label that a proof is of.
func LookOf(p record.LabelProved, now time.Time) LabelLook {
	l := LabelLook{Size: p.Size, LabelAsk: LabelAsk{Of: p.About, Now: now, Name: p.Name, Plant: p.Plant, Region: p.Region, Language: p.Language,
		FullDate: p.FullDate == record.Yes, Nutrition: p.Nutrition == record.Yes, Best: p.Best}}
	for _, t := range p.Texts {
		l.Texts = append(l.Texts, t.Text)
	}
	return l
}

// A Reprint is labels that were printed, made again.
type Reprint struct {
	Paper   LabelPaper
	Look    LabelLook
	File    []byte
	Same    bool          // byte by byte what was printed, by its digest
	Changed []LabelChange // what it would say now
}

// A LabelChange is a part of a label that would now be another.
type LabelChange struct {
	Part     label.Part
	Was, Now []answer.Line
}

// ErrNoSuchLabel reports a paper that is no printed label.
var ErrNoSuchLabel = errors.New("no label was printed under that number")

// Reprint makes a printed label again from what was known when it was printed, and says
// what it would say now. country words countries as the label's language does.
func (v *View) Reprint(paper record.Code, draw LabelDraw, asked func(LabelLook) LabelLook) (r Reprint, err error) {
	how, ok := v.State.LabelPrint(paper)
	if !ok {
		return r, ErrNoSuchLabel
	}
	proof, ok := v.State.Proof(how.Fact.Proof)
	if !ok {
		return r, ErrNoSuchLabel
	}
	for _, p := range v.State.Papers(proof.Fact.About) {
		if p.Fact.Paper.Fold() == paper.Fold() {
			r.Paper = LabelPaper{p, proof.Fact.Proof, how.Fact.Copies}
		}
	}
	then, err := v.upTo(r.Paper.Paper.Seq)
	if err != nil {
		return r, err
	}
	r.Look = asked(LookOf(proof.Fact, r.Paper.Paper.When.Time()))
	was, ok, err := then.LabelOf(r.Look.LabelAsk)
	if err != nil || !ok {
		return r, errors.Join(err, ErrNoSuchLabel)
	}
	if r.File, err = draw(was, r.Look, int(how.Fact.Copies), false); err != nil {
		return r, err
	}
	sum := sha256.Sum256(r.File)
	r.Same = bytes.Equal(sum[:], r.Paper.Paper.Fact.Digest)
	is, ok, err := v.LabelOf(r.Look.LabelAsk)
	if err != nil {
		return r, err
	}
	if !ok { // struck out since
		is = LabelMade{}
	}
	r.Changed = labelChanges(was.Items, is.Items)
	return r, nil
}

func labelChanges(was, is []label.Item) (all []LabelChange) {
	says := func(items []label.Item, p label.Part) (lines []answer.Line) {
		for _, i := range items {
			if i.Part == p {
				lines = append(lines, i.Says...)
			}
		}
		return lines
	}
	for p := label.NamePart; p <= label.TextPart; p++ {
		if a, b := says(was, p), says(is, p); !reflect.DeepEqual(a, b) {
			all = append(all, LabelChange{p, a, b})
		}
	}
	return all
}

// upTo is the house as it was when a fact was written.
func (v *View) upTo(seq uint64) (*View, error) {
	if seq > v.Facts() {
		return nil, fmt.Errorf("there is no entry %d", seq)
	}
	w := &View{line: &house.Timeline{}, log: &journal{bodies: v.log.bodies[:seq:seq], head: v.log.head}}
	for n := uint64(1); n <= seq; n++ {
		e, err := w.log.read(n)
		if err != nil {
			return nil, err
		}
		w.line.Add(&e)
	}
	var err error
	w.State, err = refold(w.line, w.log.read)
	return w, err
}

// LabelSays is what is known of a label's proof and prints, as an answer's lines and
// table.
func (s LabelStand) LabelSays(a *answer.Answer) {
	switch {
	case s.Proof != nil:
		f := s.Proof.Fact
		a.Say("labelling.proved", answer.Args{"of": s.Made.Mark, "proof": f.Proof, "first": f.First, "second": f.Second, "when": s.Proof.When})
		a.Lines[len(a.Lines)-1].Mark = answer.Good
	case s.Before != nil && s.Made.Ready():
		a.Warn("labelling.proved-otherwise", answer.Args{"of": s.Made.Mark, "proof": s.Before.Fact.Proof, "when": s.Before.When})
	case s.Made.Ready():
		a.Say("labelling.unproved", answer.Args{"of": s.Made.Mark})
	}
	if len(s.Prints) == 0 {
		return
	}
	t := a.Table("label-prints", "paper", "printed", "copies_n", "label_proof", "digest")
	for _, p := range s.Prints {
		copies, proof := any(nil), any(nil)
		if p.Copies > 0 {
			copies, proof = p.Copies, p.Proof
		}
		t.Row(answer.Plain, p.Paper.Fact.Paper, p.Paper.When, copies, proof, digestText(p.Paper.Fact.Digest))
	}
}

// digestText is a digest's beginning, enough to tell two files apart by eye.
func digestText(d []byte) any {
	if len(d) < 8 {
		return nil
	}
	return fmt.Sprintf("%x…", d[:8])
}

// Answer says whether a reprint is what was printed, and what it would now be.
func (r Reprint) Answer() answer.Answer {
	p := r.Paper.Paper
	a := answer.Answer{Question: "reprint", Of: p.Fact.Paper}
	args := answer.Args{"paper": p.Fact.Paper, "of": p.Fact.About, "when": p.When, "copies": r.Paper.Copies, "digest": digestText(p.Fact.Digest)}
	if !r.Same {
		a.Cannot = &answer.Line{Key: "reprint.differs", Args: args, Mark: answer.Bad}
		return a
	}
	a.Say("reprint.same", args)
	if len(r.Changed) > 0 {
		a.Warn("reprint.would-now-be", answer.Args{"n": int64(len(r.Changed))})
		t := a.Table("label-changes", "part", "on_paper", "would_now_be")
		for _, c := range r.Changed {
			t.Row(answer.Bad, answer.Key(partKey(c.Part)), lineCells(c.Was), lineCells(c.Now))
		}
	}
	return a
}

func lineCells(lines []answer.Line) any {
	switch len(lines) {
	case 0:
		return nil
	case 1:
		return lines[0]
	}
	return answer.Line{Key: "label.two", Args: answer.Args{"a": lines[0], "b": lineCells(lines[1:])}}
}
