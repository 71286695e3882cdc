package web

import (
	"slices"
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// Send: the open orders by the day they are due, what to take for each, and what went.
type sendPage struct {
	*frame
	Text   string
	Orders []orderRow
	Sent   *sheet
	Acts   []option
}

// An orderRow is one order in short.
type orderRow struct {
	Order, Who, What, Due, Href, PickHref string
	State                                 chip
	Picks                                 bool // something of it can be taken now
}

const mostSent = 20

func (v *visit) send() error {
	p := sendPage{frame: v.frame("send", v.say("page.tab.send")), Text: v.say("page.send.text")}
	p.Acts = []option{{Text: v.say("page.orders"), Href: "/orders", Value: "list"}, {Text: v.say("page.materials"), Href: "/materials", Value: "box"}, {Text: v.say("page.labels"), Href: "/labels", Value: "print"}, {Text: v.say("page.complaints"), Href: "/complaints", Value: "watch"}}
	v.s.office.Read(func(h *office.View) {
		p.Orders = v.orderRows(h)
		for _, t := range h.OrdersAndSent().Tables {
			if t.Key == "sent" && len(t.Rows) > 0 {
				p.Sent = v.sheetTo(mostSent, t, 0, "/orders?show=sent")
			}
		}
	})
	return v.render("send", p)
}

// orderRows are the open orders with the worst of their lines as their state.
func (v *visit) orderRows(h *office.View) (all []orderRow) {
	worst := map[record.Code]answer.Mark{}
	for _, c := range h.Covers() {
		i := slices.IndexFunc(all, func(r orderRow) bool { return r.Order == string(c.Order.Code) })
		if i < 0 {
			i, all = len(all), append(all, orderRow{Order: string(c.Order.Code), Who: customerOf(h, c.Order.Customer), Due: v.text(dueCell(c.Order.Due)),
				Href: link("/orders", "of", string(c.Order.Code)), PickHref: link("/send/pick", "of", string(c.Order.Code))})
		}
		r := &all[i]
		r.What = strings.TrimPrefix(r.What+", "+v.c.Count(c.Open)+" × "+string(c.Product), ", ")
		r.Picks = r.Picks || c.PutBy+c.Goods > 0
		key, mark := c.Status(v.day())
		if r.State.Text == "" || mark > worst[c.Order.Code] {
			worst[c.Order.Code] = mark
			r.State = newChip(markClass(mark), v.say(key))
		}
	}
	return all
}

func dueCell(d record.Day) any {
	if d == 0 {
		return nil
	}
	return d
}

func customerOf(h *office.View, code record.Code) string {
	if c, ok := h.State.Goods.Customer(code); ok && c.Name != "" {
		return c.Name
	}
	return string(code)
}

// The pick list of one order: what was taken is ticked off and written down as sent.
type pickPage struct {
	*frame
	Entry *entry
	Head  string
	Takes []takeRow
	Lacks []answerLine
	Left  *sheet
	All   string // address of the list with all ticked
	Note  string
	Ship  string
	Empty string
	Order string
}

// A takeRow is one thing to take.
type takeRow struct {
	Value, Place, What, Lots, Best, Product, Touched string
	On                                               bool
}

func (v *visit) pick() error {
	of, err := v.must(v.of(), record.Order)
	if err != nil {
		return err
	}
	t := &task{Name: "send", Title: v.say("page.send.pick", "order", string(of)), Of: of, Back: "/send", Make: v.ticked(of)}
	var pick office.Pick
	var head string
	v.s.office.Read(func(h *office.View) {
		pick, err = h.Pick(office.PickAsk{Order: of})
		head = v.sentence(pick.Answer(h).Lines[0])
		t.Parts = []part{{Kind: record.KindSent, Fixed: map[string]string{"order": string(of), "customer": string(pick.Order.Customer)},
			Cells: []cell{{Name: "dispatch", Start: string(h.NextCode(record.Dispatch, "DN-01"))}, {Name: "carrier"}}}}
	})
	if err != nil {
		return err
	}
	p := pickPage{Head: head, Order: string(of), Note: link("/send/note", "of", string(of)), All: link("/send/pick", "of", string(of), "all", "yes"), Ship: v.arg("ship")}
	var saved bool
	if p.Entry, saved, err = v.take(t); err != nil || saved {
		return err
	}
	p.frame = v.frame("send", t.Title)
	p.about(of)
	var list answer.Answer
	v.s.office.Read(func(h *office.View) { list = pick.Answer(h) })
	if sent, err := v.onPaper(p.frame, v.say("paper.title.pick"), list); sent || err != nil {
		return err
	}
	ticked := v.r.PostForm["take"]
	for _, l := range pick.Lines {
		p.Takes = append(p.Takes, v.takeRow(l, ticked))
	}
	for _, l := range pick.Lacks {
		p.Lacks = append(p.Lacks, v.line(l.Why))
	}
	if t := tablesOf(list)["pick-left"]; len(t.Rows) > 0 {
		p.Left = v.sheet(t)
	}
	if len(p.Takes) == 0 {
		p.Empty = v.say("page.send.nothing")
	}
	return v.render("pick", p)
}

func (v *visit) takeRow(l office.PickLine, ticked []string) takeRow {
	r := takeRow{Value: lineKey(l.Line), Place: v.text(placeCell(l.Place)), What: v.sentence(l.Says()), Lots: v.text(l.Lots()), Product: string(l.Product)}
	if l.Best != 0 {
		r.Best = v.say("page.send.best", "day", v.text(l.Best))
	}
	if n := l.Units(); l.Cases.First > 0 || l.Line.What == l.Pallet && l.Pallet != "" {
		r.What += " · " + v.say("page.send.pieces", "n", n)
	}
	if len(l.Touched) > 0 {
		r.Touched = v.say("page.send.touched", "hold", v.text(l.Touched))
	}
	r.On = v.arg("all") != "" || slices.Contains(ticked, r.Value)
	return r
}

// lineKey is a line of a dispatch as a form sends it back.
func lineKey(l record.SentLine) string {
	return strings.Join([]string{string(l.What), l.Cases.Prefix, strconv.FormatInt(l.Cases.First, 10), strconv.FormatInt(l.Cases.Last, 10), strconv.FormatInt(l.Units, 10), l.Seal}, "\t")
}

// lineOf reads a line that a form sent back.
func lineOf(text string) (l record.SentLine, ok bool) {
	f := strings.Split(text, "\t")
	if len(f) != 6 {
		return l, false
	}
	l = record.SentLine{What: record.Code(f[0]), Cases: record.Cases{Prefix: f[1]}, Seal: f[5]}
	for i, to := range []*int64{&l.Cases.First, &l.Cases.Last, &l.Units} {
		n, err := strconv.ParseInt(f[2+i], 10, 64)
		if err != nil {
			return l, false
		}
		*to = n
	}
	return l, true
}

// ticked takes what was ticked into the dispatch. What the list does not propose any
// more is refused, unless it is this very entry again.
func (v *visit) ticked(of record.Code) func(*house.Draft) error {
	return func(d *house.Draft) error {
		sent, ok := d.Facts[0].(*record.Sent)
		if !ok {
			return nil
		}
		ship := strings.TrimSpace(v.r.PostForm.Get("ship"))
		var wrong error
		v.s.office.Read(func(h *office.View) {
			_, again := h.Batch(d.Key)
			pick, err := h.Pick(office.PickAsk{Order: of})
			if err != nil {
				wrong = err
				return
			}
			for _, text := range v.r.PostForm["take"] {
				l, ok := lineOf(text)
				if known := slices.ContainsFunc(pick.Lines, func(x office.PickLine) bool { return lineKey(x.Line) == text }); !ok || !known && !again {
					wrong = &house.Refusal{Key: "page.refused.pick-changed", Next: "page.refused.pick-again"}
					return
				}
				l.ShipTo = ship
				sent.Lines = append(sent.Lines, l)
			}
			wrong = freed(h, sent, again)
		})
		if wrong == nil && len(sent.Lines) == 0 {
			wrong = &house.Refusal{Key: "page.refused.nothing-ticked", Next: "page.refused.tick-first"}
		}
		return wrong
	}
}

// freed refuses a number of a delivery note that another dispatch has.
func freed(h *office.View, sent *record.Sent, again bool) error {
	if d, ok := h.State.Goods.Dispatch(sent.Dispatch); ok && !again {
		return &house.Refusal{Key: "page.refused.note-used", Args: answer.Args{"dispatch": d.Sent.Dispatch}, Next: "next.other-number"}
	}
	return nil
}

// note is a delivery note to print.
func (v *visit) note() error {
	p := goodsPage{frame: v.frame("send", v.say("paper.title.delivery-note")), Print: true}
	var a answer.Answer
	var err error
	v.s.office.Read(func(h *office.View) { a, err = h.DeliveryNote(v.of(), record.At(v.now)) })
	if err != nil {
		return &notThere{v.of(), nil}
	}
	p.Title += " · " + string(a.Of)
	p.about(a.Of)
	if sent, err := v.onPaper(p.frame, v.say("paper.title.delivery-note"), a); sent || err != nil {
		return err
	}
	v.answered(&p, a)
	return v.render("goods", p)
}

// A goodsPage shows an answer about orders, materials or products with what can be done.
type goodsPage struct {
	*frame
	Text    string
	Acts    []option
	Lines   []answerLine
	Orders  []orderRow
	Sheets  []*sheet
	Rests   []string
	Print   bool
	Empty   string
	Choices []option
}

// answered puts an answer on the page.
func (v *visit) answered(p *goodsPage, a answer.Answer, without ...string) {
	for _, f := range p.Files { // a long table below must not hide them
		p.Acts = append(p.Acts, option{Text: f.Text, Href: f.Href, Value: "print"})
	}
	p.Files = nil
	if a.Cannot != nil {
		p.Lines = append(p.Lines, v.line(*a.Cannot))
	}
	for _, l := range a.Lines {
		p.Lines = append(p.Lines, v.line(l))
	}
	for _, t := range a.Tables {
		if len(t.Rows) > 0 {
			s := v.sheet(t, without...)
			s.Count = len(s.Rows)
			p.Sheets = append(p.Sheets, s)
		}
	}
	for _, l := range append(slices.Clone(a.Sources), a.Rests...) {
		p.Rests = append(p.Rests, v.sentence(l))
	}
}
