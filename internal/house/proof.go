package house

import (
	"crypto/sha256"

	"combline/internal/answer"
	"combline/internal/record"
)

// A Proof is a label that two persons found fit to print.
type Proof struct {
	Fact   record.LabelProved
	Person record.Code // who wrote it down
	When   record.When
	Seq    uint64
}

// A LabelPrint is labels that were printed by a proof.
type LabelPrint struct {
	Fact record.LabelPrinted
	When record.When
	Seq  uint64
}

// Proofs lists the proofs of a lot mark's label, in the order of writing; with no code,
// all.
func (s *State) Proofs(about record.Code) (all []Proof) {
	for _, p := range s.proofs {
		if about == "" || p.Fact.About.Fold() == about.Fold() {
			all = append(all, p)
		}
	}
	return all
}

// Proof is the proof with a number.
func (s *State) Proof(number record.Code) (Proof, bool) {
	for _, p := range s.proofs {
		if p.Fact.Proof.Fold() == number.Fold() {
			return p, true
		}
	}
	return Proof{}, false
}

// LabelPrint says by which proof a paper was printed, and how many labels it was.
func (s *State) LabelPrint(paper record.Code) (LabelPrint, bool) {
	for _, p := range s.labelPrints {
		if p.Fact.Paper.Fold() == paper.Fold() {
			return p, true
		}
	}
	return LabelPrint{}, false
}

// proved refuses a proof that one person alone would have signed, or that names no file.
func (c *check) proved(f *record.LabelProved) {
	switch {
	case f.First.Fold() == f.Second.Fold():
		c.refuse("refused.same-person", "next.second-person", inField("second_person", answer.Args{"person": f.First}))
	case c.d.Person != "" && c.d.Person.Fold() != f.First.Fold() && c.d.Person.Fold() != f.Second.Fold():
		c.refuse("refused.proof-by-other", "next.second-person", inField("first_person", answer.Args{"person": c.d.Person, "first": f.First, "second": f.Second}))
	case len(f.Digest) != sha256.Size:
		c.refuse("refused.proof-digest", "next.prove-on-page", inField("proof_number", answer.Args{"proof": f.Proof}))
	}
}

// labelPrinted refuses labels of another lot mark than was proved, and none at all.
func (c *check) labelPrinted(f *record.LabelPrinted) {
	p, ok := c.s.Proof(f.Proof)
	if f.Copies < 1 {
		c.refuse("refused.below-zero", "next.type-again", inField("copies", answer.Args{"figure": f.Copies}))
		return
	}
	if !ok {
		c.refuse("refused.not-known", "next.name-it-first", inField("proof_number", answer.Args{"code": f.Proof}))
		return
	}
	for _, x := range c.d.Facts {
		if paper, is := x.(*record.Printed); is && paper.Paper.Fold() == f.Paper.Fold() && paper.About.Fold() != p.Fact.About.Fold() {
			c.refuse("refused.other-label", "next.type-again", inField("proof_number", answer.Args{"proof": f.Proof, "of": p.Fact.About, "about": paper.About}))
		}
	}
}
