package cli

import (
	"context"
	"errors"
	"strconv"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

type orderCommand struct {
	Order   string `arg:"" optional:"" help:"An order; without it, every open order, the first due first."`
	Take    string `placeholder:"FILE" help:"Take orders from a table as CSV with the columns order, customer, product, units, due; one row for each line of an order. All rows, or none; - is standard input."`
	Promise bool   `help:"Put by for the order what is free, first expired first out; refused when that does not do."`
	Some    bool   `help:"With --promise: put by as far as it goes."`
	Drop    string `placeholder:"REASON" help:"The order will not be filled."`
	Weeks   bool   `help:"What is promised and can't be filled, by week."`
	Sell    string `placeholder:"CODES" help:"What if these drums were sold now: D065, D066. Nothing is recorded."`
	Can     string `placeholder:"N PRODUCT" help:"Can so much be promised, as \"9600 blend 340\"? With --by. Nothing is recorded."`
	By      string `placeholder:"DAY" help:"By when, for --can."`
	On      string `placeholder:"TIME" help:"As it was known then; nothing is recorded."`
	Decimal string `enum:"point,comma,either" default:"either" help:"The sign before the decimals in a table: point or comma. Without it, a figure that could be read both ways is asked back."`
	writer
	onPaper
}

func (c *orderCommand) Run(ctx context.Context, a *app) error {
	switch {
	case c.On != "" && (c.Take != "" || c.Promise || c.Drop != ""):
		return usage("on-writes")
	case c.Take != "":
		return c.take(ctx, a)
	case c.Promise || c.Drop != "":
		return c.write(ctx, a)
	}
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	x, err := c.ask(ctx, h)
	var wrong *office.BlendWrong
	if errors.As(err, &wrong) {
		return a.wrongAsk(err)
	}
	if err != nil {
		return err
	}
	if c.asked() && x.Cannot == nil {
		return c.onPaper.write(a, h, "paper.title.orders", x)
	}
	return a.show(x)
}

// ask answers a question about orders.
func (c *orderCommand) ask(ctx context.Context, h *opened) (x answer.Answer, err error) {
	var by record.Day
	var n int64
	var product record.Code
	if c.Can != "" {
		if n, product, by, err = c.wanted(h); err != nil {
			return x, err
		}
	}
	err = h.known(ctx, c.On, func(v *office.View, today record.Day) error {
		switch {
		case c.Can != "":
			x, err = v.CanPromise(product, n, by, today)
		case c.Sell != "":
			x, err = v.IfSold(office.ParseCodes(c.Sell), today)
		case c.Weeks:
			x = v.Unfilled(today)
		case c.Order != "":
			x = v.OrderOf(record.Code(c.Order), today)
		default:
			x = v.OrderList(today)
		}
		return err
	})
	return x, err
}

// known lends the house as it is, or as it was known at a time.
func (h *opened) known(ctx context.Context, on string, use func(*office.View, record.Day) error) (err error) {
	if on == "" {
		h.Read(func(v *office.View) { err = use(v, record.DayOf(h.Now())) })
		return err
	}
	when, err := h.when(on)
	if err != nil {
		return err
	}
	at := when.Time()
	if when.Precision == record.ToDay { // all that was known that day
		at = at.Add(24*time.Hour - time.Second)
	}
	v, err := h.AsOf(ctx, at)
	if err != nil {
		return err
	}
	return use(v, record.DayOf(at))
}

// wanted reads --can and --by.
func (c *orderCommand) wanted(h *opened) (n int64, product record.Code, by record.Day, err error) {
	number, rest, _ := strings.Cut(strings.TrimSpace(c.Can), " ")
	n, err = strconv.ParseInt(number, 10, 64)
	product = record.Code(strings.TrimSpace(rest))
	if err != nil || product == "" || n <= 0 || n > 1<<40 {
		return 0, "", 0, usage("can", "typed", c.Can)
	}
	if c.By == "" {
		return 0, "", 0, usage("can-by")
	}
	day, err := time.Parse(time.DateOnly, c.By)
	if err != nil {
		return 0, "", 0, usage("period", "typed", c.By)
	}
	return n, product, dayOf(day), nil
}

// take records a table of orders: all of it, or nothing.
func (c *orderCommand) take(ctx context.Context, a *app) error {
	content, err := a.contents(c.Take)
	if err != nil {
		return err
	}
	header, rows, bad := office.ReadTable(content)
	header, rows = office.OrderColumns(header, rows)
	if bad = append(bad, office.NotColumns(record.KindOrderTaken, header)...); len(bad) > 0 {
		return a.badTable(bad)
	}
	if len(rows) == 0 {
		return usage("no-row", "file", c.Take)
	}
	h, err := a.writing(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	d, err := c.draft(h, office.TableKey(record.KindOrderTaken, content))
	if err != nil {
		return err
	}
	if bad := office.StampRows(record.KindOrderTaken, rows, h.when); len(bad) > 0 {
		return a.badTable(bad)
	}
	style := map[string]quantity.NumberStyle{"point": quantity.DecimalPoint, "comma": quantity.DecimalComma}[c.Decimal]
	if first, ok := recordedBefore(h, d.Key); ok {
		var parts uint32
		h.Read(func(v *office.View) {
			if e, err := v.Fact(first); err == nil {
				parts = e.Parts
			}
		})
		return a.broughtIn(office.Receipt{First: first, Last: first + uint64(max(1, parts)) - 1, Repeated: true})
	}
	made, wrong := h.OrdersIn(rows, d, style)
	if len(wrong) > 0 {
		return a.badRows(wrong)
	}
	r, err := submit(ctx, h.Office, made, c.Confirm)
	if err != nil {
		return inFolder(h.dir, err)
	}
	return a.broughtIn(r)
}

// write puts by for an order, or drops it.
func (c *orderCommand) write(ctx context.Context, a *app) error {
	if c.Order == "" {
		return usage("which-order")
	}
	h, err := a.writing(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	d, err := c.draft(h, record.Key(randomKey()))
	if err != nil {
		return err
	}
	x := answer.Answer{Question: "order", Of: record.Code(c.Order)}
	if c.Drop != "" {
		d.Facts = []record.Fact{&record.OrderDropped{Order: record.Code(c.Order), Reason: c.Drop}}
	} else if err := c.putBy(a, h, &d, &x); err != nil || len(d.Facts) == 0 {
		return err
	}
	r, err := submit(ctx, h.Office, d, c.Confirm)
	if err != nil {
		return inFolder(h.dir, err)
	}
	receipt(&x, r)
	return a.show(x)
}

// putBy makes the promises; what is short is told, and refuses them unless --some says
// as far as it goes.
func (c *orderCommand) putBy(a *app, h *opened, d *house.Draft, x *answer.Answer) error {
	var lacks []office.Lack
	var err error
	h.Read(func(v *office.View) { d.Facts, lacks, err = v.PutBy(record.Code(c.Order), c.Some) })
	if err != nil {
		return inFolder(h.dir, err)
	}
	for _, l := range lacks {
		x.Lines = append(x.Lines, l.Why)
	}
	if len(lacks) > 0 && !c.Some {
		return a.wrong(*x)
	}
	if len(d.Facts) == 0 {
		x.Say("orders.put-by-already", answer.Args{"order": record.Code(c.Order)})
		return a.show(*x)
	}
	return nil
}
