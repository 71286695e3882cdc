package record

import q "combline/internal/quantity"

// Facts of orders, goods out, complaints, recalls and materials.

// CustomerNamed: somebody buys.
type CustomerNamed struct {
	Customer Code
	Name     string
	Contact  string
	Country  string
}

func (x *CustomerNamed) fields(f *form) {
	f.names(1, "customer", &x.Customer, need, Customer)
	f.note(2, "name", &x.Name, may)
	f.note(3, "contact", &x.Contact, may)
	f.note(4, "country", &x.Country, may)
}

// SupplierNamed: somebody sells to the house.
type SupplierNamed struct {
	Supplier Code
	Name     string
	Contact  string
	Country  string
	Approved Truth
}

func (x *SupplierNamed) fields(f *form) {
	f.names(1, "supplier", &x.Supplier, need, Supplier)
	f.note(2, "name", &x.Name, may)
	f.note(3, "contact", &x.Contact, may)
	f.note(4, "country", &x.Country, may)
	f.truth(5, "approved", &x.Approved, may)
}

// An OrderLine is one product of an order.
type OrderLine struct {
	Product Code
	Units   int64
	Drums   []Code // when the buyer chose the drums
	Price   q.Figure
}

// OrderTaken: a customer ordered.
type OrderTaken struct {
	Order    Code
	Customer Code
	Lines    []OrderLine
	Due      Day
	Terms    string
}

func (x *OrderTaken) fields(f *form) {
	f.names(1, "order", &x.Order, need, Order)
	f.ref(2, "customer", &x.Customer, need, only[Customer])
	each(f, 3, "lines", &x.Lines, func(f *form, l *OrderLine) {
		f.ref(1, "product", &l.Product, need, only[Product])
		f.count(2, "units", &l.Units, need)
		f.refs(3, "drums", &l.Drums, may, only[Filling])
		f.fig(4, "price", &l.Price, may, q.Money)
	})
	f.day(4, "due", &x.Due, need)
	f.note(5, "terms", &x.Terms, may)
}

// OrderDropped: an order will not be filled.
type OrderDropped struct {
	Order  Code
	Reason string
}

func (x *OrderDropped) fields(f *form) {
	f.ref(1, "order", &x.Order, need, only[Order])
	f.note(2, "reason", &x.Reason, need)
}

// Promised: honey or goods were put by for an order.
type Promised struct {
	Order Code
	What  []Code
	Units int64
	Note  string
}

func (x *Promised) fields(f *form) {
	f.ref(1, "order", &x.Order, need, only[Order])
	f.refs(2, "what", &x.What, need, sellable)
	f.count(3, "units", &x.Units, may)
	f.note(4, "note", &x.Note, may)
}

// PromiseTakenBack: what was put by for an order is free again.
type PromiseTakenBack struct {
	Order  Code
	What   []Code
	Reason string
}

func (x *PromiseTakenBack) fields(f *form) {
	f.ref(1, "order", &x.Order, need, only[Order])
	f.refs(2, "what", &x.What, need, sellable)
	f.note(3, "reason", &x.Reason, may)
}

// Cases is a run of case numbers, "R1-C" 1 to 200.
type Cases struct {
	Prefix      string
	First, Last int64
}

func (x *Cases) fields(f *form) {
	f.note(1, "prefix", &x.Prefix, need)
	f.count(2, "first", &x.First, need)
	f.count(3, "last", &x.Last, need)
}

// Count is how many cases there are.
func (x Cases) Count() int64 { return x.Last - x.First + 1 }

// Cased: units were packed in numbered cases. Batches are in the order of packing;
// the cases take their units in turn.
type Cased struct {
	Batches []CasedFrom
	Cases   Cases
	PerCase int64
}

// CasedFrom is how many units of one batch went into the cases.
type CasedFrom struct {
	Batch Code
	Units int64
}

func (x *Cased) fields(f *form) {
	each(f, 1, "batches", &x.Batches, func(f *form, b *CasedFrom) {
		f.ref(1, "batch", &b.Batch, need, only[Batch])
		f.count(2, "units", &b.Units, need)
	})
	each1(f, 2, "cases", &x.Cases, func(f *form, c *Cases) { c.fields(f) })
	f.count(3, "units_a_case", &x.PerCase, need)
}

// Palletised: cases were put on a pallet.
type Palletised struct {
	Pallet Code
	Cases  []Cases
	Place  Code
}

func (x *Palletised) fields(f *form) {
	f.names(1, "pallet", &x.Pallet, need, Pallet)
	each(f, 2, "cases", &x.Cases, func(f *form, c *Cases) { c.fields(f) })
	f.ref(3, "place", &x.Place, may, only[Place])
}

// A SentLine is one thing that went: cases, a pallet, loose units of a batch, or a whole drum.
type SentLine struct {
	What   Code // batch, filling, vessel or pallet
	Cases  Cases
	Units  int64
	ShipTo string // which shop, when the customer has several
	Seal   string
}

// Sent: goods left the house.
type Sent struct {
	Dispatch Code
	Order    Code
	Customer Code
	Lines    []SentLine
	Carrier  string
	Paper    string
}

func (x *Sent) fields(f *form) {
	f.names(1, "dispatch", &x.Dispatch, need, Dispatch)
	f.ref(2, "order", &x.Order, may, only[Order])
	f.ref(3, "customer", &x.Customer, need, only[Customer])
	each(f, 4, "lines", &x.Lines, func(f *form, l *SentLine) {
		f.ref(1, "what", &l.What, may, sellable)
		each1(f, 2, "cases", &l.Cases, func(f *form, c *Cases) { c.fields(f) })
		f.count(3, "units", &l.Units, may)
		f.note(4, "ship_to", &l.ShipTo, may)
		f.note(5, "seal", &l.Seal, may)
	})
	f.note(5, "carrier", &x.Carrier, may)
	f.note(6, "paper", &x.Paper, may)
}

// Returned: goods came back.
type Returned struct {
	Dispatch Code
	Batch    Code
	Units    int64
	To       Code // the batch mark that they bear from now on; back in stock
	Reason   string
}

func (x *Returned) fields(f *form) {
	f.ref(1, "dispatch", &x.Dispatch, need, only[Dispatch])
	f.ref(2, "batch", &x.Batch, need, only[Batch])
	f.count(3, "units", &x.Units, need)
	f.names(4, "to", &x.To, need, Batch)
	f.note(5, "reason", &x.Reason, may)
}

// A ComplaintClass is the kind of fault.
type ComplaintClass uint8

const (
	FaultFerment ComplaintClass = iota + 1
	FaultForeignBody
	FaultWeight
	FaultSet
	FaultTaste
	FaultLeak
	FaultIll
	FaultLabel
	FaultOther
)

var complaintNames = []string{"", "ferment", "foreign body", "weight", "set", "taste", "leak", "ill", "label", "other"}

func (c ComplaintClass) String() string { return complaintNames[c] }

// ComplaintTaken: a customer complained.
type ComplaintTaken struct {
	Complaint Code
	Customer  Code
	Mark      Code // the lot mark on the jar
	Class     ComplaintClass
	Units     int64
	What      string
	Bought    string // where it was bought
}

func (x *ComplaintTaken) fields(f *form) {
	f.names(1, "complaint", &x.Complaint, need, Complaint)
	f.ref(2, "customer", &x.Customer, may, only[Customer])
	f.ref(3, "mark", &x.Mark, may, marked)
	choice(f, 4, "class", &x.Class, need, complaintNames)
	f.count(5, "units", &x.Units, may)
	f.note(6, "what", &x.What, may)
	f.note(7, "bought_at", &x.Bought, may)
}

// ComplaintAnswered: a complaint was dealt with.
type ComplaintAnswered struct {
	Complaint Code
	Answer    string
}

func (x *ComplaintAnswered) fields(f *form) {
	f.ref(1, "complaint", &x.Complaint, need, only[Complaint])
	f.note(2, "answer", &x.Answer, need)
}

// A RecallKind is how far goods are called back.
type RecallKind uint8

const (
	PracticeRecall RecallKind = iota + 1
	Withdrawal                // from shops
	FullRecall                // from homes
)

var recallNames = []string{"", "practice", "withdrawal", "recall"}

func (k RecallKind) String() string { return recallNames[k] }

// RecallStarted: goods are called back, or it is practised.
type RecallStarted struct {
	Recall Code
	Scope  RecallKind
	Cause  Cause
	Roots  []Code
	Told   string // which authority was told
	Reason string
}

func (x *RecallStarted) fields(f *form) {
	f.names(1, "recall", &x.Recall, need, Recall)
	choice(f, 2, "kind", &x.Scope, need, recallNames)
	choice(f, 3, "cause", &x.Cause, need, causeNames)
	f.refs(4, "roots", &x.Roots, need, holdRoot)
	f.note(5, "told", &x.Told, may)
	f.note(6, "reason", &x.Reason, may)
}

// RecallEnded: what came back of a recall was counted.
type RecallEnded struct {
	Recall    Code
	Back      q.Figure
	Destroyed q.Figure
	Note      string
}

func (x *RecallEnded) fields(f *form) {
	f.ref(1, "recall", &x.Recall, need, only[Recall])
	f.fig(2, "units_back", &x.Back, may, q.Each)
	f.fig(3, "units_destroyed", &x.Destroyed, may, q.Each)
	f.note(4, "note", &x.Note, may)
}

// MaterialNamed: jars, lids, labels, film, ingredients have a name.
type MaterialNamed struct {
	Material Code
	What     string
	Unit     string // pieces, or the unit in which it is weighed
	WaitDays int64  // calendar days from order to dock
	Spare    q.Figure
}

func (x *MaterialNamed) fields(f *form) {
	f.names(1, "material", &x.Material, need, Material)
	f.note(2, "what", &x.What, may)
	f.note(3, "unit", &x.Unit, may)
	f.count(4, "wait_days", &x.WaitDays, may)
	f.fig(5, "spare", &x.Spare, may, q.Pct)
}

// An Amount is a count of pieces or a weight of material.
type Amount struct {
	Pieces q.Figure
	Mass   Weight
}

func (x *Amount) fields(f *form) {
	f.fig(1, "pieces", &x.Pieces, may, q.Each)
	f.weight(2, "mass", &x.Mass, may, q.KgUnit)
}

// MaterialReceived: a lot of material came in.
type MaterialReceived struct {
	Lot      Code
	Material Code
	Supplier Code
	TheirLot string
	Amount   Amount
	Paper    string
}

func (x *MaterialReceived) fields(f *form) {
	f.names(1, "lot", &x.Lot, need, MaterialLot)
	f.ref(2, "material", &x.Material, need, only[Material])
	f.ref(3, "supplier", &x.Supplier, may, only[Supplier])
	f.note(4, "their_lot", &x.TheirLot, may)
	each1(f, 5, "amount", &x.Amount, func(f *form, a *Amount) { a.fields(f) })
	f.note(6, "paper", &x.Paper, may)
}

// MaterialUsed: material went into a run or batch, spoilt pieces apart.
type MaterialUsed struct {
	Lot    Code
	For    Code
	Amount Amount
	Spoilt q.Figure
}

func (x *MaterialUsed) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[MaterialLot])
	f.ref(2, "for", &x.For, need, packed)
	each1(f, 3, "amount", &x.Amount, func(f *form, a *Amount) { a.fields(f) })
	f.fig(4, "spoilt", &x.Spoilt, may, q.Each)
}

// MaterialCounted: so much of a lot of material is there.
type MaterialCounted struct {
	Lot    Code
	Amount Amount
}

func (x *MaterialCounted) fields(f *form) {
	f.ref(1, "lot", &x.Lot, need, only[MaterialLot])
	each1(f, 2, "amount", &x.Amount, func(f *form, a *Amount) { a.fields(f) })
}

// MaterialOrdered: material was ordered from a supplier.
type MaterialOrdered struct {
	Material Code
	Supplier Code
	Amount   Amount
	Due      Day
}

func (x *MaterialOrdered) fields(f *form) {
	f.ref(1, "material", &x.Material, need, only[Material])
	f.ref(2, "supplier", &x.Supplier, may, only[Supplier])
	each1(f, 3, "amount", &x.Amount, func(f *form, a *Amount) { a.fields(f) })
	f.day(4, "due", &x.Due, may)
}
