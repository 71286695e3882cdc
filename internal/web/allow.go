package web

import (
	"errors"
	"fmt"
	"time"

	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// undoFor is how long what somebody just wrote can be taken back on the same device
// without a PIN: a slip of the finger is no correction.
const undoFor = 10 * time.Minute

// needsPIN reports whether facts ask for the PIN of who writes them: what frees held
// honey, changes what stands in the record, or changes the house's rules and people.
// Setting a hold never does.
func (v *visit) needsPIN(d *house.Draft) bool {
	for _, f := range d.Facts {
		switch f := f.(type) {
		case *record.LabelProved, *record.Released, *record.HoldLifted, *record.HoldOverridden, *record.SafetyPlanSigned, *record.Amended, *record.PersonLeft, *record.DeviceShutOut:
			return true
		case *record.TouchedRuled:
			if f.Ruling != record.TouchedHeld {
				return true
			}
		case *record.Struck:
			if !v.undoes(d, uint64(f.Fact)) {
				return true
			}
		case *record.SettingChanged:
			if !office.OwnSetting(f.Setting, d.Person) {
				return true
			}
		case *record.HouseNamed, *record.PersonNamed, *record.DeviceNamed:
			// while a house is set up nobody has a PIN; later a new person could choose
			// their own and do with it what they may not
			if v.s.access.anyPIN(codesOf(v.people)) {
				return true
			}
		}
	}
	return false
}

func codesOf(people []office.Person) (all []record.Code) {
	for _, p := range people {
		all = append(all, p.Person)
	}
	return all
}

// undoes reports whether a fact is one that the same person just wrote on the same
// device, and none that sets a hold.
func (v *visit) undoes(d *house.Draft, fact uint64) (own bool) {
	v.s.office.Read(func(h *office.View) {
		e, err := h.Fact(fact)
		if err != nil {
			return
		}
		age := v.now.Sub(e.Written())
		_, hold := e.Fact.(*record.HoldSet)
		own = !hold && age >= -time.Minute && age <= undoFor && sameCode(e.Person, d.Person) && sameCode(e.Device, d.Device)
	})
	return own
}

// A pinAsk says that the PIN of who writes is needed, or what is wrong with the one
// that was typed.
type pinAsk struct {
	Name    string
	Field   string // of the form, where it is not the writer's own
	First   bool   // they have none yet and choose one
	Nobody  bool   // nobody has one yet
	Problem string
}

func (p *pinAsk) Error() string { return "this needs the PIN of " + p.Name }

// mayRecord reports whether a draft may be recorded: when it needs a PIN, it takes the
// one that came with the form, or says that it wants one. What the house refuses
// anyway is told first.
func (v *visit) mayRecord(d *house.Draft) error {
	if !v.needsPIN(d) {
		return nil
	}
	var no *house.Refusal
	var err error
	repeated := false
	v.s.office.Read(func(h *office.View) {
		if _, repeated = h.Batch(d.Key); !repeated {
			err = h.State.Check(d, record.At(v.now))
		}
	})
	if repeated || errors.As(err, &no) { // the first answer again, or the refusal
		return err
	}
	if d.Person == "" {
		if own(v.r) && len(v.people) == 0 {
			return nil // a house in which nobody is written down yet
		}
		return &pinAsk{Problem: v.say("page.form.who")}
	}
	if !v.s.access.unlocked(cookie(v.r, unlockCookie), d.Person, d.Device) {
		if err := v.givePIN(d.Person); err != nil {
			return err
		}
	}
	return v.secondPIN(d)
}

// givePIN takes the PIN that came with a form and unlocks this browser for a while.
func (v *visit) givePIN(person record.Code) error {
	a := v.s.access
	ask := &pinAsk{Name: v.nameOf(person), First: !a.hasPIN(person)}
	form := v.r.PostForm
	if ask.First {
		ask.Nobody = !a.anyPIN(codesOf(v.people))
		typed := form.Get("pin.new")
		switch {
		case typed == "":
			return ask
		case !goodPIN(typed):
			ask.Problem = v.say("page.pin.weak", "least", int64(leastPIN), "most", int64(mostPIN))
			return ask
		case typed != form.Get("pin.again"):
			ask.Problem = v.say("page.pin.differ")
			return ask
		}
		if ok, err := a.setPIN(person, v.device, typed, true); err != nil || !ok {
			ask.First = false // somebody was quicker
			return orErr(err, ask)
		}
		return v.unlock(person)
	}
	typed := form.Get("pin")
	if typed == "" {
		return ask
	}
	limits := v.pinLimits(person)
	if wait := a.try(limits...); wait > 0 {
		ask.Problem = v.say("page.pin.wait", "wait", v.minutes(wait))
		return ask
	}
	if !a.isPIN(person, typed) {
		ask.Problem = v.say("page.pin.wrong")
		return ask
	}
	a.right(limits...)
	return v.unlock(person)
}

func orErr(err error, other error) error {
	if err != nil {
		return err
	}
	return other
}

// pinLimits bound guessing: on one device, for one person from all devices together,
// and of all persons from all devices together. What others do must not shut out the
// office PC.
func (v *visit) pinLimits(person record.Code) []limit {
	here := limit{deviceKey("pin "+pinKey(person), fmt.Sprint(v.device, " ", address(v.r))), 3}
	if own(v.r) {
		return []limit{{"pin " + pinKey(person) + " here", 3}}
	}
	return []limit{here, {"pin " + pinKey(person), 10}, {"pin", 40}}
}

// unlock lets this browser do for a while what needs the person's PIN.
func (v *visit) unlock(person record.Code) error {
	token, err := v.s.access.unlock(person, v.device)
	if err != nil {
		return err
	}
	v.keep(unlockCookie, token, int(unlockFor/time.Second))
	return nil
}

// lock ends that, as when somebody else takes the tablet.
func (v *visit) lock() error {
	token := cookie(v.r, unlockCookie)
	if token == "" {
		return nil
	}
	v.remember(unlockCookie, "")
	return v.s.access.lock(token)
}

// isUnlocked reports whether the person at the tablet gave their PIN a short while ago.
func (v *visit) isUnlocked() bool {
	return v.person != "" && v.s.access.unlocked(cookie(v.r, unlockCookie), v.person, v.device)
}

func (v *visit) nameOf(person record.Code) string {
	for _, p := range v.people {
		if sameCode(p.Person, person) {
			return nameOf(p.Person, p.PersonNamed.Name)
		}
	}
	return string(person)
}
