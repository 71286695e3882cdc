package record

// LabelProved: two persons held the proof of a label against the record and found it fit
// to print. What was wished for stands as it was typed; empty is as the product has it.
// The digest is SHA-256 of the file of one such label, dated by the day of filling.
type LabelProved struct {
	Proof     Code
	About     Code // the lot mark
	Name      string
	Plant     string
	Region    string
	Texts     []LabelText
	FullDate  Truth
	Nutrition Truth
	Size      string // of one label: 90x60
	Language  string
	First     Code
	Second    Code
	Digest    []byte
	Best      Day // the best-before date, where it is not the run's
}

// A LabelText is something else that is to stand on a label, as it was typed.
type LabelText struct{ Text string }

func (x *LabelProved) fields(f *form) {
	f.names(1, "proof_number", &x.Proof, need, Paper)
	f.ref(2, "about", &x.About, need, packed)
	f.note(3, "name_on_label", &x.Name, may)
	f.note(4, "plant", &x.Plant, may)
	f.note(5, "place_named", &x.Region, may)
	each(f, 6, "words", &x.Texts, func(f *form, t *LabelText) { f.note(1, "text", &t.Text, need) })
	f.truth(7, "day_on_label", &x.FullDate, may)
	f.truth(8, "nutrition", &x.Nutrition, may)
	f.note(9, "label_size", &x.Size, need)
	f.note(10, "label_language", &x.Language, need)
	f.ref(11, "first_person", &x.First, need, only[Person])
	f.ref(12, "second_person", &x.Second, need, only[Person])
	f.raw(13, "digest", &x.Digest, may) // no form carries bytes; the house refuses a proof without it
	f.day(14, "best_before", &x.Best, may)
}

// LabelPrinted: so many labels were printed by a proof. The file's digest stands in the
// paper, which is printed in the same breath.
type LabelPrinted struct {
	Paper  Code
	Proof  Code
	Copies int64
}

func (x *LabelPrinted) fields(f *form) {
	f.ref(1, "paper", &x.Paper, need, only[Paper])
	f.ref(2, "proof_number", &x.Proof, need, only[Paper])
	f.count(3, "copies", &x.Copies, need)
}
