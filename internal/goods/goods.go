// Package goods is the state of what is made, kept and sold, folded from facts:
// products, units of each batch, cases, pallets, dispatches, orders, promises,
// materials, complaints. It counts units; grams are the content graph's.
//
// Facts come in the order in which they happened. What happened is never refused:
// what can't be or should not be so shows in [Goods.Flags].
package goods

import (
	"maps"
	"slices"

	"combline/internal/record"
)

// A Stamp says which fact something rests on and when that happened.
type Stamp struct {
	Fact uint64 // number in the ledger
	When record.When
}

func stamp(e *record.Entry) Stamp { return Stamp{e.Seq, e.When} }

// Day is the local calendar day.
func (s Stamp) Day() record.Day {
	m := s.When.Minute + int64(s.When.Offset)
	d := m / 1440
	if m%1440 < 0 {
		d--
	}
	return record.Day(d)
}

// Goods is the state. The zero Goods is empty and ready. It keeps facts that it
// was given; nobody changes them.
type Goods struct {
	products   map[string]Product
	recipes    map[string][]Recipe
	customers  map[string]Customer
	suppliers  map[string]Supplier
	runs       map[string]Run
	batches    map[string]*batch
	early      map[string]early
	series     map[string]*series // cases by folded prefix
	pallets    map[string]pallet
	dispatches []Dispatch
	byDispatch map[string]int32
	drums      map[string][]SentLine // sent whole, by folded code
	returns    []Return
	orders     map[string]*order
	promises   map[string][]Promise // by folded code of what is put by
	materials  map[string]Material
	lots       map[string]*materialLot
	uses       map[string][]Use // by folded code of the run or batch
	onOrder    []OnOrder
	complaints []Complaint
	recalls    []Recall
	odd        []Flag // oddities that show in the fact alone
}

// New returns empty goods.
func New() *Goods { return &Goods{} }

// Clone returns an independent copy. What is only ever added to is shared.
func (g *Goods) Clone() *Goods {
	c := &Goods{
		products: maps.Clone(g.products), recipes: clip(g.recipes), customers: maps.Clone(g.customers), suppliers: maps.Clone(g.suppliers),
		runs: maps.Clone(g.runs), early: maps.Clone(g.early), batches: make(map[string]*batch, len(g.batches)), series: make(map[string]*series, len(g.series)),
		pallets: make(map[string]pallet, len(g.pallets)), dispatches: slices.Clip(g.dispatches), byDispatch: maps.Clone(g.byDispatch), drums: clip(g.drums),
		returns: slices.Clip(g.returns), orders: make(map[string]*order, len(g.orders)), promises: make(map[string][]Promise, len(g.promises)),
		materials: maps.Clone(g.materials), lots: make(map[string]*materialLot, len(g.lots)), uses: clip(g.uses),
		onOrder: slices.Clone(g.onOrder), complaints: slices.Clone(g.complaints), recalls: slices.Clone(g.recalls), odd: slices.Clip(g.odd),
	}
	for k, b := range g.batches {
		c.batches[k] = b.clone()
	}
	for k, s := range g.series {
		c.series[k] = &series{s.prefix, slices.Clone(s.pieces)}
	}
	for k, p := range g.pallets {
		p.cases = slices.Clip(p.cases)
		c.pallets[k] = p
	}
	for k, o := range g.orders {
		c.orders[k] = o.clone()
	}
	for k, p := range g.promises {
		c.promises[k] = slices.Clone(p)
	}
	for k, l := range g.lots {
		c.lots[k] = l.clone()
	}
	return c
}

// clip copies a map of lists that are only ever added to.
func clip[T any](m map[string][]T) map[string][]T {
	c := make(map[string][]T, len(m))
	for k, list := range m {
		c[k] = slices.Clip(list)
	}
	return c
}

// put sets m[k], making the map first where there is none.
func put[T any](m *map[string]T, k string, v T) {
	if *m == nil {
		*m = map[string]T{}
	}
	(*m)[k] = v
}

// Fold takes in a fact of the goods and passes over every other.
func (g *Goods) Fold(e *record.Entry) {
	switch f := e.Fact.(type) {
	case *record.RunStarted:
		g.runStarted(f, stamp(e))
	case *record.JarsFilled:
		g.jarsFilled(f, stamp(e))
	case *record.BatchMade:
		g.batchMade(f, stamp(e))
	case *record.Regraded:
		g.regraded(f, stamp(e))
	case *record.Retained:
		b := g.batch(f.Batch)
		b.retained, b.outAt = b.retained+g.units(f.Units, f.Batch, e), stamp(e)
	case *record.TippedBack:
		b := g.batch(f.Batch)
		b.tipped, b.outAt = b.tipped+g.units(f.Units, f.Batch, e), stamp(e)
	case *record.Destroyed:
		g.destroyed(f, e)
	case *record.Cased:
		g.cased(f, stamp(e))
	case *record.Palletised:
		g.palletised(f, stamp(e))
	case *record.Sent:
		g.sent(f, stamp(e))
	case *record.Returned:
		g.returned(f, e)
	default:
		g.foldOffice(e)
	}
}

// foldOffice takes in the facts of orders, parties and materials.
func (g *Goods) foldOffice(e *record.Entry) {
	switch f := e.Fact.(type) {
	case *record.ProductNamed:
		put(&g.products, f.Product.Fold(), Product{f, stamp(e)})
	case *record.RecipeSet:
		k := f.Product.Fold()
		put(&g.recipes, k, append(g.recipes[k], Recipe{f, stamp(e)}))
	case *record.CustomerNamed:
		put(&g.customers, f.Customer.Fold(), Customer{f, stamp(e)})
	case *record.SupplierNamed:
		put(&g.suppliers, f.Supplier.Fold(), Supplier{f, stamp(e)})
	case *record.OrderTaken:
		o := g.order(f.Order)
		o.taken, o.takenAt = f, stamp(e)
	case *record.OrderDropped:
		g.orderDropped(f, stamp(e))
	case *record.Promised:
		g.promised(f, stamp(e))
	case *record.PromiseTakenBack:
		g.takenBack(f)
	case *record.MaterialNamed:
		put(&g.materials, f.Material.Fold(), Material{f, stamp(e)})
	case *record.MaterialReceived:
		g.materialReceived(f, stamp(e))
	case *record.MaterialUsed:
		g.use(f.Lot, Use{For: f.For, Amount: f.Amount, Spoilt: f.Spoilt, Stamp: stamp(e)})
	case *record.MaterialCounted:
		g.materialCounted(f, stamp(e))
	case *record.MaterialOrdered:
		g.onOrder = append(g.onOrder, OnOrder{f.Material, f.Supplier, levelOf(f.Amount), f.Due, stamp(e)})
	case *record.ComplaintTaken:
		g.complaintTaken(f, stamp(e))
	case *record.ComplaintAnswered:
		g.complaintAnswered(f, stamp(e))
	case *record.RecallStarted:
		g.recallStarted(f, stamp(e))
	case *record.RecallStep:
		g.recallStep(f, stamp(e))
	case *record.RecallEnded:
		g.recallEnded(f, stamp(e))
	}
}
