package web

import (
	"errors"

	"combline/internal/record"
)

// The page of PINs: one chooses or changes one's own here, ends what is unlocked, and
// on the office PC lets somebody choose anew who forgot theirs.
type pinPage struct {
	*frame
	Name     string
	Ask      pinSays
	Has      bool
	Unlocked bool
	Changed  bool
	People   []pinRow
	Own      bool // on the office PC
	Problem  string
}

type pinRow struct {
	Code, Name, Since string
	Has, Me           bool
}

func (v *visit) pinPage() error {
	var ask *pinAsk
	problem, changed := "", false
	if v.r.Method == "POST" && v.person != "" {
		err := v.pinPosted()
		switch {
		case errors.As(err, &ask):
			problem = ask.Problem
		case err != nil:
			return err
		default:
			return v.see("/pin?done=1")
		}
	}
	changed = v.arg("done") != ""
	p := pinPage{frame: v.frame("", v.say("page.pin.title")), Name: v.nameOf(v.person), Own: own(v.r), Problem: problem, Changed: changed,
		Has: v.person != "" && v.s.access.hasPIN(v.person), Unlocked: v.isUnlocked()}
	p.Ask = v.pinSays(&pinAsk{Name: p.Name, First: true, Problem: problem})
	if p.Has {
		p.Ask.Help = v.say("page.pin.change-help")
		p.Ask.Title = v.say("page.pin.change")
	}
	for _, x := range v.people {
		row := pinRow{Code: string(x.Person), Name: nameOf(x.Person, x.PersonNamed.Name), Me: x.Person == v.person}
		if pin, ok := v.s.access.pinOf(x.Person); ok {
			row.Has, row.Since = true, v.c.DateShort(pin.Since.In(v.now.Location()))
			if pin.Device != "" {
				row.Since += ", " + string(pin.Device)
			}
		}
		p.People = append(p.People, row)
	}
	return v.render("pin", p)
}

// pinPosted changes one's own PIN, or takes another's away.
func (v *visit) pinPosted() error {
	if of := record.Code(v.arg("forgotten")); of != "" {
		return v.forgotten(of)
	}
	if !v.s.access.hasPIN(v.person) {
		return v.givePIN(v.person)
	}
	typed := v.r.PostForm.Get("pin.new")
	switch {
	case !goodPIN(typed):
		return &pinAsk{Problem: v.say("page.pin.weak", "least", int64(leastPIN), "most", int64(mostPIN))}
	case typed != v.r.PostForm.Get("pin.again"):
		return &pinAsk{Problem: v.say("page.pin.differ")}
	}
	if err := v.givePIN(v.person); err != nil { // the old one, even where it is unlocked
		return err
	}
	_, err := v.s.access.setPIN(v.person, v.device, typed, false)
	return err
}

// forgotten lets somebody choose a new PIN. Only on the office PC, and only by
// somebody else who gives theirs.
func (v *visit) forgotten(of record.Code) error {
	if !own(v.r) || sameCode(of, v.person) {
		return errNotFound
	}
	if !v.s.access.hasPIN(v.person) {
		return &pinAsk{Problem: v.say("page.pin.own-first")}
	}
	if !v.isUnlocked() {
		if err := v.givePIN(v.person); err != nil {
			var ask *pinAsk
			if errors.As(err, &ask) && ask.Problem == "" {
				ask.Problem = v.say("page.pin.own")
			}
			return err
		}
	}
	return v.s.access.dropPIN(of)
}

// lockNow ends what a PIN unlocked, before its time is over.
func (v *visit) lockNow() error {
	if err := v.lock(); err != nil {
		return err
	}
	return v.see(v.arg("back"))
}
