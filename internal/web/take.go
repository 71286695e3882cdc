package web

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"log"
	"net/url"
	"strconv"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// take shows a task's form, or records what it was sent. When it is recorded, the
// browser has been sent to the page that follows and done is true; otherwise the form
// comes back with what is wrong or asked, and all that was typed.
func (v *visit) take(t *task) (e *entry, done bool, err error) {
	e = v.entry(t)
	if v.r.Method != "POST" {
		return e, false, nil
	}
	e.sent(v.r.PostForm)
	d, ok := e.draft()
	if !ok {
		return e, false, nil
	}
	if t.Make != nil {
		err = t.Make(&d)
	}
	d.Facts = append(e.Over.facts(), d.Facts...)
	var receipt office.Receipt
	if err == nil {
		receipt, err = v.record(d)
	}
	if sure := t.sure(err); len(sure) > 0 {
		d.Confirmed = append(d.Confirmed, sure...)
		receipt, err = v.record(d)
	}
	switch {
	case err == nil:
		if d.Person != v.person {
			v.remember(personCookie, string(d.Person))
		}
		return e, true, v.see(withReceipt(t.Back, receipt))
	case e.why(err):
		return e, false, nil
	}
	return e, false, err
}

// sure lists the open questions that need no asking.
func (t *task) sure(err error) (ids []string) {
	var asks house.Asks
	if t.Sure == nil || !errors.As(err, &asks) {
		return nil
	}
	for _, a := range asks {
		if t.Sure(a) {
			ids = append(ids, a.ID)
		}
	}
	return ids
}

// record submits a draft once, however often it is sent: what happened "now" keeps
// the time at which it was first taken.
func (v *visit) record(d house.Draft) (office.Receipt, error) {
	if d.When == (record.When{}) {
		d.When = record.At(v.now)
		v.sameTime(&d)
	}
	if err := v.mayRecord(&d); err != nil {
		return office.Receipt{}, err
	}
	receipt, err := v.s.office.Submit(v.r.Context(), d)
	if errors.Is(err, office.ErrKeyReused) && v.sameTime(&d) { // the same tap came twice at once
		receipt, err = v.s.office.Submit(v.r.Context(), d)
	}
	return receipt, err
}

// sameTime gives a draft the time of the batch that was recorded under its key, and
// reports whether there is one of another time. Only for what happened "now".
func (v *visit) sameTime(d *house.Draft) (changed bool) {
	v.s.office.Read(func(h *office.View) {
		if was, ok := h.Batch(d.Key); ok && was.When != d.When {
			d.When, changed = was.When, true
		}
	})
	return changed
}

func withReceipt(back string, r office.Receipt) string {
	u, err := url.Parse(local(back))
	if err != nil {
		return "/"
	}
	q := u.Query()
	q.Set("saved", strconv.FormatUint(r.First, 10)+"-"+strconv.FormatUint(r.Last, 10))
	u.RawQuery = q.Encode()
	return u.String()
}

// newKey makes a key that no other form has.
func newKey() string {
	var k record.Key
	rand.Read(k[:])
	return hex.EncodeToString(k[:])
}

// keyOf reads a form's key.
func keyOf(text string) (k record.Key, ok bool) {
	b, err := hex.DecodeString(text)
	if err != nil || len(b) != len(k) {
		return k, false
	}
	copy(k[:], b)
	return k, true
}

// why shows in the form why it was not recorded; false when that is no matter of the
// form.
func (e *entry) why(err error) bool {
	v := e.v
	var no *house.Refusal
	var asks house.Asks
	var pin *pinAsk
	switch {
	case errors.As(err, &pin):
		e.PIN = pin
	case errors.As(err, &no):
		e.Refused, e.Next = v.refusal(no), v.next(no)
		e.mark(no)
		e.askOverride(no)
	case errors.As(err, &asks):
		var ids []string
		for _, a := range asks {
			e.Asks = append(e.Asks, v.sentence(answer.Line{Key: a.Key, Args: a.Args}))
			ids = append(ids, a.ID)
		}
		e.AskIDs = strings.Join(ids, "\n")
	case errors.Is(err, office.ErrKeyReused):
		e.Refused, e.Next = v.say("page.form.saved-before"), v.say("page.form.saved-before-next")
		e.Key = newKey()
	case errors.Is(err, office.ErrClosed):
		return false
	default: // the disk is full, or worse: nothing is recorded, and nothing typed is lost
		log.Printf("%s: %v", v.r.URL.Path, err)
		e.Refused, e.Next = v.say("page.form.not-saved", "why", err.Error()), v.say("page.wrong.again")
	}
	return true
}

// askOverride asks who decides, when honey on hold was to be poured.
func (e *entry) askOverride(no *house.Refusal) {
	hold, ok1 := no.Args["hold"].(record.Code)
	what, ok2 := no.Args["what"].(record.Code)
	if no.Key != "refused.on-hold" || !ok1 || !ok2 {
		return
	}
	if e.Over == nil {
		e.Over = &override{}
	}
	e.Over.Holds = append(e.Over.Holds, heldAt{string(hold), string(what)})
}

// mark shows at which field a refusal is about.
func (e *entry) mark(no *house.Refusal) {
	column, ok := no.Args["column"].(string)
	if !ok {
		return
	}
	for i := range e.Groups {
		for j := range e.Groups[i].Fields {
			if f := &e.Groups[i].Fields[j]; bare(f.cell) == bare(column) && f.Problem == "" {
				f.Problem = e.Refused
				return
			}
		}
	}
}

// when reads the time that somebody typed; zero is now.
func (e *entry) when(form url.Values) (record.When, bool) {
	typed := strings.TrimSpace(form.Get("when"))
	if typed == "" {
		return record.When{}, true
	}
	w, err := record.ParseWhen(typed, e.v.now)
	if err != nil {
		e.WhenProblem = e.v.say("page.form.when-wrong", "typed", typed)
		return w, false
	}
	local := w.Time()
	switch form.Get("precision") {
	case "day":
		w = record.OnDay(local)
	case "half-hour":
		w = record.At(local.Truncate(30 * time.Minute))
		w.Precision = record.ToHalfHour
	}
	return w, true
}
