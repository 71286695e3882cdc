package record

import q "combline/internal/quantity"

// Facts of products and packing runs.

// A ProductKind is the shape of what is sold.
type ProductKind uint8

const (
	Jar ProductKind = iota + 1
	SoftSetJar
	Portion
	BulkDrum
	SpreadJar
	Bake
)

var productKindNames = []string{"", "jar", "soft-set jar", "portion", "bulk drum", "spread", "bake"}

func (k ProductKind) String() string { return productKindNames[k] }

// A Promise is a limit that a product's buyer was promised.
type Promise struct {
	Property Property
	Bound    Bound // Below: at most; Above: at least
	Value    q.Figure
}

func (x *Promise) fields(f *form) {
	choice(f, 1, "property", &x.Property, need, propertyNames)
	choice(f, 2, "bound", &x.Bound, need, boundNames)
	f.fig(3, "value", &x.Value, need, q.NoUnit)
}

// A CountryShare is a share of origin that a label states.
type CountryShare struct {
	Country string
	Percent q.Figure
}

func (x *CountryShare) fields(f *form) {
	f.note(1, "country", &x.Country, need)
	f.fig(2, "percent", &x.Percent, need, q.Pct)
}

// ProductNamed: something is made and sold under a name.
type ProductNamed struct {
	Product   Code
	What      ProductKind
	Name      string
	Label     Weight // net quantity on the label
	UnitsCase int64
	Promises  []Promise
	Origin    []CountryShare
	Allergens string
	Rules     string // rule set that it is packed under
}

func (x *ProductNamed) fields(f *form) {
	f.names(1, "product", &x.Product, need, Product)
	choice(f, 2, "kind", &x.What, need, productKindNames)
	f.note(3, "name", &x.Name, may)
	f.weight(4, "label", &x.Label, may, q.G)
	f.count(5, "units_a_case", &x.UnitsCase, may)
	each(f, 6, "promises", &x.Promises, func(f *form, p *Promise) { p.fields(f) })
	each(f, 7, "origin", &x.Origin, func(f *form, c *CountryShare) { c.fields(f) })
	f.note(8, "allergens", &x.Allergens, may)
	f.note(9, "rules", &x.Rules, may)
}

// RecipeSet: how a product is made, and what it is packed in, from now on.
type RecipeSet struct {
	Product Code
	Lines   []RecipeLine
	Yield   Weight
	Note    string
}

// A RecipeLine is one ingredient of a batch, or one piece of packaging of a unit.
type RecipeLine struct {
	Material Code
	Honey    string // the kind of honey, when it is honey
	Mass     Weight
	Each     int64 // pieces a unit, or one for so many units
	ForUnits int64
}

func (x *RecipeSet) fields(f *form) {
	f.ref(1, "product", &x.Product, need, only[Product])
	each(f, 2, "lines", &x.Lines, func(f *form, l *RecipeLine) {
		f.ref(1, "material", &l.Material, may, only[Material])
		f.note(2, "honey", &l.Honey, may)
		f.weight(3, "mass", &l.Mass, may, q.KgUnit)
		f.count(4, "pieces", &l.Each, may)
		f.count(5, "for_units", &l.ForUnits, may)
	})
	f.weight(3, "yield", &x.Yield, may, q.KgUnit)
	f.note(4, "note", &x.Note, may)
}

// RunStarted: the packing of one product began.
type RunStarted struct {
	Run        Code
	Product    Code
	Orders     []Code
	From       []Code // the vessels that feed it
	Machines   []Code
	BestBefore Day
	LabelProof string // names of the two who signed the proof
	Target     Weight // set weight of a unit
}

func (x *RunStarted) fields(f *form) {
	f.names(1, "run", &x.Run, need, Run)
	f.ref(2, "product", &x.Product, need, only[Product])
	f.refs(3, "orders", &x.Orders, may, only[Order])
	f.refs(4, "from", &x.From, need, inVessel)
	f.refs(5, "machines", &x.Machines, may, only[Machine])
	f.day(6, "best_before", &x.BestBefore, may)
	f.note(7, "label_proof", &x.LabelProof, may)
	f.weight(8, "target", &x.Target, may, q.G)
}

// FillerSet: the filler was set before or during a run.
type FillerSet struct {
	Run     Code
	Filler  Code
	Nozzle  int64 // 0: all
	Target  Weight
	Temp    q.Figure
	Checked int64 // jars weighed for the setting
	Reason  string
}

func (x *FillerSet) fields(f *form) {
	f.ref(1, "run", &x.Run, need, only[Run])
	f.ref(2, "filler", &x.Filler, may, only[Machine])
	f.count(3, "nozzle", &x.Nozzle, may)
	f.weight(4, "target", &x.Target, may, q.G)
	f.fig(5, "temp", &x.Temp, may, q.DegC)
	f.count(6, "jars_checked", &x.Checked, may)
	f.note(7, "reason", &x.Reason, may)
}

// A NozzleCheck is the jars of one nozzle in one check: each weight, or their mean.
type NozzleCheck struct {
	Nozzle  int64
	Jars    int64
	Mean    Weight
	Weights []Weight
}

func (x *NozzleCheck) fields(f *form) {
	f.count(1, "nozzle", &x.Nozzle, need)
	f.count(2, "jars", &x.Jars, may)
	f.weight(3, "mean", &x.Mean, may, q.G)
	each(f, 4, "weights", &x.Weights, func(f *form, w *Weight) { f.weight(1, "net", w, need, q.G) })
}

// NozzlesChecked: jars of each nozzle were weighed during a run.
type NozzlesChecked struct {
	Run     Code
	Check   int64 // which check of the run, from 1
	Scale   Code
	Nozzles []NozzleCheck
	Action  string
}

func (x *NozzlesChecked) fields(f *form) {
	f.ref(1, "run", &x.Run, need, only[Run])
	f.count(2, "check", &x.Check, need)
	f.ref(3, "scale", &x.Scale, may, only[Instrument])
	each(f, 4, "nozzles", &x.Nozzles, func(f *form, n *NozzleCheck) { n.fields(f) })
	f.note(5, "action", &x.Action, may)
}

// FillerAdjusted: a nozzle was set otherwise during a run.
type FillerAdjusted struct {
	Run    Code
	Nozzle int64
	By     Weight // signed
	Reason string
}

func (x *FillerAdjusted) fields(f *form) {
	f.ref(1, "run", &x.Run, need, only[Run])
	f.count(2, "nozzle", &x.Nozzle, may)
	f.weight(3, "by", &x.By, need, q.G)
	f.note(4, "reason", &x.Reason, may)
}

// JarsFilled: units were filled from a vessel and bear one lot mark.
type JarsFilled struct {
	Batch Code // the lot mark
	Run   Code
	From  Code
	Units int64
	Mass  Weight // of all units
	Via   []Code
	Place Code
}

func (x *JarsFilled) fields(f *form) {
	f.names(1, "mark", &x.Batch, need, Batch)
	f.ref(2, "run", &x.Run, need, only[Run])
	f.ref(3, "from", &x.From, need, inVessel)
	f.count(4, "units", &x.Units, need)
	f.weight(5, "mass", &x.Mass, need, q.KgUnit)
	f.refs(6, "via", &x.Via, may, only[Machine])
	f.ref(7, "place", &x.Place, may, only[Place])
}

// An Input is honey, packed goods or material that went into a batch of a product.
type Input struct {
	From Code
	Mass Weight
	Note string
}

// BatchMade: a product with honey in it was made and packed.
type BatchMade struct {
	Batch   Code
	Run     Code
	Product Code
	Inputs  []Input
	Out     Weight // finished weight
	Units   int64
	Packed  Weight // weight in the packs
}

func (x *BatchMade) fields(f *form) {
	f.names(1, "mark", &x.Batch, need, Batch)
	f.ref(2, "run", &x.Run, may, only[Run])
	f.ref(3, "product", &x.Product, need, only[Product])
	each(f, 4, "inputs", &x.Inputs, func(f *form, i *Input) {
		f.ref(1, "from", &i.From, need, ingredient)
		f.weight(2, "mass", &i.Mass, need, q.KgUnit)
		f.note(3, "note", &i.Note, may)
	})
	f.weight(5, "out", &x.Out, need, q.KgUnit)
	f.count(6, "units", &x.Units, need)
	f.weight(7, "packed", &x.Packed, may, q.KgUnit)
}

// Regraded: units were taken out of one batch or several and bear a mark of their
// own: relabelled, kept back, or set aside.
type Regraded struct {
	Batch  Code
	To     Code
	Units  int64
	Mass   Weight
	Label  Weight // their label now
	Reason string
	Also   []RegradedFrom // out of further batches
}

// RegradedFrom is units out of one batch.
type RegradedFrom struct {
	Batch Code
	Units int64
	Mass  Weight
}

// From lists every batch that units came out of.
func (x *Regraded) From() []RegradedFrom {
	return append([]RegradedFrom{{x.Batch, x.Units, x.Mass}}, x.Also...)
}

func (x *Regraded) fields(f *form) {
	f.ref(1, "batch", &x.Batch, need, only[Batch])
	f.names(2, "to", &x.To, need, Batch)
	f.count(3, "units", &x.Units, need)
	f.weight(4, "mass", &x.Mass, may, q.KgUnit)
	f.weight(5, "label", &x.Label, may, q.G)
	f.note(6, "reason", &x.Reason, need)
	each(f, 7, "also", &x.Also, func(f *form, r *RegradedFrom) {
		f.ref(1, "batch", &r.Batch, need, only[Batch])
		f.count(2, "units", &r.Units, need)
		f.weight(3, "mass", &r.Mass, may, q.KgUnit)
	})
}

// Retained: units were put aside for a later dispute.
type Retained struct {
	Batch Code
	Units int64
	Mass  Weight
	Place Code
}

func (x *Retained) fields(f *form) {
	f.ref(1, "batch", &x.Batch, need, only[Batch])
	f.count(2, "units", &x.Units, need)
	f.weight(3, "mass", &x.Mass, may, q.KgUnit)
	f.ref(4, "place", &x.Place, may, only[Place])
}

// RunReconciled: what a run used and left was counted.
type RunReconciled struct {
	Run     Code
	Good    int64
	Rejects q.Figure
	Lines   []Reconciled
	Note    string
}

// Reconciled is the count of one material in a run.
type Reconciled struct {
	Material Code
	Taken    int64
	Left     q.Figure
	Spoilt   q.Figure
}

func (x *RunReconciled) fields(f *form) {
	f.ref(1, "run", &x.Run, need, only[Run])
	f.count(2, "good", &x.Good, need)
	f.fig(3, "rejects", &x.Rejects, may, q.Each)
	each(f, 4, "lines", &x.Lines, func(f *form, l *Reconciled) {
		f.ref(1, "material", &l.Material, need, material)
		f.count(2, "taken", &l.Taken, may)
		f.fig(3, "left", &l.Left, may, q.Each)
		f.fig(4, "spoilt", &l.Spoilt, may, q.Each)
	})
	f.note(5, "note", &x.Note, may)
}

// RunEnded: a packing run is over.
type RunEnded struct {
	Run    Code
	Reason string // of a gap, when it is known
}

func (x *RunEnded) fields(f *form) {
	f.ref(1, "run", &x.Run, need, only[Run])
	f.note(2, "reason", &x.Reason, may)
}

// SealTested: closures or portion seals of a run were tested.
type SealTested struct {
	Run    Code
	Batch  Code
	Tested int64
	Failed q.Figure
	Test   string // torque, vacuum, press
}

func (x *SealTested) fields(f *form) {
	f.ref(1, "run", &x.Run, need, only[Run])
	f.ref(2, "batch", &x.Batch, may, only[Batch])
	f.count(3, "tested", &x.Tested, need)
	f.fig(4, "failed", &x.Failed, need, q.Each)
	f.note(5, "test", &x.Test, may)
}

// GlassBroken: glass broke in a run.
type GlassBroken struct {
	Run     Code
	Nozzle  int64
	Jars    int64
	Cleared string // how far was cleared
	Resumed q.Figure
	Signed  string
}

func (x *GlassBroken) fields(f *form) {
	f.ref(1, "run", &x.Run, need, only[Run])
	f.count(2, "nozzle", &x.Nozzle, may)
	f.count(3, "jars_broken", &x.Jars, need)
	f.note(4, "cleared", &x.Cleared, may)
	f.fig(5, "stopped_for", &x.Resumed, may, q.Minute)
	f.note(6, "signed", &x.Signed, may)
}
