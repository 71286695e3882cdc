package web

import (
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// Orders: all of them, or one with its lines against what is free, and what can be done
// about it.
func (v *visit) orders() error {
	if v.of() != "" {
		return v.order()
	}
	p := goodsPage{frame: v.frame("send", v.say("page.orders")), Text: v.say("page.orders.text"), Empty: v.say("page.orders.none")}
	p.Acts = []option{{Text: v.say("page.orders.new"), Href: link("/do/order", "back", "/orders"), Value: "pencil"}, {Text: v.say("page.orders.table"), Href: "/bring-in?kind=order-taken", Value: "down"}}
	var a answer.Answer
	v.s.office.Read(func(h *office.View) {
		p.Orders = v.orderRows(h)
		weeks := h.Unfilled(v.day())
		a = h.OrderList(v.day())
		a.Lines, a.Tables = append(a.Lines, weeks.Lines...), append(a.Tables, weeks.Tables...)
		for _, l := range weeks.Lines {
			p.Lines = append(p.Lines, v.line(l))
		}
		for _, t := range append(weeks.Tables, h.OrderList(v.day()).Tables...) {
			if len(t.Rows) > 0 && t.Key != "orders" {
				s := v.sheet(t)
				s.Count = len(s.Rows)
				p.Sheets = append(p.Sheets, s)
			}
		}
	})
	if sent, err := v.onPaper(p.frame, v.say("paper.title.orders"), a); sent || err != nil {
		return err
	}
	return v.render("goods", p)
}

func (v *visit) order() error {
	of, err := v.must(v.of(), record.Order)
	if err != nil {
		return err
	}
	p := goodsPage{frame: v.frame("send", v.say("page.send.order")+" · "+string(of))}
	p.about(of)
	back := link("/orders", "of", string(of))
	var a answer.Answer
	v.s.office.Read(func(h *office.View) {
		a = h.OrderOf(of, v.day())
		o, _ := h.State.Goods.Order(of)
		if o.Open() {
			p.Acts = append(p.Acts, option{Text: v.say("page.send.take"), Href: link("/send/pick", "of", string(of)), Value: "send"},
				option{Text: v.say("page.task.promise"), Href: link("/do/promise", "of", string(of), "back", back), Value: "hand"})
			if len(h.BlendLines(o)) > 0 {
				p.Acts = append(p.Acts, option{Text: v.say("page.tab.blend"), Href: link("/blend/for", "order", string(of), "product", string(h.BlendLines(o)[0].Product)), Value: "blend"})
			}
			if len(h.State.Goods.PromisesTo(of)) > 0 {
				p.Acts = append(p.Acts, option{Text: v.say("page.task.promise-back"), Href: link("/do/promise-back", "of", string(of), "back", back), Value: "undo"})
			}
			p.Acts = append(p.Acts, option{Text: v.say("page.task.order-drop"), Href: link("/do/order-drop", "of", string(of), "back", back), Value: "close"})
		}
		p.Acts = append(p.Acts, option{Text: v.say("page.send.note"), Href: link("/send/note", "of", string(of)), Value: "print"},
			option{Text: v.say("page.tab.trace"), Href: link("/trace", "of", string(of)), Value: "trace"},
			option{Text: v.say("page.history"), Href: link("/history", "of", string(of)), Value: "list"})
		v.answered(&p, a)
	})
	if sent, err := v.onPaper(p.frame, v.say("page.send.order"), a); sent || err != nil {
		return err
	}
	return v.render("goods", p)
}

const orderLines = 4

// orderTask takes an order.
func (v *visit) orderTask(record.Code) (*task, error) {
	t := &task{Go: v.say("page.task.order.go"), Back: local(v.arg("back")), Keys: true}
	v.s.office.Read(func(h *office.View) {
		cells := []cell{{Name: "order", Start: string(h.NextCode(record.Order, "O-01"))}, {Name: "customer", Likely: named(h, record.Customer, nil)}, {Name: "due"}}
		for i := range orderLines {
			n := "lines." + string(rune('1'+i))
			cells = append(cells, cell{Name: n + ".product", Likely: named(h, record.Product, nil), Free: i > 0}, cell{Name: n + ".units", Free: i > 0, Unit: v.say("page.send.unit")})
		}
		t.Parts = []part{{Kind: record.KindOrderTaken, Cells: append(cells, cell{Name: "terms"})}}
	})
	return t, nil
}

// orderDropTask says that an order will not be filled.
func (v *visit) orderDropTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Order)
	if err != nil {
		return nil, err
	}
	return &task{Of: of, Alarm: true, Title: v.say("page.task.order-drop") + " · " + string(of),
		Parts: []part{{Kind: record.KindOrderDropped, Fixed: map[string]string{"order": string(of)}, Cells: []cell{{Name: "reason"}}}}}, nil
}

// promiseTask puts by for an order what is free; what is short is told before.
func (v *visit) promiseTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Order)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Title: v.say("page.task.promise") + " · " + string(of), Go: v.say("page.task.promise")}
	var facts []record.Fact
	var lacks []office.Lack
	v.s.office.Read(func(h *office.View) { facts, lacks, err = h.PutBy(of, true) })
	if err != nil {
		return nil, err
	}
	var says []string
	for _, f := range facts {
		p := f.(*record.Promised)
		if p.Units > 0 {
			says = append(says, v.c.Count(p.Units)+" × "+string(p.What[0]))
		} else {
			says = append(says, string(p.What[0]))
		}
	}
	t.About = v.say("page.task.promise.nothing")
	if len(says) > 0 {
		t.About = v.say("page.task.promise.what", "what", v.c.List(says))
	}
	var short []string
	for _, l := range lacks {
		short = append(short, v.sentence(l.Why))
	}
	if len(short) > 0 {
		t.Note, t.Go = strings.Join(short, " "), v.say("page.task.promise.some")
	}
	t.Make = func(d *house.Draft) error {
		var again bool
		v.s.office.Read(func(h *office.View) {
			_, again = h.Batch(d.Key)
		})
		if len(facts) == 0 && !again {
			return &house.Refusal{Key: "page.task.promise.nothing", Args: answer.Args{}, Next: "next.promise-less"}
		}
		d.Facts = append(d.Facts, facts...)
		return nil
	}
	return t, nil
}

// promiseBackTask frees what is put by.
func (v *visit) promiseBackTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Order)
	if err != nil {
		return nil, err
	}
	var likely []option
	v.s.office.Read(func(h *office.View) {
		for _, p := range h.State.Goods.PromisesTo(of) {
			o := option{Value: string(p.What), Text: string(p.What), On: true}
			if p.Units > 0 {
				o.Note = v.c.Count(p.Units)
			}
			likely = append(likely, o)
		}
	})
	return &task{Of: of, Title: v.say("page.task.promise-back") + " · " + string(of),
		Parts: []part{{Kind: record.KindPromiseTakenBack, Fixed: map[string]string{"order": string(of)}, Cells: []cell{{Name: "what", Likely: likely, Need: true}, {Name: "reason"}}}}}, nil
}

// Products: what is made and sold, with what a unit is packed in and what goes in.
func (v *visit) products() error {
	p := goodsPage{frame: v.frame("", v.say("page.products")), Text: v.say("page.products.text"), Empty: v.say("page.stock.none")}
	p.Acts = []option{{Text: v.say("page.products.new"), Href: "/setup/products", Value: "pencil"}}
	v.s.office.Read(func(h *office.View) {
		if of := v.of(); of != "" {
			v.product(h, &p, of)
			return
		}
		a := answer.Answer{}
		t := a.Table("products", "code", "name", "kind", "label_mg", "allergens", "honey", "material")
		for _, x := range h.State.Goods.Products() {
			r, _ := h.State.Goods.Recipe(x.ProductNamed.Product, v.day())
			var honey any
			var stuff []record.Code
			if r.RecipeSet != nil {
				for _, l := range r.Lines {
					if l.Honey != "" {
						honey = l.Honey
					}
					if l.Material != "" {
						stuff = append(stuff, l.Material)
					}
				}
			}
			var allergens, label any
			if x.Allergens != "" {
				allergens = x.Allergens
			}
			if x.Label.Given() {
				label = x.Label.Figure
			}
			var material any
			if len(stuff) > 0 {
				material = stuff
			}
			t.Row(answer.Plain, x.ProductNamed.Product, x.Name, answer.Key(x.What.Key()), label, allergens, honey, material)
		}
		v.answered(&p, a)
		for _, s := range p.Sheets {
			for i := range s.Rows {
				s.Rows[i].Cells[0].Href = link("/products", "of", s.Rows[i].Cells[0].Text)
			}
		}
	})
	return v.render("goods", p)
}

// product is one product: its recipe, and the honey in it for the label.
func (v *visit) product(h *office.View, p *goodsPage, of record.Code) {
	x, ok := h.State.Goods.Product(of)
	if !ok {
		p.Lines = append(p.Lines, v.line(answer.Line{Key: "page.products.none", Args: answer.Args{"product": of}, Mark: answer.Care}))
		return
	}
	p.Title = string(x.ProductNamed.Product)
	p.Acts = []option{{Text: v.say("page.task.recipe"), Href: link("/do/recipe", "of", p.Title, "back", link("/products", "of", p.Title)), Value: "pencil"},
		{Text: v.say("page.history"), Href: link("/history", "of", p.Title), Value: "list"}}
	if k, ok := h.Kitchen(of, v.arg("cooking") != ""); ok {
		v.answered(p, k.Answer(h))
		p.Choices = []option{{Text: v.say("purpose.table"), Href: link("/products", "of", p.Title), On: v.arg("cooking") == ""},
			{Text: v.say("purpose.cooking"), Href: link("/products", "of", p.Title, "cooking", "yes"), On: v.arg("cooking") != ""}}
		return
	}
	a := answer.Answer{}
	t := a.Table("recipe", "ingredient", "honey", "pieces", "for_units", "mass_g")
	if r, ok := h.State.Goods.Recipe(of, v.day()); ok {
		for _, l := range r.Lines {
			var what, honey, each, per, mass any
			if l.Material != "" {
				what, each, per = l.Material, max(1, l.Each), max(1, l.ForUnits)
			}
			if l.Honey != "" {
				honey = l.Honey
			}
			if l.Mass.Given() {
				mass = l.Mass.Grams()
			}
			t.Row(answer.Plain, what, honey, each, per, mass)
		}
	}
	v.answered(p, a)
}

// recipeTask says what a product is made of and packed in from now on.
func (v *visit) recipeTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Product)
	if err != nil {
		return nil, err
	}
	t := &task{Of: of, Title: v.say("page.task.recipe") + " · " + string(of), Keys: true, Note: v.say("page.task.recipe.note")}
	v.s.office.Read(func(h *office.View) {
		cells := []cell{{Name: "lines.1.honey", Free: true}, {Name: "lines.1.mass", Free: true}}
		stuff := named(h, record.Material, nil)
		for i := range orderLines + 2 {
			n := "lines." + string(rune('2'+i))
			cells = append(cells, cell{Name: n + ".material", Likely: stuff, Free: true}, cell{Name: n + ".pieces", Free: true}, cell{Name: n + ".for_units", Free: true}, cell{Name: n + ".mass", Free: true})
		}
		t.Parts = []part{{Kind: record.KindRecipeSet, Fixed: map[string]string{"product": string(of)}, Cells: append(cells, cell{Name: "yield"})}}
	})
	return t, nil
}
